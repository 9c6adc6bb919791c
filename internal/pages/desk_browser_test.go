package pages_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// counter counts the keys that somebody at the desk presses.
type counter struct {
	*window
	n int
}

func (c *counter) write(text string) *counter {
	c.t.Helper()
	for _, key := range text {
		c.keys(string(key))
		c.n++
	}
	return c
}

func (c *counter) enter() *counter {
	c.t.Helper()
	c.tab.Do(c.t, pressEnter)
	c.n++
	return c
}

// save presses Enter, which sends the form, and gives how many keys it took in all.
func (c *counter) save() int {
	c.t.Helper()
	c.n++
	if got := c.tab.Follow(c.t, pressEnter); got != http.StatusOK {
		c.t.Fatalf("intake answered %d: %s", got, c.text())
	}
	n := c.n
	c.n = 0
	return n
}

// mostKeys is what an ordinary intake may cost (the plan: at most 10 keystrokes and 15 seconds).
const mostKeys = 10

// TestAnIntakeTakesAtMostTenKeys: the number is offered and team and collector are carried, so that what is left
// is the group, and what fades.
func TestAnIntakeTakesAtMostTenKeys(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))).furnish()
	w := f.s.window(t, b, "desk-keys", browsertest.Desktop, true).signIn("desk")
	w.open(event+"/intake").send(event+"/intake", http.StatusOK, "number", "400", "group", "bolete", "team", f.team(), "collector", "Mei Adeyemi")
	c := &counter{window: w}
	for _, one := range []struct {
		name string
		keys func()
		most int
		says []string
	}{
		{"the group alone", func() { c.write("br").enter() }, 4, []string{"Brittlegill"}},
		{"the group, an odour and a host", func() { c.write("mi").enter().write("co").enter().write("be").enter() }, mostKeys, []string{"Milkcap"}},
		{"another number than the one offered", func() { c.write("417").write("sm").enter() }, mostKeys, []string{"0417", "Small brown"}},
		{"another number, a group and an odour", func() { c.write("431").write("we").enter().write("ra").enter() }, mostKeys, []string{"0431", "Webcap"}},
		{"an odour in words that nobody offers", func() { c.write("bo").enter().write("tar").enter() }, mostKeys, []string{"Bolete"}},
		{"own words though one that fits is there", func() { c.write("bo").enter().write("me"); w.keys("\u001b"); c.n++; c.enter() }, mostKeys, []string{"Bolete"}},
	} {
		name := one.name
		c.n = 0
		if at := browsertest.Get(t, w.tab, chromedp.Evaluate[string](`document.activeElement.id`)); at != "group-find" {
			t.Fatalf("before %s the focus is at %q, not at the next find", name, at)
		}
		one.keys()
		if n := c.save(); n > one.most {
			t.Errorf("%s takes %d keys, want at most %d", name, n, one.most)
		} else {
			t.Logf("%s: %d keys", name, n)
		}
		w.says(append(one.says, "saved as")...)
	}
	slips, err := desk.Incomplete(t.Context(), f.s.Hall, f.s.As[access.Desk], f.s.Scope)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range slips.Lacking {
		if l.Plate.NumberBase >= 400 && (strings.Contains(strings.Join(l.Missing, " "), "collector") || l.Plate.TeamID.IsZero()) {
			t.Errorf("%s was logged without what is carried: it lacks %v", l.Plate.Number(), l.Missing)
		}
	}
	if p := f.plate("0431"); p.FormGroup != "webcap" {
		t.Errorf("0431 is a %s", p.FormGroup)
	}
	w.open(event + "/c/0431").says("radish").tab.MustBeQuiet(t)
}

// TestTheDesksPagesInABrowser holds them against axe-core by day and by night, and against a small phone.
func TestTheDesksPagesInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))).furnish()
	w := f.s.window(t, b, "desk", browsertest.Desktop, true).signIn("desk")
	w.open(event+"/c/0214/parts").send(event+"/c/0214/split", http.StatusOK, "group_2", "inkcap", "reason", "two kinds in one bag")
	if err := saySpoilt(t, f); err != nil {
		t.Fatal(err)
	}
	for name, path := range map[string]string{"intake": "/intake?saved=0210&team=" + f.team() + "&collector=Mei+Adeyemi&cooled=yes", "incomplete": "/incomplete", "numbers": "/numbers",
		"field": "/c/0210/field", "parts": "/c/0211/parts", "which-part": "/c/0214"} {
		w.open(event + path)
		for _, scheme := range []string{"dark", "light"} {
			w.tab.Scheme(t, scheme)
			w.tab.MustBeAccessible(t)
			w.tab.Screenshot(t, "desk-"+name+"-"+scheme)
		}
		w.tab.Resize(t, browsertest.Phone)
		if over := w.overflow(); over != "" {
			t.Errorf("%s scrolls sideways: %s", name, over)
		}
		for _, small := range w.smallTargets() {
			t.Errorf("%s: %s", name, small)
		}
		w.tab.Screenshot(t, "desk-"+name+"-phone")
		w.tab.Resize(t, browsertest.Desktop)
		w.tab.MustBeQuiet(t)
	}
	taken := w.open(event+"/intake").send(event+"/intake", http.StatusConflict, "number", "0213", "group", "milkcap", "team", f.team(), "odour", "coconut")
	taken.says("that number is taken", "Open 0213").tab.MustBeAccessible(t)
	w.tab.Screenshot(t, "desk-taken")
	w.tab.MustBeQuiet(t, "network")
}

func saySpoilt(t *testing.T, f *floor) error {
	t.Helper()
	_, err := desk.SayFate(t.Context(), f.s.Hall, f.s.As[access.Desk], f.s.Scope, f.s.Command(t), desk.Fate{Number: "0230", Fate: "spoilt", Reason: "wet"})
	return err
}
