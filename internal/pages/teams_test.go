package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/internal/muster"
)

// Team 91 is the team leader's own, 92 is somebody else's.
func init() {
	areaRows = append(areaRows, `
GET  ⋯/team                            . . x . . . . . . . x .
GET  ⋯/team/:number                    . . x x . . . . x . x .
GET  ⋯/team/:number        other       . . . x . . . . x . x .
GET  ⋯/team/:number/member             . . x x . . . . x . x .
GET  ⋯/team/:number/private            . . x . . . . . x . x .
GET  ⋯/team/:number/private other      . . . . . . . . x . x .
POST ⋯/team/:number/out                . . x . . . . . . . x .
POST ⋯/team/:number/out    other       . . . . . . . . . . x .
POST ⋯/team/:number/heard              . . x x . . . . x . x .
POST ⋯/team/:number/back               . . x x . . . . x . x .
POST ⋯/team/:number/back   other       . . . x . . . . x . x .
POST ⋯/team/:number/hand-in            . . x x . . . . x . x .
POST ⋯/team/:number/act                . . . x . . . . x . x .
POST ⋯/team/:number/add                . . x x . . . . x . x .
POST ⋯/team/:number/mark               . . x x . . . . x . x .
POST ⋯/team/:number/about              . . x x . . . . x . x .
POST ⋯/team/:number/take-off           . . x x . . . . x . x .
POST ⋯/team/:number/private            . . x . . . . . x . x .
GET  ⋯/back                            . . . x . . . . x . x .
GET  ⋯/back/sheet                      . . . x . . . . x . x .
POST ⋯/back/sheet                      . . . x . . . . x . x .
GET  ⋯/back/reads                      . . . . . . . . x . x .
GET  ⋯/walks                           x x x x x x x x x x x x
GET  ⋯/walks/mine                      . x x x x x x x x x x .
POST ⋯/walks                           . x x x x x x x x x x .
POST ⋯/walks/put                       . . . . . . . . . . x .
`)
	areaPaths["/team/:number"] = func(f *floor, r row) string {
		number := 91
		if r.variant == "other" {
			number = 92
		}
		path := strings.NewReplacer("/:society/:event", event, ":number", fmt.Sprint(number)).Replace(r.route)
		id := f.walker(number)
		if strings.HasSuffix(path, "/member") {
			path += "?id=" + id
		}
		return path
	}
	areaPaths["/back/sheet"] = func(f *floor, r row) string {
		f.walker(91)
		return event + "/back/sheet?team=91"
	}
	type form = func(f *floor, who access.Right, set func(...string) url.Values) url.Values
	plain := func(pairs ...string) form {
		return func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values { return set(pairs...) }
	}
	heads := func(number int, box string) form {
		return func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
			id := f.walker(number)
			return set("heads", "1", "listed", id, box, id)
		}
	}
	areaForms["/team/:number/out"], areaForms["/team/:number/out other"] = heads(91, "going"), heads(92, "going")
	areaForms["/team/:number/back"], areaForms["/team/:number/back other"] = heads(91, "here"), heads(92, "here")
	areaForms["/team/:number/heard"], areaForms["/team/:number/act"] = plain(), plain("act", "rung")
	areaForms["/team/:number/hand-in"] = plain("collections", "12")
	areaForms["/team/:number/add"] = func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
		return set("name", "Walk-up of "+string(who), "out", "yes")
	}
	one := func(pairs ...string) form {
		return func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
			return set(append(pairs, "member", f.walker(91))...)
		}
	}
	areaForms["/team/:number/mark"] = one("kind", "left_early")
	areaForms["/team/:number/about"] = one("name", "Mei Adeyemi", "drives", "yes")
	areaForms["/team/:number/private"] = one("phone", "07700 900321")
	areaForms["/team/:number/take-off"] = func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
		return set("member", f.joins(91, "Mistake of "+string(who)))
	}
	areaForms["/back/sheet"] = func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
		return set("out_day", "2026-10-24", "out_at", "09:00", "heads_out", "1", "back_day", "2026-10-24", "line_member", "", "line_name", "Paper of "+string(who),
			"line_how", "left_early", "line_out", "", "line_end", "11:00")
	}
	areaForms["/walks"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		f.walker(91)
		return set("wish_1", f.walkID.String(), "with", "Mei Adeyemi")
	}
	areaForms["/walks/put"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		f.walker(91)
		return set("person", f.s.As[access.Member].Person.String(), "team", "91")
	}
}

// walker makes the two teams where they are not there yet, each with Mei Adeyemi, and gives her id on one.
func (f *floor) walker(team int) string {
	f.t.Helper()
	if f.walkers == nil {
		f.walkers = map[int]string{}
		made, err := setup.AddWalk(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.Walk{Number: 91, Title: "Alder Carr", Leader: "Person team_leader",
			StartsAt: halltest.Saturday.Add(time.Hour), DueAt: halltest.Saturday.Add(3 * time.Hour), Capacity: 12})
		if err != nil {
			f.t.Fatal(err)
		}
		f.walkID = made.ID
		for number, leader := range map[int]string{91: "Person team_leader", 92: "Ines Okafor"} {
			if _, err := setup.AddTeam(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.Team{Number: number, Name: "Otters", Leader: leader, Walk: "91"}); err != nil {
				f.t.Fatal(err)
			}
			f.walkers[number] = f.joins(number, "Mei Adeyemi")
		}
	}
	return f.walkers[team]
}

func (f *floor) joins(team int, name string) string {
	f.t.Helper()
	done, err := outside.AddMember(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), outside.Join{Team: fmt.Sprint(team), About: outside.About{Name: name}})
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Member.String()
}

// post sends a form with a command of its own.
func (f *floor) submit(b *browser, path string, pairs ...string) *browser {
	f.t.Helper()
	v := url.Values{"command": {f.s.Command(f.t).ID.String()}}
	for i := 0; i < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return b.post(event+path, v)
}

// TestALeadersDayWithoutScripts goes through the forms as a telephone without scripts sends them.
func TestALeadersDayWithoutScripts(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		mei := f.walker(91)
		tobi := f.joins(91, "Tobi Marsh")
		b := f.enter(access.TeamLeader)
		page := b.get(event + "/team").text()
		if !strings.Contains(page, "not out") || !strings.Contains(page, "Mei Adeyemi") || !strings.Contains(b.body, `value="12"`) || strings.Contains(b.body, `value="2" checked`) {
			t.Errorf("before it went: %s", page)
		}
		f.submit(b, "/team/91/out", "listed", mei, "listed", tobi, "going", mei).want(http.StatusUnprocessableEntity)
		if text := b.text(); !strings.Contains(text, "Count heads") || !strings.Contains(b.body, `value="`+mei+`" checked`) || strings.Contains(b.body, `value="`+tobi+`" checked`) {
			t.Errorf("without a count the ticks are lost: %s", text)
		}
		f.submit(b, "/team/91/out", "listed", mei, "listed", tobi, "going", mei, "going", tobi, "heads", "2").want(http.StatusSeeOther)
		f.submit(b, "/team/91/heard").want(http.StatusSeeOther)
		g.Pass(2 * time.Hour)
		f.submit(b, "/team/91/back", "heads", "1", "all", "yes").want(http.StatusUnprocessableEntity)
		if text := b.text(); !strings.Contains(text, "You counted 1, and 2 names should be here.") {
			t.Errorf("everybody, with one head: %s", text)
		}
		f.submit(b, "/team/91/back", "heads", "1", "here", mei).want(http.StatusSeeOther)
		if text := b.get(event + "/team/91").text(); !strings.Contains(text, "Tobi Marsh is back. That makes 2 heads.") || !strings.Contains(text, "one is not back") {
			t.Errorf("one is missing: %s", text)
		}
		g.Pass(90 * time.Minute)
		if text := f.at[access.Steward].get(event + "/hall").text(); !strings.Contains(text, "Team 91") || strings.Contains(text, "Tobi") {
			t.Errorf("the hall page does not say that a team is late, or says who: %s", text)
		}
		desk := f.enter(access.Desk)
		if text := desk.get(event + "/back").text(); !strings.Contains(text, "One team is late") || !strings.Contains(desk.body, "data-live-again") {
			t.Errorf("the desk: %s", text)
		}
		f.submit(desk, "/team/91/act", "act", "told", "then", event+"/back").want(http.StatusSeeOther)
		if text := desk.get(event + "/back").text(); !strings.Contains(text, "the safety lead was told") || !strings.Contains(text, "Person desk") {
			t.Errorf("what was done, by whom: %s", text)
		}
		f.submit(b, "/team/91/back", "here", tobi, "heads", "2").want(http.StatusSeeOther)
		f.submit(b, "/team/91/hand-in", "collections", "3").want(http.StatusSeeOther)
		if text := b.get(event + "/team/91").text(); !strings.Contains(text, "all back and handed in") || !strings.Contains(text, "3 collections") {
			t.Errorf("in the end: %s", text)
		}
		if strings.Contains(f.at[access.Steward].get(event+"/hall").text(), "Team 91") {
			t.Error("the hall page still waits for them")
		}
	})
}

// TestAWrongPaperSheetComesBackAsTyped, and a right one is entered once.
func TestAWrongPaperSheetComesBackAsTyped(t *testing.T) {
	f := onSQLite(t)
	mei := f.walker(91)
	f.s.Pass(5 * time.Hour)
	b := f.enter(access.Desk)
	sheet := func(end string) *browser {
		return f.submit(b, "/back/sheet?team=91", "out_day", "2026-10-24", "out_at", "16:00", "heads_out", "2", "back_day", "2026-10-24", "back_at", "17:30", "heads_back", "2",
			"line_member", mei, "line_name", "Mei Adeyemi", "line_how", "back", "line_out", "", "line_end", end,
			"line_member", "", "line_name", "Old Friend", "line_how", "back", "line_out", "", "line_end", "",
			"line_member", "", "line_name", "", "line_how", "back", "line_out", "", "line_end", "")
	}
	sheet("15:00").want(http.StatusUnprocessableEntity)
	if text := b.text(); !strings.Contains(text, "Line 1: they came back after they went out") || !strings.Contains(b.body, "Old Friend") || !strings.Contains(b.body, `value="15:00"`) {
		t.Errorf("what was typed is lost, or what is wrong is not said: %s", text)
	}
	sheet("17:20").want(http.StatusSeeOther)
	if text := b.get(event + "/team/91").text(); !strings.Contains(text, "all back") || !strings.Contains(text, "Old Friend") || !strings.Contains(text, "typed") {
		t.Errorf("the sheet is not on the page: %s", text)
	}
}

// afield is a hall in which every kind of team page has something to show.
func (f *floor) afield() []string {
	f.t.Helper()
	mei := f.walker(91)
	adaeze := must(outside.AddMember(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), outside.Join{Team: "91", About: outside.About{Name: "Adaeze Marsh", Drives: true}})).Member
	must(outside.AddMember(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), outside.Join{Team: "91", About: outside.About{Name: "Tobi Marsh", Minor: true, Guardian: adaeze, Driver: adaeze}}))
	must(outside.SetPrivate(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), outside.Private{ID: adaeze, Phone: "07700 900321"}))
	heads, marks := 3, []outside.Mark{}
	for _, line := range must(outside.SeeTeam(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, 91)).Sheets[0].Lines {
		marks = append(marks, outside.Mark{Member: line.ID, Kind: muster.Out})
	}
	must(outside.GoOut(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), outside.Out{Team: "91", Heads: &heads, Marks: marks}))
	must(outside.Wish(f.t.Context(), f.s.Hall, f.s.As[access.Member], f.s.Scope, f.s.Command(f.t), outside.Wishes{Walks: []foray.ID{f.walkID}, With: "Mei Adeyemi"}))
	f.s.Pass(time.Minute)
	one := 1
	id := must(foray.ParseID(mei))
	must(outside.ComeBack(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), outside.Back{Team: "91", Heads: &one, Marks: []outside.Mark{{Member: id, Kind: muster.Back}}}))
	return []string{"/team", "/team/91", "/team/92", "/team/91/member?id=" + mei, "/team/91/private", "/back", "/back/sheet", "/back/sheet?team=91", "/back/reads", "/walks", "/walks/mine", "/hall"}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// TestTeamPagesAreWellMadeAndFromTheCatalogue holds the pages of this area against what every page is held against.
func TestTeamPagesAreWellMadeAndFromTheCatalogue(t *testing.T) {
	f := onSQLite(t)
	paths := f.afield()
	data := map[string]bool{"Mei Adeyemi": true, "Tobi Marsh": true, "Adaeze Marsh": true, "91 Alder Carr": true, "Alder Carr": true}
	look := func(who access.Right, path string, hour string) {
		b := f.at[who]
		b.client.Transport = inPseudo{http.DefaultTransport}
		b.get(event + path)
		if b.status != http.StatusOK {
			return
		}
		for _, wrong := range append(append(headings(b.page), identities(b.page)...), inlined(b.page)...) {
			t.Errorf("%s %s%s: %s", who, path, hour, wrong)
		}
		if path == "/hall" { // its other parts are held elsewhere
			return
		}
		for _, text := range visibleTexts(find(b.page, func(n *node) bool { return n.Data == "main" })) {
			if wrong := notFromACatalogue(text); wrong != "" && !f.isData(wrong) && !data[wrong] {
				t.Errorf("%s %s%s: %q in %q", who, path, hour, wrong, text.text)
			}
		}
		each(b.page, func(n *node) {
			if name := attr(n, "name"); name != "" && (n.Data == "input" || n.Data == "select" || n.Data == "textarea") && attr(n, "type") != "hidden" && !message.Has("pages.fact."+name) {
				t.Errorf("%s: no word for the field %s", path, name)
			}
		})
	}
	for _, hour := range []string{"", ", late"} {
		for _, who := range []access.Right{access.TeamLeader, access.Desk, access.SafetyLead, access.Organiser, access.Member, access.Visitor} {
			for _, path := range paths {
				look(who, path, hour)
			}
		}
		f.s.Pass(6 * time.Hour)
	}
}
