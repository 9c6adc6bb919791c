package desk

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/hall"
)

// Ledger is every number of an event and what became of it.
type Ledger = hall.Ledger

// SeeLedger shows the ledger to whoever may log.
func SeeLedger(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Ledger, error) {
	var ledger Ledger
	err := h.View(ctx, actor, access.LogCollection, scope, func(l *hall.Look) (err error) {
		ledger, err = l.Ledger()
		return err
	})
	return ledger, err
}
