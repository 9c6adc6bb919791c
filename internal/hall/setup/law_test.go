package setup_test

import (
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/knowledge"
	"forayhall/internal/store"
)

// borders are tables of two invented countries.
var borders = []knowledge.LawFlag{
	{Taxon: "Hericium erinaceus", Flag: "protected", Jurisdiction: "Upper Hillshire", Source: "Order 4, list A", Note: "check the law in force"},
	{Taxon: "Psilocybe semilanceata", Flag: "controlled", Jurisdiction: "Marshmere", Source: "Act 9", Note: "check the law in force"},
	{Taxon: "Hygrocybe", Flag: "protected", Jurisdiction: "Upper Hillshire", Source: "Order 4, list B", Note: "check the law in force"},
	{Taxon: "Psilocybe semilanceata", Flag: "controlled", Jurisdiction: "Upper Hillshire", Source: "Order 7", Note: "check the law in force"},
}

// bordered is a hall whose tables are those.
func bordered(g *halltest.Ground) *hall.Hall {
	h, k := *g.Hall, *g.Hall.Knowledge
	k.Flags = borders
	h.Knowledge = &k
	return &h
}

// Would catch a flag that sets itself, a jurisdiction that is only met as it is spelt, one that is taken for another, and
// a taking over that changes what an organiser wrote, or does half.
func TestFlagsOfTheTablesHoldOnlyOnceAnOrganiserTakesThemOver(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		h, o := bordered(g), g.As[access.Organiser]
		flags := func() []store.TaxonFlag {
			t.Helper()
			room, err := setup.See(ctx, h, o, g.Scope)
			if err != nil {
				t.Fatal(err)
			}
			return room.Flags
		}
		see := func(by access.Actor, jurisdiction string) setup.Law {
			t.Helper()
			law, err := setup.SeeLaw(ctx, h, by, g.Scope, jurisdiction)
			if err != nil {
				t.Fatal(err)
			}
			return law
		}
		take := func(by access.Actor, in setup.LawTaken) (setup.TakenOver, error) {
			return setup.TakeLawOver(ctx, h, by, g.Scope, g.Command(t), in)
		}
		if law := see(o, ""); law.Jurisdiction != "" || len(law.Flags) != 0 || !slices.Equal(law.Jurisdictions, []string{"Marshmere", "Upper Hillshire"}) {
			t.Errorf("an event without a jurisdiction is offered %+v", law)
		}
		d := setup.DetailsOf(event(t, g))
		d.Jurisdiction = "upper  hillshire"
		if _, err := setup.ChangeEvent(ctx, h, o, g.Scope, g.Command(t), d); err != nil {
			t.Fatal(err)
		}
		law := see(g.As[access.Desk], "")
		if law.Jurisdiction != "Upper Hillshire" || len(law.Flags) != 3 || law.Flags[0].Here || law.Flags[0].Source != "Order 4, list A" {
			t.Errorf("of the event's own law is known %+v", law)
		}
		if law := see(o, "MARSHMERE"); law.Jurisdiction != "Marshmere" || len(law.Flags) != 1 {
			t.Errorf("of a neighbour's law is known %+v", law)
		}
		if len(flags()) != 0 {
			t.Errorf("flags that nobody took over: %+v", flags())
		}
		own := setup.Flag{Name: "Psilocybe semilanceata", Flag: "controlled", Source: "our own letter", Permit: "P 4"}
		if _, err := setup.AddFlag(ctx, h, o, g.Scope, g.Command(t), own); err != nil {
			t.Fatal(err)
		}
		one := setup.LawTaken{Jurisdiction: "upper hillshire", Taxa: []setup.LawTaxon{{Name: "Hygrocybe", Flag: "protected"}}}
		if done, err := take(o, one); err != nil || !slices.Equal(done.Added, []string{"Hygrocybe"}) || len(done.Left) != 0 {
			t.Errorf("one was taken over: %+v, %v", done, err)
		}
		done, err := take(o, setup.LawTaken{Jurisdiction: "Upper Hillshire", All: true})
		if err != nil || !slices.Equal(done.Added, []string{"Hericium erinaceus"}) || !slices.Equal(done.Left, []string{"Hygrocybe", "Psilocybe semilanceata"}) {
			t.Errorf("all were taken over: %+v, %v", done, err)
		}
		for _, f := range flags() {
			if f.Name == own.Name && (f.Source != own.Source || f.Permit != own.Permit) {
				t.Errorf("what the organiser wrote is %+v now", f)
			}
			if f.Name == "Hericium erinaceus" && f.Source != "Order 4, list A" {
				t.Errorf("its source is %q", f.Source)
			}
		}
		for _, f := range see(o, "").Flags {
			if !f.Here {
				t.Errorf("%s is not said to be there", f.Taxon)
			}
		}
	})
}

func TestATakingOverIsOfWhatTheTablesHaveAllOrNothing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		h, o := bordered(g), g.As[access.Organiser]
		h.Knowledge.Flags = append(slices.Clone(borders), knowledge.LawFlag{Taxon: "Xxenia inventata", Flag: "protected", Jurisdiction: "Nowhere", Source: "a rumour"},
			knowledge.LawFlag{Taxon: "Hericium erinaceus", Flag: "protected", Jurisdiction: "Nowhere", Source: "a rumour"})
		hericium := setup.LawTaxon{Name: "Hericium erinaceus", Flag: "protected"}
		for name, c := range map[string]struct {
			in    setup.LawTaken
			field string
		}{
			"no jurisdiction":          {setup.LawTaken{All: true}, "jurisdiction"},
			"one that is not known":    {setup.LawTaken{Jurisdiction: "Atlantis", All: true}, "jurisdiction"},
			"nothing chosen":           {setup.LawTaken{Jurisdiction: "Marshmere"}, "taxa"},
			"a row of another law":     {setup.LawTaken{Jurisdiction: "Marshmere", Taxa: []setup.LawTaxon{hericium}}, "taxa"},
			"another flag of a taxon":  {setup.LawTaken{Jurisdiction: "Upper Hillshire", Taxa: []setup.LawTaxon{hericium, {Name: "Hygrocybe", Flag: "controlled"}}}, "taxa"},
			"a row that is not read":   {setup.LawTaken{Jurisdiction: "Nowhere", All: true}, "taxa"},
			"good ones before the bad": {setup.LawTaken{Jurisdiction: "Nowhere", Taxa: []setup.LawTaxon{hericium, {Name: "Xxenia inventata", Flag: "protected"}}}, "taxa"},
		} {
			if _, err := setup.TakeLawOver(ctx, h, o, g.Scope, g.Command(t), c.in); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		for _, right := range []access.Right{access.Member, access.Desk, access.SafetyLead, access.ChiefIdentifier} {
			if _, err := setup.TakeLawOver(ctx, h, g.As[right], g.Scope, g.Command(t), setup.LawTaken{Jurisdiction: "Marshmere", All: true}); !fault.Is(err, fault.NotAllowed) {
				t.Errorf("%s takes flags over: %v", right, err)
			}
		}
		check(t, g, func(tx *store.Tx) error {
			flags, err := tx.TaxonFlags(g.Scope.Society, g.Scope.Event)
			if len(flags) != 0 {
				t.Errorf("something was taken over all the same: %+v", flags)
			}
			return err
		})
	})
}

// Every row that ships can be taken over: a taxon that is not read, or a source that is too long, would keep a whole
// jurisdiction from it.
func TestWhatShipsOfEveryJurisdictionCanBeTakenOver(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if len(setup.Jurisdictions(g.Hall)) < 5 {
			t.Fatalf("only %v", setup.Jurisdictions(g.Hall))
		}
		for _, jurisdiction := range setup.Jurisdictions(g.Hall) {
			if _, err := setup.TakeLawOver(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.LawTaken{Jurisdiction: jurisdiction, All: true}); err != nil {
				t.Errorf("%s: %v", jurisdiction, err)
			}
			law, err := setup.SeeLaw(ctx, g.Hall, g.As[access.Organiser], g.Scope, jurisdiction)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range law.Flags {
				if !f.Here || !strings.Contains(f.Note, "check the law in force") {
					t.Errorf("%s: %s: there is %v, noted is %q", jurisdiction, f.Taxon, f.Here, f.Note)
				}
			}
		}
	})
}

func event(t *testing.T, g *halltest.Ground) (e store.Event) {
	t.Helper()
	check(t, g, func(tx *store.Tx) (err error) {
		e, err = tx.EventByID(g.Scope.Society, g.Scope.Event)
		return err
	})
	return e
}
