package setup

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Right is a right to be given or taken. Person is an id; or Name names somebody, who is added where needed: a
// determiner need not have an account.
type Right struct {
	Person foray.ID     `json:"person,omitzero"`
	Name   string       `json:"name,omitempty"`
	Right  access.Right `json:"right"`
}

// GiveRight gives a right for the event; everybody in the event can see who holds what.
func GiveRight(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Right) (Made, error) {
	cmd.Type, cmd.Body = "right.give.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		person, err := rightTo(w, in)
		if err != nil {
			return Made{}, err
		}
		w.Note("right.give", person, string(in.Right))
		w.Changed("right", person)
		return Made{ID: person}, w.Tx.GiveRight(store.EventRight{SocietyID: scope.Society, EventID: scope.Event, PersonID: person,
			Held: in.Right, GivenBy: w.Actor.Person, GivenAt: w.Stamp()})
	})
}

// TakeRight takes a right away; the last organiser keeps theirs.
func TakeRight(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Right) (Made, error) {
	cmd.Type, cmd.Body = "right.take.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		if in.Person.IsZero() { // nobody is added to take something away
			return Made{}, fault.Wrong("person", "setup.person-missing")
		}
		person, err := rightTo(w, in)
		if err != nil {
			return Made{}, err
		}
		if in.Right == access.Organiser {
			if err := notTheLast(w, person); err != nil {
				return Made{}, err
			}
		}
		w.Note("right.take", person, string(in.Right))
		w.Changed("right", person)
		return Made{ID: person}, w.Tx.TakeRight(scope.Society, scope.Event, person, in.Right)
	})
}

func rightTo(w *hall.Write, in Right) (foray.ID, error) {
	known := false
	for _, r := range access.Given {
		known = known || r == in.Right
	}
	if !known {
		return foray.ID{}, fault.Wrong("role", "setup.right-unknown")
	}
	if in.Person.IsZero() {
		id, err := w.PersonNamed(in.Name)
		if err == nil && id.IsZero() {
			err = fault.Wrong("person", "setup.person-missing")
		}
		return id, err
	}
	_, err := w.Tx.PersonByID(w.Scope.Society, in.Person)
	return in.Person, err
}

func notTheLast(w *hall.Write, person foray.ID) error {
	rights, err := w.Tx.LockRights(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return err
	}
	for _, r := range rights {
		if r.Held == access.Organiser && r.PersonID != person {
			return nil
		}
	}
	return fault.New(fault.Refused, "setup.last-organiser")
}
