package desk_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/store"
)

func hands(t testing.TB, g *halltest.Ground, from, to int, team foray.ID) {
	t.Helper()
	id, err := g.NewID()
	if err != nil {
		t.Fatal(err)
	}
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		return tx.AddNumberBlock(store.NumberBlock{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: id, FromNumber: from, ToNumber: to, TeamID: team,
			IssuedBy: g.As[access.Organiser].Person, IssuedAt: store.At(halltest.Saturday)})
	}); err != nil {
		t.Fatal(err)
	}
}

func says(t testing.TB, g *halltest.Ground, in desk.Fate) error {
	t.Helper()
	_, err := desk.SayFate(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), in)
	return err
}

func ledger(t testing.TB, g *halltest.Ground) desk.Ledger {
	t.Helper()
	l, err := desk.SeeLedger(ctx, g.Hall, g.As[access.Desk], g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func line(l desk.Ledger) string {
	var words []string
	for _, e := range l.Entries {
		words = append(words, fmt.Sprintf("%s-%s %s %s", e.From, e.To, e.Fate, l.People[e.By].Name))
	}
	return strings.Join(words, "; ")
}

func TestTheLedgerFollowsWhatIsDone(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		hands(t, g, 1, 12, foray.ID{})
		for _, n := range []string{"1", "2", "3", "4", "5", "6"} {
			brought(t, g, n, desk.Field{})
		}
		id := func(n string) foray.ID { return sees(t, g, n).Plate.ID }
		if _, err := split(t, g, g.Second, id("2"), desk.Part{}, desk.Part{}); err != nil {
			t.Fatal(err)
		}
		_, merged := desk.MergeCollection(ctx, g.Hall, g.Third, g.Scope, g.Command(t), desk.Merge{Collection: id("3"), Into: "1", Reason: "one find"})
		_, spoilt := desk.Spoil(ctx, g.Hall, g.Second, g.Scope, g.Command(t), desk.Mistake{Collection: id("4"), Reason: "typed twice"})
		_, lost := tables.PlacePlate(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), tables.Place{Collection: id("5"), Where: foray.Lost})
		signs(t, g, g.Second, "6", "Boletus edulis", "")
		_, thrown := tables.PlacePlate(ctx, g.Hall, g.Third, g.Scope, g.Command(t), tables.Place{Collection: id("6"), Where: foray.Discarded})
		for _, err := range []error{merged, spoilt, lost, thrown, says(t, g, desk.Fate{Number: "7", Fate: "spoilt", Reason: "wet"}),
			says(t, g, desk.Fate{Number: "9", To: "11", Fate: "unused"}), says(t, g, desk.Fate{Number: "12", Fate: "lost", Reason: "fell off"})} {
			if err != nil {
				t.Fatal(err)
			}
		}
		g.Pass(time.Minute) // of two words of one moment neither is the later
		if err := says(t, g, desk.Fate{Number: "12", Fate: "found", Reason: "under the table"}); err != nil {
			t.Fatal(err)
		}
		l := ledger(t, g)
		want := "0001-0001 live Person desk; 0002-0002 split Person second; 0002a-0002a live Person second; 0002b-0002b live Person second; 0003-0003 merged Person third; " +
			"0004-0004 spoilt Person second; 0005-0005 lost Person steward; 0006-0006 discarded Person third; 0007-0007 spoilt Person desk; 0008-0008 open ; " +
			"0009-0009 unused Person desk; 0010-0010 unused Person desk; 0011-0011 unused Person desk; 0012-0012 open Person desk"
		if got := line(l); got != want {
			t.Errorf("\n got %s\nwant %s", got, want)
		}
		if l.Unaccounted() != 2 || l.Blocks[0].Counts[foray.Unused] != 3 || l.Counts[foray.LiveNumber] != 3 {
			t.Errorf("counted %v, of the block %v", l.Counts, l.Blocks[0].Counts)
		}
		if fmt.Sprint(l.Next[foray.Number{Base: 2}], l.Next[foray.Number{Base: 3}]) != "[0002a 0002b] [0001]" {
			t.Errorf("what became of 2 and 3: %v", l.Next)
		}
		mustBeWhole(t, g)
	})
}

func TestWhatMayBeSaidOfANumber(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		brought(t, g, "1", desk.Field{})
		c := brought(t, g, "2", desk.Field{})
		if _, err := desk.Spoil(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Mistake{Collection: c.ID, Reason: "typed twice"}); err != nil {
			t.Fatal(err)
		}
		for name, in := range map[string]desk.Fate{
			"of a plate":                {Number: "1", Fate: "lost", Reason: "x"},
			"of a run with a plate":     {Number: "1", To: "5", Fate: "unused"},
			"of a plate that is spoilt": {Number: "2", Fate: "unused"},
			"eaten":                     {Number: "3", Fate: "eaten", Reason: "x"},
			"live":                      {Number: "3", Fate: "live", Reason: "x"},
			"spoilt without a reason":   {Number: "3", Fate: "spoilt"},
			"a run backwards":           {Number: "9", To: "3", Fate: "unused"},
			"a run of letters":          {Number: "3a", To: "9", Fate: "unused"},
			"a run without an end":      {Number: "3", To: "9999", Fate: "unused"},
			"of no number":              {Number: "x", Fate: "unused"},
			"to no number":              {Number: "3", To: "x", Fate: "unused"},
		} {
			if err := says(t, g, in); !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
		if l := ledger(t, g); l.Counts[foray.Unused]+l.Counts[foray.LostNumber] != 0 {
			t.Errorf("a refused word was kept: %s", line(l))
		}
		if err := says(t, g, desk.Fate{Number: "2", Fate: "found", Reason: "it was the right one"}); err != nil {
			t.Fatal(err)
		}
		if p := sees(t, g, "2").Plate; p.Fate != store.Live {
			t.Errorf("found again, it is %s", p.Fate)
		}
		suggests(t, g, g.Second, c.ID, "Boletus edulis")
		if _, err := desk.Spoil(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Mistake{Collection: c.ID, Reason: "x"}); !fault.Is(err, fault.Refused) {
			t.Errorf("spoilt though it is named: %v", err)
		}
	})
}

func TestANumberUsedTwiceIsOfferedANewLabel(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		team, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 3})
		if err != nil {
			t.Fatal(err)
		}
		hands(t, g, 400, 449, team.ID)
		hands(t, g, 450, 499, foray.ID{})
		brought(t, g, "417", desk.Field{Team: "3"})
		if err := says(t, g, desk.Fate{Number: "418", Fate: "spoilt", Reason: "wet"}); err != nil {
			t.Fatal(err)
		}
		for number, want := range map[string]desk.Taken{"417": {Fate: "live", Next: "0419"}, "418": {Fate: "label", Next: "0419"}} {
			_, err := logs(t, g, desk.Log{Number: number, Field: desk.Field{Team: "3"}})
			taken, ok := fault.From(err).Other.(desk.Taken)
			if !ok || !fault.Is(err, fault.Conflict) || taken.Fate != want.Fate || taken.Next != want.Next || taken.By != "Person desk" {
				t.Errorf("%s: %+v %v", number, taken, err)
			}
		}
		for team, want := range map[string]int{"3": 419, "": 450} {
			r, err := desk.GetReady(ctx, g.Hall, g.As[access.Desk], g.Scope, team, 0)
			if err != nil || r.Number.Base != want || r.Block == nil || r.Block.FromNumber > want || r.Block.ToNumber < want {
				t.Errorf("team %q is offered %v of %+v, %v", team, r.Number, r.Block, err)
			}
		}
		if err := says(t, g, desk.Fate{Number: "419", Fate: "lost", Reason: "x"}); err != nil {
			t.Fatal(err)
		}
		if _, err := logs(t, g, desk.Log{Number: "419", Field: desk.Field{Team: "3"}}); err != nil {
			t.Errorf("a lost label that turned up on a find: %v", err)
		}
	})
}

func TestTheFirstNameIsTheCollectorsFieldName(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		in := desk.Log{Number: "1", Field: desk.Field{Group: "small_brown", Collector: "Mei Adeyemi"}, Name: hall.NameInput{Text: "galerina marginata", Reason: "on a stump"}}
		if _, err := logs(t, g, in); err != nil {
			t.Fatal(err)
		}
		s := sees(t, g, "1")
		if asked(s) != "Galerina marginata by Mei Adeyemi" || s.Plate.Naming != foray.Provisional || s.Plate.Version != 1 || s.Plate.Slips[0].Writer != g.As[access.Desk].Person {
			t.Errorf("in question %q, %s, version %d", asked(s), s.Plate.Naming, s.Plate.Version)
		}
		in.Number, in.Field.Collector = "2", ""
		if _, err := logs(t, g, in); err != nil || asked(sees(t, g, "2")) != "Galerina marginata by Person desk" {
			t.Errorf("without a collector: %v", err)
		}
		in.Number, in.Name = "3", hall.NameInput{Reason: "a reason without a name"}
		if _, err := logs(t, g, in); !fault.Is(err, fault.Invalid) {
			t.Errorf("a reason alone: %v", err)
		}
		n := foray.Number{Base: 3}
		if err := g.Store.Read(ctx, func(tx *store.Tx) error {
			_, err := tx.CollectionByNumber(g.Scope.Society, g.Scope.Event, n)
			return err
		}); !fault.Is(err, fault.NotFound) {
			t.Errorf("half of it was kept: %v", err)
		}
		mustBeWhole(t, g)
	})
}

func TestIncompleteSlipsSayWhatTheyLack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		site, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Site{Code: "ALD", Name: "Alder Carr", Permitted: true})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 3, Site: "ALD"}); err != nil {
			t.Fatal(err)
		}
		if err := g.Store.Write(ctx, func(tx *store.Tx) error {
			sites, err := tx.Sites(g.Scope.Society, g.Scope.Event)
			if err != nil || sites[0].ID != site.ID {
				return fmt.Errorf("the site: %w", err)
			}
			sites[0].CountNeeded = true
			return tx.SetSite(sites[0])
		}); err != nil {
			t.Fatal(err)
		}
		full := desk.Field{Team: "3", Collector: "Mei Adeyemi", Host: "Fagus", PickedAt: halltest.Saturday.Add(-time.Hour), Fruitbodies: ptr(3)}
		bare := desk.Field{Team: "3"}
		for number, field := range map[string]desk.Field{"1": full, "2": bare, "3": {Outside: true, Collector: "Mei Adeyemi", PickedText: "yesterday", Substrate: "soil"}} {
			brought(t, g, number, field)
		}
		s, err := desk.Incomplete(ctx, g.Hall, g.As[access.Desk], g.Scope)
		if err != nil || s.All != 3 || len(s.Lacking) != 1 || fmt.Sprint(s.Lacking[0].Missing) != "[collector picked substrate count]" {
			t.Fatalf("%+v %v", s.Lacking, err)
		}
		r, err := desk.GetReady(ctx, g.Hall, g.As[access.Desk], g.Scope, "", 0)
		if err != nil || r.Incomplete != 1 || len(r.AtDesk) != 3 {
			t.Errorf("the desk counts %d incomplete, %v at the desk, %v", r.Incomplete, r.AtDesk, err)
		}
		if _, err := desk.CorrectField(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Correct{Collection: s.Lacking[0].Plate.ID, Field: func() desk.Field { f := full; f.Group = "bolete"; return f }()}); err != nil {
			t.Fatal(err)
		}
		if s, err = desk.Incomplete(ctx, g.Hall, g.As[access.Desk], g.Scope); err != nil || len(s.Lacking) != 0 {
			t.Errorf("after it was put right: %+v %v", s.Lacking, err)
		}
	})
}

func TestACorrectionThatCameSecondIsTold(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := brought(t, g, "1", desk.Field{Group: "bolete", Habitat: "beech"})
		seen := desk.MarkOf(sees(t, g, "1").Plate.Collection)
		correct := func(habitat, seen string) error {
			g.Pass(time.Minute)
			_, err := desk.CorrectField(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Correct{Collection: c.ID, Seen: seen,
				Field: desk.Field{Group: "bolete", Habitat: habitat}, Characters: []desk.Character{{Character: "latex", Words: habitat}}})
			return err
		}
		if err := correct("oak", seen); err != nil {
			t.Fatal(err)
		}
		err := correct("birch", seen)
		there, ok := fault.From(err).Other.(desk.Overtaken)
		if !fault.Is(err, fault.Conflict) || !ok || there.Number != "0001" {
			t.Fatalf("the second: %+v %v", there, err)
		}
		if err := correct("birch", there.Seen); err != nil {
			t.Errorf("decided again: %v", err)
		}
		s := sees(t, g, "1")
		words := []string{}
		for _, n := range s.Notes {
			words = append(words, n.Words)
		}
		if s.Plate.Habitat != "birch" || !slices.Equal(words, []string{"meal", "oak", "birch"}) {
			t.Errorf("habitat %s, noted %v", s.Plate.Habitat, words)
		}
	})
}

func TestPlatesAreHandedToTheBenchAtOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for _, n := range []string{"1", "2", "3"} {
			brought(t, g, n, desk.Field{})
		}
		hand := func(numbers ...string) (desk.Handed, error) {
			return desk.HandToBench(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Hand{Numbers: numbers, With: "Ines Okafor"})
		}
		if done, err := hand("1"); err != nil || fmt.Sprint(done.Numbers) != "[0001]" {
			t.Fatalf("%+v %v", done, err)
		}
		if done, err := hand("1", "HB26 0002", "3"); err != nil || fmt.Sprint(done.Numbers) != "[0002 0003]" {
			t.Errorf("with one that is gone: %+v %v", done, err)
		}
		if _, err := hand("1"); !fault.Is(err, fault.Refused) {
			t.Errorf("none at the desk: %v", err)
		}
		if p := sees(t, g, "3").Plate; p.Whereabouts != foray.AtBench || p.WithWhom != "Ines Okafor" {
			t.Errorf("it is at %s with %s", p.Whereabouts, p.WithWhom)
		}
		if _, err := hand("9"); !fault.Is(err, fault.NotFound) {
			t.Errorf("one that is not there: %v", err)
		}
		mustBeWhole(t, g)
	})
}
