package visit

import (
	"cmp"
	"slices"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

// Double is a mistake that happens, with where the other of the two stands in this hall.
type Double struct {
	hazard.Double
	Stands []Stand // on tables; empty: not displayed
}

// Stand is a plate on a table that is, or may be, what is looked for.
type Stand struct {
	Number string
	Table  int
	Title  string
}

// doubles are the mistakes that names take part in, worst first. A name that stops above species takes part in those of
// every species it may be: that is what its warning says already, and no list.
func (g *gallery) doubles(names []Name) []Double {
	var out []Double
	for _, n := range names {
		if taxon.Read(n.Name).Epithet == "" {
			continue
		}
		written := []string{n.Written()}
		if n.Current != nil {
			written = append(written, n.Current.Name)
		}
		for _, w := range written {
			out = g.appendDoubles(out, w)
		}
	}
	worstFirst(out)
	return out
}

func (g *gallery) appendDoubles(out []Double, written string) []Double {
	for _, d := range g.Hall.Knowledge.Hazards.Doubles(written) {
		same := func(x Double) bool { return x.ID == d.ID && x.Role == d.Role }
		if !slices.ContainsFunc(out, same) {
			out = append(out, Double{d, g.stands(d.Other)})
		}
	}
	return out
}

// worstFirst puts the most dangerous first, and of those that are alike in this the ones that can be compared here.
func worstFirst(all []Double) {
	slices.SortStableFunc(all, func(x, y Double) int {
		return cmp.Or(cmp.Compare(y.Severity, x.Severity), cmp.Compare(min(len(y.Stands), 1), min(len(x.Stands), 1)), strings.Compare(x.Other, y.Other))
	})
}

// stands are the plates on tables with that name in question, under any of its names; for a genus, any species of it.
func (g *gallery) stands(name string) []Stand {
	key := g.currentKey(name)
	var out []Stand
	for _, p := range g.plates {
		t, ok := g.tables[p.TableID]
		if !ok || p.Whereabouts != foray.OnTable {
			continue
		}
		for _, a := range p.Standing.Question {
			if k := g.name(a.SlipName, a.Kind).Key(); k == key || strings.HasPrefix(k, key+" ") {
				out = append(out, Stand{Number: p.Number().String(), Table: t.Number, Title: t.Title})
				break
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Stand) int { return cmp.Compare(x.Table, y.Table) })
	return out
}

func (g *gallery) currentKey(name string) string {
	key := taxon.Key(name)
	if n, ok := g.Hall.Knowledge.Names.Lookup(key); ok {
		return n.Current().Key
	}
	return key
}
