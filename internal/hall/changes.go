package hall

import (
	"context"
	"fmt"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Changes is a stretch of an event's change log.
type Changes struct {
	Rows []store.Change // in order, without gaps
	Last int64          // the number of the event's latest change
}

// ChangesSince reads an event's changes after a number, at most limit. Everybody may know that something changed,
// so that public pages stay fresh; which row it was is for the event's staff.
func (h *Hall) ChangesSince(ctx context.Context, actor access.Actor, scope access.Scope, seq int64, limit int) (Changes, error) {
	var c Changes
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *Look) (err error) {
		if c.Last, err = l.Tx.ChangeSeq(scope.Society, scope.Event); err != nil {
			return err
		}
		if c.Rows, err = l.Tx.ChangesSince(scope.Society, scope.Event, seq, limit); err != nil {
			return err
		}
		if !l.Held.Staff() {
			for i := range c.Rows {
				c.Rows[i].Subject = foray.ID{}
			}
		}
		return nil
	})
	return c, err
}

// ChangeKinds is ChangesSince without who asks, and so without any subject: what everybody who may read the event's
// public side is told. Whoever calls it has seen to it that the reader may.
func (h *Hall) ChangeKinds(ctx context.Context, scope access.Scope, seq int64, limit int) (Changes, error) {
	return h.ChangesSince(ctx, access.Nobody, scope, seq, limit)
}

// FindOwn finds where somebody's commands go: an event of their own society, or with an empty event the society as a
// whole. In another society nothing can be written, so nothing is found.
func (h *Hall) FindOwn(ctx context.Context, actor access.Actor, society, event string) (access.Scope, error) {
	var scope access.Scope
	err := h.Store.Read(ctx, func(tx *store.Tx) error {
		s, err := tx.SocietyByCode(society)
		if err != nil {
			return err
		}
		if actor.Society != s.ID {
			return fault.Missing()
		}
		if scope.Society = s.ID; event == "" {
			return nil
		}
		e, err := tx.EventByCode(s.ID, event)
		scope.Event = e.ID
		return err
	})
	if err != nil {
		return access.Scope{}, fmt.Errorf("find %s/%s for a command: %w", society, event, err)
	}
	return scope, nil
}
