package list

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/tally"
)

// Whole is what a society found at its events, under the names of today: of all years, of one season, or at one site.
type Whole struct {
	Society store.Society
	Events  []store.Event // that it is made from, newest first
	List    tally.List
	Years   []string // in which there were events, newest first
	Sites   []Site   // of which the public may know, over all events
	Bounds  *Bounds  // of the public points of those events' finds; nil: none has one

	hidden hall.Anywhere
	all    []tally.Find // of all events
	chosen []tally.Find
}

// Choice is of which events and finds a society's list is made; the zero value is all.
type Choice struct {
	Year string // of the event's first day
	Site string // code, the same at every event
}

// SeeSociety makes the list of a society for everybody.
func SeeSociety(ctx context.Context, h *hall.Hall, actor access.Actor, society foray.ID, choice Choice) (Whole, error) {
	var w Whole
	err := h.View(ctx, actor, access.ReadPublic, access.Scope{Society: society}, func(l *hall.Look) error { return w.read(l, choice) })
	return w, err
}

func (w *Whole) read(l *hall.Look, choice Choice) (err error) {
	if w.Society, err = l.Tx.SocietyByID(l.Scope.Society); err != nil {
		return err
	}
	if w.hidden, err = l.KeptBackAnywhere(); err != nil {
		return err
	}
	events, err := l.Tx.Events(l.Scope.Society)
	if err != nil {
		return err
	}
	slices.SortStableFunc(events, newestFirst)
	return w.gather(l, events, choice)
}

func newestFirst(a, b store.Event) int {
	if a.StartsOn == b.StartsOn {
		return 0
	}
	if a.StartsOn > b.StartsOn {
		return -1
	}
	return 1
}

func (w *Whole) gather(l *hall.Look, events []store.Event, choice Choice) error {
	for _, e := range events {
		w.Years = append(w.Years, year(e))
		finds, bounds, err := w.findsOf(l, e)
		if err != nil {
			return err
		}
		w.all = append(w.all, finds...)
		if choice.Year != "" && choice.Year != year(e) {
			continue
		}
		if part := (Part{Site: choice.Site}).of(finds); choice.Site == "" || len(part) > 0 {
			w.Events, w.chosen, w.Bounds = append(w.Events, e), append(w.chosen, part...), w.Bounds.and(bounds)
		}
	}
	w.Years, w.Sites, w.List = slices.Compact(w.Years), sitesByCode(w.all), tally.Make(w.chosen)
	return nil
}

// findsOf reads one event of the society that a look is at.
func (w *Whole) findsOf(l *hall.Look, e store.Event) ([]tally.Find, *Bounds, error) {
	f, err := newFinder(l.Passing(e.ID), e)
	if err != nil {
		return nil, nil, err
	}
	finds, err := f.all()
	for i := range finds {
		finds[i].Event = e.Code
	}
	return finds, f.bounds, err
}

// sitesByCode is each site once, by the name that it had last.
func sitesByCode(finds []tally.Find) (sites []Site) {
	have := map[string]bool{}
	for _, f := range finds { // newest first
		if f.Site != "" && !have[f.Site] {
			have[f.Site] = true
			sites = append(sites, Site{f.Site, f.Place})
		}
	}
	slices.SortFunc(sites, func(a, b Site) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	return sites
}

func year(e store.Event) string {
	if len(e.StartsOn) < 4 {
		return ""
	}
	return e.StartsOn[:4]
}
