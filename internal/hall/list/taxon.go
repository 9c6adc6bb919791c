package list

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// Tens is how many parts of ten days a year has: three a month, the third of them what is left of it.
const Tens = 36

// Taxon is what a society knows of a name from all its events. What was cultivated is left out.
type Taxon struct {
	Society store.Society
	Asked   string
	Name    *taxon.Name // accepted; nil where only the society knows it
	Written tally.Named // as it was written, where Name is nil
	Former  []*taxon.Name
	Events  []TaxonEvent // newest first
	Sites   []TaxonSite  // public ones, most finds first
	Kept    []Kept       // finds whose places are kept back, the finest grid first
	Unsaid  int          // finds of which no site was written down
	Flagged bool         // an event of the society keeps the places of this taxon back
	Tens    [Tens]int    // finds by ten days of the year
	Undated int          // finds that are not known to the day
	Within  []TaxonPart  // names within it that were found, by name
	Sure    int          // confirmed, or stood for, without a doubt in the name
	Unsure  int
}

// All is all finds.
func (t Taxon) All() int { return t.Sure + t.Unsure }

// TaxonEvent is how often it was found at one event.
type TaxonEvent struct {
	Event          store.Event
	Plates, Fields int
}

// TaxonSite is how often it was found at one site.
type TaxonSite struct {
	Site
	Finds int
}

// Kept is how many places are told as cells of one grid.
type Kept struct{ GridM, Finds int }

// TaxonPart is a name within a wider one.
type TaxonPart struct {
	Name  *taxon.Name
	Finds int
}

// SeeSocietyTaxon gives it to everybody. A name of which nothing was found, nor of anything within it, is not found.
func SeeSocietyTaxon(ctx context.Context, h *hall.Hall, actor access.Actor, society foray.ID, name string) (Taxon, error) {
	t := Taxon{Asked: name}
	err := h.View(ctx, actor, access.ReadPublic, access.Scope{Society: society}, func(l *hall.Look) error {
		key := taxon.Key(name)
		if n, ok := h.Knowledge.Names.Lookup(key); ok {
			t.Name, key, t.Asked = n.Current(), n.Current().Key, n.Name
			other := func(f *taxon.Name) bool { return f.Accepted == nil || f.Current().Key != key }
			t.Former = slices.DeleteFunc(h.Knowledge.Names.FormerOf(t.Name), other)
		}
		if key == "" {
			return fault.Missing()
		}
		var w Whole
		if err := w.read(l, Choice{}); err != nil {
			return err
		}
		t.Society = w.Society
		t.gather(w, key)
		if t.All() == 0 && len(t.Within) == 0 {
			return fault.Missing()
		}
		t.Flagged = w.hidden.Flagged(h, foray.SlipName{Key: key})
		return nil
	})
	return t, err
}

func (t *Taxon) gather(w Whole, key string) {
	events, sites, kept, within := map[string]*TaxonEvent{}, map[Site]int{}, map[int]int{}, map[*taxon.Name]int{}
	for _, e := range w.Events {
		events[e.Code] = &TaxonEvent{Event: e}
	}
	for _, f := range w.all {
		if f.Cultivated {
			continue
		}
		named, found := namedAs(f, key)
		if !found {
			t.countWithin(within, f)
			continue
		}
		if t.Name == nil {
			t.Written = named
		}
		t.take(f, named)
		switch e := events[f.Event]; {
		case f.Field:
			e.Fields++
		default:
			e.Plates++
		}
		switch {
		case f.GridM > 0:
			kept[f.GridM]++
		case f.Site == "":
			t.Unsaid++
		default:
			sites[Site{f.Site, f.Place}]++
		}
	}
	t.order(w, events, sites, kept, within)
}

// namedAs is the name under which a find bears a key.
func namedAs(f tally.Find, key string) (tally.Named, bool) {
	for _, n := range f.Names {
		if n.Current != nil && n.Current.Key == key || n.Current == nil && n.Key == key {
			return n, true
		}
	}
	return tally.Named{}, false
}

func (t *Taxon) take(f tally.Find, n tally.Named) {
	if f.State == tally.Confirmed && n.Qualifier != taxon.Confer && n.Qualifier != taxon.Affinis && n.Qualifier != taxon.Doubt {
		t.Sure++
	} else {
		t.Unsure++
	}
	day, err := time.Parse(time.DateOnly, f.Day)
	if err != nil {
		t.Undated++
		return
	}
	t.Tens[(int(day.Month())-1)*3+min((day.Day()-1)/10, 2)]++
}

func (t *Taxon) countWithin(within map[*taxon.Name]int, f tally.Find) {
	seen := map[*taxon.Name]bool{}
	for _, n := range f.Names {
		if n.Current != nil && t.Name != nil && !seen[n.Current] && n.Current.LiesWithin(t.Name) {
			seen[n.Current] = true
			within[n.Current]++
		}
	}
}

func (t *Taxon) order(w Whole, events map[string]*TaxonEvent, sites map[Site]int, kept map[int]int, within map[*taxon.Name]int) {
	for _, e := range w.Events {
		if found := events[e.Code]; found.Plates+found.Fields > 0 {
			t.Events = append(t.Events, *found)
		}
	}
	for s, n := range sites {
		t.Sites = append(t.Sites, TaxonSite{s, n})
	}
	slices.SortFunc(t.Sites, func(a, b TaxonSite) int {
		return cmp.Or(cmp.Compare(b.Finds, a.Finds), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Code, b.Code))
	})
	for grid, n := range kept {
		t.Kept = append(t.Kept, Kept{grid, n})
	}
	slices.SortFunc(t.Kept, func(a, b Kept) int { return cmp.Compare(a.GridM, b.GridM) })
	for n, finds := range within {
		t.Within = append(t.Within, TaxonPart{n, finds})
	}
	slices.SortFunc(t.Within, func(a, b TaxonPart) int { return strings.Compare(a.Name.Key, b.Name.Key) })
}
