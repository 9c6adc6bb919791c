package desk

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

// Fate is what became of a number that has no plate, or of a run of them.
type Fate struct {
	Number string `json:"number"`
	To     string `json:"to,omitempty"` // the last of a run
	Fate   string `json:"fate"`         // spoilt, lost, found, unused
	Reason string `json:"reason,omitempty"`
}

// Said is how many numbers something was said of.
type Said struct {
	Number string `json:"number"`
	To     string `json:"to,omitempty"`
	Count  int    `json:"count"`
}

// MostSaid is how many numbers one word may be said of: ten pads.
const MostSaid = 500

var sayable = []string{string(foray.Unused), string(foray.Spoilt), string(foray.LostNumber), foray.FoundAgain}

// SayFate says what became of numbers without a plate. A plate is lost by saying where it is, not by its number; of one
// that was marked as logged by mistake it may be said that it was found: it is a plate again.
func SayFate(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Fate) (Said, error) {
	cmd.Type, cmd.Body = "number.fate.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Said, error) {
		from, to, err := runOf(w, in)
		if err != nil {
			return Said{}, err
		}
		if !slices.Contains(sayable, in.Fate) {
			return Said{}, fault.Wrong("fate", "number.fate-unknown")
		}
		if len(in.Reason) > 500 {
			return Said{}, fault.Wrong("reason", "text.too-long", "most", 500)
		}
		if in.Reason = strings.TrimSpace(in.Reason); in.Reason == "" && in.Fate != string(foray.Unused) {
			return Said{}, fault.Wrong("reason", "number.reason-missing")
		}
		said := Said{Number: from.String(), Count: to.Base - from.Base + 1}
		var word foray.ID
		for n := from; n.Base <= to.Base; n.Base++ {
			if word, err = sayOf(w, n, in); err != nil {
				return Said{}, err
			}
		}
		if said.Count > 1 {
			said.To = to.String()
		}
		w.Note("number.fate", word, strings.TrimSpace(said.Number+" "+said.To+" "+in.Fate+" "+in.Reason))
		w.Changed("number", word)
		return said, nil
	})
}

func runOf(w *hall.Write, in Fate) (from, to foray.Number, err error) {
	event, err := w.Event()
	if err != nil {
		return from, to, err
	}
	if from, err = foray.ParseNumber(in.Number, event.Code); err != nil || strings.TrimSpace(in.To) == "" {
		return from, from, err
	}
	if to, err = foray.ParseNumber(in.To, event.Code); err != nil {
		return from, to, fault.Wrong("to", "number.unreadable", "written", in.To, "event", event.Code)
	}
	switch {
	case from == to:
	case to.Base <= from.Base || from.Suffix != "" || to.Suffix != "":
		return from, to, fault.Wrong("to", "number.run-backwards")
	case to.Base-from.Base >= MostSaid:
		return from, to, fault.Wrong("to", "number.run-long", "most", MostSaid)
	}
	return from, to, nil
}

func sayOf(w *hall.Write, n foray.Number, in Fate) (foray.ID, error) {
	c, err := w.Tx.CollectionByNumber(w.Scope.Society, w.Scope.Event, n)
	switch {
	case fault.Is(err, fault.NotFound):
	case err != nil:
		return foray.ID{}, err
	case c.Fate == store.Spoilt && in.Fate == foray.FoundAgain:
		if err := w.AfterClosing(in.Reason); err != nil {
			return foray.ID{}, err
		}
		if err := w.Tx.SetFate(c, store.Live); err != nil {
			return foray.ID{}, err
		}
		if err := againWhere(w, c); err != nil {
			return foray.ID{}, err
		}
		w.Changed("collection", c.ID)
	default:
		return foray.ID{}, fault.Wrong("number", "number.has-plate", "number", n.String())
	}
	return addFate(w, n, in.Fate, in.Reason)
}

// againWhere puts a plate that is one again to the desk, where another lies in its place of the dryer by now.
func againWhere(w *hall.Write, c store.Collection) error {
	if c.Whereabouts != foray.InDryer {
		return nil
	}
	free, err := w.SlotFree(c)
	if err != nil || free {
		return err
	}
	return w.Stand(c, foray.Placement{Where: foray.AtDesk})
}

func addFate(w *hall.Write, n foray.Number, fate, reason string) (foray.ID, error) {
	id, err := w.NewID()
	if err != nil {
		return id, err
	}
	return id, w.Tx.AddNumberFate(store.NumberFate{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, NumberBase: n.Base, NumberSuffix: n.Suffix,
		Fate: fate, Reason: reason, SaidBy: w.Actor.Person, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
}

// Mistake is a collection that was logged by mistake.
type Mistake struct {
	Collection foray.ID `json:"collection"`
	Reason     string   `json:"reason"`
}

// Spoil takes a collection that nobody has named out of the hall: it was logged by mistake. Its label is spoilt with it.
func Spoil(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Mistake) (Logged, error) {
	cmd.Type, cmd.Body = "collection.spoil.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Logged, error) {
		plate, err := w.LockPlate(in.Collection)
		if err != nil {
			return Logged{}, err
		}
		reason, err := reasonGiven(in.Reason)
		if err == nil {
			err = w.AfterClosing(reason)
		}
		if err != nil {
			return Logged{}, err
		}
		if len(plate.Slips) > 0 {
			return Logged{}, fault.New(fault.Refused, "spoil.named")
		}
		kept, err := w.KeptForIncident(plate.ID)
		if err != nil {
			return Logged{}, err
		}
		if kept {
			return Logged{}, fault.New(fault.Refused, "place.kept-for-incident", "number", plate.Number().String())
		}
		if err := w.Tx.SetFate(plate.Collection, store.Spoilt); err != nil {
			return Logged{}, err
		}
		n := plate.Number()
		w.Note("collection.spoil", plate.ID, n.String()+" "+reason)
		w.Changed("collection", plate.ID)
		_, err = addFate(w, n, store.Spoilt, reason)
		return Logged{ID: plate.ID, Number: n.String()}, err
	})
}

func reasonGiven(reason string) (string, error) {
	switch reason = strings.TrimSpace(reason); {
	case reason == "":
		return "", fault.Wrong("reason", "number.reason-missing")
	case len(reason) > 500:
		return "", fault.Wrong("reason", "text.too-long", "most", 500)
	}
	return reason, nil
}
