package list

import (
	"context"
	"encoding/json"
	"fmt"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// Compared is the differences with what a page says around them.
type Compared struct {
	Differences
	Versions []store.Publication // newest first
	First    bool                // there is nothing before it
	Seq      int64
}

// SeeDifferences compares version to with version from; a from of 0 is the one before, a to of 0 the running list.
func SeeDifferences(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, from, to int) (Compared, error) {
	var c Compared
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		if c.Versions, err = l.Tx.Publications(scope.Society, scope.Event); err != nil {
			return err
		}
		if c.Seq, err = l.Tx.ChangeSeq(scope.Society, scope.Event); err != nil {
			return err
		}
		later, err := laterOf(l, to)
		if err != nil {
			return err
		}
		if from == 0 {
			from = before(c.Versions, to)
		}
		if from == 0 {
			c.First, c.To = true, to
			return nil
		}
		if to > 0 && from >= to {
			return fault.Missing()
		}
		earlier, err := frozen(l, from)
		if err != nil {
			return err
		}
		trails, err := trailsOf(l)
		if err != nil {
			return err
		}
		c.Differences = Compare(earlier, later, trails, calledNow(h))
		answered, err := hall.Answered(l, earlier.SignedAt, later.SignedAt)
		c.Requests = append(c.Requests, answered...)
		return err
	})
	return c, err
}

func before(versions []store.Publication, to int) int {
	for _, v := range versions { // newest first
		if to == 0 || v.Version < to {
			return v.Version
		}
	}
	return 0
}

func laterOf(l *hall.Look, version int) (Canonical, error) {
	if version > 0 {
		return frozen(l, version)
	}
	r, err := running(l)
	if err != nil {
		return Canonical{}, err
	}
	society, err := l.Tx.SocietyByID(l.Scope.Society)
	return canonical(society, r, 0, "", "", l.Now, l.Hall), err
}

func frozen(l *hall.Look, version int) (c Canonical, err error) {
	p, err := l.Tx.PublicationByVersion(l.Scope.Society, l.Scope.Event, version)
	if err != nil {
		return c, err
	}
	if err := json.Unmarshal(p.Canonical, &c); err != nil {
		return c, fmt.Errorf("read version %d: %w", version, err)
	}
	return c, nil
}

// said is what a slip says of a find's name.
var said = map[foray.SlipKind]Reason{foray.FieldName: Determined, foray.SignOff: Determined, foray.Strike: Struck, foray.NotNameable: Nameless, foray.NotFungus: Nameless}

// trailsOf is what happened to every find of the event, by number or id.
func trailsOf(l *hall.Look) (map[string]Trail, error) {
	plates, err := l.AllNumbered()
	if err != nil {
		return nil, err
	}
	trails, numbers := map[string]Trail{}, map[foray.ID]string{}
	for _, p := range plates {
		t := Trail{WrittenAt: p.RecordedAt.Time, Fate: p.Fate}
		for _, s := range p.Slips {
			t.Said = append(t.Said, Said{s.RecordedAt, said[s.Kind]})
		}
		numbers[p.ID] = p.Number().String()
		trails[numbers[p.ID]] = t
	}
	links, err := l.Tx.CollectionLinks(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	for _, link := range links {
		t := trails[numbers[link.FromID]]
		t.Into = append(t.Into, numbers[link.IntoID])
		trails[numbers[link.FromID]] = t
	}
	return trails, fieldTrails(l, trails)
}

func fieldTrails(l *hall.Look, trails map[string]Trail) error {
	seen, err := l.SeenThere()
	for _, s := range seen {
		t := Trail{WrittenAt: s.RecordedAt.Time, Fate: store.Live}
		for _, w := range s.Stands {
			t.Said = append(t.Said, Said{w.RecordedAt.Time, Stood})
		}
		if s.Struck != nil {
			t.Fate = string(Struck)
		}
		trails[s.ID.URN()] = t
	}
	return err
}

// calledNow reads a name as a list prints it and gives what it is called now, printed the same way.
func calledNow(h *hall.Hall) func(string) string {
	return func(written string) string {
		r := taxon.Read(written)
		n, ok := h.Knowledge.Names.Lookup(taxon.Key(r.Canonical))
		if !ok {
			return written
		}
		current := n.Current()
		return Written(tally.Named{Name: current.Name, Rank: current.Rank, Qualifier: r.Qualifier, Position: r.Position})
	}
}
