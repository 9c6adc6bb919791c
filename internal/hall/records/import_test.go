package records_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/records"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// past makes an event of two years ago, as a recorder's spreadsheet is about.
func past(t *testing.T, g *halltest.Ground) access.Scope {
	t.Helper()
	made, err := setup.AddEvent(context.Background(), g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, g.Command(t),
		setup.Event{Code: "HB24", Name: "Autumn foray", StartsOn: "2024-10-12", EndsOn: "2024-10-13", TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	return access.Scope{Society: g.Scope.Society, Event: made.ID}
}

func table(t *testing.T, lines ...string) *archive.Table {
	t.Helper()
	read, err := archive.ReadTable(strings.NewReader(strings.Join(lines, "\n")), "table.csv")
	if err != nil {
		t.Fatal(err)
	}
	return read
}

func bring(t *testing.T, g *halltest.Ground, scope access.Scope, read *archive.Table, opts records.Options) records.Outcome {
	t.Helper()
	out, err := records.Import(context.Background(), g.Hall, g.Machine, scope, hall.Command{}, read, opts)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func plates(t *testing.T, g *halltest.Ground, scope access.Scope) map[string]hall.Plate {
	t.Helper()
	by := map[string]hall.Plate{}
	err := g.View(context.Background(), g.Machine, access.ReadPublic, scope, func(l *hall.Look) error {
		all, err := l.Plates()
		for _, p := range all {
			by[p.Number().String()] = p
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return by
}

// mark is what a write of any kind would move.
func mark(t *testing.T, g *halltest.Ground, scope access.Scope) string {
	t.Helper()
	var seen string
	err := g.View(context.Background(), g.Machine, access.ReadPublic, scope, func(l *hall.Look) error {
		seq, err := l.Tx.ChangeSeq(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		audits, err := l.Tx.Audits(scope.Society, scope.Event, 10000)
		if err != nil {
			return err
		}
		people, err := l.Tx.Persons(scope.Society)
		seen = fmt.Sprint(seq, len(audits), len(people))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return seen
}

func said(texts []message.Text) string {
	var all []string
	for _, t := range texts {
		all = append(all, message.For(message.English).Text(t))
	}
	return strings.Join(all, "\n")
}

func TestWhatARowSaysIsKept(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		scope := past(t, g)
		out := bring(t, g, scope, table(t,
			"number,name,second choice,qualifier,det,date det,basis,confirmed,date found,site,smell,count,group,notes,shelf",
			"1,Inventaria nova,,,A. Kerr,2024,micro,,2024-10-12,Nether Holt,of  pear drops,3,small brown agaric,under birch,B7",
			"2,Amanita citrina,Amanita phalloides,cf,A. Kerr,13/10/2024,smelt it,yes,,,,,,,",
			"3,Russula emetica,russula emetica,,,,,yes,,,,,,,",
			"4,,,,,,,,,,,,Bolete,,",
		), records.Options{})
		if out.Taken != 4 {
			t.Fatalf("%d taken: %v", out.Taken, out.Refused)
		}
		all := plates(t, g, scope)
		one, two, three, four := all["0001"], all["0002"], all["0003"], all["0004"]
		day := time.Date(2024, 10, 12, 0, 0, 0, 0, hall.Zone(store.Event{TimeZone: "Europe/London"}))
		checks := []struct {
			what      string
			got, want any
		}{
			{"an unknown name stays as written", one.Slips[0].Name().Verbatim + one.Slips[0].Name().CurrentKey, "Inventaria nova"},
			{"a determiner who is not denied signs", one.Naming, foray.Confirmed},
			{"a basis is read", one.Slips[0].Basis, foray.Basis("microscopy")},
			{"a year alone is kept in words", one.Slips[0].Remarks, "Dated 2024"},
			{"a date that is partial counts from the event's start", one.Slips[0].HappenedAt.Equal(day), true},
			{"a column that is no field is kept", one.Remarks, "under birch; shelf: B7"},
			{"a count", *one.Fruitbodies, 3},
			{"a group", one.FormGroup, "small_brown"},
			{"a day picked", one.PickedFrom + one.PickedTo, "2024-10-122024-10-12"},
			{"a choice of names is a slip before the sign-off", len(two.Slips), 2},
			{"both choices stand", two.Slips[0].Names[1].Verbatim, "Amanita phalloides"},
			{"a qualifier of its own column", two.Slips[1].Name().Qualifier, "cf."},
			{"words that are no basis are kept", two.Slips[1].Remarks, "Basis as written: smelt it"},
			{"and the basis is not invented", two.Slips[1].Basis, foray.NotStated},
			{"confirmed by nobody is a field name", three.Naming, foray.Provisional},
			{"a name given twice stands once", len(three.Slips[0].Names), 1},
			{"a group alone is no name", four.Naming, foray.BroughtIn},
		}
		for _, c := range checks {
			if c.got != c.want {
				t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
			}
		}
		if !strings.Contains(said(out.Notes), "stays as written: Inventaria nova") || !strings.Contains(said(out.Notes), "not by whom") {
			t.Errorf("the notes are: %s", said(out.Notes))
		}
	})
}

func TestARowThatCouldNotBeTakenIsTakenOnceTheEventIsReady(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		team := func(n int) {
			if _, err := setup.AddTeam(context.Background(), g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: n}); err != nil {
				t.Fatal(err)
			}
		}
		team(1)
		rows := []string{"number,name,team", "1,Amanita citrina,1", "2,Amanita rubescens,9", ",Paxillus involutus,1"}
		opts := records.Options{AutoNumbers: true}
		out := bring(t, g, g.Scope, table(t, rows...), opts)
		if out.Taken != 2 || len(out.Refused) != 1 || out.Refused[0].Reason.Key != "field.team-unknown" || out.Refused[0].Line != 3 {
			t.Fatalf("%d taken, refused %v", out.Taken, out.Refused)
		}
		team(9)
		if out = bring(t, g, g.Scope, table(t, rows...), opts); out.Taken != 1 || len(out.Refused) != 0 {
			t.Errorf("brought again: %d taken, refused %v", out.Taken, out.Refused)
		}
		if n := len(plates(t, g, g.Scope)); n != 3 {
			t.Errorf("the event has %d collections, want 3: a row without a number came twice", n)
		}
		if out = bring(t, g, g.Scope, table(t, rows...), opts); out.Taken != 0 {
			t.Errorf("brought a third time: %d taken", out.Taken)
		}
	})
}

func TestANumberThatIsInUseSaysByWhom(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		bring(t, g, g.Scope, table(t, "number,name", "7,Amanita citrina"), records.Options{})
		out := bring(t, g, g.Scope, table(t, "number,name", "HB26-0007,Amanita rubescens", "8,Amanita rubescens"), records.Options{})
		if out.Taken != 1 || len(out.Refused) != 1 {
			t.Fatalf("%d taken, refused %v", out.Taken, out.Refused)
		}
		text := message.For(message.English).Text(out.Refused[0].Reason)
		if !strings.Contains(text, "2026-10-24 at 14:40 by Installation") { // local time at the event
			t.Error(text)
		}
	})
}

func TestNothingIsWrittenWhereNothingIsAskedFor(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		read := table(t, "number,name,det,site", "1,Amanita citrina,A. Kerr,Nether Holt", "1,Amanita rubescens,,")
		before := mark(t, g, g.Scope)
		if out := bring(t, g, g.Scope, read, records.Options{DryRun: true}); out.Taken != 1 || len(out.Refused) != 1 {
			t.Errorf("a dry run says %d taken, %v", out.Taken, out.Refused)
		}
		if out := bring(t, g, g.Scope, read, records.Options{AllOrNothing: true}); out.Taken != 0 || len(out.Refused) != 1 {
			t.Errorf("all or nothing says %d taken, %v", out.Taken, out.Refused)
		}
		if after := mark(t, g, g.Scope); after != before || len(plates(t, g, g.Scope)) != 0 {
			t.Errorf("something was written: %s after %s", after, before)
		}
	})
}

func TestOnlyKnownDeterminersSignWhereThatIsAsked(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		read := table(t, "number,name,det", "1,Amanita citrina,Person identifier", "2,Amanita rubescens,A. Kerr", "3,Amanita rubescens,B. Lund", "x,Amanita,")
		out := bring(t, g, g.Scope, read, records.Options{KnownDeterminers: true})
		all := plates(t, g, g.Scope)
		if all["0001"].Naming != foray.Confirmed || all["0002"].Naming != foray.Provisional {
			t.Errorf("%s and %s", all["0001"].Naming, all["0002"].Naming)
		}
		if !strings.Contains(said(out.Notes), "A. Kerr, B. Lund") {
			t.Errorf("the notes are: %s", said(out.Notes))
		}
		if who := all["0002"].Slips[0].Determiner; who == g.Machine.Person || who.IsZero() {
			t.Error("the field name is not the stranger's")
		}
	})
}

func TestOnlyAnOrganiserBringsRecords(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		_, _, outsider := g.Another(t, "skelder", "Skelder Moss Naturalists")
		read := table(t, "number,name", "1,Amanita citrina")
		for right, want := range map[access.Right]fault.Kind{access.Visitor: fault.NotSignedIn, access.Member: fault.NotAllowed,
			access.ListKeeper: fault.NotAllowed, access.Identifier: fault.NotAllowed} {
			if _, err := records.Import(context.Background(), g.Hall, g.As[right], g.Scope, hall.Command{}, read, records.Options{}); !fault.Is(err, want) {
				t.Errorf("%s: %v", right, err)
			}
		}
		if _, err := records.Import(context.Background(), g.Hall, outsider, g.Scope, hall.Command{}, read, records.Options{}); !fault.Is(err, fault.NotFound) {
			t.Errorf("another society: %v", err)
		}
	})
}

func TestATableOfANationalForayGoesInQuickly(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		names := []string{"Amanita citrina", "Boletus badius", "Laccaria lacata", "Inventaria nova", "Russula sp."}
		lines := []string{"number,name,det,leg,site,table,smell"}
		for i := range 2000 {
			lines = append(lines, fmt.Sprintf("%d,%s,Det %d,Leg %d,Site %d,,mild", i+1, names[i%len(names)], i%12, i%60, i%10))
		}
		start := time.Now()
		out := bring(t, g, g.Scope, table(t, lines...), records.Options{})
		t.Logf("2,000 rows in %v", time.Since(start).Round(time.Millisecond))
		if out.Taken != 2000 {
			t.Errorf("%d taken, refused %v", out.Taken, out.Refused)
		}
		if n := len(plates(t, g, g.Scope)); n != 2000 {
			t.Errorf("the event has %d", n)
		}
	})
}

func TestAPlateGoesOnATableThatTheEventHas(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		made, err := setup.AddTable(context.Background(), g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: 2, Title: "Boletes"})
		if err != nil {
			t.Fatal(err)
		}
		out := bring(t, g, g.Scope, table(t, "number,name,table", "1,Boletus edulis,2", "2,Boletus edulis,boletes", "3,Boletus edulis,9"), records.Options{})
		all := plates(t, g, g.Scope)
		for number, want := range map[string]foray.ID{"0001": made.ID, "0002": made.ID, "0003": {}} {
			if all[number].TableID != want {
				t.Errorf("%s stands on %s", number, all[number].TableID)
			}
		}
		if !strings.Contains(said(out.Notes), "A table is not set up in the event") {
			t.Error(said(out.Notes))
		}
		var places []store.Placement
		err = g.View(context.Background(), g.Machine, access.ReadPublic, g.Scope, func(l *hall.Look) (err error) {
			places, err = l.Tx.Placements(g.Scope.Society, g.Scope.Event, all["0001"].ID)
			return err
		})
		if err != nil || len(places) != 1 || !slices.Equal([]any{places[0].Whereabouts, places[0].TableID}, []any{foray.OnTable, made.ID}) {
			t.Errorf("%v %v", places, err)
		}
	})
}
