package setup

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Table is a table to be made.
type Table struct {
	Number   int      `json:"number"`
	Title    string   `json:"title,omitempty"`
	Hazards  bool     `json:"hazards,omitempty"`   // out of a child's reach
	Groups   []string `json:"groups,omitempty"`    // form groups that stand here
	LengthMM int      `json:"length_mm,omitempty"` // 0: of a six-foot trestle
	DepthMM  int      `json:"depth_mm,omitempty"`
	PlanXMM  int      `json:"plan_x_mm,omitempty"` // where its corner stands in the hall
	PlanYMM  int      `json:"plan_y_mm,omitempty"`
	Turned   bool     `json:"turned,omitempty"` // its length runs along the plan's height
}

// TableChange is a table as it is to stand; its number stays.
type TableChange struct {
	ID    foray.ID `json:"id"`
	Table Table    `json:"table"`
}

// A six-foot trestle is 183 by 76 cm (common practice); no table is smaller than a tray or longer than a hall is wide.
const (
	usualLengthMM, usualDepthMM = 1830, 760
	leastTableMM, mostTableMM   = 200, 10000
	mostPlanMM                  = 200000
)

// AddTable makes a table.
func AddTable(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Table) (Made, error) {
	cmd.Type, cmd.Body = "table.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "table", func(w *hall.Write, id foray.ID) error {
		if in.Number < 1 || in.Number > mostNumber {
			return fault.Wrong("number", "setup.table-number")
		}
		tables, err := w.Tx.HallTables(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, other := range tables {
			if other.Number == in.Number {
				return fault.Wrong("number", "setup.table-taken", "number", in.Number)
			}
		}
		t := store.HallTable{SocietyID: scope.Society, EventID: scope.Event, ID: id, Number: in.Number, CreatedAt: w.Stamp()}
		if err := in.fill(w, &t); err != nil {
			return err
		}
		return w.Tx.AddHallTable(t)
	})
}

// ChangeTable sets a table up anew. What stands on it stays where it is.
func ChangeTable(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in TableChange) (Made, error) {
	cmd.Type, cmd.Body = "table.change.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		tables, err := w.Tx.HallTables(scope.Society, scope.Event)
		for _, t := range tables {
			if t.ID != in.ID {
				continue
			}
			was := TableOf(t)
			if err := in.Table.fill(w, &t); err != nil {
				return Made{}, err
			}
			return changed(w, "table", t.ID, was, w.Tx.SetHallTable(t))
		}
		return Made{}, missing(err)
	})
}

// TableOf is how a table is set up now.
func TableOf(t store.HallTable) Table {
	return Table{Number: t.Number, Title: t.Title, Hazards: t.Hazards, Groups: hall.GroupsOn(t), LengthMM: t.LengthMM, DepthMM: t.DepthMM,
		PlanXMM: t.PlanXMM, PlanYMM: t.PlanYMM, Turned: t.Turned}
}

func (in Table) fill(w *hall.Write, t *store.HallTable) error {
	t.Title, t.Hazards, t.Turned, t.PlanXMM, t.PlanYMM = tidy(in.Title), in.Hazards, in.Turned, in.PlanXMM, in.PlanYMM
	if t.LengthMM = in.LengthMM; t.LengthMM == 0 {
		t.LengthMM = usualLengthMM
	}
	if t.DepthMM = in.DepthMM; t.DepthMM == 0 {
		t.DepthMM = usualDepthMM
	}
	for _, mm := range []int{t.LengthMM, t.DepthMM} {
		if mm < leastTableMM || mm > mostTableMM {
			return fault.Wrong("length_mm", "setup.table-size", "least", leastTableMM, "most", mostTableMM)
		}
	}
	if len(t.Title) > mostName {
		return fault.Wrong("name", "setup.name-missing")
	}
	if t.PlanXMM < 0 || t.PlanXMM > mostPlanMM || t.PlanYMM < 0 || t.PlanYMM > mostPlanMM {
		return fault.Wrong("plan_x_mm", "setup.table-plan", "most", mostPlanMM)
	}
	groups := slices.Compact(slices.Sorted(slices.Values(in.Groups)))
	for _, g := range groups {
		if _, known := w.Hall.Knowledge.Hazards.Group(g); !known {
			return fault.Wrong("groups", "field.group-missing")
		}
	}
	t.FormGroups = strings.Join(groups, ",")
	return nil
}
