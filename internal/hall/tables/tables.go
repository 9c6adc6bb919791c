// Package tables is where plates stand: a placement is a row that is added, and the newest says where a plate is. It
// also keeps the papers that stand beside them, and knows which of them say what is no longer so.
package tables

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Place says where a plate is now.
type Place struct {
	Collection foray.ID          `json:"collection"`
	Where      foray.Whereabouts `json:"where"`
	Table      string            `json:"table,omitempty"` // its id or number
	Position   string            `json:"position,omitempty"`
	With       string            `json:"with,omitempty"`
}

// Placed is the answer.
type Placed struct {
	Number string            `json:"number"`
	Where  foray.Whereabouts `json:"where"`
}

// PlacePlate adds a placement. Tables are the stewards'; the desk and the bench hand plates to each other; drying,
// sending and discarding a named plate is for those who may remove plates.
func PlacePlate(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Place) (Placed, error) {
	cmd.Type, cmd.Body = "plate.place.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Placed, error) {
		if err := w.May(PlaceActions(in.Where)...); err != nil {
			return Placed{}, err
		}
		plate, err := w.LockPlate(in.Collection)
		if err != nil {
			return Placed{}, err
		}
		p := foray.Placement{Where: in.Where, Position: in.Position, With: in.With}
		if p.Where == foray.OnTable {
			table, err := tableOf(w, in.Table)
			if err != nil {
				return Placed{}, err
			}
			p.TableID = table.ID
		}
		return Placed{Number: plate.Number().String(), Where: p.Where}, put(w, plate, p)
	})
}

// put is the one way a plate gets anywhere: the rules, the row, the audit and the change.
func put(w *hall.Write, plate hall.Plate, p foray.Placement) error {
	p, err := w.MayStand(plate, p)
	if err != nil {
		return err
	}
	return w.Stand(plate.Collection, p)
}

// PlaceActions is the actions any of which allows to put a plate there.
func PlaceActions(w foray.Whereabouts) []access.Action {
	switch w {
	case foray.AtDesk, foray.AtBench:
		return []access.Action{access.LogCollection, access.PlacePlates}
	case foray.InDryer, foray.SentTo, foray.Discarded:
		return []access.Action{access.RemovePlates}
	case foray.Lost:
		return []access.Action{access.PlacePlates, access.RemovePlates}
	}
	return []access.Action{access.PlacePlates}
}

// tableOf is a table by its id or number; there must be one.
func tableOf(w *hall.Write, written string) (store.HallTable, error) {
	t, err := w.TableWritten(written)
	if fault.Is(err, fault.NotFound) {
		err = fault.Wrong("table", "place.table-missing")
	}
	return t, err
}

// Standing is one plate on a table as visitors see it.
type Standing struct {
	Plate      hall.Plate
	Assessment hazard.Assessment
}

// Display is what stands in the hall.
type Display struct {
	Event  store.Event
	Tables []store.HallTable
	Plates map[foray.ID][]Standing // by table, in order of number
	Held   access.Held
	Seq    int64
}

// See shows the tables to everybody.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Display, error) {
	d := Display{Plates: map[foray.ID][]Standing{}}
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		d.Held = l.Held
		if d.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if d.Seq, err = l.Tx.ChangeSeq(scope.Society, scope.Event); err != nil {
			return err
		}
		if d.Tables, err = l.Tx.HallTables(scope.Society, scope.Event); err != nil {
			return err
		}
		plates, err := l.Plates()
		for _, p := range plates {
			if p.Whereabouts == foray.OnTable {
				d.Plates[p.TableID] = append(d.Plates[p.TableID], Standing{Plate: p,
					Assessment: h.Knowledge.Hazards.Worst(p.Questions(), d.Event.Region)})
			}
		}
		return err
	})
	return d, err
}
