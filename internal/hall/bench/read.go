package bench

import (
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Sight is one collection as somebody at the bench sees it.
type Sight struct {
	Event       store.Event
	Plate       hall.Plate
	Assessment  hazard.Assessment
	Flags       []hall.Flagged // what the law of the place says of a name in question
	Notes       []store.CharacterNote
	People      map[foray.ID]store.Person
	Teams       []store.Team
	Sites       []store.Site
	Tables      []store.HallTable
	Determiners []store.Person // who may be chosen by a scribe; empty for others
	Placements  []store.Placement
	SpoilsAt    time.Time    // zero: keeps for weeks, or the group is not known
	Before      foray.Number // the plates beside it, by number; zero at the ends
	After       foray.Number
	Identifiers []Identifier // to whom it may be passed
	Held        access.Held
	Now         time.Time
}

// SeeCollection shows one collection to whoever may see it: staff, and the member whose own it is.
func SeeCollection(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n foray.Number) (Sight, error) {
	var s Sight
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		s.Held, s.Now = l.Held, l.Now
		if s.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if s.Plate, err = l.PlateByNumber(n); err != nil {
			return err
		}
		if !l.Held.Staff() && s.Plate.CollectorID != actor.Person {
			return fault.Missing()
		}
		if s.Notes, err = l.NotesOf(s.Plate.ID); err != nil {
			return err
		}
		s.Assessment = h.Knowledge.Hazards.Worst(s.Plate.Questions(), s.Event.Region)
		if s.Flags, err = l.FlagsOf(s.Plate); err != nil {
			return err
		}
		s.SpoilsAt = spoilsAt(l, s.Plate)
		return s.around(l)
	})
	return s, err
}

func (s *Sight) around(l *hall.Look) (err error) {
	society, event := l.Scope.Society, l.Scope.Event
	if s.People, err = l.PeopleNames(); err != nil {
		return err
	}
	if s.Teams, err = l.Tx.Teams(society, event); err != nil {
		return err
	}
	if s.Sites, err = l.Tx.Sites(society, event); err != nil {
		return err
	}
	if s.Tables, err = l.Tx.HallTables(society, event); err != nil {
		return err
	}
	if s.Placements, err = l.Tx.Placements(society, event, s.Plate.ID); err != nil {
		return err
	}
	if s.Before, s.After, err = l.Tx.Neighbours(society, event, s.Plate.Number()); err != nil {
		return err
	}
	if s.Identifiers, err = identifiers(l); err != nil || !l.Held.Can(access.ScribeSignOff) {
		return err
	}
	for _, one := range s.Identifiers {
		s.Determiners = append(s.Determiners, one.Person)
	}
	return nil
}

// All is every collection of the event with its hazard, for staff.
func All(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]Waiting, error) {
	var rows []Waiting
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		return eachWaiting(l, func(w Waiting) {
			if l.Held.Staff() || w.Plate.CollectorID == actor.Person {
				rows = append(rows, w)
			}
		})
	})
	return rows, err
}

// Undo finds the slip that an actor wrote within the last minute and may take back in one key.
func (s Sight) Undo(actor access.Actor) (foray.Slip, bool) {
	slip, ok := s.Plate.Standing.Undo(actor.Person, s.Plate.Slips, s.Now)
	return slip, ok && s.MayStrike(actor, slip)
}

// MayStrike reports whether an actor may take a slip back now, for drawing the form; the command asks again.
func (s Sight) MayStrike(actor access.Actor, slip foray.Slip) bool {
	if !actor.SignedIn() {
		return false
	}
	strike := foray.Slip{Kind: foray.Strike, Strikes: slip.ID, Determiner: actor.Person, Writer: actor.Person, Remarks: "asked"}
	return s.Plate.Standing.Permit(strike, foray.Hand{Person: actor.Person}, s.Plate.Slips, s.Now) == nil
}
