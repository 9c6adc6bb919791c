package corrections

import (
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
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

// namesShown gives the name of a sender who said that it may be shown, as they chose to be named; "" of all others. What
// somebody who is not signed in typed as a name is shown only once a keeper let it be read: it may be another's.
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
		case !known || !c.ShowName || r.PersonID.IsZero() && !r.Released():
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
