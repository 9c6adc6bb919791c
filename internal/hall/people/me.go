package people

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

// Me is somebody's own page.
type Me struct {
	Person   store.Person
	Society  store.Society
	Login    string // empty: came in by a pass
	Sessions []SessionSeen
	LastIn   []store.Event // open events of which they are the last organiser, so that they cannot go
}

// SessionSeen is one place where somebody is signed in.
type SessionSeen struct {
	ID     foray.ID
	Token  bool
	Label  string
	Rights []access.Right // empty: all of theirs
	From   time.Time
	Until  time.Time
	Here   bool // the one that asks
}

// Credits are the ways in which a name appears where anybody may read it.
var Credits = []string{"full", "initials", "none"}

// self is the actor for what concerns only themselves. It needs no right of an event, so that a pass's limit does not
// bind it; but a token that was made for one job does not see to its owner's affairs.
func self(ctx context.Context, h *hall.Hall, actor access.Actor) (access.Actor, error) {
	if !actor.SignedIn() {
		return actor, fault.New(fault.NotSignedIn, "fault.not-signed-in")
	}
	if actor.Only == nil {
		return actor, nil
	}
	err := h.Store.Read(ctx, func(tx *store.Tx) error {
		s, err := tx.SessionByID(actor.Session)
		if err == nil && s.Kind == "token" {
			err = fault.New(fault.NotAllowed, "people.token-narrow")
		}
		return err
	})
	actor.Only = nil
	return actor, err
}

// doOwn is hall.Do for what concerns only the actor, in their own society.
func doOwn[R any](ctx context.Context, h *hall.Hall, actor access.Actor, cmd hall.Command, fn func(*hall.Write) (R, error)) (R, bool, error) {
	var zero R
	actor, err := self(ctx, h, actor)
	if err != nil {
		return zero, false, err
	}
	result, already, err := hall.DoSeen(ctx, h, actor, access.NameOwn, access.Scope{Society: actor.Society}, cmd, fn)
	told(cmd, already, err)
	return result, already, err
}

// SeeMe shows somebody's own page.
func SeeMe(ctx context.Context, h *hall.Hall, actor access.Actor) (Me, error) {
	var me Me
	self, err := self(ctx, h, actor)
	if err != nil {
		return me, err
	}
	err = h.View(ctx, self, access.NameOwn, access.Scope{Society: self.Society}, func(l *hall.Look) (err error) {
		if me.Person, err = l.Tx.PersonByID(self.Society, self.Person); err != nil {
			return err
		}
		if me.Society, err = l.Tx.SocietyByID(self.Society); err != nil {
			return err
		}
		if me.LastIn, err = lastOrganiserOf(l.Tx, self.Society, self.Person, l.Tx.EventRights); err != nil {
			return err
		}
		account, err := l.Tx.AccountOf(self.Society, self.Person)
		if err != nil {
			return err
		}
		if account.PasswordHash != store.NoPassword {
			me.Login = account.Login
		}
		sessions, err := l.Tx.Sessions(self.Society, account.ID, l.Now)
		for _, s := range sessions {
			me.Sessions = append(me.Sessions, SessionSeen{s.ID, s.Kind == "token", s.Label, rights(s.OnlyRights), s.CreatedAt.Time, s.ExpiresAt.Time, s.ID == actor.Session})
		}
		return err
	})
	return me, err
}

// Credit is how somebody's name appears where anybody may read it.
type Credit struct {
	Credit string `json:"credit"` // full, initials, none
}

// SetCredit changes how the actor's name appears, in every event that names them.
func SetCredit(ctx context.Context, h *hall.Hall, actor access.Actor, _ access.Scope, cmd hall.Command, in Credit) (Credit, error) {
	cmd.Type, cmd.Body = "credit.set.v1", in
	var events []foray.ID
	_, _, err := doOwn(ctx, h, actor, cmd, func(w *hall.Write) (Credit, error) {
		if !slices.Contains(Credits, in.Credit) {
			return in, fault.Wrong("credit", "people.credit-unknown")
		}
		person, err := w.Tx.PersonByID(w.Scope.Society, w.Actor.Person)
		if err != nil {
			return in, err
		}
		w.Note("credit.set", person.ID, person.Credit+" → "+in.Credit)
		if err := w.Tx.SetCredit(w.Scope.Society, person.ID, in.Credit); err != nil {
			return in, err
		}
		events, err = changedEverywhere(w)
		return in, err
	})
	tell(h, events, err)
	return in, err
}

// changedEverywhere numbers a change in each event whose record names the actor, in the order of the events' ids so
// that two who do it at once do not wait for each other.
func changedEverywhere(w *hall.Write) ([]foray.ID, error) {
	events, err := w.Tx.EventsNaming(w.Scope.Society, w.Actor.Person)
	if err != nil {
		return nil, err
	}
	for _, event := range events {
		if _, err := w.Tx.AddChanges(w.Scope.Society, event, []store.Change{{SocietyID: w.Scope.Society, EventID: event, Kind: "person",
			Subject: w.Actor.Person, RecordedAt: w.Stamp()}}); err != nil {
			return nil, err
		}
	}
	return events, nil
}

// tell wakes whoever looks at the events.
func tell(h *hall.Hall, events []foray.ID, err error) {
	if err != nil {
		return
	}
	for _, event := range events {
		h.Live.Publish(event)
	}
}

// Nothing is the body of a command that needs none.
type Nothing struct{}

// EndSessions signs the actor out everywhere, here too, and ends their tokens.
func EndSessions(ctx context.Context, h *hall.Hall, actor access.Actor, _ access.Scope, cmd hall.Command, in Nothing) (Nothing, error) {
	cmd.Type, cmd.Body = "session.end-all.v1", in
	_, _, err := doOwn(ctx, h, actor, cmd, func(w *hall.Write) (Nothing, error) {
		account, err := w.Tx.AccountOf(w.Scope.Society, w.Actor.Person)
		if err != nil {
			return in, err
		}
		w.Note("session.end-all", w.Actor.Person, "")
		return in, w.Tx.EndSessions(w.Scope.Society, account.ID, store.NoSession, w.Now)
	})
	return in, err
}

// SessionEnd names one of the actor's own sessions or tokens.
type SessionEnd struct {
	Session foray.ID `json:"session"`
}

// EndSession ends one of the actor's sessions or takes a token back.
func EndSession(ctx context.Context, h *hall.Hall, actor access.Actor, _ access.Scope, cmd hall.Command, in SessionEnd) (SessionEnd, error) {
	cmd.Type, cmd.Body = "token.end.v1", in
	_, _, err := doOwn(ctx, h, actor, cmd, func(w *hall.Write) (SessionEnd, error) {
		account, err := w.Tx.AccountOf(w.Scope.Society, w.Actor.Person)
		if err != nil {
			return in, err
		}
		s, err := w.Tx.SessionByID(in.Session)
		if err == nil && (s.SocietyID != w.Scope.Society || s.AccountID != account.ID) {
			err = fault.Missing()
		}
		if err != nil {
			return in, err
		}
		w.Note("session.end", w.Actor.Person, s.Label)
		return in, w.Tx.EndSession(s.SocietyID, s.ID, w.Now)
	})
	return in, err
}
