package pages_test

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"golang.org/x/net/html"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
	"forayhall/web/view"
)

// window is one person's browser at the hall.
type window struct {
	t    *testing.T
	s    *site
	tab  *browsertest.Tab
	kind string // of the pictures: phone, desktop
	step int
}

func (s *site) window(t *testing.T, b *browsertest.Browser, kind string, size browsertest.Size, scripts bool) *window {
	t.Helper()
	w := &window{t: t, s: s, tab: b.Person(t, browsertest.Options{Size: size}), kind: kind}
	w.tab.Still(t) // a click must not meet a page that is still gliding
	if !scripts {
		w.tab.WithoutScripts(t)
	}
	return w
}

func (w *window) open(path string) *window {
	w.t.Helper()
	w.tab.Open(w.t, w.s.server.URL+path)
	return w
}

func (w *window) signIn(login string) *window {
	w.t.Helper()
	w.open("/sign-in?next=" + event)
	w.send("/sign-in", http.StatusOK, "name", login, "password", halltest.Password)
	return w
}

// send fills in the form to action as a person does, with clicks and keys, and sends it with its button.
func (w *window) send(action string, want int64, pairs ...string) *window {
	w.t.Helper()
	form := fmt.Sprintf(`form[action=%q]`, action)
	for i := 0; i < len(pairs); i += 2 { // beside a form there may be a short way to send the same
		form += fmt.Sprintf(`:has([name=%q]:not([type="hidden"]))`, pairs[i])
	}
	w.unfold(form)
	for i := 0; i < len(pairs); i += 2 {
		w.fill(form, pairs[i], pairs[i+1])
	}
	if got := w.tab.Follow(w.t, chromedp.Click(chromedp.CSS(form+` button[type="submit"]`))); got != want {
		w.t.Fatalf("%s answered %d, want %d: %s", action, got, want, w.text())
	}
	return w
}

// unfold opens the fold that the form, or the part with it, lies in.
func (w *window) unfold(form string) {
	w.t.Helper()
	shut := browsertest.Get(w.t, w.tab, chromedp.Evaluate[bool](fmt.Sprintf(`(() => { const f = document.querySelector(%q); const d = f && f.closest("details:not([open])"); if (d) d.id = d.id || "shut-now"; return !!d; })()`, form)))
	if shut {
		w.tab.Do(w.t, chromedp.Click(chromedp.CSS("#shut-now > summary")))
		w.tab.Do(w.t, chromedp.Evaluate[chromedp.Void](`void document.getElementById("shut-now").removeAttribute("id")`))
	}
}

func (w *window) fill(form, name, value string) {
	w.t.Helper()
	control := fmt.Sprintf(`%s [name=%q]`, form, name)
	w.unfold(control)
	switch kind := browsertest.Get(w.t, w.tab, chromedp.Evaluate[string](fmt.Sprintf(`(() => { const e = document.querySelector(%q); return e ? (e.matches("textarea, input") && e.value === "" && !/radio|checkbox|date/.test(e.type) ? "empty" : e.type) : "none"; })()`, control))); kind {
	case "none":
		w.t.Fatalf("no field %s in %s: %s", name, form, w.text())
	case "radio":
		w.tab.Do(w.t, chromedp.Click(chromedp.CSS(fmt.Sprintf(`%s[value=%q]`, control, value))))
	case "checkbox":
		w.tab.Do(w.t, chromedp.Click(chromedp.CSS(control)))
	case "empty":
		w.tab.Do(w.t, chromedp.SendKeys(chromedp.CSS(control), value))
	case "select-one", "date", "datetime-local":
		w.tab.Do(w.t, chromedp.SetValue(chromedp.CSS(control), value))
	default:
		w.tab.Do(w.t, chromedp.Clear(chromedp.CSS(control)), chromedp.SendKeys(chromedp.CSS(control), value))
	}
}

func (w *window) text() string {
	w.t.Helper()
	return browsertest.Get(w.t, w.tab, chromedp.Text(chromedp.CSS("main")))
}

func (w *window) says(texts ...string) *window {
	w.t.Helper()
	said := strings.ToLower(strings.Join(strings.Fields(w.text()), " "))
	for _, text := range texts {
		if !strings.Contains(said, strings.ToLower(text)) {
			w.t.Errorf("the page does not say %q: %s", text, said)
		}
	}
	return w
}

// shoot takes a picture of a step and holds the page against what every page must keep to.
func (w *window) shoot(name string) *window {
	w.t.Helper()
	w.step++
	w.picture(w.t, fmt.Sprintf("%s-%02d-%s", w.kind, w.step, name))
	if over := w.overflow(); over != "" {
		w.t.Errorf("%s at %s scrolls sideways: %s", name, w.kind, over)
	}
	return w
}

// overflow names what is wider than the window; "" where nothing is.
func (w *window) overflow() string {
	w.t.Helper()
	return browsertest.Get(w.t, w.tab, chromedp.Evaluate[string](`(() => {
		const wide = document.documentElement.clientWidth;
		if (document.documentElement.scrollWidth <= wide) return "";
		return [...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > wide + 1).slice(0, 5)
			.map(e => e.tagName + "." + e.className + " " + Math.round(e.getBoundingClientRect().right)).join("; ");
	})()`))
}

// TestTheDayInABrowser walks a collection from the basket to list and sheet, as its people do, without scripts and
// with them, on a phone and at a desk.
func TestTheDayInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	for _, c := range []struct {
		kind    string
		size    browsertest.Size
		scripts bool
	}{
		{"plain-phone", browsertest.Phone, false},
		{"phone", browsertest.Phone, true},
		{"desktop", browsertest.Desktop, true},
	} {
		t.Run(c.kind, func(t *testing.T) {
			t.Parallel()
			s := newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))
			day(t, s, func(who string) *window { return s.window(t, b, c.kind+"-"+who, c.size, c.scripts) })
		})
	}
}

func day(t *testing.T, s *site, at func(who string) *window) {
	t.Helper()
	plate := event + "/c/0417"
	desk := at("desk").signIn("desk").shoot("hall")
	desk.open(event + "/intake").shoot("intake")
	desk.send(event+"/intake", http.StatusOK, "number", "417", "group", "small_brown", "collector", "Mei Adeyemi", "odour", "meal", "cut_change", "browner", "cut_seconds", "30")
	desk.says("0417", "small brown").shoot("saved")
	desk.open(plate).send(plate+"/field-name", http.StatusOK, "name_1", "Kuehneromyces mutabilis", "reason_1", "scaly below the ring", "name_2", "Galerina marginata", "reason_2", "smooth below the ring?")
	desk.says("Kuehneromyces mutabilis", "Galerina marginata").shoot("field-name")

	first, second, third := at("identifier").signIn("identifier"), at("second").signIn("second"), at("third").signIn("third")
	first.open(event+"/queue").says("0417", "Galerina marginata").shoot("queue")
	first.open(plate).shoot("collection")
	second.tab.WithoutScripts(t) // a page that lives would tell them before they send
	second.open(plate)
	first.send(plate+"/sign", http.StatusOK, "choice", "Kuehneromyces mutabilis", "basis", "macroscopic").says("confirmed").shoot("signed")

	// The second person still has the page from before: their word is kept and the first one's stands beside it.
	second.send(plate+"/sign", http.StatusConflict, "choice", "Galerina marginata", "basis", "microscopy", "remarks", "fibrils below the ring")
	second.says("somebody was first", "Person identifier", "fibrils below the ring").shoot("conflict")
	if kept := browsertest.Get(t, second.tab, chromedp.Value(chromedp.CSS("#sign-name"))); kept != "Galerina marginata" {
		t.Errorf("the name that the second chose is %q in the form that came back", kept)
	}
	second.send(plate+"/sign", http.StatusOK, "choice", "other", "name", "Galerina marginata", "basis", "microscopy", "remarks", "fibrils below the ring").says("disputed").shoot("dissent")
	third.open(plate).says("fibrils below the ring").shoot("disputed")
	third.send(plate+"/sign", http.StatusOK, "choice", "Galerina marginata", "basis", "comparison").says("confirmed").shoot("settled")

	strike := third.slipToStrike()
	third.send(plate+"/strike", http.StatusOK, "remarks", "the other plate was meant").says("struck by Person third").shoot("struck")
	if strike == "" {
		t.Error("a determiner cannot strike their own slip")
	}
	third.send(plate+"/sign", http.StatusOK, "choice", "Galerina marginata", "basis", "comparison").says("confirmed")

	steward := at("steward").signIn("steward")
	steward.open(plate).send(plate+"/place", http.StatusOK, "where", "table", "table", s.table(t, 3), "position", "B2").says("Hazards").shoot("placed")
	steward.open(event+"/tables").says("0417", "Galerina marginata").shoot("tables")

	visitor := at("visitor")
	visitor.open("/").shoot("start")
	visitor.open(event).shoot("event")
	visitor.open(event+"/list").says("not final", "Galerina marginata").shoot("running-list")
	keeper := at("keeper").signIn("list_keeper")
	keeper.open(event+"/publish").shoot("publish").send(event+"/publish", http.StatusOK, "sign", "yes").says("List version 1", "Galerina marginata").shoot("version-1")
	safety := at("safety").signIn("safety_lead")
	safety.open(event+"/setup/contact").send(event+"/setup/contact", http.StatusOK, "name", "Poison line", "phone", "0300 555 0142", "hours", "day and night")
	safety.send(event+"/setup/tested", http.StatusOK, "answered", "yes").shoot("setup")
	visitor.open(event+"/warnings").says("0300 555 0142", "Galerina marginata", "0417").shoot("sheet")
	for _, w := range []*window{desk, first, third, steward, visitor, keeper, safety} {
		w.tab.MustBeQuiet(t)
	}
	second.tab.MustBeQuiet(t, "network") // the browser notes the conflict's status
}

// slipToStrike gives the slip of the one strike form on the page.
func (w *window) slipToStrike() string {
	w.t.Helper()
	return browsertest.Get(w.t, w.tab, chromedp.Evaluate[string](`(document.querySelector('.strike input[name="slip"]') || {value: ""}).value`))
}

// TestEveryPageInABrowser holds every page of every area that any role opens against what everybody needs: no serious
// or critical finding of axe-core at a desk by day, and on a phone by night in the test language, whose words are longer;
// nothing that scrolls sideways there, targets that a finger meets, and nothing said in the console. A page in which
// nothing stands that another has not shown is passed over. FORAYHALL_EVERY_PAGE asks for a picture of each.
func TestEveryPageInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := onSQLite(t).whole()
	looked := map[string]bool{}
	opened := 0
	for _, who := range personas {
		if who == stranger {
			continue
		}
		var paths []string
		for _, path := range f.addresses[who] {
			b := f.at[who].get(path)
			news := kinds(b.page)
			maps.DeleteFunc(news, func(kind string, _ bool) bool { return looked[kind] })
			if b.status != http.StatusOK || len(news) == 0 {
				continue
			}
			maps.Copy(looked, news)
			paths = append(paths, path)
		}
		opened += len(paths)
		t.Run(string(who), func(t *testing.T) {
			t.Parallel()
			w := f.s.window(t, b, "page-"+string(who), browsertest.Desktop, true)
			if who != access.Visitor {
				w.signIn(string(who))
			}
			for _, path := range paths {
				w.look(t, path)
			}
		})
	}
	if opened < 80 {
		t.Errorf("only %d pages were looked at", opened)
	}
	t.Logf("%d pages were looked at", opened)
}

func (w *window) look(t *testing.T, path string) {
	t.Helper()
	name := w.kind + "-" + strings.Trim(strings.NewReplacer(event, "", "/", "-", "?", "-", "&", "-", "=", "-").Replace(path), "-")
	w.tab.Resize(t, browsertest.Desktop)
	w.tab.Scheme(t, "light")
	w.tab.Language(t, "en")
	w.open(path)
	w.tab.MustBeAccessible(t)
	w.picture(t, name+"-desk-light")
	w.tab.Scheme(t, "dark")
	w.picture(t, name+"-desk-dark")
	w.tab.Resize(t, browsertest.Phone)
	w.tab.Language(t, message.Pseudo)
	w.open(path)
	w.tab.MustBeAccessible(t)
	if over := w.overflow(); over != "" {
		t.Errorf("%s scrolls sideways: %s", path, over)
	}
	for _, small := range w.smallTargets() {
		t.Errorf("%s: %s", path, small)
	}
	w.picture(t, name+"-phone-dark")
	w.tab.Scheme(t, "light")
	w.picture(t, name+"-phone-light")
	w.tab.MustBeQuiet(t)
}

// picture keeps a picture: of the miniature foray always, of all else where FORAYHALL_EVERY_PAGE asks for it, since a
// picture of a whole page takes longer than the page.
func (w *window) picture(t *testing.T, name string) {
	t.Helper()
	if strings.HasPrefix(w.kind, "foray-") || os.Getenv("FORAYHALL_EVERY_PAGE") != "" {
		w.tab.Screenshot(t, name)
	}
}

// kinds are what a page is built of: which things stand in which, with their classes and fields, however often.
func kinds(page *node) map[string]bool {
	kinds := map[string]bool{}
	each(page, func(n *node) {
		if n.Type == html.ElementNode && n.Parent != nil {
			kinds[n.Parent.Data+"."+attr(n.Parent, "class")+">"+n.Data+"."+attr(n, "class")+"["+attr(n, "name")+attr(n, "type")+"]"] = true
		}
	})
	return kinds
}

// smallTargets lists what acts and is smaller than a finger. A link within a sentence is excepted (WCAG 2.2, 2.5.8);
// what is hidden behind its label is measured by the label.
func (w *window) smallTargets() []string {
	w.t.Helper()
	return browsertest.Get(w.t, w.tab, chromedp.Evaluate[[]string](`(() => {
		const wrong = [];
		for (const e of document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")) {
			const box = e.getBoundingClientRect();
			if (box.width === 0 || box.height === 0 || e.closest(".skip, [hidden]") || !e.checkVisibility()) continue;
			let wide = box.width, high = box.height, least = 24;
			if (e.matches("input[type=radio], input[type=checkbox]")) {
				const label = document.querySelector("label[for='" + e.id + "']").getBoundingClientRect();
				high = Math.max(high, label.height); wide = Math.max(wide, label.width); least = 44;
			}
			if (e.matches(".group-tap input, .intake .tap input")) least = 64;
			if (e.matches("button, .button, summary, .tents a, .ways a, select, textarea, input:not([type=radio], [type=checkbox])")) least = 44;
			if (e.matches(".group-tap input") ? (high < 64 || wide < 64) : (high < least || wide < 24))
				wrong.push((e.tagName + " " + (e.name || e.textContent.trim())).slice(0, 60) + ": " + Math.round(wide) + " × " + Math.round(high) + ", wants " + least);
		}
		return wrong;
	})()`))
}

// keys types on the keyboard, wherever the focus is.
func (w *window) keys(keys string) *window {
	w.t.Helper()
	w.tab.Do(w.t, chromedp.KeyEvent(keys))
	return w
}

// pressEnter is one key event that carries its character, as a keyboard's is: a page that takes the key for itself
// keeps the browser from sending the form. The driver's own Enter sends the character on its own.
var pressEnter = chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
	p := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: "Enter", Code: "Enter", Text: "\r", UnmodifiedText: "\r", WindowsVirtualKeyCode: 13, NativeVirtualKeyCode: 13}
	if _, err := chromedp.Call(ctx, input.DispatchKeyEvent, p); err != nil {
		return err
	}
	p.Type, p.Text, p.UnmodifiedText = input.DispatchKeyEventTypeKeyUp, "", ""
	_, err := chromedp.Call(ctx, input.DispatchKeyEvent, p)
	return err
})

// tabTo presses the tab key until the focus is where it should be, and wants it to be seen on the way.
func (w *window) tabTo(selector string) *window {
	w.t.Helper()
	for range 120 {
		w.keys(kb.Tab)
		at := browsertest.Get(w.t, w.tab, chromedp.Evaluate[string](fmt.Sprintf(`(() => {
			const e = document.activeElement;
			if (!e || e === document.body) return "nothing";
			const seen = e.type === "datetime-local" || [e, e.nextElementSibling].some(x => x && getComputedStyle(x).outlineStyle !== "none" && parseFloat(getComputedStyle(x).outlineWidth) >= 2);
			const box = e.getBoundingClientRect(), bar = document.querySelector(".save-bar");
			const free = !bar || bar.contains(e) || box.top < bar.getBoundingClientRect().top;
			return (seen ? "" : "unseen ") + (free ? "" : "covered ") + (e.matches(%q) ? "there" : e.tagName + "." + (e.name || e.className));
		})()`, selector)))
		if strings.Contains(at, "unseen") || strings.Contains(at, "covered") {
			w.t.Errorf("on the way to %s the focus is %s", selector, at)
		}
		if strings.HasSuffix(at, "there") {
			return w
		}
	}
	w.t.Fatalf("the tab key never leads to %s", selector)
	return w
}

// TestIntakeAndSignOffWithTheKeyboardAlone: the desk and the bench do not take their hands off the keys.
func TestIntakeAndSignOffWithTheKeyboardAlone(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	s := newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))
	desk := s.window(t, b, "keyboard-desk", browsertest.Desktop, true).signIn("desk").open(event + "/intake")
	desk.keys("417") // the focus is where the group is found, and digits change the number
	desk.tabTo("#group-" + view.Groups[0]).keys(kb.ArrowRight).keys(kb.ArrowLeft)
	desk.tabTo("#odour").keys("meal")
	desk.shoot("intake")
	desk.tabTo(".save-bar button")
	if got := desk.tab.Follow(t, pressEnter); got != http.StatusOK {
		t.Fatalf("intake answered %d: %s", got, desk.text())
	}
	desk.says("saved as", "0417")

	ident := s.window(t, b, "keyboard-bench", browsertest.Desktop, true).signIn("identifier").open(event + "/c/0417")
	ident.tabTo("#sign-name").keys("am ph")
	ident.tab.Do(t, chromedp.WaitVisible(chromedp.CSS("#sign-name-list li")))
	offered := browsertest.Get(t, ident.tab, chromedp.Text(chromedp.CSS("#sign-name-list")))
	if !strings.Contains(offered, "Amanita phalloides") {
		t.Fatalf("am ph offers %q", offered)
	}
	ident.tab.MustBeAccessible(t)
	ident.shoot("type-ahead").keys(kb.ArrowDown)
	for range 10 {
		if browsertest.Get(t, ident.tab, chromedp.Evaluate[bool](`document.querySelector('#sign-name-list [aria-selected="true"]').textContent.startsWith("Amanita phalloides")`)) {
			break
		}
		ident.keys(kb.ArrowDown)
	}
	ident.tab.Do(t, pressEnter)
	if got := browsertest.Get(t, ident.tab, chromedp.Value(chromedp.CSS("#sign-name"))); got != "Amanita phalloides" {
		t.Fatalf("the arrow and Enter chose %q", got)
	}
	ident.tabTo("#sign-basis").keys("Mi")
	ident.tabTo(`form[action$="/sign"] button`)
	if got := ident.tab.Follow(t, pressEnter); got != http.StatusUnprocessableEntity { // a deadly name that was written asks for its signs
		t.Fatalf("the sign-off answered %d: %s", got, ident.text())
	}
	ident.tab.MustBeAccessible(t)
	ident.shoot("signs").keys("v")
	if got := ident.tab.Follow(t, pressEnter); got != http.StatusOK {
		t.Fatalf("the sign-off with its signs answered %d: %s", got, ident.text())
	}
	ident.says("confirmed", "Amanita phalloides", "microscopy", "Signs of").shoot("signed")
	desk.tab.MustBeQuiet(t)
	ident.tab.MustBeQuiet(t, "network") // the browser notes what was not taken yet
}

// TestTheWarningSheetOnPaper prints it on A4, for whoever wants to look at it, and wants nothing cut off.
func TestTheWarningSheetOnPaper(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))).furnish()
	w := f.s.window(t, b, "paper", browsertest.Size{Width: 720, Height: 1040}, true).open(event + "/warnings")
	w.tab.Paper(t, true)
	if over := w.overflow(); over != "" {
		t.Errorf("the sheet is wider than its paper: %s", over)
	}
	if hidden := browsertest.Get(t, w.tab, chromedp.Evaluate[bool](`[".contact-phone", ".eaten", ".caution", ".warning .hazard-word"].every(s => document.querySelector(s).checkVisibility())`)); !hidden {
		t.Error("on paper the contact, what to do, the caution or a hazard's word is missing")
	}
	w.tab.Paper(t, false)
	sheet := browsertest.Get(t, w.tab, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4), chromedp.PDFPreferCSSPageSize()))
	if dir := os.Getenv("FORAYHALL_SHOTS"); dir != "" {
		if err := os.WriteFile(dir+"/paper-sheet.pdf", sheet, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, text := range []string{"0300 555 0142", "Galerina marginata", "Amanita phalloides", "0214", "0213"} {
		if !strings.Contains(pdfText(t, sheet), text) {
			t.Errorf("the paper lacks %q", text)
		}
	}
}

func pdfText(t *testing.T, pdf []byte) string {
	t.Helper()
	read := exec.CommandContext(t.Context(), "pdftotext", "-layout", "-", "-")
	read.Stdin = bytes.NewReader(pdf)
	out, err := read.Output()
	if err != nil {
		t.Skipf("pdftotext is not here: %v", err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}
