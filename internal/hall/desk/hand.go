package desk

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Hand is plates that are carried from the desk to the bench.
type Hand struct {
	Numbers []string `json:"numbers"`
	With    string   `json:"with,omitempty"` // to whom, where that is known
}

// Handed is how many went, by number: what had left the desk before stays where it is.
type Handed struct {
	Numbers []string `json:"numbers"`
}

// mostHanded is a tray's load, many times over.
const mostHanded = 200

// HandToBench moves plates from the desk to the bench at once. One that somebody has moved meanwhile is left alone.
func HandToBench(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Hand) (Handed, error) {
	cmd.Type, cmd.Body = "collection.hand.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Handed, error) {
		event, err := w.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return Handed{}, err
		}
		if len(in.Numbers) == 0 || len(in.Numbers) > mostHanded || len(in.With) > 200 {
			return Handed{}, fault.Wrong("numbers", "number.none-at-desk")
		}
		var done Handed
		for _, written := range in.Numbers {
			n, err := foray.ParseNumber(written, event.Code)
			if err != nil {
				return Handed{}, err
			}
			went, err := hand(w, n, in.With)
			if err != nil {
				return Handed{}, err
			}
			if went {
				done.Numbers = append(done.Numbers, n.String())
			}
		}
		if len(done.Numbers) == 0 {
			return Handed{}, fault.New(fault.Refused, "number.none-at-desk")
		}
		return done, nil
	})
}

func hand(w *hall.Write, n foray.Number, with string) (bool, error) {
	found, err := w.Tx.CollectionByNumber(w.Scope.Society, w.Scope.Event, n)
	if err != nil {
		return false, err
	}
	c, err := w.Tx.LockCollection(w.Scope.Society, w.Scope.Event, found.ID)
	if err != nil || c.Fate != store.Live || c.Whereabouts != foray.AtDesk {
		return false, err
	}
	w.Note("plate.place", c.ID, n.String()+" "+string(foray.AtBench))
	w.Changed("collection", c.ID)
	return true, place(w, c.ID, store.Placement{Whereabouts: foray.AtBench, WithWhom: with})
}

// place adds a row to a plate's history of places.
func place(w *hall.Write, collection foray.ID, p store.Placement) (err error) {
	if p.ID, err = w.NewID(); err != nil {
		return err
	}
	p.SocietyID, p.EventID, p.CollectionID, p.PlacedBy = w.Scope.Society, w.Scope.Event, collection, w.Actor.Person
	p.HappenedAt, p.RecordedAt = w.HappenedStamp(), w.Stamp()
	return w.Tx.Place(p)
}
