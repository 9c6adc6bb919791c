package hall

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Ready reports whether the database answers and has this program's schema.
func (h *Hall) Ready(ctx context.Context) error {
	if err := h.Store.Ping(ctx); err != nil {
		return err
	}
	return h.Store.RequireSchema(ctx)
}

// ChangeSeq is the number of an event's latest change: what every page made from it is tagged with.
func (h *Hall) ChangeSeq(ctx context.Context, scope access.Scope) (seq int64, err error) {
	err = h.Store.Read(ctx, func(tx *store.Tx) error {
		seq, err = tx.ChangeSeq(scope.Society, scope.Event)
		return err
	})
	return seq, err
}

// ChangeSeqs is the sum of the latest changes of all events of a society: what every page made from several is tagged with.
func (h *Hall) ChangeSeqs(ctx context.Context, society foray.ID) (sum int64, err error) {
	err = h.Store.Read(ctx, func(tx *store.Tx) error {
		sum, err = tx.ChangeSeqs(society)
		return err
	})
	return sum, err
}

// HeldIn is what an actor may do in a scope, for drawing pages; every write asks again in its own transaction.
func (h *Hall) HeldIn(ctx context.Context, actor access.Actor, scope access.Scope) (held access.Held, err error) {
	err = h.Store.Read(ctx, func(tx *store.Tx) error {
		look, err := h.look(tx, actor, scope, h.Now())
		if err == nil {
			held = look.Held
		}
		return err
	})
	return held, err
}
