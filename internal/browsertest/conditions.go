package browsertest

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// WithoutScripts switches the page's scripts off, as some people and some networks do.
func (tab *Tab) WithoutScripts(t testing.TB) {
	t.Helper()
	tab.Do(t, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
}

// Scheme is "light" or "dark", as the person set their device.
func (tab *Tab) Scheme(t testing.TB, scheme string) {
	t.Helper()
	tab.emulate(t, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
}

// Language is what the person's browser asks for, as "en".
func (tab *Tab) Language(t testing.TB, language string) {
	t.Helper()
	tab.Do(t, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		headers := network.Headers{"Accept-Language": language}
		_, err := chromedp.Call(ctx, network.SetExtraHTTPHeaders, network.SetExtraHTTPHeadersParams{Headers: headers})
		return err
	}))
}

// Still asks for no motion, so that what is measured has arrived where it goes.
func (tab *Tab) Still(t testing.TB) {
	t.Helper()
	tab.emulate(t, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}})
}

// Paper shows the page as it would be printed; false, as on a screen.
func (tab *Tab) Paper(t testing.TB, on bool) {
	t.Helper()
	media := ""
	if on {
		media = "print"
	}
	tab.emulate(t, emulation.SetEmulatedMediaParams{Media: media})
}

func (tab *Tab) emulate(t testing.TB, p emulation.SetEmulatedMediaParams) {
	t.Helper()
	tab.Do(t, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, p)
		return err
	}))
}

// Follow runs steps that lead to another page, waits until it has loaded, and gives its status.
func (tab *Tab) Follow(t testing.TB, steps ...chromedp.Action[chromedp.Void]) int64 {
	t.Helper()
	ctx, cancel := context.WithTimeout(tab.ctx, patience)
	defer cancel()
	res, err := chromedp.RunResponse(ctx, steps...)
	if err != nil {
		t.Fatalf("%v\n%s", err, tab.describe())
	}
	if res == nil {
		return 0
	}
	return res.Status
}
