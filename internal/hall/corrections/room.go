package corrections

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Item is a request as those see it who answer.
type Item struct {
	Request   hall.Request
	Subject   Subject
	Plate     *hall.Plate // the find with its slips
	Slips     []SlipSince // written since it was asked
	Corrected bool        // the find's field data were put right since
	Until     string      // ISO date on which the sender is forgotten; empty: they are
	Why       hall.ContactReason
}

// SlipSince is a slip that was written after a request came.
type SlipSince struct {
	Slip   foray.Slip
	Number string
}

// Room is the requests of an event for those who answer.
type Room struct {
	Event       store.Event
	Open        []Item // oldest first
	Answered    []Item // newest first
	People      map[foray.ID]store.Person
	Identifiers []foray.ID // to whom one may be passed
	Keeper      bool       // may answer; else sees what was passed to identifiers
}

// See shows the requests to those who keep the list, and to identifiers those that were passed on.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Room, error) {
	var room Room
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if err := l.May(access.PublishList, access.SignOff); err != nil {
			return err
		}
		room, err = roomOf(l)
		return err
	})
	return room, err
}

func roomOf(l *hall.Look) (room Room, err error) {
	room.Keeper = l.Held.Can(access.PublishList)
	if room.Event, err = l.Event(); err != nil {
		return room, err
	}
	if room.People, err = l.PeopleNames(); err != nil {
		return room, err
	}
	if room.Identifiers, err = identifiers(l); err != nil {
		return room, err
	}
	all, err := l.Requests()
	if err != nil {
		return room, err
	}
	contacts, err := l.Tx.CorrectionContacts(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return room, err
	}
	for _, r := range all {
		if !room.Keeper && !r.PassedTo(l.Actor.Person) {
			continue
		}
		i, err := item(l, room.Event, r, contacts)
		if err != nil {
			return room, err
		}
		if r.Answered() {
			room.Answered = append([]Item{i}, room.Answered...)
		} else {
			room.Open = append(room.Open, i)
		}
	}
	return room, nil
}

func item(l *hall.Look, e store.Event, r hall.Request, contacts []store.CorrectionContact) (i Item, err error) {
	i.Request = r
	if i.Subject, err = ofRequest(l, r); err != nil {
		return i, err
	}
	for _, c := range contacts {
		if c.CorrectionID == r.ID {
			i.Until, i.Why = hall.ContactUntil(e, r.RecordedAt.Time, r.AnsweredAt())
		}
	}
	if r.CollectionID.IsZero() {
		return i, nil
	}
	p, err := plateOf(l, r.CollectionID)
	if err != nil {
		return i, err
	}
	i.Plate = &p
	for _, s := range p.Slips {
		if !s.RecordedAt.Before(r.RecordedAt.Time) {
			i.Slips = append(i.Slips, SlipSince{s, p.Number().String()})
		}
	}
	i.Corrected, err = l.Tx.AuditedSince(l.Scope.Society, l.Scope.Event, r.CollectionID, fieldActs, r.RecordedAt)
	return i, err
}

// fieldActs is what the audit calls putting field data right.
var fieldActs = []string{"collection.correct"}

func identifiers(l *hall.Look) (ids []foray.ID, err error) {
	rights, err := l.Tx.EventRights(l.Scope.Society, l.Scope.Event)
	for _, r := range rights {
		if access.Allows(r.Held, access.SignOff) && !slices.Contains(ids, r.PersonID) {
			ids = append(ids, r.PersonID)
		}
	}
	return ids, err
}

// slipOf is the slip by which a request was answered; nil where it was answered otherwise.
func slipOf(l *hall.Look, r hall.Request) (*SlipSince, error) {
	a := r.Answer()
	if a == nil || a.SlipID.IsZero() {
		return nil, nil
	}
	slips, err := l.Tx.Slips(l.Scope.Society, l.Scope.Event, r.CollectionID)
	if err != nil {
		return nil, err
	}
	for _, s := range slips {
		if s.ID != a.SlipID {
			continue
		}
		c, err := l.Tx.CollectionByID(l.Scope.Society, l.Scope.Event, s.CollectionID)
		return &SlipSince{s, c.Number().String()}, err
	}
	return nil, fault.Missing()
}

// SeeContact shows a keeper who asked and how to reach them; that they looked is written down.
func SeeContact(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, request foray.ID) (contact store.CorrectionContact, err error) {
	err = h.ViewPrivate(ctx, actor, access.PublishList, scope, "correction-contact", request, func(l *hall.Look) error {
		contacts, err := l.Tx.CorrectionContacts(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(contacts, func(c store.CorrectionContact) bool { return c.CorrectionID == request })
		if i < 0 {
			return fault.Missing()
		}
		contact = contacts[i]
		return nameIfKnown(l, &contact)
	})
	return contact, err
}

// nameIfKnown fills in the name of a sender who was signed in.
func nameIfKnown(l *hall.Look, c *store.CorrectionContact) error {
	if c.Name != "" {
		return nil
	}
	row, err := l.Tx.CorrectionByID(l.Scope.Society, l.Scope.Event, c.CorrectionID)
	if err != nil || row.PersonID.IsZero() {
		return err
	}
	person, err := l.Tx.PersonByID(l.Scope.Society, row.PersonID)
	c.Name = person.Name
	return err
}

// plateOf is a find with its slips, whatever became of it.
func plateOf(l *hall.Look, id foray.ID) (hall.Plate, error) {
	c, err := l.Tx.CollectionByID(l.Scope.Society, l.Scope.Event, id)
	if err != nil {
		return hall.Plate{}, err
	}
	return l.PlateByNumber(c.Number())
}

// Waiting is how many requests wait for an answer, for those who answer.
func Waiting(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (n int, err error) {
	err = h.View(ctx, actor, access.PublishList, scope, func(l *hall.Look) error {
		n, err = l.OpenRequests()
		return err
	})
	return n, err
}
