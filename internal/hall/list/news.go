package list

import (
	"context"
	"crypto/sha256"
	"slices"
	"strconv"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// News is what a society made public: its events and the versions of their lists. What was asked for and corrected is
// between the hall and whoever asked, and is none.
type News struct {
	Society store.Society
	Events  []NewsEvent // newest first
	hidden  hall.Anywhere
}

// NewsEvent is an event with its versions, newest first.
type NewsEvent struct {
	Event    store.Event
	Changed  time.Time // when anything of it was changed last
	Versions []NewsVersion
}

// NewsVersion is a signed list.
type NewsVersion struct {
	ID       foray.ID // the same for ever
	Version  int
	SignedAt time.Time
}

// Hides reports whether a place is kept back at any event of the society.
func (n News) Hides(place string) bool { return n.hidden.HidesName(place) }

// SeeNews gives the news to everybody.
func SeeNews(ctx context.Context, h *hall.Hall, actor access.Actor, society foray.ID) (News, error) {
	var n News
	err := h.View(ctx, actor, access.ReadPublic, access.Scope{Society: society}, func(l *hall.Look) (err error) {
		if n.Society, err = l.Tx.SocietyByID(society); err != nil {
			return err
		}
		if n.hidden, err = l.KeptBackAnywhere(); err != nil {
			return err
		}
		events, err := l.Tx.Events(society)
		if err != nil {
			return err
		}
		slices.SortStableFunc(events, newestFirst)
		for _, e := range events {
			one, err := newsOf(l, e)
			if err != nil {
				return err
			}
			n.Events = append(n.Events, one)
		}
		return nil
	})
	return n, err
}

func newsOf(l *hall.Look, e store.Event) (NewsEvent, error) {
	one := NewsEvent{Event: e, Changed: e.CreatedAt.Time}
	last, ok, err := l.Tx.LastChange(e.SocietyID, e.ID)
	if err != nil {
		return one, err
	}
	if ok && last.RecordedAt.After(one.Changed) {
		one.Changed = last.RecordedAt.Time
	}
	versions, err := l.Tx.Publications(e.SocietyID, e.ID)
	for _, p := range versions {
		one.Versions = append(one.Versions, NewsVersion{versionID(e.ID, p.Version), p.Version, p.SignedAt.Time})
	}
	return one, err
}

// versionID is a version's own id, made of the event's: a version 8 UUID from SHA-256 (RFC 9562, 5.8 and appendix B.2).
func versionID(event foray.ID, version int) foray.ID {
	sum := sha256.Sum256(append(event[:], "list/"+strconv.Itoa(version)...))
	id := foray.ID(sum[:16])
	id[6], id[8] = id[6]&0x0f|0x80, id[8]&0x3f|0x80
	return id
}
