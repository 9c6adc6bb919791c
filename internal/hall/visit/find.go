package visit

import (
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Find is one number as anybody may look it up: a collection, or what became of it.
type Find struct {
	Seen
	Plate
	There     bool     // it is, or was, a collection; else only what became of the number is known
	Fate      string   // live; split, merged, spoilt; of a number without a collection: spoilt, lost, unused
	Parts     []string // of a split: the numbers of its parts
	Into      string   // of a merge: the number that it stands under now
	Collector string   // as they chose to be named
	PickedOn  string   // ISO date; empty where no day is known
	Slips     []Slip   // newest first
	Doubles   []Double
}

// Slip is one slip of the history with what anybody may read of it.
type Slip struct {
	Kind       foray.SlipKind
	Did        string // what a sign-off did when it came: hall.Plate.Did
	Names      []Name
	Determiner string // as they chose to be named
	Basis      foray.Basis
	At         time.Time
	Struck     bool
	Unsettled  bool // a dissent that nobody has settled
}

// SeeFind shows one number to anybody.
func SeeFind(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n foray.Number) (Find, error) {
	var f Find
	err := view(ctx, h, actor, scope, func(g *gallery) error {
		f = Find{Seen: g.seen(), Plate: Plate{Number: n.String()}}
		for _, p := range g.numbered {
			if p.Number() == n {
				return g.fill(&f, p)
			}
		}
		return g.withoutCollection(&f, n)
	})
	return f, err
}

// withoutCollection looks for the parts of a number that only they bear, and for what somebody said became of it.
func (g *gallery) withoutCollection(f *Find, n foray.Number) error {
	for _, p := range g.numbered {
		if isPart(p.Number(), n) {
			f.Fate, f.Parts = "split", append(f.Parts, p.Number().String())
		}
	}
	fates, err := g.Tx.NumberFates(g.Scope.Society, g.Scope.Event)
	if err != nil {
		return err
	}
	for _, said := range fates { // the newest counts
		if len(f.Parts) == 0 && (foray.Number{Base: said.NumberBase, Suffix: said.NumberSuffix}) == n {
			f.Fate = said.Fate
		}
	}
	if f.Fate == "" {
		return fault.New(fault.NotFound, "visit.no-such-number", "number", n.String(), "event", g.event.Code)
	}
	return nil
}

// isPart reports whether a number is one of the parts into which another was split: letters are for splits only.
func isPart(part, whole foray.Number) bool {
	return part.Base == whole.Base && len(part.Suffix) == len(whole.Suffix)+1 && part.Suffix[:len(whole.Suffix)] == whole.Suffix
}

func (g *gallery) fill(f *Find, p hall.Plate) error {
	f.Plate, f.There, f.Fate = g.plate(p), true, p.Fate
	f.Collector = g.credited(p.CollectorID)
	f.PickedOn = p.PickedFrom
	if !p.PickedAt.IsZero() {
		f.PickedOn = p.PickedAt.In(hall.Zone(g.event)).Format(time.DateOnly)
	}
	f.Slips = g.slips(p)
	f.Doubles = g.doubles(f.Names)
	if p.Fate == store.Live {
		return nil
	}
	return g.follow(f, p.ID)
}

// follow finds what a collection was split or merged into.
func (g *gallery) follow(f *Find, from foray.ID) error {
	links, err := g.Tx.CollectionLinks(g.Scope.Society, g.Scope.Event)
	if err != nil {
		return err
	}
	numbers := map[foray.ID]string{}
	for _, p := range g.numbered {
		numbers[p.ID] = p.Number().String()
	}
	for _, l := range links {
		switch {
		case l.FromID != from:
		case l.Kind == "split":
			f.Parts = append(f.Parts, numbers[l.IntoID])
		default:
			f.Into = numbers[l.IntoID]
		}
	}
	return nil
}

func (g *gallery) slips(p hall.Plate) []Slip {
	var out []Slip
	for i := len(p.Slips) - 1; i >= 0; i-- {
		slip := p.Slips[i]
		if slip.Kind == foray.Strike {
			continue
		}
		_, struck := p.Standing.Struck[slip.ID]
		s := Slip{Kind: slip.Kind, Did: p.Did(i), Determiner: g.credited(slip.Determiner), Basis: slip.Basis, At: slip.RecordedAt, Struck: struck}
		for _, n := range slip.Names {
			s.Names = append(s.Names, g.name(n, slip.Kind))
		}
		s.Unsettled = s.Did == hall.Dissents && p.Standing.Disputed && p.Standing.IsSide(slip.ID)
		out = append(out, s)
	}
	return out
}
