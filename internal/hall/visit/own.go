package visit

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// Own is what somebody brought in themselves.
type Own struct {
	Seen
	Plates []OwnPlate // by number
	Held   access.Held
}

// OwnPlate is one of them, with what is needed to give it a field name.
type OwnPlate struct {
	Plate
	ID      foray.ID
	Version int
}

// SeeOwn shows a member their own collections.
func SeeOwn(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Own, error) {
	var o Own
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		g := &gallery{Look: l}
		if err := g.read(); err != nil {
			return err
		}
		o = Own{Seen: g.seen(), Held: l.Held}
		for _, p := range g.plates {
			if p.CollectorID == actor.Person && !actor.Person.IsZero() {
				o.Plates = append(o.Plates, OwnPlate{g.plate(p), p.ID, p.Version})
			}
		}
		return nil
	})
	return o, err
}
