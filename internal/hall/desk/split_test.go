package desk_test

import (
	"slices"
	"strings"
	"sync"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/store"
)

func sees(t testing.TB, g *halltest.Ground, number string) bench.Sight {
	t.Helper()
	n, err := foray.ParseNumber(number, "HB26")
	if err != nil {
		t.Fatal(err)
	}
	s, err := bench.SeeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, n)
	if err != nil {
		t.Fatalf("%s: %v", number, err)
	}
	return s
}

func brought(t testing.TB, g *halltest.Ground, number string, field desk.Field) desk.Logged {
	t.Helper()
	done, err := logs(t, g, desk.Log{Number: number, Field: field, Characters: []desk.Character{{Character: "odour", Words: "meal"}}})
	if err != nil {
		t.Fatal(err)
	}
	return done
}

func suggests(t testing.TB, g *halltest.Ground, by access.Actor, id foray.ID, names ...string) {
	t.Helper()
	in := bench.FieldName{Collection: id}
	for _, n := range names {
		in.Names = append(in.Names, hall.NameInput{Text: n})
	}
	if _, err := bench.GiveFieldName(ctx, g.Hall, by, g.Scope, g.Command(t), in); err != nil {
		t.Fatal(err)
	}
}

func signs(t testing.TB, g *halltest.Ground, by access.Actor, number, name, why string) {
	t.Helper()
	p := sees(t, g, number).Plate
	if _, err := bench.SignOff(ctx, g.Hall, by, g.Scope, g.On(t, p.Version), bench.Word{Collection: p.ID, Name: hall.NameInput{Text: name}, Basis: "macroscopic", Remarks: why}); err != nil {
		t.Fatal(err)
	}
}

// asked is the names in question, each with who raised it.
func asked(s bench.Sight) string {
	var all []string
	for _, a := range s.Plate.Standing.Question {
		all = append(all, hall.Written(a.SlipName)+" by "+s.People[a.By].Name)
	}
	slices.Sort(all)
	return strings.Join(all, ", ")
}

func split(t testing.TB, g *halltest.Ground, by access.Actor, id foray.ID, parts ...desk.Part) (desk.Parts, error) {
	t.Helper()
	return desk.SplitCollection(ctx, g.Hall, by, g.Scope, g.Command(t), desk.Split{Collection: id, Parts: parts, Reason: "two kinds in one bag"})
}

func TestASplitKeepsTheFieldDataTheNamesAndThePlace(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := brought(t, g, "137", desk.Field{Group: "small_brown", Collector: "Mei Adeyemi", Host: "Fagus", Substrate: "stump", Fruitbodies: ptr(7), KeptCool: true})
		suggests(t, g, g.Second, c.ID, "Kuehneromyces mutabilis", "Galerina marginata")
		signs(t, g, g.Third, "137", "Kuehneromyces mutabilis", "")
		signs(t, g, g.Second, "137", "Hypholoma fasciculare", "greenish gills")
		if _, err := setup.AddTable(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: 4}); err != nil {
			t.Fatal(err)
		}
		if _, err := tables.PlacePlate(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), tables.Place{Collection: c.ID, Where: foray.OnTable, Table: "4", Position: "B2"}); err != nil {
			t.Fatal(err)
		}
		whole := sees(t, g, "137")
		done, err := split(t, g, g.As[access.Identifier], c.ID, desk.Part{}, desk.Part{Group: "inkcap", Remarks: "the thin one"})
		if err != nil || done.Of != "0137" || len(done.Parts) != 2 || done.Parts[0].Number != "0137a" || done.Parts[1].Number != "0137b" {
			t.Fatalf("%+v %v", done, err)
		}
		for number, group := range map[string]string{"137a": "small_brown", "137b": "inkcap"} {
			s := sees(t, g, number)
			p := s.Plate
			if p.FormGroup != group || p.Host != "Fagus" || p.Substrate != "stump" || !p.KeptCool || s.People[p.CollectorID].Name != "Mei Adeyemi" || p.Fruitbodies != nil {
				t.Errorf("%s: field data %+v", number, p.Collection)
			}
			if asked(s) != asked(whole) || asked(s) == "" || p.Naming != foray.Provisional {
				t.Errorf("%s: in question %q, of the whole %q, %s", number, asked(s), asked(whole), p.Naming)
			}
			if p.Slips[0].Remarks != "from 0137 before it was split" || p.Slips[0].Writer != g.As[access.Identifier].Person {
				t.Errorf("%s: its first slip says %q", number, p.Slips[0].Remarks)
			}
			if p.Whereabouts != foray.OnTable || p.Position != "B2" || len(s.Placements) != 1 {
				t.Errorf("%s stands at %s %s", number, p.Whereabouts, p.Position)
			}
			if len(s.Notes) != 1 || s.Notes[0].Words != "meal" {
				t.Errorf("%s: the notes of the whole are %+v", number, s.Notes)
			}
			if !p.HappenedAt.Equal(whole.Plate.HappenedAt.Time) {
				t.Errorf("%s has waited since %s", number, p.HappenedAt)
			}
		}
		if p := sees(t, g, "137").Plate; p.Fate != store.Split {
			t.Errorf("the whole is %s", p.Fate)
		}
		again, err := split(t, g, g.As[access.Desk], done.Parts[0].ID, desk.Part{}, desk.Part{})
		if err != nil || again.Of != "0137a" || again.Parts[0].Number != "0137c" || again.Parts[1].Number != "0137d" {
			t.Errorf("a part split again: %+v %v", again, err)
		}
		whole137c := sees(t, g, "137c")
		if asked(whole137c) != asked(whole) || len(whole137c.Notes) != 1 {
			t.Errorf("of a part's part %q is in question, %d notes", asked(whole137c), len(whole137c.Notes))
		}
		mustBeWhole(t, g)
	})
}

func mustBeWhole(t testing.TB, g *halltest.Ground) {
	t.Helper()
	if err := g.Store.Read(ctx, func(tx *store.Tx) error {
		c, err := tx.Check()
		for _, b := range c.Broken {
			t.Errorf("%s: %v", b.Rule, b.Text)
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
}

func TestWhatIsNoPlateTakesNoFurtherWord(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := brought(t, g, "1", desk.Field{})
		if _, err := split(t, g, g.As[access.Desk], c.ID, desk.Part{}, desk.Part{}); err != nil {
			t.Fatal(err)
		}
		_, field := desk.CorrectField(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Correct{Collection: c.ID, Field: desk.Field{Group: "bolete"}})
		_, note := desk.NoteCharacters(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Note{Collection: c.ID, Characters: []desk.Character{{Character: "odour", Words: "x"}}})
		_, name := bench.GiveFieldName(ctx, g.Hall, g.Second, g.Scope, g.Command(t), bench.FieldName{Collection: c.ID, Names: []hall.NameInput{{Text: "Boletus edulis"}}})
		_, sign := bench.SignOff(ctx, g.Hall, g.Second, g.Scope, g.On(t, 0), bench.Word{Collection: c.ID, Name: hall.NameInput{Text: "Boletus edulis"}, Basis: "macroscopic"})
		_, where := tables.PlacePlate(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), tables.Place{Collection: c.ID, Where: foray.AtBench})
		_, twice := split(t, g, g.As[access.Desk], c.ID, desk.Part{}, desk.Part{})
		_, spoil := desk.Spoil(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Mistake{Collection: c.ID, Reason: "x"})
		for act, err := range map[string]error{"correct": field, "note": note, "field name": name, "sign-off": sign, "place": where, "split": twice, "spoil": spoil} {
			if !fault.Is(err, fault.Refused) || fault.From(err).Text.Key != "collection.no-plate.split" {
				t.Errorf("%s on what was split: %v", act, err)
			}
		}
	})
}

func TestASplitThatIsNoneIsRefusedWhole(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := brought(t, g, "1", desk.Field{})
		for name, parts := range map[string][]desk.Part{"none": nil, "one": {{}}, "too many": make([]desk.Part, 27), "a group that is none": {{}, {Group: "blob"}},
			"remarks too long": {{}, {Remarks: strings.Repeat("x", 501)}}} {
			if _, err := split(t, g, g.As[access.Desk], c.ID, parts...); !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
		if _, err := split(t, g, g.As[access.Desk], c.ID, desk.Part{}, desk.Part{ID: c.ID}); !fault.Is(err, fault.Mismatch) {
			t.Errorf("a part under the id of the whole: %v", err)
		}
		if all, err := bench.All(ctx, g.Hall, g.As[access.Desk], g.Scope); err != nil || len(all) != 1 {
			t.Errorf("%d plates, %v", len(all), err)
		}
	})
}

func TestWhoMaySplitMergeSpoilAndSayFates(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		number := 0
		next := func() desk.Logged {
			number++
			return brought(t, g, (foray.Number{Base: number}).String(), desk.Field{})
		}
		for _, right := range access.Rights {
			a, b, c := next(), next(), next()
			_, splits := split(t, g, g.As[right], a.ID, desk.Part{}, desk.Part{})
			_, merges := desk.MergeCollection(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), desk.Merge{Collection: b.ID, Into: c.Number, Reason: "one find"})
			_, spoils := desk.Spoil(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), desk.Mistake{Collection: next().ID, Reason: "typed twice"})
			_, says := desk.SayFate(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), desk.Fate{Number: (foray.Number{Base: 500 + number}).String(), Fate: "unused"})
			_, hands := desk.HandToBench(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), desk.Hand{Numbers: []string{c.Number}})
			_, reads := desk.SeeLedger(ctx, g.Hall, g.As[right], g.Scope)
			_, lists := desk.Incomplete(ctx, g.Hall, g.As[right], g.Scope)
			_, ready := desk.GetReady(ctx, g.Hall, g.As[right], g.Scope, "", 0)
			may := access.Allows(right, access.LogCollection)
			for act, err := range map[string]error{"split": splits, "merge": merges, "spoil": spoils, "say a fate": says, "hand over": hands, "read the ledger": reads, "list the incomplete": lists, "open the desk": ready} {
				if (err == nil) != may {
					t.Errorf("%s: %s answered %v", right, act, err)
				}
			}
		}
		mustBeWhole(t, g)
	})
}

func TestAMergeKeepsEveryDoubt(t *testing.T) {
	for name, c := range map[string]struct {
		from, into func(t *testing.T, g *halltest.Ground, id foray.ID)
		groups     [2]string
		want       string
	}{
		"nobody has named either, one group": {nil, nil, [2]string{"bolete", "bolete"}, ""},
		"nobody has named either, two groups": {nil, nil, [2]string{"small_brown", "bolete"},
			"Bolete by Person desk, Small brown agaric by Person desk"},
		"one is named, the other is of a group": {nil, func(t *testing.T, g *halltest.Ground, id foray.ID) { suggests(t, g, g.Second, id, "Boletus edulis") },
			[2]string{"small_brown", "bolete"}, "Boletus edulis by Person second, Small brown agaric by Person desk"},
		"a name comes to one of a group": {func(t *testing.T, g *halltest.Ground, id foray.ID) { suggests(t, g, g.Second, id, "Boletus edulis") }, nil,
			[2]string{"bolete", "small_brown"}, "Boletus edulis by Person second, Small brown agaric by Person desk"},
		"one person named both": {func(t *testing.T, g *halltest.Ground, id foray.ID) {
			suggests(t, g, g.Second, id, "Galerina marginata")
		}, func(t *testing.T, g *halltest.Ground, id foray.ID) {
			suggests(t, g, g.Second, id, "Kuehneromyces mutabilis")
		}, [2]string{"bolete", "bolete"}, "Galerina marginata by Person second, Kuehneromyces mutabilis by Person second"},
		"what stays is confirmed": {func(t *testing.T, g *halltest.Ground, id foray.ID) {
			suggests(t, g, g.Second, id, "Galerina marginata")
		}, func(t *testing.T, g *halltest.Ground, id foray.ID) {
			signs(t, g, g.Second, "141", "Kuehneromyces mutabilis", "")
		}, [2]string{"bolete", "bolete"}, "Galerina marginata by Person second, Kuehneromyces mutabilis by Person second"},
	} {
		t.Run(name, func(t *testing.T) {
			halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
				from, into := brought(t, g, "140", desk.Field{Group: c.groups[0]}), brought(t, g, "141", desk.Field{Group: c.groups[1]})
				if c.from != nil {
					c.from(t, g, from.ID)
				}
				if c.into != nil {
					c.into(t, g, into.ID)
				}
				before := max(sees(t, g, "140").Assessment.Weight, sees(t, g, "141").Assessment.Weight)
				done, err := desk.MergeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Merge{Collection: from.ID, Into: "HB26 0141", Reason: "one find on two plates"})
				if err != nil || done.Number != "0140" || done.Into != "0141" || done.ID != into.ID {
					t.Fatalf("%+v %v", done, err)
				}
				s := sees(t, g, "141")
				if asked(s) != c.want || s.Assessment.Weight < before {
					t.Errorf("in question is %q, want %q; weight %d, before %d", asked(s), c.want, s.Assessment.Weight, before)
				}
				if len(s.Notes) != 2 {
					t.Errorf("%d notes, want those of both", len(s.Notes))
				}
				mustBeWhole(t, g)
			})
		})
	}
}

func TestAMergeThatIsNoneIsRefused(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		a, b := brought(t, g, "1", desk.Field{}), brought(t, g, "2", desk.Field{})
		merge := func(into, why string) error {
			_, err := desk.MergeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Merge{Collection: a.ID, Into: into, Reason: why})
			return err
		}
		for name, c := range map[string]struct {
			err        error
			field, key string
		}{"into itself": {merge("1", "x"), "into", "merge.itself"}, "into what is not there": {merge("9", "x"), "into", "merge.no-plate"},
			"into what is no number": {merge("x", "x"), "into", "number.unreadable"}, "without a reason": {merge("2", " "), "reason", "number.reason-missing"}} {
			if !fault.Is(c.err, fault.Invalid) || fault.From(c.err).Fields[c.field].Key != c.key {
				t.Errorf("%s: %v", name, c.err)
			}
		}
		suggests(t, g, g.Second, a.ID, "Boletus edulis", "Boletus reticulatus", "Boletus aereus")
		suggests(t, g, g.Second, b.ID, "Amanita phalloides", "Amanita virosa", "Amanita citrina")
		if err := merge("2", "x"); !fault.Is(err, fault.Refused) {
			t.Errorf("six names of one person on one slip: %v", err)
		}
		if got := asked(sees(t, g, "2")); strings.Contains(got, "Boletus") {
			t.Errorf("a refused merge left %q", got)
		}
	})
}

// Two desks put the same two plates together, each the other way round: one of them is told.
func TestTwoDesksMergeTheSamePlatesAtOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		a, b := brought(t, g, "1", desk.Field{}), brought(t, g, "2", desk.Field{})
		cmds := []hall.Command{g.Command(t), g.Command(t)}
		ins := []desk.Merge{{Collection: a.ID, Into: "2", Reason: "x"}, {Collection: b.ID, Into: "1", Reason: "x"}}
		errs := make([]error, 2)
		var wg sync.WaitGroup
		for i := range ins {
			wg.Go(func() { _, errs[i] = desk.MergeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, cmds[i], ins[i]) })
		}
		wg.Wait()
		if (errs[0] == nil) == (errs[1] == nil) {
			t.Errorf("answered %v and %v", errs[0], errs[1])
		}
		mustBeWhole(t, g)
	})
}
