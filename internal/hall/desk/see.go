package desk

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Kept is a slip that just went in, with what the desk must say of it.
type Kept struct {
	Plate      hall.Plate
	Assessment hazard.Assessment
	Missing    []string
	Smelt      bool // somebody noted an odour
	Flags      []hall.Flagged
}

// SeeKept shows whoever may log what was kept under a number.
func SeeKept(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n foray.Number) (Kept, error) {
	var k Kept
	err := h.View(ctx, actor, access.LogCollection, scope, func(l *hall.Look) error {
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		if k.Plate, err = l.PlateByNumber(n); err != nil {
			return err
		}
		teams, err := l.Tx.Teams(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		sites, err := l.Tx.Sites(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		notes, err := l.NotesOf(k.Plate.ID)
		if err != nil {
			return err
		}
		k.Smelt = slices.ContainsFunc(notes, func(n store.CharacterNote) bool { return n.Character == "odour" })
		k.Missing = Missing(k.Plate.Collection, teams, sites)
		k.Assessment = h.Knowledge.Hazards.Worst(k.Plate.Questions(), event.Region)
		k.Flags, err = l.FlagsOf(k.Plate)
		return err
	})
	return k, err
}

// Numbered is what a number was, where it is no plate any more.
type Numbered struct {
	Plate  hall.Plate
	Into   []hall.Plate // its parts, or the one that it was merged into
	By     store.Person // who made it no plate
	At     store.Stamp
	Reason string
	Notes  []store.CharacterNote
	People map[foray.ID]store.Person
	Tables []store.HallTable
}

// SeeNumbered shows a number that is no plate any more to whoever may see it: staff, and the member whose own it was.
func SeeNumbered(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n foray.Number) (Numbered, error) {
	var s Numbered
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if s.Plate, err = l.PlateByNumber(n); err != nil {
			return err
		}
		if !l.Held.Staff() && s.Plate.CollectorID != actor.Person {
			return fault.Missing()
		}
		if s.People, err = l.PeopleNames(); err != nil {
			return err
		}
		if s.Notes, err = l.NotesOf(s.Plate.ID); err != nil {
			return err
		}
		if s.Tables, err = l.Tx.HallTables(scope.Society, scope.Event); err != nil {
			return err
		}
		return s.became(l)
	})
	return s, err
}

func (s *Numbered) became(l *hall.Look) error {
	links, err := l.Tx.LinksFrom(l.Scope.Society, l.Scope.Event, s.Plate.ID)
	if err != nil {
		return err
	}
	all, err := l.AllNumbered()
	if err != nil {
		return err
	}
	for _, p := range all {
		for _, link := range links {
			if p.ID == link.IntoID {
				s.Into = append(s.Into, p)
				s.By, s.At, s.Reason = s.People[link.LinkedBy], link.RecordedAt, link.Reason
			}
		}
	}
	fates, err := l.Tx.NumberFates(l.Scope.Society, l.Scope.Event)
	for _, f := range fates {
		if s.Plate.Fate == store.Spoilt && f.NumberBase == s.Plate.NumberBase && f.NumberSuffix == s.Plate.NumberSuffix {
			s.By, s.At, s.Reason = s.People[f.SaidBy], f.RecordedAt, f.Reason
		}
	}
	return err
}
