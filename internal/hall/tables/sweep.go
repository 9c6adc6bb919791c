package tables

import (
	"cmp"
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Sweep is what somebody who stands before a table sees there.
type Sweep struct {
	Table  string `json:"table"` // its id or number
	Plates []Spot `json:"plates"`
}

// Swept is the answer: what was thought elsewhere and is here, and what was thought here and is not.
type Swept struct {
	Table   int      `json:"table"`
	Seen    int      `json:"seen"`
	Moved   []string `json:"moved"`
	Missing []string `json:"missing"`
}

// SweepTable makes what really stands on a table the truth: what is seen stands there, and what was thought to stand
// there and is not seen counts as lost until somebody meets it. An empty table may be swept too. What stands there
// stands there: no rule keeps it from being said.
func SweepTable(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Sweep) (Swept, error) {
	cmd.Type, cmd.Body = "table.sweep.v1", in
	return hall.Do(ctx, h, actor, access.PlacePlates, scope, cmd, func(w *hall.Write) (Swept, error) {
		table, err := tableOf(w, in.Table)
		if err != nil {
			return Swept{}, err
		}
		done := Swept{Table: table.Number, Seen: len(in.Plates), Moved: []string{}, Missing: []string{}}
		seen := map[foray.ID]bool{}
		if len(in.Plates) > 0 {
			plates, err := platesOf(w, in.Plates)
			if err != nil {
				return Swept{}, err
			}
			for i, p := range plates {
				seen[p.ID] = true
				if err := here(w, table, p, in.Plates[i].Position, &done); err != nil {
					return Swept{}, err
				}
			}
		}
		if err := gone(w, table, seen, &done); err != nil {
			return Swept{}, err
		}
		return done, keepSweep(w, table, done)
	})
}

// here stands a plate on the table, unless it was known to stand just there.
func here(w *hall.Write, table store.HallTable, p hall.Plate, position string, done *Swept) error {
	if len(position) > hall.MostPosition {
		return fault.Wrong("plates", "text.too-long", "most", hall.MostPosition)
	}
	position = cmp.Or(position, onlyIf(p.TableID == table.ID, p.Position))
	if p.Whereabouts == foray.OnTable && p.TableID == table.ID && p.Position == position {
		return nil
	}
	if p.Whereabouts != foray.OnTable || p.TableID != table.ID {
		done.Moved = append(done.Moved, p.Number().String())
	}
	return w.Stand(p.Collection, foray.Placement{Where: foray.OnTable, TableID: table.ID, Position: position})
}

func onlyIf(yes bool, s string) string {
	if yes {
		return s
	}
	return ""
}

func gone(w *hall.Write, table store.HallTable, seen map[foray.ID]bool, done *Swept) error {
	plates, err := w.Plates()
	if err != nil {
		return err
	}
	for _, p := range plates {
		if p.Whereabouts != foray.OnTable || p.TableID != table.ID || seen[p.ID] {
			continue
		}
		locked, err := w.LockPlate(p.ID)
		if err != nil {
			return err
		}
		done.Missing = append(done.Missing, p.Number().String())
		if err := w.Stand(locked.Collection, foray.Placement{Where: foray.Lost}); err != nil {
			return err
		}
	}
	return nil
}

func keepSweep(w *hall.Write, table store.HallTable, done Swept) error {
	id, err := w.NewID()
	if err != nil {
		return err
	}
	w.Note("table.sweep", table.ID, "")
	w.Changed("table", table.ID)
	return w.Tx.AddSweep(store.Sweep{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, TableID: table.ID, Seen: done.Seen,
		Moved: len(done.Moved), Missing: len(done.Missing), SweptBy: w.Actor.Person, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
}
