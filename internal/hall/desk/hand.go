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
	Numbers []string `json:"numbers,omitempty"`
	All     bool     `json:"all,omitempty"`  // whatever stands at the desk when it is done
	With    string   `json:"with,omitempty"` // to whom, where that is known
}

// Handed is how many went, by number: what had left the desk before stays where it is.
type Handed struct {
	Numbers []string `json:"numbers"`
}

const (
	mostHanded = 200 // numbers written one by one: a tray's load, many times over
	mostWith   = 200 // bytes of a name
)

// HandToBench moves plates from the desk to the bench at once. One that somebody has moved meanwhile is left alone.
func HandToBench(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Hand) (Handed, error) {
	cmd.Type, cmd.Body = "collection.hand.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Handed, error) {
		plates, err := in.plates(w)
		if err != nil {
			return Handed{}, err
		}
		var done Handed
		for _, c := range plates {
			went, err := hand(w, c, in.With)
			if err != nil {
				return Handed{}, err
			}
			if went {
				done.Numbers = append(done.Numbers, c.Number().String())
			}
		}
		if len(done.Numbers) == 0 {
			return Handed{}, fault.New(fault.Refused, "number.none-at-desk")
		}
		return done, nil
	})
}

// plates are those that are meant.
func (in Hand) plates(w *hall.Write) ([]store.Collection, error) {
	switch {
	case len(in.With) > mostWith:
		return nil, fault.Wrong("with", "text.too-long", "most", mostWith)
	case in.All:
		return w.Tx.Collections(w.Scope.Society, w.Scope.Event)
	case len(in.Numbers) == 0:
		return nil, fault.Wrong("numbers", "hand.none")
	case len(in.Numbers) > mostHanded:
		return nil, fault.Wrong("numbers", "hand.too-many", "most", mostHanded)
	}
	plates := make([]store.Collection, len(in.Numbers))
	for i, written := range in.Numbers {
		var err error
		if plates[i], err = w.CollectionWritten(written); err != nil {
			return nil, err
		}
	}
	return plates, nil
}

// atDesk reports whether a plate stands at the desk.
func atDesk(c store.Collection) bool { return c.Fate == store.Live && c.Whereabouts == foray.AtDesk }

func hand(w *hall.Write, c store.Collection, with string) (bool, error) {
	if !atDesk(c) {
		return false, nil
	}
	c, err := w.Tx.LockCollection(w.Scope.Society, w.Scope.Event, c.ID)
	if err != nil || !atDesk(c) {
		return false, err
	}
	return true, w.Stand(c, foray.Placement{Where: foray.AtBench, With: with})
}
