package list

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Ground is a site of a society that the public may know of at every event where it appears.
type Ground struct {
	Site
	Place  foray.PublicPlace
	Events []string // codes, newest first
	Finds  int      // that are told by their site
}

// Grounds is the public sites of a society.
type Grounds struct {
	Society store.Society
	Sites   []Ground // by name
}

// SeeGrounds lists the sites to everybody. A site that is sensitive at any event is not among them, and nothing says
// that there is one.
func SeeGrounds(ctx context.Context, h *hall.Hall, actor access.Actor, society foray.ID) (Grounds, error) {
	var g Grounds
	err := h.View(ctx, actor, access.ReadPublic, access.Scope{Society: society}, func(l *hall.Look) error {
		var w Whole
		if err := w.read(l, Choice{}); err != nil {
			return err
		}
		var err error
		g, err = groundsOf(l, w)
		return err
	})
	return g, err
}

// SeeGround is one of them, with the list of what was found there; one that is kept back is as unknown as one that
// never was.
func SeeGround(ctx context.Context, h *hall.Hall, actor access.Actor, society foray.ID, code string) (w Whole, one Ground, all Grounds, err error) {
	err = h.View(ctx, actor, access.ReadPublic, access.Scope{Society: society}, func(l *hall.Look) error {
		if err := w.read(l, Choice{Site: code}); err != nil {
			return err
		}
		if all, err = groundsOf(l, w); err != nil {
			return err
		}
		i := slices.IndexFunc(all.Sites, func(g Ground) bool { return strings.EqualFold(g.Code, code) })
		if i < 0 {
			return fault.Missing()
		}
		one = all.Sites[i]
		return nil
	})
	return w, one, all, err
}

func groundsOf(l *hall.Look, w Whole) (Grounds, error) {
	g := Grounds{Society: w.Society}
	events, err := l.Tx.Events(l.Scope.Society)
	if err != nil {
		return g, err
	}
	slices.SortStableFunc(events, newestFirst)
	by := map[string]*Ground{}
	for _, e := range events {
		g.add(by, w.hidden, e)
	}
	for _, f := range w.all {
		if site := by[f.Site]; site != nil {
			site.Finds++
		}
	}
	for _, site := range by {
		g.Sites = append(g.Sites, *site)
	}
	slices.SortFunc(g.Sites, func(a, b Ground) int { return strings.Compare(a.Name+"\x00"+a.Code, b.Name+"\x00"+b.Code) })
	return g, nil
}

// add takes the sites of one event; name and point are those of the newest that has them.
func (g *Grounds) add(by map[string]*Ground, hidden hall.Anywhere, e store.Event) {
	for _, s := range hidden.Sites {
		if _, kept := hidden.Hides(s); kept || s.EventID != e.ID {
			continue
		}
		place := foray.ExactPlace{Name: s.Name, Latitude: s.Latitude, Longitude: s.Longitude, UncertaintyM: s.UncertaintyM}.Public()
		if by[s.Code] == nil {
			by[s.Code] = &Ground{Site: Site{s.Code, s.Name}, Place: place}
		}
		if _, _, _, pointed := by[s.Code].Place.Point(); !pointed {
			by[s.Code].Place = place
		}
		by[s.Code].Events = append(by[s.Code].Events, e.Code)
	}
}
