package tables

import (
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/display"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Plan is the hall from above with what stands where.
type Plan struct {
	Event  hall.Event
	Hall   display.Plan
	Tables []OnPlan
	Back   int // plates on the back table
	Held   access.Held
	Seq    int64
}

// OnPlan is a table as it is drawn.
type OnPlan struct {
	hall.Table
	Slots   int
	Plates  int
	Worst   int // highest severity of what is or may be there
	Unnamed int
	Found   bool // something that is looked for stands there
	SweptAt time.Time
}

// SeePlan shows the staff the hall from above; find is a number or a part of a name, and marks the tables where it is.
func SeePlan(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, find string) (Plan, error) {
	var p Plan
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		p.Held = l.Held
		if !l.Held.Staff() {
			return hall.NotAllowed(access.PlacePlates)
		}
		if p.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if p.Seq, err = l.Tx.ChangeSeq(scope.Society, scope.Event); err != nil {
			return err
		}
		all, err := l.Tx.HallTables(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		sweeps, err := l.Tx.Sweeps(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		plates, err := l.Plates()
		p.draw(h, all, sweeps, plates, find)
		return err
	})
	return p, err
}

func (p *Plan) draw(h *hall.Hall, all []store.HallTable, sweeps []store.Sweep, plates []hall.Plate, find string) {
	swept := map[foray.ID]time.Time{}
	for _, s := range sweeps { // the newest first
		if swept[s.TableID].IsZero() {
			swept[s.TableID] = s.HappenedAt.Time
		}
	}
	at := map[foray.ID]int{}
	boxes := make([]display.Table, len(all))
	for i, t := range all {
		at[t.ID] = i
		boxes[i] = display.Table{Number: t.Number, X: t.PlanXMM, Y: t.PlanYMM, LengthMM: t.LengthMM, DepthMM: t.DepthMM, Turned: t.Turned}
		p.Tables = append(p.Tables, OnPlan{Table: t, Slots: display.Slots(t.LengthMM, t.DepthMM), SweptAt: swept[t.ID]})
	}
	p.Hall = display.Lay(boxes)
	for _, plate := range plates {
		if plate.Whereabouts == foray.OnBackTable {
			p.Back++
		}
		i, ok := at[plate.TableID]
		if !ok || plate.Whereabouts != foray.OnTable {
			continue
		}
		t := &p.Tables[i]
		t.Plates++
		t.Worst = max(t.Worst, h.Knowledge.Hazards.Worst(plate.Questions(), p.Event.Region).Severity)
		if len(plate.Standing.Question) == 0 {
			t.Unnamed++
		}
		t.Found = t.Found || find != "" && plate.Matches(find, p.Event.Code)
	}
}

// ToClear is a plate that somebody ought to put away.
type ToClear struct {
	Plate      hall.Plate
	Assessment hazard.Assessment
	First      bool // bagged first, and counted when the hall is closed
	Kept       bool // asked for because something was eaten: it is not thrown away
}

// SeeClearing lists everything that is still in the hall in the order in which tables are cleared: what may poison
// first, then by table and number.
func SeeClearing(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]ToClear, error) {
	var left []ToClear
	err := h.View(ctx, actor, access.RemovePlates, scope, func(l *hall.Look) error {
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		numbers := map[foray.ID]int{}
		all, err := l.Tx.HallTables(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, t := range all {
			numbers[t.ID] = t.Number
		}
		kept, err := l.Kept()
		if err != nil {
			return err
		}
		plates, err := l.Plates()
		if err != nil {
			return err
		}
		for _, p := range plates {
			if !p.Whereabouts.InHall() || p.Whereabouts == foray.Lost {
				continue
			}
			worst := h.Knowledge.Hazards.Worst(p.Questions(), event.Region)
			left = append(left, ToClear{Plate: p, Assessment: worst, First: p.BaggedFirst(worst), Kept: kept[p.ID]})
		}
		slices.SortStableFunc(left, func(a, b ToClear) int { return clearFirst(a, b, numbers) })
		return nil
	})
	return left, err
}

func clearFirst(a, b ToClear, tables map[foray.ID]int) int {
	if a.First != b.First {
		if a.First {
			return -1
		}
		return 1
	}
	if x, y := a.Assessment.Weight, b.Assessment.Weight; x != y {
		return y - x
	}
	if x, y := tables[a.Plate.TableID], tables[b.Plate.TableID]; x != y {
		return x - y
	}
	if a.Plate.Number().Less(b.Plate.Number()) {
		return -1
	}
	return 1
}
