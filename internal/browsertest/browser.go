// Package browsertest lets a test use the application as a person does: in a real browser, at the size of a phone
// or a desk, with a fresh profile a person. It reports what a person would not see (errors in the console, breaches
// of the content security policy) and what some people could not use (accessibility). It must never reach beyond
// this computer, and is imported by tests only.
package browsertest

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// Size is a window's, in CSS pixels.
type Size struct {
	Width, Height int64
	Touch         bool
}

// The two sizes every page is held against: a small phone and a laptop at the desk.
var (
	Phone   = Size{360, 800, true}
	Desktop = Size{1280, 900, false}
)

// Browser is one running browser, shared by the people of a test.
type Browser struct {
	ctx context.Context
}

// Start runs a browser with a new profile until the end of the test. Where there is none the test is skipped, or
// failed when FORAYHALL_TEST_ALL is 1.
func Start(t testing.TB) *Browser {
	t.Helper()
	program, err := find()
	if err != nil {
		skip(t, err)
	}
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options(program, t.TempDir())...)
	t.Cleanup(stop)
	ctx, _ := chromedp.NewContext(allocator)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start the browser: %v", err)
	}
	t.Cleanup(func() {
		if err := chromedp.Cancel(ctx); err != nil {
			t.Logf("stop the browser: %v", err)
		}
	})
	return &Browser{ctx}
}

func options(program, profile string) []chromedp.ExecAllocatorOption {
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(program),
		chromedp.UserDataDir(profile),
		chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("no-proxy-server", true),
		chromedp.Flag("hide-scrollbars", true),
		// A page lives for a second: what is compiled to run fast later is not run any more.
		chromedp.Flag("js-flags", "--no-opt --no-maglev"),
		// Only this computer: every other name or address is not found.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost, EXCLUDE *.localhost"),
	)
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox) // the sandbox refuses root
	}
	return options
}

// programs are the names that the browser goes by. The first has no window and takes half the time of the others.
var programs = []string{"chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"}

var errNotInstalled = errors.New("no browser here: none of " + strings.Join(programs, ", ") + " is in PATH")

func find() (string, error) {
	for _, name := range programs {
		if program, err := exec.LookPath(name); err == nil {
			return program, nil
		}
	}
	return "", errNotInstalled
}

func skip(t testing.TB, why error) {
	t.Helper()
	if os.Getenv("FORAYHALL_TEST_ALL") == "1" {
		t.Fatal(why)
	}
	t.Skip(why)
}
