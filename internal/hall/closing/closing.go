// Package closing ends a day and an event: it says what is still missing, and never closes anything by force.
package closing

import (
	"context"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Sight is how far an event is from being closed.
type Sight struct {
	Event   store.Event
	Hall    []Need // what "hall closed" still needs
	Finish  []Need // what "event closed" still needs
	Hazards Hazards
	History []store.Closing // oldest first
	People  map[foray.ID]store.Person
	Held    access.Held

	Personal hall.Personal // personal data that is there still, and when it goes
	Requests int           // for corrections, that wait for an answer
}

// See shows what is missing to whoever may close.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Sight, error) {
	var s Sight
	err := h.View(ctx, actor, access.SetUp, scope, func(l *hall.Look) (err error) {
		s, err = look(l)
		return err
	})
	return s, err
}

func look(l *hall.Look) (s Sight, err error) {
	s.Held = l.Held
	if s.Event, err = l.Event(); err != nil {
		return s, err
	}
	if s.Hall, s.Hazards, err = hallNeeds(l, s.Event); err != nil {
		return s, err
	}
	if s.Finish, err = eventNeeds(l, s.Event); err != nil {
		return s, err
	}
	if s.History, err = l.Tx.Closings(l.Scope.Society, l.Scope.Event); err != nil {
		return s, err
	}
	if s.Personal, err = l.Personal(s.Event); err != nil {
		return s, err
	}
	if s.Requests, err = l.OpenRequests(); err != nil {
		return s, err
	}
	s.People, err = l.PeopleNames()
	return s, err
}

// CloseHall is what the organiser counted when the tables were cleared.
type CloseHall struct {
	Bagged int    `json:"bagged"`
	Words  string `json:"words,omitempty"` // why the count differs, where it does; what was done about a lost one
}

// Closed is the answer.
type Closed struct {
	State  string `json:"state"`
	Passes int    `json:"passes_ended,omitempty"` // people who had come in by a pass
}

const mostWords = 2000

// EndDay closes the hall: everybody is back, what is hazardous is out of reach and counted. Whoever came in by a pass is
// signed out.
func EndDay(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in CloseHall) (Closed, error) {
	cmd.Type, cmd.Body = "event.close-hall.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Closed, error) {
		e, err := inState(w, hall.EventOpen, "closing.hall-is-closed")
		if err != nil {
			return Closed{}, err
		}
		needs, hazards, err := hallNeeds(&w.Look, e)
		if err != nil {
			return Closed{}, err
		}
		if len(needs) > 0 {
			return Closed{}, lacking(needs)
		}
		if err := in.counted(hazards); err != nil {
			return Closed{}, err
		}
		passes, err := hall.EndPasses(w)
		if err != nil {
			return Closed{}, err
		}
		return Closed{State: hall.HallClosed, Passes: passes}, move(w, e, hall.HallClosed, store.Closing{Kind: "hall", HazardsCounted: in.Bagged, Words: in.Words})
	})
}

// counted holds the count against the records: a difference, or a plate that nobody finds, is explained in words.
func (in CloseHall) counted(h Hazards) error {
	explained := strings.TrimSpace(in.Words) != ""
	switch {
	case in.Bagged < 0:
		return fault.Wrong("bagged", "closing.count")
	case len(in.Words) > mostWords:
		return fault.Wrong("words", "text.too-long", "most", mostWords)
	case in.Bagged != h.Bagged && !explained:
		return fault.Wrong("words", "closing.explain-count", "counted", in.Bagged, "records", h.Bagged)
	case len(h.Lost) > 0 && !explained:
		return fault.Wrong("words", "closing.explain-lost", "n", len(h.Lost), "numbers", numbers(h.Lost))
	}
	return nil
}

// inState takes the event for closing where it stands as it must.
func inState(w *hall.Write, want, otherwise string) (store.Event, error) {
	e, err := w.Tx.LockEvent(w.Scope.Society, w.Scope.Event)
	if err == nil && e.State != want {
		err = fault.New(fault.Refused, otherwise)
	}
	return e, err
}

// lacking refuses, saying the first that is missing; the others come along.
func lacking(needs []Need) error {
	e := fault.New(fault.Refused, "closing.lacking", "n", len(needs), "first", needs[0].Text)
	e.Other = Lacking(needs)
	return e
}

// move writes that the event stands otherwise now.
func move(w *hall.Write, e store.Event, state string, c store.Closing) (err error) {
	c.SocietyID, c.EventID, c.ClosedBy, c.HappenedAt, c.RecordedAt = e.SocietyID, e.ID, w.Actor.Person, w.HappenedStamp(), w.Stamp()
	c.Words = strings.TrimSpace(c.Words)
	if c.ID, err = w.NewID(); err != nil {
		return err
	}
	if err := w.Tx.SetEventState(e, state); err != nil {
		return err
	}
	w.Note("", e.ID, e.State+" → "+state)
	w.Changed("closing", e.ID)
	return w.Tx.AddClosing(c)
}

// CloseEvent is what is said when an event is closed.
type CloseEvent struct {
	Words string `json:"words,omitempty"`
}

// EndEvent closes the event: numbers accounted for, vouchers reconciled, the list signed. Finds are not logged any more;
// redeterminations still come in.
func EndEvent(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in CloseEvent) (Closed, error) {
	cmd.Type, cmd.Body = "event.close.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Closed, error) {
		e, err := w.Tx.LockEvent(scope.Society, scope.Event)
		if err != nil {
			return Closed{}, err
		}
		if e.State == hall.EventClosed {
			return Closed{}, fault.New(fault.Refused, "closing.event-is-closed")
		}
		if len(in.Words) > mostWords {
			return Closed{}, fault.Wrong("words", "text.too-long", "most", mostWords)
		}
		needs, err := eventNeeds(&w.Look, e)
		if err != nil {
			return Closed{}, err
		}
		if len(needs) > 0 {
			return Closed{}, lacking(needs)
		}
		if err := personalDay(w, &e); err != nil {
			return Closed{}, err
		}
		return Closed{State: hall.EventClosed}, move(w, e, hall.EventClosed, store.Closing{Kind: "event", Words: in.Words})
	})
}

// personalDay sets the day on which personal data goes where nobody did: the latest that the event allows, and not within
// a fortnight, so that somebody can be told.
func personalDay(w *hall.Write, e *store.Event) error {
	if e.DeletePersonalOn != "" {
		return nil
	}
	e.DeletePersonalOn = max(hall.LastPersonalDay(*e), w.Now.In(hall.Zone(*e)).Add(hall.PersonalWarning).Format(time.DateOnly))
	w.Note("personal.date", e.ID, "→ "+e.DeletePersonalOn)
	return w.Tx.SetEvent(*e)
}

// Reopen is why an event is opened again.
type Reopen struct {
	Reason string `json:"reason"`
}

// OpenAgain takes the last closing back: a closed event's hall is closed still, a closed hall is open again. Passes that
// ended stay ended.
func OpenAgain(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Reopen) (Closed, error) {
	cmd.Type, cmd.Body = "event.reopen.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Closed, error) {
		e, err := w.Tx.LockEvent(scope.Society, scope.Event)
		if err != nil {
			return Closed{}, err
		}
		to := hall.EventOpen
		switch {
		case e.State == hall.EventOpen:
			return Closed{}, fault.New(fault.Refused, "closing.is-open")
		case strings.TrimSpace(in.Reason) == "" || len(in.Reason) > mostWords:
			return Closed{}, fault.Wrong("reason", "closing.reason")
		case e.State == hall.EventClosed:
			to = hall.HallClosed
		}
		return Closed{State: to}, move(w, e, to, store.Closing{Kind: "reopened", Words: in.Reason})
	})
}
