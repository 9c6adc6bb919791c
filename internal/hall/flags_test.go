package hall_test

import (
	"context"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
)

// A flag widens with doubt: a name with cf. or aff., a former name, a name below it carries the flag; a wider name may.
func TestAFlagFallsOnWhatMayBeTheTaxon(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ctx := context.Background()
		if err := g.View(ctx, g.As[access.Desk], access.NameAny, g.Scope, func(l *hall.Look) error {
			flag := func(name string) hall.TaxonFlag {
				n, err := l.ReadName(hall.NameInput{Text: name}, 1, nil)
				if err != nil || n.CurrentKey == "" {
					t.Fatalf("%s is read as %+v, %v", name, n, err)
				}
				return hall.TaxonFlag{NameKey: n.Key, CurrentKey: n.CurrentKey, Name: n.Name, Flag: hall.Protected, Source: "Schedule"}
			}
			for name, c := range map[string]struct{ flag, named, want string }{
				"the taxon itself":               {"Hericium erinaceus", "Hericium erinaceus", "yes"},
				"perhaps the taxon":              {"Hericium erinaceus", "Hericium cf. erinaceus", "yes"},
				"near the taxon":                 {"Hericium erinaceus", "Hericium aff. erinaceus", "yes"},
				"another of its genus":           {"Hericium erinaceus", "Hericium coralloides", "no"},
				"its genus":                      {"Hericium erinaceus", "Hericium", "perhaps"},
				"a species of a flagged genus":   {"Hericium", "Hericium coralloides", "yes"},
				"a former name of a flagged one": {"Infundibulicybe geotropa", "Clitocybe geotropa", "yes"},
				"flagged under a former name":    {"Clitocybe geotropa", "Infundibulicybe geotropa", "yes"},
				"something else":                 {"Hericium erinaceus", "Boletus edulis", "no"},
				"a form group":                   {"Hericium erinaceus", "bolete", "no"},
			} {
				n, err := l.ReadName(hall.NameInput{Text: c.named}, 1, nil)
				if err != nil {
					t.Fatal(err)
				}
				got := "no"
				for _, f := range g.FlagsOn([]hall.TaxonFlag{flag(c.flag)}, []foray.SlipName{n}) {
					if got = "yes"; f.Perhaps {
						got = "perhaps"
					}
				}
				if got != c.want {
					t.Errorf("%s: %s flagged, %s named: %s, want %s", name, c.flag, c.named, got, c.want)
				}
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
	})
}

func TestAFlaggedPlateIsKeptOffDisplayAndItsPlaceIsGeneralised(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ctx, lat, lon := context.Background(), 53.1234, -1.5678
		must := func(err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		o := g.As[access.Organiser]
		_, err := setup.AddSite(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Site{Code: "AB", Name: "Alder Bottom", Latitude: &lat, Longitude: &lon, Permitted: true})
		must(err)
		_, err = setup.AddTable(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Table{Number: 1})
		must(err)
		logged, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "tooth", Site: "AB"}})
		must(err)
		_, err = bench.SignOff(ctx, g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 0), bench.Word{Collection: logged.ID, Name: hall.NameInput{Text: "Hericium erinaceus"}, Basis: "macroscopic"})
		must(err)
		place := func(where foray.Whereabouts) error {
			_, err := tables.PlacePlate(ctx, g.Hall, o, g.Scope, g.Command(t), tables.Place{Collection: logged.ID, Where: where, Table: "1", Position: "tray 1", With: "the county"})
			return err
		}
		must(place(foray.OnTable))
		flag := setup.Flag{Name: "Hericium erinaceus", Flag: hall.Protected, Source: "Schedule"}
		made, err := setup.AddFlag(ctx, g.Hall, o, g.Scope, g.Command(t), flag)
		must(err)
		for _, where := range []foray.Whereabouts{foray.OnTable, foray.OnBackTable, foray.InDryer} {
			if err := place(where); !fault.Is(err, fault.Refused) {
				t.Errorf("a protected plate goes to %s: %v", where, err)
			}
		}
		for _, where := range []foray.Whereabouts{foray.AtDesk, foray.SentTo} {
			must(place(where))
		}
		must(g.View(ctx, o, access.SetUp, g.Scope, func(l *hall.Look) error {
			plates, err := l.Plates()
			must(err)
			flags, err := l.FlagsOf(plates[0])
			must(err)
			if len(flags) != 1 || !message.Has(flags[0].Text().Key) {
				t.Errorf("flags %+v", flags)
			}
			places, err := l.Places()
			must(err)
			p := places.OfPlate(&plates[0])
			if pubLat, _, _, ok := p.Point(); !ok || p.Name() != "" || p.GeneralisedM() != 10000 || pubLat == lat {
				t.Errorf("shown as %+v", p)
			}
			if p := places.Of(plates[0].SiteID); p.Name() != "Alder Bottom" || p.GeneralisedM() != 0 {
				t.Errorf("another find there is shown as %+v", p)
			}
			return nil
		}))
		running, err := list.See(ctx, g.Hall, access.Nobody, g.Scope)
		must(err)
		for _, line := range running.List.Lines {
			for _, where := range line.Places {
				if where == "Alder Bottom" {
					t.Error("the list says where the protected taxon is")
				}
			}
		}
		flag.Permit = "P 4"
		_, err = setup.ChangeFlag(ctx, g.Hall, o, g.Scope, g.Command(t), setup.FlagChange{ID: made.ID, Flag: flag})
		must(err)
		must(place(foray.OnTable))
		must(place(foray.InDryer))
	})
}
