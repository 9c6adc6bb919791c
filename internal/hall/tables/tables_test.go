package tables_test

import (
	"context"
	"fmt"
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
)

var ctx = context.Background()

func logged(t testing.TB, g *halltest.Ground, number int) foray.ID {
	t.Helper()
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: fmt.Sprint(number), Field: desk.Field{Group: "bolete"}})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID
}

func place(t testing.TB, g *halltest.Ground, by access.Actor, p tables.Place) error {
	t.Helper()
	_, err := tables.PlacePlate(ctx, g.Hall, by, g.Scope, g.Command(t), p)
	return err
}

// The rights of the table: stewards and organisers place; desk and bench hand plates to each other; whoever may
// remove plates dries, sends and discards.
func TestWhoMayPutAPlateWhere(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := setup.AddTable(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: 7}); err != nil {
			t.Fatal(err)
		}
		c := logged(t, g, 417)
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: c, Names: []hall.NameInput{{Text: "Boletus edulis"}}}); err != nil {
			t.Fatal(err)
		}
		may := map[foray.Whereabouts][]access.Right{
			foray.OnTable:     {access.Steward, access.Organiser},
			foray.OnBackTable: {access.Steward, access.Organiser},
			foray.AtBench:     {access.Desk, access.Steward, access.Identifier, access.ChiefIdentifier, access.ListKeeper, access.Organiser},
			foray.InDryer:     {access.Desk, access.Steward, access.Identifier, access.ChiefIdentifier, access.ListKeeper, access.Organiser},
			foray.SentTo:      {access.Desk, access.Steward, access.Identifier, access.ChiefIdentifier, access.ListKeeper, access.Organiser},
			foray.Discarded:   {access.Desk, access.Steward, access.Identifier, access.ChiefIdentifier, access.ListKeeper, access.Organiser},
		}
		for where, rights := range may {
			allowed := map[access.Right]bool{}
			for _, r := range rights {
				allowed[r] = true
			}
			for _, right := range access.Rights {
				err := place(t, g, g.As[right], tables.Place{Collection: c, Where: where, Table: "7", Position: "2", With: "the herbarium"})
				if (err == nil) != allowed[right] {
					t.Errorf("%s puts it to %s: %v", right, where, err)
				}
				if kind := fault.From(err).Kind; err != nil && kind != fault.NotAllowed && kind != fault.NotSignedIn {
					t.Errorf("%s is answered %v", right, err)
				}
			}
		}
	})
}

func TestAPlateThatNobodyNamedIsNotThrownAway(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 417)
		steward := g.As[access.Steward]
		if err := place(t, g, steward, tables.Place{Collection: c, Where: foray.Discarded}); !fault.Is(err, fault.Refused) {
			t.Errorf("discarded unnamed: %v", err)
		}
		for name, p := range map[string]tables.Place{
			"a table that is not there": {Where: foray.OnTable, Table: "9"},
			"sent to nobody":            {Where: foray.SentTo},
			"the dryer without a tray":  {Where: foray.InDryer},
			"no place at all":           {Where: "attic"},
		} {
			p.Collection = c
			if err := place(t, g, g.As[access.Organiser], p); !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
		if err := place(t, g, steward, tables.Place{Where: foray.AtBench}); !fault.Is(err, fault.NotFound) {
			t.Errorf("no plate: %v", err)
		}
		if _, err := bench.FindNotNameable(ctx, g.Hall, g.Second, g.Scope, g.On(t, 0), bench.Word{Collection: c}); err != nil {
			t.Fatal(err)
		}
		if err := place(t, g, steward, tables.Place{Collection: c, Where: foray.Discarded}); err != nil {
			t.Errorf("discarded as not nameable: %v", err)
		}
		s, err := bench.SeeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, foray.Number{Base: 417})
		if err != nil || s.Plate.Naming != foray.Unnameable || s.Plate.Whereabouts != foray.Discarded {
			t.Errorf("how it is named and where it is: %s %s %v", s.Plate.Naming, s.Plate.Whereabouts, err)
		}
	})
}

func TestEveryPlaceIsKeptAndTheNewestHolds(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		table, err := setup.AddTable(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: 7, Title: "Boletes"})
		if err != nil {
			t.Fatal(err)
		}
		c := logged(t, g, 417)
		for _, p := range []tables.Place{{Where: foray.AtBench, With: "Ada"}, {Where: foray.OnTable, Table: "7", Position: "4"}} {
			p.Collection = c
			if err := place(t, g, g.As[access.Steward], p); err != nil {
				t.Fatal(err)
			}
		}
		d, err := tables.See(ctx, g.Hall, access.Nobody, g.Scope)
		if err != nil || len(d.Plates[table.ID]) != 1 || d.Plates[table.ID][0].Plate.Position != "4" {
			t.Errorf("%+v %v", d.Plates, err)
		}
		s, err := bench.SeeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, foray.Number{Base: 417})
		if err != nil || len(s.Placements) != 2 {
			t.Errorf("%d placements are kept, %v", len(s.Placements), err)
		}
		if err := place(t, g, g.As[access.Steward], tables.Place{Collection: c, Where: foray.OnBackTable}); err != nil {
			t.Fatal(err)
		}
		if d, err := tables.See(ctx, g.Hall, access.Nobody, g.Scope); err != nil || len(d.Plates[table.ID]) != 0 {
			t.Errorf("it still stands on the table: %+v %v", d.Plates, err)
		}
	})
}
