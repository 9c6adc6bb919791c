package pages_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// miniature is the foray of eight people, each in a browser of their own.
type miniature struct {
	t    *testing.T
	s    *site
	path string // of the event
	*cast
}

type cast struct {
	organiser, leader, desk, scribe, first, second, chief, steward *window
}

// TestEightPeopleRunAForay is a whole small foray on the screens alone, watched step by step: what one does, another
// sees. Its pictures are the day's.
func TestEightPeopleRunAForay(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	g := halltest.New(t, storetest.New(t, store.SQLite))
	began := time.Now()
	g.Hall.Now = func() time.Time { return halltest.Saturday.Add(time.Since(began)) } // a day does not stand still
	s := newSite(t, g)
	phone, wide := browsertest.Phone, browsertest.Desktop
	at := func(who access.Right, size browsertest.Size) *window {
		return s.window(t, b, "foray-"+string(who), size, true).signIn(string(who))
	}
	m := &miniature{t: t, s: s, path: "/hollinbeck/MF26", cast: &cast{organiser: at(access.Organiser, wide), leader: at(access.TeamLeader, phone),
		desk: at(access.Desk, wide), scribe: at(access.Scribe, wide), first: at(access.Identifier, wide), chief: at(access.ChiefIdentifier, wide),
		steward: at(access.Steward, phone)}}
	m.second = s.window(t, b, "foray-second", wide, true).signIn("second")
	for _, step := range []struct {
		name string
		do   func()
	}{
		{"set-up", m.setUp}, {"out and back", m.outAndBack}, {"intake", m.intake}, {"field names", m.fieldNames}, {"scribe", m.scribes},
		{"sign-offs", m.signOffs}, {"dissent and settlement", m.dissent}, {"split", m.split}, {"tables", m.tables}, {"cards", m.cards},
		{"something was eaten", m.eaten}, {"close the hall", m.closeHall}, {"version 1", m.publishFirst}, {"redetermination and version 2", m.publishSecond},
	} {
		began := time.Now()
		step.do()
		if t.Failed() {
			t.Fatalf("stopped in %s", step.name)
		}
		t.Logf("%-32s %s", step.name, time.Since(began).Round(time.Millisecond))
	}
	for _, w := range []*window{m.organiser, m.leader, m.desk, m.scribe, m.second, m.chief} {
		w.tab.MustBeQuiet(t)
	}
	for _, w := range []*window{m.first, m.steward} {
		w.tab.MustBeQuiet(t, "network") // the browser notes what was refused
	}
}

func (m *miniature) at(w *window, path string) *window { m.t.Helper(); return w.open(m.path + path) }

func (m *miniature) send(w *window, path string, pairs ...string) *window {
	m.t.Helper()
	return w.send(m.path+path, http.StatusOK, pairs...)
}

func (m *miniature) person(right access.Right) string { return m.s.As[right].Person.String() }

func (m *miniature) setUp() {
	o := m.organiser
	o.open("/hollinbeck/events/new").send("/hollinbeck/events/new", http.StatusOK, "code", "MF26", "name", "Miniature foray", "place", "Hollinbeck Hall",
		"starts_on", "2026-10-24", "ends_on", "2026-10-24", "time_zone", "Europe/London", "region", "EU").shoot("new-event")
	m.at(o, "/setup").says("missing").shoot("setup-missing")
	m.send(m.at(o, "/setup/sites"), "/setup/site", "code", "HW", "name", "Hollin Wood", "latitude", "54.07", "longitude", "-2.18", "permitted", "yes")
	m.send(m.at(o, "/setup/walks"), "/setup/walk", "number", "1", "title", "Morning", "starts_at", "2026-10-24T13:00", "due_at", "2026-10-24T16:00")
	for who, role := range map[access.Right]string{access.TeamLeader: "team_leader", access.Desk: "desk", access.Scribe: "scribe", access.Identifier: "identifier",
		access.ChiefIdentifier: "chief_identifier", access.Steward: "steward", access.Organiser: "list_keeper"} {
		m.send(m.at(o, "/setup/rights"), "/setup/right", "person", m.person(who), "role", role)
	}
	m.send(m.at(o, "/setup/rights"), "/setup/right", "person", m.s.Second.Person.String(), "role", "identifier")
	m.send(m.at(o, "/setup/rights"), "/setup/right", "person", m.person(access.Steward), "role", "safety_lead").shoot("rights")
	m.send(m.at(o, "/setup/teams"), "/setup/team", "number", "1", "name", "Hollin Wood", "leader", "Person team_leader")
	m.send(m.at(o, "/setup/tables"), "/setup/table", "number", "1", "name", "White spores")
	m.send(m.at(o, "/setup/tables"), "/setup/table", "number", "2", "name", "Out of reach", "hazards", "yes")
	m.send(m.at(o, "/setup/numbers"), "/setup/block", "from", "1", "to", "50", "person", "Person team_leader").shoot("numbers")
	m.send(m.at(m.steward, "/setup/contact"), "/setup/contact", "name", "Poison line", "phone", "0300 555 0142", "hours", "day and night")
	m.send(m.steward, "/setup/tested", "answered", "yes").shoot("contact")
	m.at(o, "/setup").shoot("setup")
}

// outAndBack: one head is missing when the team is counted, and found.
func (m *miniature) outAndBack() {
	l := m.leader
	m.at(l, "/team/1").shoot("team")
	for _, name := range []string{"Ana Quill", "Bela Storm", "Chidi Moor"} {
		m.send(l, "/team/1/add", "name", name)
	}
	m.send(m.at(l, "/team/1"), "/team/1/out", "heads", "3").says("out").shoot("out")
	m.at(m.desk, "/back").says("Team 1").shoot("hall-out")
	form := fmt.Sprintf(`form[action=%q]`, m.path+"/team/1/back")
	m.at(l, "/team/1")
	l.fill(form, "heads", "2")
	for i := range 2 {
		l.tab.Do(m.t, chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`void document.querySelectorAll(%q)[%d].click()`, form+` input[name="here"][type="checkbox"]`, i)))
	}
	if got := l.tab.Follow(m.t, chromedp.Click(chromedp.CSS(form+` button[type="submit"]:not([name])`))); got != http.StatusOK {
		m.t.Fatalf("back answered %d: %s", got, l.text())
	}
	l.says("not all", "Chidi Moor").shoot("one-missing")
	m.at(m.desk, "/back").says("not all", "one is not back").shoot("hall-missing")
	if got := l.tab.Follow(m.t, chromedp.Click(chromedp.CSS(`.team-one-tap input[name="here"] ~ button`))); got != http.StatusOK {
		m.t.Fatalf("the straggler answered %d: %s", got, l.text())
	}
	l.says("all back").shoot("all-back")
	m.at(m.desk, "/back").says("all back")
}

// intake logs twelve finds; the keys of an ordinary one are counted.
func (m *miniature) intake() {
	d := m.desk
	team := browsertest.Get(m.t, m.at(d, "/intake").tab, chromedp.Evaluate[string](`document.querySelector("select[name=team] option:nth-of-type(2)").value`))
	groups := []string{"ring_and_sack", "brittlegill", "milkcap", "small_brown", "bolete", "bracket", "inkcap", "webcap", "puffball", "cup", "coral"}
	m.send(d, "/intake", "number", "1", "group", groups[0], "team", team, "collector", "Ana Quill").says("0001").shoot("first")
	c := &counter{window: d}
	n := c.write("br").enter().save()
	m.t.Logf("an intake: %d keys", n)
	if n > mostKeys {
		m.t.Errorf("an intake takes %d keys, at most %d", n, mostKeys)
	}
	for i, group := range groups[1:] {
		m.send(m.at(d, "/intake"), "/intake", "number", fmt.Sprint(i+3), "group", group, "team", team, "collector", "Bela Storm")
	}
	d.says("0012").shoot("twelfth")
	m.at(m.organiser, "/hall").says("12").shoot("hall")
	m.at(m.first, "/queue").says("0001", "0012").shoot("queue")
}

func (m *miniature) names(w *window, number string, pairs ...string) *window {
	m.t.Helper()
	return m.send(m.at(w, "/c/"+number), "/c/"+number+"/field-name", pairs...)
}

func (m *miniature) fieldNames() {
	m.names(m.leader, "0001", "name_1", "Amanita citrina", "reason_1", "smells of raw potato", "name_2", "Amanita phalloides", "reason_2", "the base was left behind").shoot("field-name")
	m.names(m.desk, "0004", "name_1", "Kuehneromyces mutabilis", "name_2", "Galerina marginata")
	m.names(m.desk, "0005", "name_1", "Boletus edulis")
}

// scribes writes for the chief, who does not log in: one slip, then several at once.
func (m *miniature) scribes() {
	w := m.at(m.scribe, "/scribe?for="+m.person(access.ChiefIdentifier)).shoot("scribe")
	m.send(w, "/scribe", "number", "0003", "name", "Lactarius turpis", "basis", "macroscopic")
	m.send(m.at(w, "/scribe?for="+m.person(access.ChiefIdentifier)), "/scribe/several", "lines", "0006 Fomes fomentarius\n0009 Lycoperdon perlatum", "basis", "macroscopic").shoot("several")
	m.at(w, "/c/0009").says("Lycoperdon perlatum", "confirmed", "Person chief_identifier").shoot("written-for")
}

// signOffs counts the keys of an easy one, from the queue to the signed slip.
func (m *miniature) signOffs() {
	k := &keyboard{window: m.at(m.first, "/c/0005")}
	k.press("a")
	k.enter()
	k.says("confirmed", "Boletus edulis").shoot("easy")
	m.t.Logf("an easy sign-off: %d keys", k.strokes)
	if k.strokes > mostStrokes {
		m.t.Errorf("an easy sign-off takes %d keys, at most %d", k.strokes, mostStrokes)
	}
	m.sign(m.first, "0001", "Amanita citrina", "macroscopic", "")
}

func (m *miniature) sign(w *window, number, name, basis, why string) *window {
	m.t.Helper()
	pairs := []string{"choice", "other", "name", name, "basis", basis}
	if why != "" {
		pairs = append(pairs, "remarks", why)
	}
	return m.send(m.at(w, "/c/"+number), "/c/"+number+"/sign", pairs...)
}

func (m *miniature) dissent() {
	m.sign(m.first, "0004", "Kuehneromyces mutabilis", "macroscopic", "")
	m.sign(m.second, "0004", "Galerina marginata", "microscopy", "fibrils below the ring, not scales").says("disputed").shoot("disputed")
	m.sign(m.chief, "0004", "Galerina marginata", "comparison", "").says("confirmed").shoot("settled")
	m.at(m.steward, "/warnings").says("Galerina marginata", "0300 555 0142").shoot("sheet")
}

func (m *miniature) split() {
	m.send(m.at(m.desk, "/c/0012/parts"), "/c/0012/split", "group_2", "coral", "reason", "two corals in one bag")
	m.at(m.desk, "/c/0012").says("0012a", "0012b").shoot("which-part")
	m.at(m.desk, "/c/0012a").says("0012a")
}

// tables: a number that was split is said, plates are put, and a sweep makes what is there the truth.
func (m *miniature) tables() {
	s := m.steward
	m.at(s, "/put").send(m.path+"/put", http.StatusUnprocessableEntity, "where", "table", "table", "1", "plates", "1 3 5 12")
	s.says("0012", "which part").shoot("put-refused")
	m.send(m.at(s, "/put"), "/put", "where", "table", "table", "1", "plates", "1 3 5").says("3 plates moved")
	m.send(m.at(s, "/put"), "/put", "where", "table", "table", "2", "plates", "4 9")
	m.send(m.at(s, "/sweep?table=1"), "/sweep?table=1", "plates", "1 3 9").says("thought elsewhere", "0009", "counted as lost", "0005").shoot("swept")
	m.send(m.at(s, "/put"), "/put", "where", "table", "table", "1", "plates", "5")
	m.at(s, "/plan?find=Galerina").says("It stands on 1 table").shoot("plan")
}

// cards: one is wrong once its name changes, the hall page says so, and the swap ends it.
func (m *miniature) cards() {
	s := m.steward
	m.send(m.at(s, "/papers"), "/papers/cards").says("Cards to print", "Boletus edulis").shoot("cards")
	m.sign(m.second, "0005", "Boletus aereus", "macroscopic", "dark cap, no white edge").says("disputed")
	m.at(m.organiser, "/hall").says("0005: swap card").shoot("hall-swap")
	m.at(s, "/papers").says("swap card", "Boletus edulis").shoot("outdated")
	if got := s.tab.Follow(m.t, chromedp.Click(chromedp.CSS(`form[action$="/papers/swap"] button[name="by_hand"]`))); got != http.StatusOK {
		m.t.Fatalf("the swap answered %d: %s", got, s.text())
	}
	s.says("Every card and sheet says what is so").shoot("swapped")
	m.sign(m.chief, "0005", "Boletus edulis", "comparison", "").says("confirmed")
}

// eaten: whoever is at hand writes it down, the plate is kept, and the safety lead closes it.
func (m *miniature) eaten() {
	d := m.desk
	m.at(d, "/eaten").says("0300 555 0142").shoot("eaten")
	m.send(d, "/eaten", "who", "child", "number", "4", "how_much", "a piece of the cap").says("Galerina marginata", "Person identifier").shoot("incident")
	m.at(m.first, "/clear").send(m.path+"/clear", http.StatusUnprocessableEntity, "plate", "0004", "where", "discarded")
	m.first.says("something was eaten").shoot("kept")
	m.at(m.steward, "/eaten").shoot("eaten-known")
	if got := m.steward.tab.Follow(m.t, chromedp.Click(chromedp.CSS(`a[href*="/eaten/"]`))); got != http.StatusOK {
		m.t.Fatalf("the incident answered %d", got)
	}
	m.steward.fill(`form[action*="/eaten/"]`, "words", "the piece was found in the child's pocket, whole")
	if got := m.steward.tab.Follow(m.t, chromedp.Click(chromedp.CSS(`button[name="close"]`))); got != http.StatusOK {
		m.t.Fatalf("closing the incident answered %d: %s", got, m.steward.text())
	}
	m.steward.says("closed by").shoot("incident-closed")
}

// closeHall: what has no name is named or found nameless, what may poison is bagged and counted.
func (m *miniature) closeHall() {
	for _, number := range []string{"0002", "0007", "0008", "0010", "0011", "0012a", "0012b"} {
		m.send(m.at(m.first, "/c/"+number), "/c/"+number+"/nameless", "kind", "not_nameable", "remarks", "too old by evening")
	}
	m.at(m.organiser, "/close").shoot("close-missing")
	m.at(m.steward, "/clear").shoot("clear")
	m.steward.tab.Do(m.t, chromedp.Evaluate[chromedp.Void](`void document.querySelectorAll('input[name="plate"]').forEach((e) => e.click())`))
	m.send(m.steward, "/clear", "where", "discarded").says("put away").shoot("cleared")
	bagged := browsertest.Get(m.t, m.at(m.organiser, "/close").tab, chromedp.Evaluate[string](`(document.querySelector('form[action$="/close/hall"] .hint').textContent.match(/[0-9]+/) || ["0"])[0]`))
	m.send(m.organiser, "/close/hall", "bagged", bagged).shoot("hall-closed")
}

func (m *miniature) publishFirst() {
	m.send(m.at(m.organiser, "/publish").shoot("publish"), "/publish", "sign", "yes").says("List version 1", "Galerina marginata", "Boletus edulis").shoot("version-1")
}

// publishSecond: a determiner thinks again after the day, and the difference between the versions is a page.
func (m *miniature) publishSecond() {
	m.sign(m.first, "0001", "Amanita gemmata", "microscopy", "").says("Amanita gemmata")
	m.send(m.at(m.organiser, "/publish"), "/publish", "sign", "yes").says("List version 2", "Amanita gemmata").shoot("version-2")
	m.at(m.organiser, "/list/2/changes").says("Amanita citrina", "Amanita gemmata").shoot("changes")
	if old := m.at(m.organiser, "/list/1").text(); !strings.Contains(old, "Amanita citrina") {
		m.t.Errorf("version 1 has changed: %s", old)
	}
}
