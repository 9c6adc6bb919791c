package corrections

import (
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Public is what everybody may read of a request: that it is there, how it stands and how it was answered.
type Public struct {
	Seq        int       `json:"number"`
	About      string    `json:"about"`
	Find       string    `json:"find,omitempty"`
	Record     string    `json:"field_record,omitempty"`
	Line       string    `json:"line,omitempty"`
	Kind       string    `json:"kind"`
	State      string    `json:"state"`
	SentAt     time.Time `json:"sent_at"`
	By         string    `json:"by,omitempty"`    // only where the sender said that their name may be shown
	Words      string    `json:"words,omitempty"` // only once a keeper let it be read
	Name       string    `json:"proposed_name,omitempty"`
	Answer     string    `json:"answer,omitempty"`
	Changed    string    `json:"changed,omitempty"`
	AnsweredAt time.Time `json:"answered_at,omitzero"`
}

// Form is what somebody needs to ask.
type Form struct {
	Event    store.Event
	Subject  Subject
	Versions []store.Publication
	Known    bool     // the sender is signed in to the society
	Asked    []Public // about the same, newest first
}

// SeeForm shows what was asked about something, to whoever may ask about it.
func SeeForm(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, about string, version int) (Form, error) {
	var f Form
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		if f.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if f.Versions, err = l.Tx.Publications(scope.Society, scope.Event); err != nil {
			return err
		}
		f.Known = l.Held.Can(access.NameOwn)
		if f.Subject, err = subjectOf(l, about, version); err != nil {
			return err
		}
		f.Asked, err = publicOf(l, &f.Subject)
		return err
	})
	return f, err
}

// SeeAsked lists what was asked of an event, newest first, as everybody may read it.
func SeeAsked(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (all []Public, err error) {
	err = h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		all, err = publicOf(l, nil)
		return err
	})
	return all, err
}

// publicOf lists requests about a subject, or with nil all of them. Those that something should not be public are not
// among them.
func publicOf(l *hall.Look, about *Subject) (out []Public, err error) {
	all, err := l.Requests()
	if err != nil || len(all) == 0 {
		return nil, err
	}
	shown, err := namesShown(l)
	if err != nil {
		return nil, err
	}
	for _, r := range slices.Backward(all) {
		s, err := ofRequest(l, r)
		if err != nil {
			return nil, err
		}
		if r.Kind == Private || about != nil && !about.same(s) {
			continue
		}
		out = append(out, public(r, s, shown))
	}
	return out, nil
}

func public(r hall.Request, s Subject, shown func(hall.Request) string) Public {
	p := Public{Seq: r.Seq, About: r.About, Find: s.Number, Line: r.Line, Kind: r.Kind, State: r.State, SentAt: r.RecordedAt.Time, By: shown(r)}
	if r.About == store.AboutRecord {
		p.Record = r.RecordID.URN()
	}
	if r.Released() {
		p.Words, p.Name = r.Words, r.Verbatim
	}
	if a := r.Answer(); a != nil {
		p.Answer, p.Changed, p.AnsweredAt = a.Words, a.Changed, a.RecordedAt.Time
	}
	return p
}

// namesShown gives the name of a sender who said that it may be shown, as they chose to be named; "" of all others.
func namesShown(l *hall.Look) (func(hall.Request) string, error) {
	contacts, err := l.Tx.CorrectionContacts(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	people, err := l.PeopleNames()
	by := map[foray.ID]store.CorrectionContact{}
	for _, c := range contacts {
		by[c.CorrectionID] = c
	}
	return func(r hall.Request) string {
		c, known := by[r.ID]
		switch {
		case !known || !c.ShowName:
			return ""
		case !r.PersonID.IsZero():
			return hall.CreditedName(people[r.PersonID])
		}
		return c.Name
	}, err
}

// Own is a request as its sender sees it.
type Own struct {
	Request hall.Request
	Subject Subject
	Event   store.Event
	Contact *store.CorrectionContact // as they gave it; nil: forgotten
	Until   string                   // ISO date on which they are forgotten
	Why     hall.ContactReason
	Slip    *SlipSince // by which it was put right
}

// SeeOwn opens the sender's page by its secret.
func SeeOwn(ctx context.Context, h *hall.Hall, scope access.Scope, secret string) (Own, error) {
	var o Own
	err := h.View(ctx, access.Nobody, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		if o.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		row, err := l.Tx.CorrectionByHash(scope.Society, scope.Event, hashOf(secret))
		if err != nil {
			return err
		}
		if o.Request, err = l.RequestOf(row); err != nil {
			return err
		}
		if o.Subject, err = ofRequest(l, o.Request); err != nil {
			return err
		}
		contacts, err := l.Tx.CorrectionContacts(scope.Society, scope.Event)
		for _, c := range contacts {
			if c.CorrectionID == row.ID {
				o.Contact = &c
				o.Until, o.Why = hall.ContactUntil(o.Event, row.RecordedAt.Time, o.Request.AnsweredAt())
			}
		}
		if err == nil {
			o.Slip, err = slipOf(l, o.Request)
		}
		return err
	})
	return o, err
}

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
	if room.Event, err = l.Tx.EventByID(l.Scope.Society, l.Scope.Event); err != nil {
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
		if !room.Keeper && r.State != hall.CorrectionPassed {
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
