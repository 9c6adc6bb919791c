package browsertest

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// patience ends a wait for something that never comes, so that the test can say where it stood. It is no measure
// of speed: a slow machine must not meet it.
const patience = 3 * time.Minute

// Options of a tab; the zero value is a desktop.
type Options struct {
	Size Size
}

// Tab is one person's window: cookies, storage and service workers are shared with nobody else's.
type Tab struct {
	ctx context.Context

	mu       sync.Mutex
	problems []Problem
}

// Problem is something that went wrong in the page without the person being told.
type Problem struct {
	Kind string // "exception", "console", "policy", "network", or the browser's own word
	Text string
	URL  string
}

// New starts a browser of its own and opens a tab in it, for a test with one person.
func New(t testing.TB, options Options) *Tab {
	t.Helper()
	return Start(t).Person(t, options)
}

// Person opens a tab for somebody who shares no cookies with the browser's other people.
func (b *Browser) Person(t testing.TB, options Options) *Tab {
	t.Helper()
	tab := &Tab{}
	ctx, cancel := chromedp.NewContext(b.ctx, chromedp.WithNewBrowserContext(), chromedp.WithListener(tab.listen))
	t.Cleanup(cancel)
	tab.ctx = ctx
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("open a tab: %v", err)
	}
	size := options.Size
	if size == (Size{}) {
		size = Desktop
	}
	tab.Resize(t, size)
	return tab
}

// Context is for chromedp's own calls. Their waits have no end of their own; Do's and Get's have.
func (tab *Tab) Context() context.Context { return tab.ctx }

// Resize changes the window.
func (tab *Tab) Resize(t testing.TB, size Size) {
	t.Helper()
	options := []chromedp.EmulateViewportOption{chromedp.EmulatePortrait}
	if size.Touch {
		options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	tab.Do(t, chromedp.EmulateViewport(size.Width, size.Height, options...))
}

// Open goes to an address and waits until it has loaded.
func (tab *Tab) Open(t testing.TB, address string) {
	t.Helper()
	tab.Do(t, chromedp.Navigate(address))
}

// Do runs steps in order; the first that fails, or waits for what never comes, fails the test with what the page
// showed then.
func (tab *Tab) Do(t testing.TB, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	for i, step := range steps {
		if _, err := within(tab, step); err != nil {
			t.Fatalf("step %d of %d: %v\n%s", i+1, len(steps), err, tab.describe())
		}
	}
}

// Get runs an action and gives its value, as in Get(t, tab, chromedp.Text("h1")).
func Get[T any](t testing.TB, tab *Tab, action chromedp.Action[T]) T {
	t.Helper()
	value, err := within(tab, action)
	if err != nil {
		t.Fatalf("%v\n%s", err, tab.describe())
	}
	return value
}

func within[T any](tab *Tab, action chromedp.Action[T]) (T, error) {
	ctx, cancel := context.WithTimeout(tab.ctx, patience)
	defer cancel()
	return chromedp.Run(ctx, action)
}

func (tab *Tab) describe() string {
	page, err := within(tab, chromedp.Evaluate[string](
		`location.href + "\n" + document.title + "\n" + (document.body ? document.body.innerText.slice(0, 2000) : "")`))
	if err != nil {
		return "the page could not be read: " + err.Error()
	}
	return "the page was " + page
}

// Screenshot writes the full page as NAME.jpg into the folder of FORAYHALL_SHOTS; without it nothing is taken. A tall page
// as PNG would take longer than the page itself.
func (tab *Tab) Screenshot(t testing.TB, name string) {
	t.Helper()
	dir := os.Getenv("FORAYHALL_SHOTS")
	if dir == "" {
		return
	}
	picture := Get(t, tab, chromedp.FullScreenshot(85))
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, fileName(name)+".jpg"), picture, 0o644); err != nil {
		t.Fatal(err)
	}
}

func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		if r == '/' || r == '\\' || r == ' ' {
			return '-'
		}
		return r
	}, name)
}

// Problems gives what went wrong in the page since it was last asked, and forgets it.
func (tab *Tab) Problems(t testing.TB) []Problem {
	t.Helper()
	// The answer comes after every message the page sent before it.
	tab.Do(t, chromedp.Evaluate[chromedp.Void](`undefined`))
	tab.mu.Lock()
	defer tab.mu.Unlock()
	problems := tab.problems
	tab.problems = nil
	return problems
}

// MustBeQuiet fails the test for every problem, apart from those whose kind is expected here.
func (tab *Tab) MustBeQuiet(t testing.TB, expected ...string) {
	t.Helper()
	for _, p := range tab.Problems(t) {
		if !slices.Contains(expected, p.Kind) {
			t.Errorf("%s at %s: %s", p.Kind, p.URL, p.Text)
		}
	}
}

// listen runs on the goroutine that reads from the browser: it must be quick and send nothing.
func (tab *Tab) listen(event any) {
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		tab.note(Problem{"exception", exceptionText(e.ExceptionDetails), e.ExceptionDetails.URL})
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeAssert {
			tab.note(Problem{"console", argumentsText(e.Args), ""})
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			tab.note(Problem{entryKind(e.Entry), e.Entry.Text, e.Entry.URL})
		}
	}
}

func (tab *Tab) note(p Problem) {
	tab.mu.Lock()
	defer tab.mu.Unlock()
	tab.problems = append(tab.problems, p)
}

func entryKind(entry *log.Entry) string {
	if strings.Contains(entry.Text, "Content Security Policy") {
		return "policy"
	}
	return string(entry.Source)
}

func exceptionText(details *runtime.ExceptionDetails) string {
	if details.Exception != nil && details.Exception.Description != "" {
		return details.Exception.Description
	}
	return details.Text
}

func argumentsText(arguments []*runtime.RemoteObject) string {
	words := make([]string, len(arguments))
	for i, a := range arguments {
		words[i] = a.Description
		if a.Value != nil {
			words[i] = string(a.Value)
		}
	}
	return strings.Join(words, " ")
}
