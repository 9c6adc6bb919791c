package setup

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// ShownSite is a site as whoever asks may see it: Full is nil for who is not on staff.
type ShownSite struct {
	ID     foray.ID
	Public foray.PublicPlace
	Full   *store.Site
}

// Sites shows an event's sites to everybody: a sensitive one to the public by its grid and without its name.
func Sites(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]ShownSite, error) {
	var shown []ShownSite
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		sites, err := l.Tx.Sites(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		places, err := l.Places()
		for _, s := range sites {
			one := ShownSite{ID: s.ID, Public: places.Of(s.ID)}
			if l.Held.Staff() {
				one.Full = &s
			}
			shown = append(shown, one)
		}
		return err
	})
	return shown, err
}
