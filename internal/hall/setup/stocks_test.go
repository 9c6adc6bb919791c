package setup_test

import (
	"math"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/printing"
	"forayhall/internal/store"
)

// eight are cards of the size of a label, eight on a page.
var eight = setup.NewStock{Name: " Labels  of the  society ", PageW: 210, PageH: 297, CardW: 99.1, CardH: 67.7, Columns: 2, Rows: 4, Left: 4.65, Top: 13.1, GapX: 2.5, CutMarks: true}

// Would catch a stock that another society sees, one that comes back with other measures, a right that is wider than
// that to print cards, and a stock that ships being taken away.
func TestASocietyAddsPaperForItsCardsAndTakesItAway(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		_, elsewhere, stranger := g.Another(t, "fennmoor", "Fennmoor Fungus Group")
		add := func(by access.Actor, in setup.NewStock) (setup.Made, error) {
			return setup.AddStock(ctx, g.Hall, by, g.Scope, g.Command(t), in)
		}
		see := func(by access.Actor, at access.Scope) []setup.Stock {
			t.Helper()
			stocks, err := setup.Stocks(ctx, g.Hall, by, at)
			if err != nil {
				t.Fatal(err)
			}
			return stocks
		}
		for _, right := range []access.Right{access.Desk, access.Identifier, access.SafetyLead, access.ListKeeper, access.Member} {
			if _, err := add(g.As[right], eight); !fault.Is(err, fault.NotAllowed) {
				t.Errorf("%s adds paper: %v", right, err)
			}
		}
		made, err := add(g.As[access.Steward], eight)
		if err != nil {
			t.Fatal(err)
		}
		want := printing.Stock{Name: "Labels of the society", PageW: 210, PageH: 297, CardW: 99.1, CardH: 67.7, Columns: 2, Rows: 4, Left: 4.65, Top: 13.1, GapX: 2.5, CutMarks: true}
		ships := printing.Stocks()
		got := see(g.As[access.Desk], g.Scope)
		if len(got) != 1+len(ships) || got[0] != (setup.Stock{ID: made.ID, Stock: want}) || got[1].Stock != ships[0] || got[1].Own() {
			t.Errorf("there are %+v", got)
		}
		if theirs := see(stranger, elsewhere); len(theirs) != len(ships) {
			t.Errorf("another society has %d, %d ship", len(theirs), len(ships))
		}
		if _, err := setup.Stocks(ctx, g.Hall, g.As[access.Member], g.Scope); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a member reads what the staff prints on: %v", err)
		}
		take := func(in setup.StockTaken) error {
			return second(setup.TakeStock(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), in))
		}
		for name, in := range map[string]setup.StockTaken{"one that ships": {}, "one that is none": {ID: g.Scope.Event}} {
			if err := take(in); !fault.Is(err, fault.NotFound) {
				t.Errorf("%s is taken away: %v", name, err)
			}
		}
		if err := take(setup.StockTaken(made)); err != nil {
			t.Fatal(err)
		}
		if err := take(setup.StockTaken(made)); !fault.Is(err, fault.NotFound) {
			t.Errorf("it is taken away twice: %v", err)
		}
		if left := see(g.As[access.Steward], g.Scope); len(left) != len(ships) {
			t.Errorf("left are %+v", left)
		}
		check(t, g, func(tx *store.Tx) error {
			audits, err := tx.AuditsOfKinds(g.Scope.Society, g.Scope.Event, []string{"card-stock.add", "card-stock.take"}, 5)
			if len(audits) != 2 || audits[0].Detail != want.Name {
				t.Errorf("the audit keeps %+v", audits)
			}
			return err
		})
		if _, err := add(g.As[access.Organiser], eight); err != nil {
			t.Errorf("the name of what was taken away is not free again: %v", err)
		}
	})
}

func TestPaperThatCannotBePrintedOnIsRefusedByField(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := setup.AddStock(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), eight); err != nil {
			t.Fatal(err)
		}
		for name, c := range map[string]struct {
			change func(*setup.NewStock)
			field  string
		}{
			"no name":                        {func(s *setup.NewStock) { s.Name = " " }, "name"},
			"a name without end":             {func(s *setup.NewStock) { s.Name = strings.Repeat("x", 201) }, "name"},
			"the name of one that is there":  {func(s *setup.NewStock) { s.Name = "labels of the Society" }, "name"},
			"the name of one that ships":     {func(s *setup.NewStock) { s.Name = printing.Stocks()[0].Name }, "name"},
			"a page below zero":              {func(s *setup.NewStock) { s.Name, s.PageW = "x", -210 }, "page_w"},
			"a page as large as a table":     {func(s *setup.NewStock) { s.Name, s.PageH = "x", 1830 }, "page_h"},
			"a card without room for a code": {func(s *setup.NewStock) { s.Name, s.CardW = "x", 20 }, "card_w"},
			"no rows":                        {func(s *setup.NewStock) { s.Name, s.Rows = "x", 0 }, "rows"},
			"cards over the right edge":      {func(s *setup.NewStock) { s.Name, s.Columns = "x", 3 }, "columns"},
			"cards over the lower edge":      {func(s *setup.NewStock) { s.Name, s.Top = "x", 60 }, "rows"},
		} {
			in := eight
			in.Name = "Other labels"
			c.change(&in)
			if _, err := setup.AddStock(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), in); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		in := eight
		in.Name, in.GapX = "x", math.NaN()
		if _, err := setup.AddStock(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), in); err == nil {
			t.Error("a gap that is no number is taken")
		}
	})
}
