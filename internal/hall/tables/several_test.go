package tables_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/store"
)

// room lays tables 3 and 7 and the collections 0401 to 0406.
func room(t testing.TB, g *halltest.Ground) map[int]foray.ID {
	t.Helper()
	for _, n := range []int{3, 7} {
		if _, err := setup.AddTable(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: n}); err != nil {
			t.Fatal(err)
		}
	}
	ids := map[int]foray.ID{}
	for n := 401; n <= 406; n++ {
		ids[n] = logged(t, g, n)
	}
	return ids
}

func spots(numbers ...int) []tables.Spot {
	out := make([]tables.Spot, len(numbers))
	for i, n := range numbers {
		out[i].Number = fmt.Sprint(n)
	}
	return out
}

func putAll(t testing.TB, g *halltest.Ground, table string, numbers ...int) {
	t.Helper()
	if _, err := tables.PlaceSeveral(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t),
		tables.Several{Plates: spots(numbers...), Where: foray.OnTable, Table: table}); err != nil {
		t.Fatal(err)
	}
}

// whereIs gives place and table number of every collection.
func whereIs(t testing.TB, g *halltest.Ground) map[int]string {
	t.Helper()
	out := map[int]string{}
	if err := g.Store.Read(ctx, func(tx *store.Tx) error {
		all, err := tx.HallTables(g.Scope.Society, g.Scope.Event)
		if err != nil {
			return err
		}
		plates, err := tx.Collections(g.Scope.Society, g.Scope.Event)
		for _, c := range plates {
			out[c.NumberBase] = string(c.Whereabouts)
			for _, table := range all {
				if table.ID == c.TableID {
					out[c.NumberBase] = fmt.Sprint("table ", table.Number)
				}
			}
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestSeveralPlatesMoveTogetherOrNotAtAll(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		room(t, g)
		in := tables.Several{Plates: spots(401, 999, 402, 401), Where: foray.OnTable, Table: "7"}
		_, err := tables.PlaceSeveral(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), in)
		e := fault.From(err)
		if e.Kind != fault.Invalid || e.Fields["plates.1"].Key != "place.not-logged" || e.Fields["plates.3"].Key != "place.twice" || len(e.Fields) != 2 {
			t.Errorf("a number that is not there and one twice: %v %v", err, e.Fields)
		}
		if at := whereIs(t, g); at[401] != "desk" || at[402] != "desk" {
			t.Errorf("some moved all the same: %v", at)
		}
		putAll(t, g, "7", 401, 402)
		if at := whereIs(t, g); at[401] != "table 7" || at[402] != "table 7" || at[403] != "desk" {
			t.Errorf("moved to %v", at)
		}
	})
}

func TestUnnamedPlatesAreNotThrownAwayWithTheOthers(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: ids[401], Names: []hall.NameInput{{Text: "Boletus edulis"}}}); err != nil {
			t.Fatal(err)
		}
		_, err := tables.PlaceSeveral(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), tables.Several{Plates: spots(401, 402), Where: foray.Discarded})
		if e := fault.From(err); e.Fields["plates.1"].Key != "place.not-this" {
			t.Errorf("an unnamed plate among them: %v", err)
		}
		if at := whereIs(t, g); at[401] != "desk" {
			t.Errorf("the named one went without the other: %v", at)
		}
	})
}

func TestPlateOfAnOpenIncidentIsNotThrownAway(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: ids[401], Names: []hall.NameInput{{Text: "Amanita phalloides"}}}); err != nil {
			t.Fatal(err)
		}
		if err := g.Store.Write(ctx, func(tx *store.Tx) error {
			return tx.AddIncident(store.Incident{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: foray.ID{7}, CollectionID: ids[401], Who: "child",
				OpenedBy: g.As[access.Desk].Person, OpenedAt: store.At(g.Hall.Now())})
		}); err != nil {
			t.Fatal(err)
		}
		for _, where := range []foray.Whereabouts{foray.Discarded, foray.SentTo} {
			err := place(t, g, g.As[access.Identifier], tables.Place{Collection: ids[401], Where: where, With: "Adaeze Marsh"})
			if e := fault.From(err); e.Kind != fault.Refused || e.Text.Key != "place.kept-for-incident" {
				t.Errorf("%s: %v", where, err)
			}
		}
		if err := place(t, g, g.As[access.Steward], tables.Place{Collection: ids[401], Where: foray.OnBackTable}); err != nil {
			t.Errorf("it cannot even be moved: %v", err)
		}
	})
}

func TestSweepMakesWhatIsThereTheTruth(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		room(t, g)
		putAll(t, g, "7", 401, 402, 403)
		putAll(t, g, "3", 404)
		cmd := g.Command(t)
		sweep := func() (tables.Swept, error) {
			return tables.SweepTable(ctx, g.Hall, g.As[access.Steward], g.Scope, cmd, tables.Sweep{Table: "7", Plates: spots(401, 404, 405)})
		}
		done, err := sweep()
		if err != nil || done.Table != 7 || done.Seen != 3 || !slices.Equal(done.Moved, []string{"0404", "0405"}) || !slices.Equal(done.Missing, []string{"0402", "0403"}) {
			t.Fatalf("%+v, %v", done, err)
		}
		want := map[int]string{401: "table 7", 402: "lost", 403: "lost", 404: "table 7", 405: "table 7", 406: "desk"}
		if at := whereIs(t, g); fmt.Sprint(at) != fmt.Sprint(want) {
			t.Errorf("after the sweep %v, want %v", at, want)
		}
		if second, err := sweep(); err != nil || fmt.Sprint(second) != fmt.Sprint(done) {
			t.Errorf("sent again: %+v, %v", second, err)
		}
		if err := g.Store.Read(ctx, func(tx *store.Tx) error {
			_, err := tx.Check()
			sweeps, err2 := tx.Sweeps(g.Scope.Society, g.Scope.Event)
			if len(sweeps) != 1 || sweeps[0].Missing != 2 {
				t.Errorf("sweeps kept: %+v", sweeps)
			}
			if err == nil {
				err = err2
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
		if _, err := tables.SweepTable(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), tables.Sweep{Table: "7"}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the desk swept: %v", err)
		}
	})
}

// TestEmptySweepOfAFullTable: somebody stood there and it was empty.
func TestEmptySweepOfAFullTable(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		room(t, g)
		putAll(t, g, "3", 401)
		done, err := tables.SweepTable(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), tables.Sweep{Table: "3"})
		if err != nil || !slices.Equal(done.Missing, []string{"0401"}) {
			t.Errorf("%+v, %v", done, err)
		}
	})
}

func TestPlanSaysWhatStandsWhereAndFindsIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: ids[401], Names: []hall.NameInput{{Text: "Amanita phalloides"}}}); err != nil {
			t.Fatal(err)
		}
		putAll(t, g, "7", 401, 402)
		for find, want := range map[string]string{"phalloides": "7", "HB26 0402": "7", "0406": "", "": ""} {
			p, err := tables.SeePlan(ctx, g.Hall, g.As[access.Steward], g.Scope, find)
			if err != nil {
				t.Fatal(err)
			}
			var found []string
			for _, table := range p.Tables {
				if table.Found {
					found = append(found, fmt.Sprint(table.Number))
				}
			}
			if got := strings.Join(found, " "); got != want {
				t.Errorf("%q is on %q, want %q", find, got, want)
			}
			seven := p.Tables[1]
			if seven.Number != 7 || seven.Plates != 2 || seven.Unnamed != 1 || seven.Worst != 5 || seven.Slots != 14 || len(p.Hall.Boxes) != 2 {
				t.Errorf("table 7 is %+v", seven)
			}
		}
		if _, err := tables.SeePlan(ctx, g.Hall, g.As[access.Member], g.Scope, ""); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a member sees the staff's plan: %v", err)
		}
	})
}

func TestWhatMayPoisonIsClearedFirst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		putAll(t, g, "3", 401, 402)
		putAll(t, g, "7", 403)
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: ids[403], Names: []hall.NameInput{{Text: "Amanita phalloides"}}}); err != nil {
			t.Fatal(err)
		}
		left, err := tables.SeeClearing(ctx, g.Hall, g.As[access.Steward], g.Scope)
		if err != nil || len(left) != 6 || left[0].Plate.NumberBase != 403 {
			t.Fatalf("%d left, first %v, %v", len(left), left[0].Plate.NumberBase, err)
		}
	})
}

// TestPartOfAKeptPlateIsKeptToo: what was split after somebody ate of it is still what they ate of.
func TestPartOfAKeptPlateIsKeptToo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: ids[401], Names: []hall.NameInput{{Text: "Amanita phalloides"}}}); err != nil {
			t.Fatal(err)
		}
		opened, err := safety.OpenIncident(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), safety.Eaten{Who: "child", Number: "401"})
		if err != nil {
			t.Fatal(err)
		}
		parts, err := desk.SplitCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Split{Collection: ids[401], Parts: []desk.Part{{}, {}}})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range parts.Parts {
			if err := place(t, g, g.As[access.Identifier], tables.Place{Collection: p.ID, Where: foray.Discarded}); fault.From(err).Text.Key != "place.kept-for-incident" {
				t.Errorf("%s went: %v", p.Number, err)
			}
		}
		left, err := tables.SeeClearing(ctx, g.Hall, g.As[access.Steward], g.Scope)
		if err != nil || !left[0].Kept || !left[0].First {
			t.Errorf("the parts are not shown as kept, first: %+v, %v", left[0], err)
		}
		c, err := safety.SeeIncident(ctx, g.Hall, g.As[access.Desk], g.Scope, opened.Incident)
		if err != nil || len(c.Parts) != 2 || c.Assessment.Severity != 5 {
			t.Errorf("the case knows %d parts, severity %d: %v", len(c.Parts), c.Assessment.Severity, err)
		}
		if _, err := safety.NoteIncident(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), safety.Said{Incident: opened.Incident, Words: "or 0402", Number: "402"}); fault.From(err).Fields["number"].Key != "incident.another-plate" {
			t.Errorf("a second number let the first plate go: %v", err)
		}
	})
}
