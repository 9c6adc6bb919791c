package people

import (
	"context"
	"errors"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Told is everything that the installation keeps of somebody, by table, in the form that packages have.
type Told struct {
	At   time.Time                   `json:"at"`
	Rows map[string][]map[string]any `json:"rows"`
}

// Tell gives the actor everything that is kept of them.
func Tell(ctx context.Context, h *hall.Hall, actor access.Actor) (Told, error) {
	var t Told
	actor, err := self(ctx, h, actor)
	if err != nil {
		return t, err
	}
	err = h.View(ctx, actor, access.NameOwn, access.Scope{Society: actor.Society}, func(l *hall.Look) (err error) {
		t.At = l.Now.UTC()
		t.Rows, err = l.Tx.ToldOf(actor.Society, actor.Person)
		return err
	})
	return t, err
}

// Leave is how somebody goes.
type Leave struct {
	Credit string `json:"credit"` // how the records name them from now on
}

// EraseMe removes how the actor signs in, their rights, wishes and what they told for the day. What they found and
// named stays, under the name as they want it to appear; where no record names them, the name goes too.
func EraseMe(ctx context.Context, h *hall.Hall, actor access.Actor, cmd hall.Command, in Leave) error {
	cmd.Type, cmd.Body = "person.erase.v1", in
	var events []foray.ID
	_, _, err := doOwn(ctx, h, actor, cmd, func(w *hall.Write) (Nothing, error) {
		if in.Credit != "full" && in.Credit != "initials" && in.Credit != "none" {
			return Nothing{}, fault.Wrong("credit", "people.credit-unknown")
		}
		society, person := w.Scope.Society, w.Actor.Person
		if err := maySayGoodbye(w.Tx, society, person); err != nil {
			return Nothing{}, err
		}
		var err error
		if events, err = changedEverywhere(w); err != nil {
			return Nothing{}, err
		}
		w.Note("person.erase", person, "")
		why := "erasure asked for by " + person.String()
		if err := errors.Join(w.Tx.SetCredit(society, person, in.Credit), w.Tx.ErasePerson(society, person, why, w.Stamp())); err != nil {
			return Nothing{}, err
		}
		named, err := w.Tx.OnRecord(society, person)
		if err != nil || named {
			return Nothing{}, err
		}
		return Nothing{}, w.Tx.ForgetName(society, person, why, w.Stamp())
	})
	tell(h, events, err)
	return err
}

// maySayGoodbye keeps an open event from being left to nobody.
func maySayGoodbye(tx *store.Tx, society, person foray.ID) error {
	last, err := lastOrganiserOf(tx, society, person, tx.LockRights) // two who go at once are answered one after the other
	if err != nil || len(last) == 0 {
		return err
	}
	return fault.New(fault.Refused, "people.last-organiser", "event", last[0].Code)
}

// lastOrganiserOf lists the events that are not closed and have no other organiser.
func lastOrganiserOf(tx *store.Tx, society, person foray.ID, rightsIn func(society, event foray.ID) ([]store.EventRight, error)) ([]store.Event, error) {
	rights, err := tx.RightsHeld(society, person)
	if err != nil {
		return nil, err
	}
	var last []store.Event
	for _, r := range rights {
		if r.Held != access.Organiser {
			continue
		}
		event, err := tx.EventByID(society, r.EventID)
		if err != nil {
			return nil, err
		}
		others, err := rightsIn(society, r.EventID)
		if err != nil {
			return nil, err
		}
		if event.State != "closed" && !anotherOrganises(others, person) {
			last = append(last, event)
		}
	}
	return last, nil
}

func anotherOrganises(rights []store.EventRight, person foray.ID) bool {
	for _, r := range rights {
		if r.Held == access.Organiser && r.PersonID != person {
			return true
		}
	}
	return false
}
