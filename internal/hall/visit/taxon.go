package visit

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/knowledge"
	"forayhall/internal/taxon"
)

// Taxon is the sheet of a name at one event: what it is called now and was called before, how it is said, what is known
// against it, what it is mistaken for, where it was found here, and what the society's other events know of it.
type Taxon struct {
	Seen
	Asked    string         // the name that was asked for
	Name     *taxon.Name    // accepted; nil where only this event knows the name
	Here     foray.SlipName // the name as written here, where Name is nil
	Former   []*taxon.Name
	Findings []hazard.Finding // worst first; never empty
	Doubles  []Double
	Sites    []SiteFinds
	Finds    int
	Within   []Within         // for a name above or around others: those of it that are in question here
	Record   Record           // of all events of the society
	Words    []knowledge.Word // of the trade that stand in the differences of Doubles
	Said     string           // how the name is said; empty where the classification does not know it
}

// SiteFinds is the finds of one site, by state.
type SiteFinds struct {
	Site   Site
	States []StateFinds
}

// StateFinds is the plates of one state, by number.
type StateFinds struct {
	State  string
	Plates []Plate
}

// Within is a name that lies within another, with how many collections may bear it.
type Within struct {
	Name  *taxon.Name
	Finds int
}

// SeeTaxon shows a taxon at an event to anybody. A name that neither the classification nor the event knows is not
// found.
func SeeTaxon(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, name string) (Taxon, error) {
	var t Taxon
	err := view(ctx, h, actor, scope, func(g *gallery) error {
		t = Taxon{Seen: g.seen(), Asked: name}
		key := taxon.Key(name)
		if n, ok := h.Knowledge.Names.Lookup(key); ok {
			t.Name, key, t.Asked = n.Current(), n.Current().Key, n.Name
			// Of all names that any list joins to it, those that are its own today.
			other := func(f *taxon.Name) bool { return f.Accepted == nil || f.Current().Key != key }
			t.Former, t.Said = slices.DeleteFunc(h.Knowledge.Names.FormerOf(t.Name), other), taxon.Say(t.Name.Name)
		}
		if key == "" {
			return fault.Missing()
		}
		g.gather(&t, key)
		var err error
		if t.Name == nil && t.Finds == 0 {
			if t.Here, err = g.seenOutside(key); err != nil {
				return err
			}
		}
		g.warn(&t)
		t.Record, err = g.record(t.keys(key))
		return err
	})
	return t, err
}

// seenOutside is a name that only field records bear; a name that none bears is fault.Missing.
func (g *gallery) seenOutside(key string) (foray.SlipName, error) {
	seen, err := g.SeenThere()
	for _, s := range seen {
		if n := s.SlipName(); err == nil && s.Struck == nil && g.name(n, foray.FieldName).Key() == key {
			return n, nil
		}
	}
	return foray.SlipName{}, cmp.Or[error](err, fault.Missing())
}

// keys is the keys of all names of a taxon.
func (t Taxon) keys(key string) []string {
	keys := []string{key}
	for _, f := range t.Former {
		keys = append(keys, f.Key)
	}
	slices.Sort(keys)
	return slices.Compact(keys)
}

// Above is a wider name that the classification puts a taxon into.
type Above struct {
	Rank taxon.Rank
	Name string
}

// Wider is the classification upward, the narrowest first.
func (t Taxon) Wider() []Above {
	if t.Name == nil {
		return nil
	}
	w := taxon.Read(t.Name.Name)
	above := []Above{{taxon.Species, ""}, {taxon.Section, ""}, {taxon.Genus, ""}, {taxon.Family, t.Name.Family}, {taxon.Order, t.Name.Order},
		{taxon.Class, t.Name.Class}, {taxon.Phylum, t.Name.Phylum}, {taxon.Kingdom, t.Name.Kingdom}}
	if w.Epithet != "" || w.Section != "" {
		above[2].Name = w.Genus
	}
	if w.Infra != "" {
		above[0].Name = w.Genus + " " + w.Epithet
	}
	if w.Epithet != "" && t.Name.Section != "" {
		above[1].Name = w.Genus + " sect. " + t.Name.Section
	}
	return slices.DeleteFunc(above, func(a Above) bool { return a.Name == "" || a.Name == t.Name.Name })
}

func (g *gallery) warn(t *Taxon) {
	written := t.Asked
	if t.Name != nil {
		written = t.Name.Name
	}
	t.Findings = g.Hall.Knowledge.Hazards.AssessIn(written, g.event.Region)
	t.Doubles = g.appendDoubles(nil, written)
	worstFirst(t.Doubles)
	var texts []string
	for _, d := range t.Doubles {
		texts = append(texts, d.Differences)
	}
	t.Words = g.Hall.Knowledge.Glossary.In(texts...)
}

// gather puts the plates under their sites and states, and counts what lies within the name.
func (g *gallery) gather(t *Taxon, key string) {
	within := map[*taxon.Name]int{}
	bySite := map[Site]map[string][]Plate{}
	for _, p := range g.plates {
		seen := map[*taxon.Name]bool{}
		found := false
		for _, a := range p.Standing.Question {
			n := g.name(a.SlipName, a.Kind)
			switch {
			case n.Key() == key:
				if found = true; t.Name == nil {
					t.Here = n.SlipName
				}
			case n.Current != nil && t.Name != nil && n.Current.LiesWithin(t.Name) && !seen[n.Current]:
				seen[n.Current] = true
				within[n.Current]++
			}
		}
		if !found {
			continue
		}
		shown := g.plate(p)
		if bySite[shown.Site] == nil {
			bySite[shown.Site] = map[string][]Plate{}
		}
		bySite[shown.Site][shown.State] = append(bySite[shown.Site][shown.State], shown)
		t.Finds++
	}
	t.Sites, t.Within = inOrder(bySite), counted(within)
}

// states is the order in which finds are listed: the surest first.
var states = []string{string(foray.Confirmed), "disputed", string(foray.Provisional), string(foray.BroughtIn), string(foray.Unnameable)}

// inOrder lists sites by name, those that are kept back and those not said last.
func inOrder(bySite map[Site]map[string][]Plate) []SiteFinds {
	var out []SiteFinds
	for site, byState := range bySite {
		s := SiteFinds{Site: site}
		for _, state := range states {
			if len(byState[state]) > 0 {
				s.States = append(s.States, StateFinds{state, byState[state]})
			}
		}
		out = append(out, s)
	}
	slices.SortFunc(out, func(x, y SiteFinds) int {
		if (x.Site.Name == "") != (y.Site.Name == "") {
			return strings.Compare(y.Site.Name, x.Site.Name)
		}
		if x.Site.Name == "" && x.Site.KeptBack {
			return -1
		}
		return strings.Compare(x.Site.Name, y.Site.Name)
	})
	return out
}

func counted(within map[*taxon.Name]int) []Within {
	var out []Within
	for n, finds := range within {
		out = append(out, Within{n, finds})
	}
	slices.SortFunc(out, func(x, y Within) int { return strings.Compare(x.Name.Key, y.Name.Key) })
	return out
}
