package visit

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
)

// Table is one table with what stands on it.
type Table struct {
	Seen
	Number  int
	Title   string
	Hazards bool // out of a child's reach
	Before  int  // the table before it, and the one after; 0: none
	After   int
	Plates  []TablePlate // by position, then number
}

// TablePlate is a plate with the doubles that are displayed in this hall: what it is mistaken for, and where that
// stands.
type TablePlate struct {
	Plate
	Doubles []Double
}

// SeeTable shows one table to anybody.
func SeeTable(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, number int) (Table, error) {
	var t Table
	err := view(ctx, h, actor, scope, func(g *gallery) error {
		id, ok := g.tableNumbered(number)
		if !ok {
			return fault.Missing()
		}
		row := g.tables[id]
		t = Table{Seen: g.seen(), Number: row.Number, Title: row.Title, Hazards: row.Hazards}
		t.Before, t.After = g.beside(number)
		for _, p := range g.plates {
			if p.Whereabouts == foray.OnTable && p.TableID == id {
				shown := g.plate(p)
				t.Plates = append(t.Plates, TablePlate{shown, displayed(g.doubles(shown.Names))})
			}
		}
		return nil
	})
	return t, err
}

func (g *gallery) tableNumbered(number int) (foray.ID, bool) {
	for id, t := range g.tables {
		if t.Number == number {
			return id, true
		}
	}
	return foray.ID{}, false
}

// beside gives the numbers of the tables next to one.
func (g *gallery) beside(number int) (before, after int) {
	for _, t := range g.tables {
		if t.Number < number && t.Number > before {
			before = t.Number
		}
		if t.Number > number && (after == 0 || t.Number < after) {
			after = t.Number
		}
	}
	return before, after
}

// displayed keeps the mistakes for which the poisonous one stands on a table: a card at the one looked for says where.
func displayed(all []Double) []Double {
	var out []Double
	for _, d := range all {
		if d.Role == hazard.Gathered && len(d.Stands) > 0 {
			out = append(out, d)
		}
	}
	return out
}
