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
	Held     access.Held
}

// See gives the running list to everybody.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Running, error) {
	var r Running
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		r, err = running(l)
		return err
	})
	return r, err
}

func running(l *hall.Look) (r Running, err error) {
	r.Held = l.Held
	if r.Event, err = l.Tx.EventByID(l.Scope.Society, l.Scope.Event); err != nil {
		return r, err
	}
	if r.Seq, err = l.Tx.ChangeSeq(l.Scope.Society, l.Scope.Event); err != nil {
		return r, err
	}
	if r.Versions, err = l.Tx.Publications(l.Scope.Society, l.Scope.Event); err != nil {
		return r, err
	}
	finds, unnamed, err := Finds(l)
	r.List, r.Unnamed = tally.Make(finds), unnamed
	return r, err
}

// Finds is what the event's collections and field records say, as the list sees it; unnamed counts those without any name.
func Finds(l *hall.Look) (finds []tally.Find, unnamed int, err error) {
	plates, err := l.Plates()
	if err != nil {
		return nil, 0, err
	}
	people, err := l.PeopleNames()
	if err != nil {
		return nil, 0, err
	}
	places, err := l.Places()
	if err != nil {
		return nil, 0, err
	}
	for _, p := range plates {
		f, ok := find(l.Hall, p, people, places)
		if !ok {
			if p.Naming == foray.BroughtIn {
				unnamed++
			}
			continue
		}
		finds = append(finds, f)
	}
	seen, err := l.SeenThere()
	for _, s := range seen {
		if s.Struck == nil {
			finds = append(finds, fieldFind(l.Hall, s, people, places))
		}
	}
	return finds, unnamed, err
}

// fieldFind reads one field record: confirmed while somebody stands behind it.
func fieldFind(h *hall.Hall, s hall.SeenThere, people map[foray.ID]store.Person, places hall.Places) tally.Find {
	name := s.SlipName()
	f := tally.Find{ID: s.ID.String(), Field: true, Seen: s.Count, Place: places.Of(s.SiteID, []foray.SlipName{name}).Name(), Outside: s.Outside,
		Names: []tally.Named{named(h, name)}, State: tally.Provisional}
	for _, w := range s.Stands {
		f.State = tally.Confirmed
		if who := hall.CreditedName(people[w.PersonID]); who != "" {
			f.Determiners = append(f.Determiners, who)
		}
	}
	return f
}

// find reads one plate: its standing names where it was signed, its first choice where it was not.
func find(h *hall.Hall, p hall.Plate, people map[foray.ID]store.Person, places hall.Places) (tally.Find, bool) {
	f := tally.Find{ID: p.ID.String(), Number: p.Number().String(), Place: places.Of(p.SiteID, p.Asked()).Name(), Outside: p.Outside,
		Cultivated: p.Cultivated}
	switch {
	case p.Standing.Naming == foray.Confirmed:
		f.State = tally.Confirmed
	case p.Standing.Disputed:
		f.State = tally.Disputed
	case p.Standing.Naming == foray.Provisional && len(p.Standing.Question) > 0:
		f.State = tally.Provisional
		f.Names = []tally.Named{named(h, firstChoice(p))}
		return f, true
	default:
		return f, false
	}
	if current, ok := p.Standing.Current(); ok {
		f.Names = []tally.Named{named(h, current.Name())}
		f.Asked = len(current.Looked)
		for _, l := range current.Looked {
			if l.Answer != foray.NotRecorded {
				f.Answered++
			}
		}
	}
	for _, side := range p.Standing.Sides {
		if f.State == tally.Disputed {
			f.Names = append(f.Names, named(h, side.Name()))
		}
		if who := hall.CreditedName(people[side.Determiner]); who != "" {
			f.Determiners = append(f.Determiners, who)
		}
	}
	return f, true
}

// firstChoice is the best-ranked name of the newest slip that names, also where an older slip has it in question already.
func firstChoice(p hall.Plate) foray.SlipName {
	for i := len(p.Slips) - 1; i >= 0; i-- {
		slip := p.Slips[i]
		if _, struck := p.Standing.Struck[slip.ID]; !struck && len(slip.Names) > 0 {
			return slip.Name()
		}
	}
	return foray.SlipName{}
}

func named(h *hall.Hall, n foray.SlipName) tally.Named {
	return tally.Named{Name: n.Name, Author: n.Author, Rank: taxon.Rank(n.NameRank), Qualifier: taxon.Qualifier(n.Qualifier),
		Position: taxon.Rank(n.Position), Key: n.Key, Current: h.Current(n)}
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
