package browsertest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Violation is one rule of axe-core that a page breaks, with the elements that break it.
type Violation struct {
	ID      string   `json:"id"`
	Impact  string   `json:"impact"`
	Help    string   `json:"help"`
	Targets []string `json:"targets"`
}

func (v Violation) String() string {
	return fmt.Sprintf("%s (%s): %s: %s", v.ID, v.Impact, v.Help, strings.Join(v.Targets, "; "))
}

// axeRun is evaluated through the browser's own protocol, so that the page's policy, however strict, is neither
// loosened for it nor broken by it; preload is off because it would fetch.
const axeRun = `axe.run(document, {resultTypes: ["violations"], preload: false, iframes: false}).then(result =>
	result.violations.filter(v => v.impact === "serious" || v.impact === "critical").map(v => ({
		id: v.id, impact: v.impact, help: v.help, targets: v.nodes.map(n => n.target.flat().join(" ")),
	})))`

// Axe gives the serious and critical accessibility violations of the page as it stands. The path of axe.min.js is
// taken from FORAYHALL_AXE; without it the test is skipped, or failed when FORAYHALL_TEST_ALL is 1.
func (tab *Tab) Axe(t testing.TB) []Violation {
	t.Helper()
	path := os.Getenv("FORAYHALL_AXE")
	if path == "" {
		skip(t, errors.New("no axe-core here: FORAYHALL_AXE is not set"))
	}
	if !Get(t, tab, chromedp.Evaluate[bool](axeHere)) {
		tab.bringAxe(t, path)
	}
	return Get(t, tab, chromedp.Evaluate[[]Violation](axeRun, chromedp.EvalAwaitPromise))
}

// axeHere reports whether axe-core is on the page, where it only has to be unpacked.
const axeHere = `(typeof bringAxe === "function" && bringAxe(), typeof axe === "object")`

// bringAxe gives axe-core to this page and to those that the tab opens after it: it is half a million letters long, and to
// send it anew for every page would take as long as a third of its work.
func (tab *Tab) bringAxe(t testing.TB, path string) {
	t.Helper()
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	tab.Do(t, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		packed := page.AddScriptToEvaluateOnNewDocumentParams{Source: "const bringAxe = () => {\n" + string(source) + "\n}"}
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, packed)
		return err
	}))
	tab.Do(t, chromedp.Evaluate[chromedp.Void](string(source)))
}

// MustBeAccessible fails the test for every serious or critical violation.
func (tab *Tab) MustBeAccessible(t testing.TB) {
	t.Helper()
	for _, v := range tab.Axe(t) {
		t.Error(v)
	}
}
