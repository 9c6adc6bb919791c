package hall

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// ViewPrivate is View for what is private: that somebody read it is written down before they see it. what names the
// kind of thing, subject which one.
func (h *Hall) ViewPrivate(ctx context.Context, actor access.Actor, action access.Action, scope access.Scope, what string, subject foray.ID,
	fn func(*Look) error) error {
	if err := h.View(ctx, actor, action, scope, fn); err != nil {
		return err
	}
	return h.Store.Write(ctx, func(tx *store.Tx) error {
		id, err := h.NewID()
		if err != nil {
			return err
		}
		return tx.AddPrivateRead(store.PrivateRead{SocietyID: scope.Society, ID: id, EventID: scope.Event, PersonID: actor.Person,
			What: what, Subject: subject, RecordedAt: store.At(h.Now())})
	})
}

// SeesIncident reports whether somebody may read an incident, write to it and add pictures to it: it is between whoever
// of the staff opened it and the safety lead.
func (l *Look) SeesIncident(i store.Incident) bool {
	return l.Held.Can(access.TendHazards) || l.Actor.SignedIn() && i.OpenedBy == l.Actor.Person && l.Held.Staff()
}
