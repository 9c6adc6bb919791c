package browsertest_test

import (
	"bytes"
	"context"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"forayhall/internal/browsertest"
)

const (
	accessible = `<!doctype html><html lang="en"><meta name="viewport" content="width=device-width"><title>Desk</title><link rel="icon" href="data:,">
<main><h1>Desk</h1><label>Number <input name="number"></label><p style="height:2000px">long</p></main></html>`
	unlabelled = `<!doctype html><html lang="en"><meta name="viewport" content="width=device-width"><title>Desk</title><link rel="icon" href="data:,">
<main><h1>Desk</h1><input name="number"></main></html>`
	troubled = `<!doctype html><html lang="en"><meta name="viewport" content="width=device-width"><title>Desk</title><link rel="icon" href="data:,">
<main><h1>Desk</h1></main><script src="/trouble.js"></script><script>document.title = "inline ran"</script></html>`
	trouble = `console.error("the queue is stuck", 3); setTimeout(() => { throw new Error("nobody caught this") });
fetch("/missing").finally(() => { document.documentElement.dataset.done = "yes" })`
	policy = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src data:; connect-src 'self'"
)

func serve(t *testing.T) string {
	t.Helper()
	mux := http.NewServeMux()
	for path, body := range map[string]string{"/accessible": accessible, "/unlabelled": unlabelled, "/troubled": troubled} {
		mux.HandleFunc(path, func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Security-Policy", policy)
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			_, _ = w.Write([]byte(body))
		})
	}
	mux.HandleFunc("/trouble.js", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		_, _ = w.Write([]byte(trouble))
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server.URL
}

func TestAxe_finds_an_input_without_a_label_under_a_strict_policy(t *testing.T) {
	tab := browsertest.New(t, browsertest.Options{Size: browsertest.Phone})
	tab.Open(t, serve(t)+"/unlabelled")
	violations := tab.Axe(t)
	if len(violations) != 1 || violations[0].ID != "label" || violations[0].Impact != "critical" {
		t.Errorf("violations: %v; want the one critical violation of rule label", violations)
	}
	tab.MustBeQuiet(t)
}

func TestAxe_finds_nothing_in_an_accessible_page(t *testing.T) {
	tab := browsertest.New(t, browsertest.Options{})
	tab.Open(t, serve(t)+"/accessible")
	tab.MustBeAccessible(t)
	tab.MustBeQuiet(t)
}

func TestProblems_are_those_of_console_script_network_and_policy(t *testing.T) {
	tab := browsertest.New(t, browsertest.Options{})
	tab.Open(t, serve(t)+"/troubled")
	tab.Do(t, chromedp.WaitReady(chromedp.CSS("html[data-done]")))
	problems := tab.Problems(t)
	for kind, text := range map[string]string{
		"console": "the queue is stuck", "exception": "nobody caught this", "network": "404", "policy": "inline script",
	} {
		if !slices.ContainsFunc(problems, func(p browsertest.Problem) bool {
			return p.Kind == kind && strings.Contains(p.Text, text)
		}) {
			t.Errorf("no problem of kind %s with %q in %+v", kind, text, problems)
		}
	}
	if title := browsertest.Get(t, tab, chromedp.Title()); title != "Desk" {
		t.Errorf("title %q: the policy did not hold", title)
	}
	if again := tab.Problems(t); len(again) != 0 {
		t.Errorf("problems are told twice: %+v", again)
	}
}

func TestTab_has_the_size_of_the_device(t *testing.T) {
	browser, address := browsertest.Start(t), serve(t)+"/accessible"
	for name, size := range map[string]browsertest.Size{"phone": browsertest.Phone, "desktop": browsertest.Desktop} {
		t.Run(name, func(t *testing.T) {
			tab := browser.Person(t, browsertest.Options{Size: size})
			tab.Open(t, address)
			got := browsertest.Get(t, tab, chromedp.Evaluate[[]int64](`[innerWidth, innerHeight, navigator.maxTouchPoints]`))
			if got[0] != size.Width || got[1] != size.Height || (got[2] > 0) != size.Touch {
				t.Errorf("width, height, touch points: %v; want %+v", got, size)
			}
		})
	}
}

func TestScreenshot_is_of_the_full_page(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "shots")
	t.Setenv("FORAYHALL_SHOTS", dir)
	tab := browsertest.New(t, browsertest.Options{Size: browsertest.Phone})
	tab.Open(t, serve(t)+"/accessible")
	tab.Screenshot(t, "desk/phone")
	file, err := os.ReadFile(filepath.Join(dir, "desk-phone.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	picture, err := jpeg.DecodeConfig(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	if picture.Width != 360 || picture.Height <= 2000 {
		t.Errorf("picture is %d × %d; the page is 360 wide and more than 2000 high", picture.Width, picture.Height)
	}
}

func TestPersons_share_no_cookies(t *testing.T) {
	browser, address := browsertest.Start(t), serve(t)+"/accessible"
	desk, identifier := browser.Person(t, browsertest.Options{}), browser.Person(t, browsertest.Options{})
	desk.Open(t, address)
	desk.Do(t, chromedp.Evaluate[chromedp.Void](`document.cookie = "who=desk"`))
	identifier.Open(t, address)
	if got := browsertest.Get(t, desk, chromedp.Evaluate[string](`document.cookie`)); got != "who=desk" {
		t.Errorf("the desk's own cookie is %q", got)
	}
	if got := browsertest.Get(t, identifier, chromedp.Evaluate[string](`document.cookie`)); got != "" {
		t.Errorf("the identifier has the desk's cookie: %q", got)
	}
}

// 192.0.2.0/24 is for documentation (RFC 5737) and example.org reserved (RFC 2606): neither may even be looked up.
func TestBrowser_reaches_this_computer_only(t *testing.T) {
	tab := browsertest.New(t, browsertest.Options{})
	for _, address := range []string{"http://192.0.2.1/", "http://example.org/"} {
		err := chromedp.Do(tab.Context(), chromedp.Navigate(address))
		if err == nil || !strings.Contains(err.Error(), "ERR_NAME_NOT_RESOLVED") {
			t.Errorf("%s: %v; want that it is not found", address, err)
		}
	}
}

func TestTab_context_ends_with_the_test(t *testing.T) {
	var ctx context.Context
	t.Run("a test", func(t *testing.T) { ctx = browsertest.New(t, browsertest.Options{}).Context() })
	if ctx != nil && ctx.Err() == nil {
		t.Error("the tab outlived its test")
	}
}
