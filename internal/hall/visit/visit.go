// Package visit is what anybody is shown of an event: one table, one collection, one taxon; and to members what they
// brought in themselves. It hands out types of its own that hold public facts only: no remark, no reason, no habitat in
// free words, no exact place, no name of somebody who chose not to be named. A page or an answer that is made from them
// cannot tell more, and what they say does not depend on who asks, save for Own.
package visit

import (
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Name is a name of a collection as somebody wrote it, with what it is called today.
type Name struct {
	foray.SlipName // its Reason is left out
	Kind           foray.SlipKind
	Current        *taxon.Name // nil where the classification does not know it
}

// Where is where a plate is, as far as a visitor is told: with whom it is, is not for everybody.
type Where struct {
	Place    foray.Whereabouts
	Table    int // for a table: its number
	Title    string
	Position string
}

// Plate is one collection as anybody may see it.
type Plate struct {
	Number      string
	Group       string
	Size        string
	State       string // how it is named; a dispute is a state of its own
	Names       []Name // in question
	Assessment  hazard.Assessment
	Where       Where
	Determiners []string // of the sign-offs that stand, as they chose to be named
	Site        Site
	Outside     bool
	Cultivated  bool
	Flags       []string // protected, controlled: what the law where the event is says of one of its names
}

// Site is where something was found, as the public may know it.
type Site struct {
	Name     string // empty: not said, or kept back
	KeptBack bool   // there is a place, and the public is told no more than its grid
}

// gallery is an event's plates with what is needed to show one of them to anybody.
type gallery struct {
	*hall.Look
	event  store.Event
	seq    int64
	tables map[foray.ID]store.HallTable
	people map[foray.ID]store.Person
	places hall.Places
	flags  []store.TaxonFlag
	// numbered is all that bears a number; plates are those of them that are one still.
	numbered, plates []hall.Plate
}

// view opens an event's gallery for fn.
func view(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, fn func(*gallery) error) error {
	return h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		g := &gallery{Look: l}
		if err := g.read(); err != nil {
			return err
		}
		return fn(g)
	})
}

func (g *gallery) read() (err error) {
	society, event := g.Scope.Society, g.Scope.Event
	if g.event, err = g.Tx.EventByID(society, event); err != nil {
		return err
	}
	if g.seq, err = g.Tx.ChangeSeq(society, event); err != nil {
		return err
	}
	if g.people, err = g.PeopleNames(); err != nil {
		return err
	}
	if g.places, err = g.Look.Places(); err != nil {
		return err
	}
	if g.flags, err = g.Tx.TaxonFlags(society, event); err != nil {
		return err
	}
	tables, err := g.Tx.HallTables(society, event)
	if err != nil {
		return err
	}
	g.tables = map[foray.ID]store.HallTable{}
	for _, t := range tables {
		g.tables[t.ID] = t
	}
	if g.numbered, err = g.AllNumbered(); err != nil {
		return err
	}
	for _, p := range g.numbered {
		if p.Fate == store.Live {
			g.plates = append(g.plates, p)
		}
	}
	return nil
}

// credited is how somebody chose to be named; "" for those who chose not to be.
func (g *gallery) credited(id foray.ID) string { return hall.CreditedName(g.people[id]) }

func (g *gallery) plate(p hall.Plate) Plate {
	out := Plate{Number: p.Number().String(), Group: p.FormGroup, Size: p.Collection.Plate, State: p.StateWord(), Where: g.where(p),
		Assessment: g.Hall.Knowledge.Hazards.Worst(p.Questions(), g.event.Region), Site: g.site(p), Outside: p.Outside, Cultivated: p.Cultivated}
	for _, a := range p.Standing.Question {
		out.Names = append(out.Names, g.name(a.SlipName, a.Kind))
	}
	for _, side := range p.Standing.Sides {
		if who := g.credited(side.Determiner); who != "" && !slices.Contains(out.Determiners, who) {
			out.Determiners = append(out.Determiners, who)
		}
	}
	for _, f := range g.Hall.FlagsOn(g.flags, p.Asked()) {
		if !f.Perhaps && !slices.Contains(out.Flags, f.Flag) {
			out.Flags = append(out.Flags, f.Flag)
		}
	}
	return out
}

// site is kept back where the place is sensitive, or a name in question is flagged.
func (g *gallery) site(p hall.Plate) Site {
	return publicSite(g.places.OfPlate(&p))
}

func (g *gallery) name(n foray.SlipName, kind foray.SlipKind) Name {
	n.Reason = ""
	return Name{SlipName: n, Kind: kind, Current: g.Hall.Current(n)}
}

func (g *gallery) where(p hall.Plate) Where {
	w := Where{Place: p.Whereabouts}
	if t, ok := g.tables[p.TableID]; ok && p.Whereabouts == foray.OnTable {
		w.Table, w.Title, w.Position = t.Number, t.Title, p.Position
	}
	return w
}

// Key is the current name's, or that of a name which only this event knows; "" where there is neither.
func (n Name) Key() string {
	if n.Current != nil {
		return n.Current.Key
	}
	return n.SlipName.Key
}

// Written is the name with its qualifier, as warnings read it.
func (n Name) Written() string { return hall.Written(n.SlipName) }

// Seen is what every view here carries.
type Seen struct {
	Event store.Event
	Seq   int64 // the change it was made after
	At    time.Time
}

func (g *gallery) seen() Seen { return Seen{Event: g.event, Seq: g.seq, At: g.Now} }
