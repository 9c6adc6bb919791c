package list_test

import (
	"slices"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/tally"
)

// twoSites lays an open site OW and one, SW, that is kept from the public, with two finds each.
func twoSites(t testing.TB, g *halltest.Ground) {
	t.Helper()
	for _, s := range []setup.Site{{Code: "OW", Name: "Open Wood", Permitted: true}, {Code: "SW", Name: "Secret Wood", Permitted: true, Sensitive: true}} {
		if _, err := setup.AddSite(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), s); err != nil {
			t.Fatal(err)
		}
	}
	for i, f := range []struct{ site, name, day string }{{"OW", "Boletus edulis", "2026-10-24"}, {"OW", "Imleria badia", "2026-10-25"},
		{"SW", "Boletus edulis", "2026-10-24"}, {"SW", "Russula emetica", "2026-10-24"}} {
		c := logged(t, g, i+1, desk.Field{Site: f.site, PickedFrom: f.day})
		sign(t, g, 0, g.As[access.Identifier], c, f.name)
	}
}

func taxa(l tally.List) (names []string) {
	for _, line := range l.Lines {
		names = append(names, line.Name)
	}
	return names
}

// Would catch a list of a part that tells what was found at a place of which the public is told nothing.
func TestTheListOfASiteTellsNothingOfASiteThatIsKeptBack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		twoSites(t, g)
		part := func(p list.Part) list.Running {
			r, err := list.SeePart(ctx, g.Hall, access.Nobody, g.Scope, p)
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		whole := part(list.Part{})
		if whole.List.Total != 3 || !slices.Equal(whole.Sites, []list.Site{{Code: "OW", Name: "Open Wood"}}) || !slices.Equal(whole.Days, []string{"2026-10-24", "2026-10-25"}) {
			t.Errorf("the whole: %d taxa, sites %v, days %v", whole.List.Total, whole.Sites, whole.Days)
		}
		if open := part(list.Part{Site: "ow"}); !slices.Equal(taxa(open.List), []string{"Boletus edulis", "Imleria badia"}) || open.List.Finds != 2 {
			t.Errorf("the open site: %v", taxa(open.List))
		}
		if secret := part(list.Part{Site: "SW"}); len(secret.List.Lines) != 0 {
			t.Errorf("the site that is kept back: %v", taxa(secret.List))
		}
		if sunday := part(list.Part{Day: "2026-10-25"}); !slices.Equal(taxa(sunday.List), []string{"Imleria badia"}) {
			t.Errorf("one day: %v", taxa(sunday.List))
		}
	})
}

func TestTheListOfASocietyJoinsItsEvents(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		twoSites(t, g)
		made, err := setup.AddEvent(ctx, g.Hall, g.Machine, access.Scope{Society: g.Society.ID}, g.Command(t), setup.Event{Code: "HB25", Name: "Last year's",
			Place: "Hollinbeck Hall", StartsOn: "2025-10-25", EndsOn: "2025-10-26", TimeZone: "Europe/London", Region: "EU"})
		if err != nil {
			t.Fatal(err)
		}
		last := access.Scope{Society: g.Society.ID, Event: made.ID}
		if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, last, g.Command(t), setup.Right{Person: g.As[access.Organiser].Person, Right: access.Organiser}); err != nil {
			t.Fatal(err)
		}
		for _, right := range []access.Right{access.Desk, access.Identifier} {
			if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, last, g.Command(t), setup.Right{Person: g.As[right].Person, Right: right}); err != nil {
				t.Fatal(err)
			}
		}
		c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], last, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete"}})
		if err != nil {
			t.Fatal(err)
		}
		here := g.Scope
		g.Scope = last
		sign(t, g, 0, g.As[access.Identifier], c.ID, "Xerocomus badius") // Imleria badia today
		g.Scope = here
		all, err := list.SeeSociety(ctx, g.Hall, access.Nobody, g.Society.ID, list.Choice{})
		if err != nil || all.List.Total != 3 || len(all.Events) != 2 || !slices.Equal(all.Years, []string{"2026", "2025"}) {
			t.Errorf("all events: %d taxa of %d events in %v, %v", all.List.Total, len(all.Events), all.Years, err)
		}
		before, err := list.SeeSociety(ctx, g.Hall, access.Nobody, g.Society.ID, list.Choice{Year: "2025"})
		if err != nil || !slices.Equal(taxa(before.List), []string{"Imleria badia"}) {
			t.Errorf("a season: %v, %v", taxa(before.List), err)
		}
		secret, err := list.SeeSociety(ctx, g.Hall, access.Nobody, g.Society.ID, list.Choice{Site: "SW"})
		if err != nil || len(secret.List.Lines)+len(secret.Events) != 0 {
			t.Errorf("a site that is kept back: %v", taxa(secret.List))
		}
	})
}
