package bench_test

import (
	"slices"
	"strconv"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
)

func brought(t testing.TB, g *halltest.Ground, number int, f desk.Field) foray.ID {
	t.Helper()
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: strconv.Itoa(number), Field: f})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID
}

func suggest(t testing.TB, g *halltest.Ground, by access.Actor, c foray.ID, names ...string) {
	t.Helper()
	in := bench.FieldName{Collection: c}
	for _, n := range names {
		in.Names = append(in.Names, name(n))
	}
	if _, err := bench.GiveFieldName(ctx, g.Hall, by, g.Scope, g.Command(t), in); err != nil {
		t.Fatal(err)
	}
}

func queued(t testing.TB, g *halltest.Ground, who access.Actor, show bench.Show) (numbers []int) {
	t.Helper()
	b, err := bench.Queue(ctx, g.Hall, who, g.Scope, show)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range b.Rows {
		numbers = append(numbers, w.Plate.NumberBase)
	}
	if b.Counts[show] != len(numbers) {
		t.Errorf("%q counts %d of %d", show, b.Counts[show], len(numbers))
	}
	return numbers
}

func wantQueue(t testing.TB, g *halltest.Ground, who access.Actor, show bench.Show, want ...int) {
	t.Helper()
	if got := queued(t, g, who, show); !slices.Equal(got, want) {
		t.Errorf("%q is %v, want %v", show, got, want)
	}
}

// What spoils first comes first, kept cool later; of what keeps alike the deadly one, then the one waiting longer.
func TestTheQueueIsMostUrgentFirst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		brought(t, g, 1, desk.Field{Group: "bracket"})
		suggest(t, g, g.Second, brought(t, g, 2, desk.Field{Group: "bolete"}), "Boletus edulis")
		g.Pass(time.Minute)
		suggest(t, g, g.Second, brought(t, g, 3, desk.Field{Group: "bolete"}), "Rubroboletus satanas")
		brought(t, g, 4, desk.Field{Group: "milkcap", KeptCool: true})
		brought(t, g, 5, desk.Field{Group: "milkcap"})
		brought(t, g, 6, desk.Field{Group: "small_brown"})
		wantQueue(t, g, g.Second, bench.ForAny, 6, 5, 4, 3, 2, 1)
		if b, _ := bench.Queue(ctx, g.Hall, g.Second, g.Scope, bench.ForAny); b.Rows[3].New {
			t.Error("at a society's first event nothing can be told new")
		}
	})
}

func TestOnesOwnGroupsAndWhatWasPassedOn(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		brought(t, g, 1, desk.Field{Group: "bolete"})
		cup := brought(t, g, 2, desk.Field{Group: "cup"})
		brought(t, g, 3, desk.Field{Group: "webcap"})
		wantQueue(t, g, g.Second, bench.ForMe, 3, 2, 1)
		said, err := bench.SayGroups(ctx, g.Hall, g.Second, g.Scope, g.Command(t), bench.Groups{Groups: []string{"cup", "bolete", "cup"}})
		if err != nil || !slices.Equal(said.Groups, []string{"bolete", "cup"}) || said.Person != g.Second.Person {
			t.Fatalf("said %+v, %v", said, err)
		}
		wantQueue(t, g, g.Second, bench.ForMe, 2, 1)
		wantQueue(t, g, g.Third, bench.ForMe, 3, 2, 1)
		if _, err := tables.PlacePlate(ctx, g.Hall, g.Second, g.Scope, g.Command(t), tables.Place{Collection: cup, Where: foray.AtBench, With: "Person third"}); err != nil {
			t.Fatal(err)
		}
		wantQueue(t, g, g.Second, bench.ForMe, 1)
		wantQueue(t, g, g.Second, bench.ForAny, 3, 2, 1)
		if _, err := bench.SayGroups(ctx, g.Hall, g.As[access.Scribe], g.Scope, g.Command(t), bench.Groups{Person: g.Third.Person, Groups: []string{"crust"}}); err != nil {
			t.Fatal(err)
		}
		wantQueue(t, g, g.Third, bench.ForMe, 2)
		s, err := bench.SeeCollection(ctx, g.Hall, g.Second, g.Scope, foray.Number{Base: 2})
		if err != nil || s.Before.Base != 1 || s.After.Base != 3 {
			t.Errorf("beside 2 lie %v and %v, %v", s.Before, s.After, err)
		}
		third := slices.IndexFunc(s.Identifiers, func(i bench.Identifier) bool { return i.Person.ID == g.Third.Person })
		if third < 0 || !slices.Equal(s.Identifiers[third].Groups, []string{"crust"}) {
			t.Errorf("identifiers %+v", s.Identifiers)
		}
	})
}

func TestWhoSaysWhoseGroups(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for _, right := range access.Rights {
			own := bench.Groups{Groups: []string{"bolete"}}
			_, err := bench.SayGroups(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), own)
			if may := access.Allows(right, access.NameAny); (err == nil) != may {
				t.Errorf("%s says their own: %v", right, err)
			}
			_, err = bench.SayGroups(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), bench.Groups{Person: g.Third.Person, Groups: []string{"bolete"}})
			if may := right == access.Scribe || right == access.Organiser; (err == nil) != may {
				t.Errorf("%s says a determiner's: %v", right, err)
			}
		}
		for rule, in := range map[string]bench.Groups{
			"a group that is none":          {Groups: []string{"truffle_hound"}},
			"of somebody who names nothing": {Person: g.As[access.Member].Person, Groups: []string{"bolete"}},
		} {
			if _, err := bench.SayGroups(ctx, g.Hall, g.As[access.Scribe], g.Scope, g.Command(t), in); !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", rule, err)
			}
		}
	})
}

func TestDisputesOneMaySettleAndOnesOwnFirstNames(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		a := brought(t, g, 1, desk.Field{Group: "bolete"})
		for i, who := range []access.Actor{g.Second, g.Third} {
			if _, err := sign(g, g.On(t, i), who, a, []string{"Boletus edulis", "Imleria badia"}[i], "pores"); err != nil {
				t.Fatal(err)
			}
		}
		suggest(t, g, g.Second, brought(t, g, 2, desk.Field{Group: "bolete"}), "Boletus edulis")
		suggest(t, g, g.Third, brought(t, g, 3, desk.Field{Group: "bolete"}), "Boletus edulis")
		wantQueue(t, g, g.As[access.Identifier], bench.Disputes, 1)
		wantQueue(t, g, g.As[access.Scribe], bench.Disputes)
		wantQueue(t, g, g.Second, bench.MyNames, 2)
	})
}

func TestASpeciesThatNoEarlierEventHadIsOfInterest(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		made, err := setup.AddEvent(ctx, g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "HB25", Name: "Last autumn",
			StartsOn: "2025-10-25", EndsOn: "2025-10-26", TimeZone: "Europe/London", Region: "EU"})
		if err != nil {
			t.Fatal(err)
		}
		past := access.Scope{Society: g.Scope.Society, Event: made.ID}
		if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, past, g.Command(t), setup.Right{Person: g.Second.Person, Right: access.Identifier}); err != nil {
			t.Fatal(err)
		}
		c, err := desk.LogCollection(ctx, g.Hall, g.Second, past, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete"}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := bench.SignOff(ctx, g.Hall, g.Second, past, g.On(t, 0), bench.Word{Collection: c.ID, Name: name("Boletus edulis"), Basis: "reagent"}); err != nil {
			t.Fatal(err)
		}
		for i, n := range []string{"Boletus edulis", "Imleria badia", "Leccinum sp."} {
			suggest(t, g, g.Third, brought(t, g, i+1, desk.Field{Group: "bolete"}), n)
		}
		b, err := bench.Queue(ctx, g.Hall, g.Second, g.Scope, bench.ForAny)
		if err != nil || len(b.Rows) != 3 {
			t.Fatal(err)
		}
		for _, w := range b.Rows {
			if want := w.Plate.NumberBase == 2; w.New != want {
				t.Errorf("%d is new: %v", w.Plate.NumberBase, w.New)
			}
		}
		if basis, err := bench.LastBasis(ctx, g.Hall, g.Second, past, g.Second.Person); err != nil || basis != "reagent" {
			t.Errorf("the last basis is %q, %v", basis, err)
		}
	})
}

func TestATableIsWalkedByPositionThenNumber(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := setup.AddTable(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: 3, Title: "Boletes"}); err != nil {
			t.Fatal(err)
		}
		for n, position := range map[int]string{11: "B1", 12: "A10", 13: "A2", 15: "", 14: ""} {
			if _, err := tables.PlacePlate(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), tables.Place{Collection: brought(t, g, n, desk.Field{Group: "bolete"}),
				Where: foray.OnTable, Table: "3", Position: position}); err != nil {
				t.Fatal(err)
			}
		}
		brought(t, g, 16, desk.Field{Group: "bolete"})
		r, err := bench.WalkTable(ctx, g.Hall, g.Second, g.Scope, 3)
		var got []int
		for _, w := range r.Plates {
			got = append(got, w.Plate.NumberBase)
		}
		if want := []int{13, 12, 11, 14, 15}; err != nil || !slices.Equal(got, want) {
			t.Errorf("%v, %v, want %v", got, err, want)
		}
		if _, err := bench.WalkTable(ctx, g.Hall, g.Second, g.Scope, 4); !fault.Is(err, fault.NotFound) {
			t.Errorf("a table that is not there: %v", err)
		}
	})
}

func TestOneQualifierIsMeant(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for rule, c := range map[string]struct {
			text, chosen string
			taken        bool
		}{
			"a width in the text and a doubt chosen is asked back": {"Boletus edulis group", "cf.", false},
			"so is a doubt in the text and a width chosen":         {"Boletus cf. edulis", "group", false},
			"the same twice is one":                                {"Boletus cf. edulis", "cf.", true},
			"chosen only":                                          {"Boletus edulis", "cf.", true},
			"written only":                                         {"Boletus edulis group", "", true},
		} {
			in := hall.NameInput{Text: c.text, Qualifier: c.chosen}
			plate := logged(t, g, 1+len(rule)*7+len(c.text))
			_, err := bench.SignOff(ctx, g.Hall, g.Second, g.Scope, g.On(t, 0), bench.Word{Collection: plate, Name: in, Basis: "macroscopic"})
			if _, asked := fault.From(err).Fields["qualifier"]; (err == nil) != c.taken || err != nil && !asked {
				t.Errorf("%s: %v", rule, err)
			}
			_, err = bench.GiveFieldName(ctx, g.Hall, g.Third, g.Scope, g.Command(t), bench.FieldName{Collection: plate, Names: []hall.NameInput{in}})
			if (err == nil) != c.taken {
				t.Errorf("%s, as a field name: %v", rule, err)
			}
		}
	})
}
