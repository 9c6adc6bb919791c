// Package safety is the warning sheet and the poison contact. The sheet is made anew from every plate at each look: a
// name in question reaches it at once, confirmed or not. Poison contacts are typed in by the people who run the event
// and never come from anywhere else.
package safety

import (
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Contact is whom to call.
type Contact struct {
	Name  string `json:"name"`
	Phone string `json:"phone"`
	Hours string `json:"hours,omitempty"`
}

// Typed is the answer: which row of contacts it is.
type Typed struct {
	Seq int `json:"seq"`
}

// TypeContact stores whom to call; it counts only once somebody has rung the number.
func TypeContact(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Contact) (Typed, error) {
	cmd.Type, cmd.Body = "poison-contact.type.v1", in
	return hall.Do(ctx, h, actor, access.TendHazards, scope, cmd, func(w *hall.Write) (Typed, error) {
		name, phone := strings.Join(strings.Fields(in.Name), " "), strings.Join(strings.Fields(in.Phone), " ")
		hours := strings.Join(strings.Fields(in.Hours), " ")
		if name == "" || len(name) > 200 || len(hours) > 200 {
			return Typed{}, fault.Wrong("name", "safety.contact-name")
		}
		if !dialable(phone) {
			return Typed{}, fault.Wrong("phone", "safety.contact-phone")
		}
		return addContact(w, store.PoisonContact{Name: name, Phone: phone, Hours: hours, TypedBy: w.Actor.Person, TypedAt: w.Stamp()})
	})
}

// dialable: at least three digits, and nothing that one does not write in a telephone number (ITU-T E.123).
func dialable(phone string) bool {
	digits := 0
	for _, r := range phone {
		switch {
		case r >= '0' && r <= '9':
			digits++
		case strings.ContainsRune(" +-()/.", r):
		default:
			return false
		}
	}
	return digits >= 3 && len(phone) <= 40
}

// TestContact says that the newest contact was rung and answered.
func TestContact(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Typed) (Typed, error) {
	cmd.Type, cmd.Body = "poison-contact.test.v1", in
	return hall.Do(ctx, h, actor, access.TendHazards, scope, cmd, func(w *hall.Write) (Typed, error) {
		contacts, err := w.Tx.PoisonContacts(scope.Society, scope.Event)
		if err != nil {
			return Typed{}, err
		}
		if len(contacts) == 0 {
			return Typed{}, fault.Wrong("answered", "safety.no-contact")
		}
		if contacts[0].Seq != in.Seq {
			return Typed{}, fault.New(fault.Conflict, "safety.contact-changed")
		}
		c := contacts[0]
		c.TestedBy, c.TestedAt = w.Actor.Person, w.Stamp()
		return addContact(w, c)
	})
}

func addContact(w *hall.Write, c store.PoisonContact) (Typed, error) {
	contacts, err := w.Tx.PoisonContacts(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return Typed{}, err
	}
	c.SocietyID, c.EventID, c.Seq = w.Scope.Society, w.Scope.Event, 1
	if len(contacts) > 0 {
		c.Seq = contacts[0].Seq + 1
	}
	w.Note("poison-contact", w.Scope.Event, c.Name+" "+c.Phone)
	w.Changed("poison-contact", w.Scope.Event)
	return Typed{Seq: c.Seq}, w.Tx.AddPoisonContact(c)
}

// Sheet is the warning sheet with what it was made from.
type Sheet struct {
	hazard.Sheet
	Event   store.Event
	Contact *store.PoisonContact
	People  map[foray.ID]store.Person
	Tables  []store.HallTable
	Seq     int64
	Held    access.Held
}

// WarningSheet makes the sheet for everybody: every plate in the hall, whatever its state.
func WarningSheet(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Sheet, error) {
	var s Sheet
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		s.Held = l.Held
		if s.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if s.Seq, err = l.Tx.ChangeSeq(scope.Society, scope.Event); err != nil {
			return err
		}
		if s.People, err = l.PeopleNames(); err != nil {
			return err
		}
		if s.Tables, err = l.Tx.HallTables(scope.Society, scope.Event); err != nil {
			return err
		}
		s.Sheet, s.Contact, err = l.WarningSheet(s.Event)
		return err
	})
	return s, err
}
