// Package list is the list keeper's room: the running list, the signed versions that never change, and the records
// that recording schemes take. A name on a list traces to a slip.
package list

import (
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// Running is an event's list as it is now: not final.
type Running struct {
	Event    store.Event
	List     tally.List
	Seq      int64 // the change it was made after
	Versions []store.Publication
	Unnamed  int // brought in, without any name
	Sites    []Site
	Days     []string // ISO dates on which something was found
	Bounds   *Bounds  // of the public points of the finds; nil: none has one
	Held     access.Held
}

// See gives the running list to everybody.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Running, error) {
	return SeePart(ctx, h, actor, scope, Part{})
}

// SeePart is the running list of one site or one day of an event.
func SeePart(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, part Part) (Running, error) {
	var r Running
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		r, err = runningPart(l, part)
		return err
	})
	return r, err
}

func running(l *hall.Look) (Running, error) { return runningPart(l, Part{}) }

func runningPart(l *hall.Look, part Part) (r Running, err error) {
	r.Held = l.Held
	if r.Event, err = l.Event(); err != nil {
		return r, err
	}
	if r.Seq, err = l.Tx.ChangeSeq(l.Scope.Society, l.Scope.Event); err != nil {
		return r, err
	}
	if r.Versions, err = l.Tx.Publications(l.Scope.Society, l.Scope.Event); err != nil {
		return r, err
	}
	f, err := newFinder(l, r.Event)
	if err != nil {
		return r, err
	}
	finds, err := f.all()
	if err != nil {
		return r, err
	}
	r.Unnamed, r.Sites, r.Days, r.Bounds = f.unnamed, sitesOf(finds), daysOf(finds), f.bounds
	r.List = tally.Make(part.of(finds))
	return r, f.markFirsts(&r.List)
}

func (f *finder) named(n foray.SlipName) tally.Named {
	return tally.Named{Name: n.Name, Author: n.Author, Rank: taxon.Rank(n.NameRank), Qualifier: taxon.Qualifier(n.Qualifier),
		Position: taxon.Rank(n.Position), Key: n.Key, Current: f.look.Current(n)}
}

// Written is a line's name with its qualifier, as a list prints it.
func Written(n tally.Named) string {
	switch {
	case n.Qualifier == taxon.Confer || n.Qualifier == taxon.Affinis:
		genus, rest, ok := strings.Cut(n.Name, " ")
		if !ok || n.Position == taxon.Genus {
			return string(n.Qualifier) + " " + n.Name
		}
		return genus + " " + string(n.Qualifier) + " " + rest
	case n.Rank == taxon.Genus && n.Qualifier == taxon.None:
		return n.Name + " sp."
	case n.Qualifier == taxon.None:
		return n.Name
	}
	return n.Name + " " + string(n.Qualifier)
}
