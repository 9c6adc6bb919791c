package pages_test

import (
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// mostStrokes is how many keys an easy sign-off takes from the queue.
const mostStrokes = 4

// keyboard counts what is pressed.
type keyboard struct {
	*window
	strokes int
}

func (k *keyboard) press(key string) {
	k.t.Helper()
	k.strokes++
	k.keys(key)
}

// enter presses Enter where it leads to another page.
func (k *keyboard) enter() {
	k.t.Helper()
	k.strokes++
	if got := k.tab.Follow(k.t, pressEnter); got != http.StatusOK {
		k.t.Fatalf("Enter led to %d: %s", got, k.text())
	}
}

// goes presses a key that leads to another page by itself.
func (k *keyboard) goes(key string) {
	k.t.Helper()
	k.strokes++
	if got := k.tab.Follow(k.t, chromedp.KeyEvent(key)); got != http.StatusOK {
		k.t.Fatalf("%s led to %d: %s", key, got, k.text())
	}
}

// TestAnEasySignOffTakesFourKeys counts every key from the queue to the signed slip, and for the plate after it.
func TestAnEasySignOffTakesFourKeys(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite))))
	for n := range 3 {
		f.brought(n+1, desk.Field{Group: "bolete"}, "")
		f.suggests(n+1, f.s.Third, "Boletus edulis", "Rubroboletus satanas")
	}
	k := &keyboard{window: f.s.window(t, b, "bench", browsertest.Desktop, true).signIn("identifier").open(event + "/queue")}
	k.shoot("queue")
	k.press("j")
	k.enter()
	k.shoot("plate")
	k.press("a")
	k.enter()
	k.says("confirmed", "You just wrote a slip for").shoot("signed")
	if f.plate("0001").StateWord() != "confirmed" || k.strokes > mostStrokes {
		t.Errorf("0001 is %s after %d keys, at most %d", f.plate("0001").StateWord(), k.strokes, mostStrokes)
	}
	t.Logf("from the queue: %d keys", k.strokes)

	k.strokes = 0
	k.goes("j")
	k.press("a")
	k.enter()
	if f.plate("0002").StateWord() != "confirmed" || k.strokes > mostStrokes-1 {
		t.Errorf("0002 is %s after %d keys", f.plate("0002").StateWord(), k.strokes)
	}
	t.Logf("the plate after it: %d keys", k.strokes)

	// A slip of the hand is taken back in two, and another name in question is chosen by its digit.
	k.strokes = 0
	k.press("u")
	k.enter()
	if f.plate("0002").StateWord() != "provisional" || k.strokes > 2 {
		t.Errorf("0002 is %s after %d keys", f.plate("0002").StateWord(), k.strokes)
	}
	k.press("2")
	k.tab.Do(t, chromedp.SetValue(chromedp.CSS("#sign-basis"), "microscopy"))
	k.enter()
	if name := f.plate("0002").Slips[3].Name(); name.Name != "Rubroboletus satanas" {
		t.Errorf("the digit 2 signed %s", name.Name)
	}
	k.press("?")
	if !browsertest.Get(t, k.tab, chromedp.Evaluate[bool](`document.getElementById("keys").open`)) {
		t.Error("the list of keys does not come")
	}
	k.tab.MustBeQuiet(t)
}

// TestTheBenchOnAPhoneAndByNight holds the pages of bench and scribe against what every page must keep to.
func TestTheBenchOnAPhoneAndByNight(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))).furnish()
	for who, paths := range map[access.Right][]string{
		access.Identifier: {"/queue", "/c/0212?from=queue", "/c/0214", "/walk/2", "/walk/1?seen=0215"},
		access.Scribe:     {"/scribe", "/scribe?for=" + f.s.Second.Person.String()},
	} {
		w := f.s.window(t, b, "bench-"+string(who), browsertest.Desktop, true).signIn(string(who))
		for _, path := range paths {
			w.open(event + path).shoot("wide")
			for _, scheme := range []string{"light", "dark"} {
				w.tab.Scheme(t, scheme)
				w.tab.MustBeAccessible(t)
			}
			w.tab.Resize(t, browsertest.Phone)
			w.shoot("narrow-dark")
			for _, small := range w.smallTargets() {
				t.Errorf("%s: %s", path, small)
			}
			w.tab.Scheme(t, "light")
			w.tab.Resize(t, browsertest.Desktop)
		}
		w.tab.MustBeQuiet(t)
	}
}
