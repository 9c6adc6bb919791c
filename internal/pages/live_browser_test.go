package pages_test

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/live"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// until waits for what a script of the page does by itself.
func (w *window) until(what, condition string) *window {
	w.t.Helper()
	for begun := time.Now(); !browsertest.Get(w.t, w.tab, chromedp.Evaluate[bool](condition)); time.Sleep(30 * time.Millisecond) {
		if time.Since(begun) > patience {
			w.t.Fatalf("%s: never %s; the page says %s", what, condition, w.text())
		}
	}
	return w
}

func (w *window) eval(script string) *window {
	w.t.Helper()
	w.tab.Do(w.t, chromedp.Evaluate[chromedp.Void](script))
	return w
}

// mark leaves something on the page that a reload would take away.
func (w *window) mark() *window { return w.eval(`void (window.notReloaded = true)`) }

func (w *window) neverReloaded() *window {
	w.t.Helper()
	if !browsertest.Get(w.t, w.tab, chromedp.Evaluate[bool](`window.notReloaded === true`)) {
		w.t.Error("the page was loaded again")
	}
	return w
}

// plates logs collections, each with a name in question.
func (s *site) plates(t *testing.T, numbers ...string) {
	t.Helper()
	for _, number := range numbers {
		done, err := desk.LogCollection(t.Context(), s.Hall, s.As[access.Desk], s.Scope, s.Command(t), desk.Log{Number: number, Field: desk.Field{Group: "small_brown"}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := bench.GiveFieldName(t.Context(), s.Hall, s.As[access.TeamLeader], s.Scope, s.Command(t), bench.FieldName{Collection: done.ID,
			Names: []hall.NameInput{{Text: "Galerina marginata"}}}); err != nil {
			t.Fatal(err)
		}
	}
}

// pressLetter is one key event that carries its letter, as pressEnter does, for the same reason.
func pressLetter(letter string) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		p := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: letter, Text: letter, UnmodifiedText: letter}
		if _, err := chromedp.Call(ctx, input.DispatchKeyEvent, p); err != nil {
			return err
		}
		p.Type, p.Text, p.UnmodifiedText = input.DispatchKeyEventTypeKeyUp, "", ""
		_, err := chromedp.Call(ctx, input.DispatchKeyEvent, p)
		return err
	})
}

func rowOf(number string) string {
	return fmt.Sprintf(`document.querySelector('[data-row="%s"]')`, number)
}

// TestAnOpenPageFollowsTheHall: one signs off, and the other's queue changes under their eyes without a reload; what
// is being written stays, and the page offers what changed instead.
func TestAnOpenPageFollowsTheHall(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	s := newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))
	s.plates(t, "0417", "0418", "0419")
	first := s.window(t, b, "live-first", browsertest.Desktop, true).signIn("identifier")
	second := s.window(t, b, "live-second", browsertest.Desktop, true).signIn("second").open(event + "/queue").mark()
	typing := s.window(t, b, "live-typing", browsertest.Desktop, true).signIn("third").open(event + "/c/0417").mark()
	second.says("0417", "0418", "0419")
	second.eval(`void ` + rowOf("0419") + `.querySelector("a").focus()`)

	plate := event + "/c/0417"
	typing.tab.Do(t, chromedp.SendKeys(chromedp.CSS(`#sign-remarks`), "gills half"))
	first.open(plate).send(plate+"/sign", http.StatusOK, "choice", "Galerina marginata", "basis", "macroscopic").says("confirmed")

	second.until("the queue", `!`+rowOf("0417")).neverReloaded().says("0418", "0419")
	if !browsertest.Get(t, second.tab, chromedp.Evaluate[bool](`document.activeElement.closest("[data-row]")?.dataset.row === "0419"`)) {
		t.Error("the focus did not stay on the row it was on")
	}
	second.until("the voice", `[...document.querySelectorAll("body > [role=status]")].some(e => e.textContent.includes("Changed just now"))`)
	second.tab.MustBeAccessible(t)
	second.shoot("queue")

	typing.until("the record", `document.getElementById("record").textContent.includes("Person identifier")`).neverReloaded()
	typing.until("the offer", `document.querySelector(".live-here button") !== null`)
	if got := browsertest.Get(t, typing.tab, chromedp.Value(chromedp.CSS("#sign-remarks"))); got != "gills half" {
		t.Errorf("what was half typed is %q", got)
	}
	typing.tab.MustBeAccessible(t)
	typing.shoot("offer")
	before := browsertest.Get(t, typing.tab, chromedp.Evaluate[string](`document.querySelector('#acts [name="base_version"]').value`))
	typing.tab.Do(t, chromedp.Click(chromedp.CSS(".live-here button")))
	typing.until("the new form", `document.querySelector('#acts [name="base_version"]').value !== "`+before+`"`)
	if got := browsertest.Get(t, typing.tab, chromedp.Value(chromedp.CSS("#sign-remarks"))); got != "gills half" {
		t.Errorf("in the new form what was half typed is %q", got)
	}

	// A row under the focus is not pulled away: Enter would open another.
	eighteen := event + "/c/0418"
	second.eval(`void ` + rowOf("0418") + `.querySelector("a").focus()`)
	first.open(eighteen).send(eighteen+"/sign", http.StatusOK, "choice", "Galerina marginata", "basis", "macroscopic")
	second.until("the offer", `document.querySelector(".live-here button") !== null`)
	if !browsertest.Get(t, second.tab, chromedp.Evaluate[bool](`document.activeElement.closest("[data-row]")?.dataset.row === "0418"`)) {
		t.Error("the row was taken from under the focus")
	}
	second.tab.Do(t, chromedp.Click(chromedp.CSS(".live-here button")))
	second.until("the queue", `!`+rowOf("0418")).neverReloaded()

	s.plates(t, "0420")
	second.until("a new row", rowOf("0420")+`?.classList.contains("is-new") === true`)
	second.until("no longer new", `!`+rowOf("0420")+`.classList.contains("is-new")`)
	for _, w := range []*window{first, second, typing} {
		w.tab.MustBeQuiet(t)
	}
}

// TestAPageSaysThatTheHallIsAwayAndCatchesUp: the server stops, the page says since when it is not up to date; the
// server comes back, and the page has what it missed.
func TestAPageSaysThatTheHallIsAwayAndCatchesUp(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	g := halltest.New(t, storetest.New(t, store.SQLite))
	l := bind(t, "127.0.0.1:0")
	address := l.Addr().String()
	one := instanceOn(t, g, g.Store, l, live.Pace{})
	s := newSite(t, g)
	s.plates(t, "0417")
	w := s.window(t, b, "live-away", browsertest.Phone, true)
	w.tab.Open(t, "http://"+address+event+"/tables")
	w.mark().until("a stream", `performance.getEntriesByType("resource").length > 0`)
	w.tab.Open(t, "http://"+address+event+"/list")
	w.mark()
	one.stop()
	w.until("the bar", `document.querySelector(".live-bar").textContent.includes("Not up to date since 14:40")`)
	w.tab.MustBeAccessible(t)
	w.shoot("away").neverReloaded()
	if strings.Contains(w.text(), "0418") {
		t.Fatal("0418 is there before it was logged")
	}
	s.plates(t, "0418")
	instanceOn(t, g, g.Store, bind(t, address), live.Pace{})
	w.until("the missed", `document.querySelector("main").textContent.includes("0418")`).neverReloaded()
	w.until("the bar", `document.querySelector(".live-bar").textContent.includes("The hall is back")`)
	w.shoot("back")
	w.until("the bar", `document.querySelector(".live-bar").textContent === ""`)
	w.tab.MustBeQuiet(t, "network") // the browser notes that it could not connect
}

// TestKeysOfAPage: rows, list, fields, and the switch that turns single keys off.
func TestKeysOfAPage(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	s := newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))
	s.plates(t, "0417", "0418", "0419")
	w := s.window(t, b, "keys", browsertest.Desktop, true).signIn("identifier").open(event + "/queue")
	at := func(want string) {
		t.Helper()
		if got := browsertest.Get(t, w.tab, chromedp.Evaluate[string](`document.activeElement.closest("[data-row]")?.dataset.row ?? "none"`)); got != want {
			t.Errorf("the focus is in row %s, want %s", got, want)
		}
	}
	rows := browsertest.Get(t, w.tab, chromedp.Evaluate[[]string](`[...document.querySelectorAll("[data-row]")].map(r => r.dataset.row)`))
	w.keys(kb.ArrowDown)
	at("none") // outside the rows the arrows scroll
	w.keys("j")
	at(rows[0])
	w.keys("j").keys(kb.ArrowDown)
	at(rows[2])
	w.keys("j")
	at(rows[2]) // the last stays the last
	w.keys("k")
	at(rows[1])

	w.keys("?").until("the list", `document.querySelector("#keys").matches("[open].keys-up") && document.querySelector("#keys").contains(document.activeElement)`)
	w.tab.MustBeAccessible(t)
	w.shoot("list").keys(kb.Escape)
	w.until("the list is down", `!document.querySelector("#keys").matches(".keys-up, [open]")`)
	at(rows[1])
	if got := w.tab.Follow(t, pressEnter); got != http.StatusOK {
		t.Fatalf("Enter answered %d", got)
	}
	w.until("the collection", `location.pathname.endsWith("/c/`+rows[1]+`")`)

	// A letter in a field is a letter; Escape leaves the field.
	w.tab.Do(t, pressLetter("c"))
	w.until("the note's first field", `document.activeElement.closest("details")?.open && document.activeElement.matches("#form-note input")`)
	w.keys("sfp")
	if got := browsertest.Get(t, w.tab, chromedp.Evaluate[string](`document.activeElement.value`)); got != "sfp" {
		t.Errorf("in the field stands %q", got)
	}
	w.keys(kb.Escape).until("out of the field", `document.activeElement === document.body`)

	w.keys("?").eval(`document.getElementById("keys-switch").click()`).keys(kb.Escape).eval(`document.activeElement.blur()`)
	w.open(event + "/queue").keys("j")
	at("none")
	w.eval(`document.getElementById("keys").open = true`)
	w.tab.Do(t, chromedp.Click(chromedp.CSS("#keys-switch")))
	w.eval(`document.activeElement.blur()`).keys("j")
	at(rows[0])
	w.tab.MustBeQuiet(t)
}
