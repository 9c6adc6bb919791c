package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
)

func init() {
	areaRows = append(areaRows, `
POST ⋯/intake/hand                     . . . x . . x x . x x .
GET  ⋯/incomplete                      . . . x . . x x . x x .
GET  ⋯/numbers                         . . . x . . x x . x x .
POST ⋯/numbers/fate                    . . . x . . x x . x x .
GET  ⋯/c/:number/field                 . . . x . . x x . x x .
POST ⋯/c/:number/field                 . . . x . . x x . x x .
GET  ⋯/c/:number/parts                 . . . x . . x x . x x .
POST ⋯/c/:number/split                 . . . x . . x x . x x .
POST ⋯/c/:number/merge                 . . . x . . x x . x x .
POST ⋯/c/:number/spoil                 . . . x . . x x . x x .
`)
	areaForms["/intake/hand"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("number", f.collection("Mei Adeyemi"))
	}
	areaForms["/numbers/fate"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		f.number++
		return set("number", fmt.Sprint(f.number), "fate", "unused")
	}
}

// TestTheDeskKeepsWhatTheNextFindShares: team, collector and time come with the next form, are in sight, and one tap
// lets go of one of them alone.
func TestTheDeskKeepsWhatTheNextFindShares(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.s.as(t, access.Desk)
		b.get(event+"/intake").send(event+"/intake", "number", "400", "group", "bolete", "team", f.team(), "collector", "Mei Adeyemi",
			"picked", "2026-10-24T11:20", "cooled", "yes", "substrate", "stump", "odour", "meal").want(http.StatusOK, "0400", "Team 1 Otters", "Mei Adeyemi", "2026-10-24 11:20", "Kept cool")
		for field, want := range map[string]string{"team": f.team(), "collector": "Mei Adeyemi", "picked": "2026-10-24T11:20", "cooled": "yes", "number": "0401", "group": "", "odour": "", "substrate": ""} {
			if got := b.typed(event+"/intake", field); got != want {
				t.Errorf("the next form holds %q as %s, want %q", got, field, want)
			}
		}
		b.get(event+"/hall").get(event+"/intake").want(http.StatusOK, "Mei Adeyemi")
		let := find(b.page, func(n *node) bool { return attr(n, "data-clears") == "collector" })
		b.get(attr(let, "href")).want(http.StatusOK)
		if got := b.typed(event+"/intake", "collector"); got != "" || b.typed(event+"/intake", "team") != f.team() {
			t.Errorf("after letting go of the collector it is %q, the team %q", got, b.typed(event+"/intake", "team"))
		}
		b.get(event+"/intake").send("/sign-out").get("/sign-in").send("/sign-in", "name", "organiser", "password", halltest.Password)
		b.get(event + "/intake").want(http.StatusOK).not("Mei Adeyemi")
		if b.typed(event+"/intake", "collector") != "" {
			t.Error("somebody else at this browser is given the last person's collector")
		}
	})
}

func TestANumberUsedTwiceIsOfferedOpenOrANewLabel(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.s.as(t, access.Desk)
		b.get(event+"/intake").send(event+"/intake", "number", "0213", "group", "milkcap", "team", f.team(), "odour", "coconut", "habitat", "under birch")
		b.want(http.StatusConflict, "0213 was already logged", "Open 0213", "A new label for this one: HB26 0220")
		for field, want := range map[string]string{"number": "0220", "group": "milkcap", "odour": "coconut", "habitat": "under birch"} {
			if got := b.typed(event+"/intake", field); got != want {
				t.Errorf("the form that came back holds %q as %s, want %q", got, field, want)
			}
		}
		if find(b.page, func(n *node) bool { return n.Data == "a" && attr(n, "href") == event+"/c/0213" }) == nil {
			t.Error("no way to open 0213")
		}
		b.send(event+"/intake", "number", "0220", "group", "milkcap", "team", f.team(), "odour", "coconut").want(http.StatusOK, "0220")
	})
}

// TestASavedSlipSaysWhatTheDeskMustKnow: the number aloud, the hazard, the flag of a name, and what is to follow.
func TestASavedSlipSaysWhatTheDeskMustKnow(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		id, err := g.NewID()
		if err != nil {
			t.Fatal(err)
		}
		if err := g.Store.Write(t.Context(), func(tx *store.Tx) error {
			return tx.AddTaxonFlag(store.TaxonFlag{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: id, NameKey: "hericium erinaceus", CurrentKey: "hericium erinaceus",
				Name: "Hericium erinaceus", Flag: "protected", Source: "the county's list", AddedBy: g.As[access.Organiser].Person, AddedAt: store.At(halltest.Saturday)})
		}); err != nil {
			t.Fatal(err)
		}
		b := f.s.as(t, access.Desk)
		b.get(event+"/intake").send(event+"/intake", "number", "400", "group", "tooth", "team", f.team(), "collector", "Mei Adeyemi", "name", "Hericium cf. erinaceus", "name_reason", "icicles")
		b.want(http.StatusOK, "Saved as", "0 4 0 0", "Hericium erinaceus", "the county's list", "Odour", "Picked", "Substrate")
		b.get(event+"/c/0400").want(http.StatusOK, "erinaceus", "icicles", "Mei Adeyemi", "provisional")
		b.get(event+"/intake").send(event+"/intake", "number", "401", "group", "small_brown", "team", f.team()).want(http.StatusOK, "Saved as", "0401")
		if !strings.Contains(b.body, `class="hazard hazard-5"`) {
			t.Error("the group's worst is not said at the desk")
		}
		b.send(event+"/intake/hand", "number", "0401").want(http.StatusOK)
		if p := f.plate("0401"); p.Whereabouts != foray.AtBench {
			t.Errorf("handed over, it is at %s", p.Whereabouts)
		}
	})
}

// TestTheFormThatHandsAllOverMayBeSentTwice: a tap too many is no error, whatever came to the desk meanwhile.
func TestTheFormThatHandsAllOverMayBeSentTwice(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.s.as(t, access.Desk)
		b.get(event+"/intake").send(event+"/intake", "number", "400", "group", "bolete", "team", f.team()).want(http.StatusOK)
		form := b.get(event + "/intake").fields(event + "/intake/hand")
		b.post(event+"/intake/hand", form).want(http.StatusOK)
		b.get(event+"/intake").send(event+"/intake", "number", "401", "group", "bolete", "team", f.team()).want(http.StatusOK)
		b.post(event+"/intake/hand", form).want(http.StatusOK)
		if first, later := f.plate("0400"), f.plate("0401"); first.Whereabouts != foray.AtBench || later.Whereabouts != foray.AtDesk {
			t.Errorf("the first is at %s, what came later at %s", first.Whereabouts, later.Whereabouts)
		}
	})
}

func TestIncompleteSlipsOpenAsTheFormTheyWereWrittenIn(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.s.as(t, access.Desk)
		b.get(event+"/incomplete").want(http.StatusOK, "0213", "Collector")
		form := event + "/c/0210/field"
		b.get(form).want(http.StatusOK, "0210", "meal")
		for field, want := range map[string]string{"group": "small_brown", "collector": "Mei Adeyemi", "substrate": "stump", "host": "Fagus", "plate": "plate", "remarks": "under the footbridge", "odour": ""} {
			if got := b.typed(form, field); got != want {
				t.Errorf("the form holds %q as %s, want %q", got, field, want)
			}
		}
		other := f.s.as(t, access.ListKeeper).get(form)
		fields := []string{"group", "small_brown", "team", f.team(), "collector", "Mei Adeyemi", "substrate", "stump", "habitat", "by the weir"}
		b.send(form, append(fields, "picked", "2026-10-24T11:00", "latex", "none")...).want(http.StatusOK, "none", "meal")
		other.send(form, append(fields, "habitat", "by the mill")...).want(http.StatusConflict, "What stands there now", "24 October")
		if got := other.typed(form, "habitat"); got != "by the mill" {
			t.Errorf("what the second typed is %q", got)
		}
		other.send(form, append(fields, "habitat", "by the mill")...).want(http.StatusOK, "by the mill")
		if p := f.plate("0210"); p.Habitat != "by the mill" || p.Host != "" {
			t.Errorf("habitat %q, host %q", p.Habitat, p.Host)
		}
	})
}

func TestTheDeskSplitsMergesAndTakesOut(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b := f.s.as(t, access.Identifier)
		b.get(event+"/c/0214").want(http.StatusOK, "Split, merge or take out")
		b.get(event+"/c/0214/parts").send(event+"/c/0214/split", "group_2", "inkcap", "remarks_2", "the thin one", "reason", "two kinds")
		b.want(http.StatusOK, "Which part do you mean?", "0214a", "0214b", "Person identifier", "two kinds", "radish", "Galerina marginata")
		b.get(event+"/c/0214b").want(http.StatusOK, "the thin one", "radish", "from 0214 before it was split")
		b.get(event+"/c/0214/parts").want(http.StatusOK, "Which part do you mean?")
		b.post(event+"/c/0214/split", url.Values{"command": {g.Command(t).ID.String()}}).want(http.StatusUnprocessableEntity, "was split")
		b.get(event+"/c/0211/parts").send(event+"/c/0211/merge", "into", "0211", "reason", "x").want(http.StatusUnprocessableEntity, "That is this plate itself")
		b.send(event+"/c/0211/merge", "into", "0214a", "reason", "one find").want(http.StatusOK, "0214a")
		b.get(event+"/c/0211").want(http.StatusOK, "merged into another", "0214a")
		b.get(event+"/c/0210/parts").send(event+"/c/0210/spoil", "reason", "typed twice").want(http.StatusOK, "logged by mistake", "typed twice")
		b.send(event + "/numbers/fate").want(http.StatusOK)
		b.get(event+"/c/0210").want(http.StatusOK, "brought in")
	})
}

func TestTheLedgerPageCountsWhatIsUnaccountedFor(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		id, err := g.NewID()
		if err != nil {
			t.Fatal(err)
		}
		if err := g.Store.Write(t.Context(), func(tx *store.Tx) error {
			return tx.AddNumberBlock(store.NumberBlock{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: id, FromNumber: 210, ToNumber: 239, IssuedTo: "the desk",
				IssuedBy: g.As[access.Organiser].Person, IssuedAt: store.At(halltest.Saturday)})
		}); err != nil {
			t.Fatal(err)
		}
		b := f.s.as(t, access.Desk)
		b.get(event+"/numbers").want(http.StatusOK, "20 numbers were handed out and nobody has said", "0210–0239", "to the desk", "0220", "0239")
		b.send(event+"/numbers/fate", "number", "0225", "fate", "spoilt").want(http.StatusUnprocessableEntity, "Say why")
		b.send(event+"/numbers/fate", "number", "0225", "to", "", "fate", "spoilt", "reason", "wet").want(http.StatusOK, "19 numbers were handed out", "wet", "Person desk")
		b.get(event+"/numbers?fate=spoilt").want(http.StatusOK, "0225").not("0213")
	})
}

// TestALongLedgerIsReadPageByPage would catch a line that no page shows.
func TestALongLedgerIsReadPageByPage(t *testing.T) {
	f := onSQLite(t)
	for i := range 130 {
		if _, err := desk.SayFate(t.Context(), f.s.Hall, f.s.As[access.Desk], f.s.Scope, f.s.Command(t), desk.Fate{Number: fmt.Sprint(700 + 2*i), Fate: "unused"}); err != nil {
			t.Fatal(err)
		}
	}
	b := f.s.as(t, access.Desk).get(event + "/numbers?fate=unused")
	seen := strings.Count(b.body, `data-row="`)
	more := find(b.page, func(n *node) bool { return n.Data == "a" && strings.Contains(attr(n, "href"), "after=") })
	if more == nil {
		t.Fatal("no way to the next numbers")
	}
	if seen += strings.Count(b.get(attr(more, "href")).body, `data-row="`); seen != 130 {
		t.Errorf("%d of 130 lines on two pages", seen)
	}
}

// TestTheDeskAsksForACountWhereThePermitDoes.
func TestTheDeskAsksForACountWhereThePermitDoes(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		if err := g.Store.Write(t.Context(), func(tx *store.Tx) error {
			sites, err := tx.Sites(g.Scope.Society, g.Scope.Event)
			if err != nil {
				return err
			}
			sites[0].CountNeeded = true
			return tx.SetSite(sites[0])
		}); err != nil {
			t.Fatal(err)
		}
		b := f.s.as(t, access.Desk)
		b.get(event+"/intake").want(http.StatusOK, "permit asks how many")
		b.send(event+"/intake", "number", "400", "group", "bolete", "team", f.team()).want(http.StatusOK, "Fruitbodies or weight")
		needed := func() bool {
			return find(b.page, func(n *node) bool { return attr(n, "id") == "fruitbodies" && attr(n, "aria-required") == "true" }) != nil
		}
		if !needed() {
			t.Error("the next find of that team is not asked for a count")
		}
		if b.get(event + "/intake?keep=yes"); needed() {
			t.Error("a find of no team yet is asked for a count")
		}
	})
}

// TestTheOrganisersOrderOfGroupsIsKept: without one, what came most stands first.
func TestTheOrganisersOrderOfGroupsIsKept(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		for n := 401; n < 404; n++ {
			f.brought(n, desk.Field{Group: "small_brown", Team: "1"}, "")
		}
		b := f.s.as(t, access.Desk)
		first := func() string {
			n := find(b.get(event+"/intake").page, func(n *node) bool { return attr(n, "name") == "group" })
			return attr(n, "value")
		}
		if got := first(); got != "small_brown" {
			t.Errorf("the most used group is %s", got)
		}
		e, err := g.FindEvent(t.Context(), "hollinbeck", "HB26")
		if err != nil {
			t.Fatal(err)
		}
		e.Event.GroupOrder = "coral,bolete"
		if err := g.Store.Write(t.Context(), func(tx *store.Tx) error { return tx.SetEvent(e.Event) }); err != nil {
			t.Fatal(err)
		}
		if got := first(); got != "coral" {
			t.Errorf("by the organiser's order the first is %s", got)
		}
	})
}
