package hazard

import (
	"cmp"

	"forayhall/internal/taxon"
)

// add keeps a finding; which of several for one syndrome is told is decided in findings.
func (a *answer) add(e *Entry, via Via, matched string, wide bool) {
	a.hits = append(a.hits, Finding{Matched: matched, Severity: e.Syndrome.Severity, Syndrome: e.Syndrome,
		Via: via, Entry: e, Wide: wide})
	if via != ByMembers && via != ByGroup && via != ByForm && (e.Own == "" || e.Syndrome.Severity >= Dangerous) {
		a.unlisted = false
	}
}

// rows adds entries that the name could turn out to be.
func (a *answer) rows(entries []*Entry, via Via, slip bool, matched string) {
	if slip && via != ByMembers && via != ByGroup && via != ByForm {
		via = Misspelt
	}
	for _, e := range entries {
		a.add(e, via, cmp.Or(matched, e.Taxon), true)
	}
}

// exact adds the rows that bear the name or that it was a name of.
func (a *answer) exact(key string, slip bool) {
	for _, k := range a.b.alike(key) {
		for _, e := range a.b.byKey[k] {
			a.add(e, directVia(e, key, slip), a.b.spelling(key, e), isWide(e.Rank))
		}
	}
}

func directVia(e *Entry, key string, slip bool) Via {
	switch {
	case slip:
		return Misspelt
	case isWide(e.Rank):
		return viaOf(e.Rank)
	case taxon.Key(e.Taxon) == key:
		return Listed
	}
	return FormerName
}

func viaOf(r taxon.Rank) Via {
	switch r {
	case taxon.Section:
		return BySection
	case taxon.Family:
		return ByFamily
	case taxon.Order:
		return ByOrder
	case taxon.Genus:
		return ByGenus
	}
	return ByMembers
}

func (b *Base) spelling(key string, e *Entry) string {
	if s := b.spelt[key]; s != "" {
		return s
	}
	return e.Taxon
}

// alike lists the keys under which the same fungus may be filed: its present and former names in the index, and
// the taxon of any row that names it as a former name.
func (b *Base) alike(key string) []string {
	keys := []string{key}
	for _, n := range b.cluster(key) {
		keys = addKey(keys, n.Key)
	}
	for _, k := range keys[:len(keys):len(keys)] {
		for _, e := range b.byKey[k] {
			taxonKey := taxon.Key(e.Taxon)
			keys = addKey(keys, taxonKey)
			for _, n := range b.cluster(taxonKey) {
				keys = addKey(keys, n.Key)
			}
		}
	}
	if b.under != nil {
		for _, k := range b.under.alike(key) {
			keys = addKey(keys, k)
		}
	}
	return keys
}

func addKey(keys []string, key string) []string {
	for _, k := range keys {
		if k == key {
			return keys
		}
	}
	return append(keys, key)
}

// below adds varieties of the species that have rows of their own.
func (a *answer) below(key string, slip bool) {
	for _, e := range a.b.children[key] {
		a.add(e, ByMembers, a.b.spelling(key, e), true)
	}
}

// genusRows adds the rows that speak of every species of the genus of a name, under whichever name the genus goes.
func (a *answer) genusRows(name string, slip bool) {
	genus := taxon.Key(taxon.Read(name).Genus)
	for _, k := range a.b.alike(genus) {
		for _, e := range a.b.byKey[k] {
			if e.Rank == taxon.Genus && e.Scope == AllOfIt {
				a.add(e, slipOr(ByGenus, slip), a.b.spelling(genus, e), false)
			}
		}
	}
}

func slipOr(via Via, slip bool) Via {
	if slip {
		return Misspelt
	}
	return via
}

// genus adds the worst that a name stopped at genus could be: the genus's own rows, and every entry that stands
// or ever stood in it.
func (a *answer) genus(key string, via Via, slip bool) {
	own := ByGenus
	if via == ByGroup {
		own = ByGroup
	}
	for _, k := range a.b.alike(key) {
		for _, e := range a.b.byKey[k] {
			if e.Rank == taxon.Genus {
				a.add(e, slipOr(own, slip && own != ByGroup), a.b.spelling(key, e), true)
			}
		}
		a.rows(a.b.genera[k], via, slip, capital(key))
	}
	if n, ok := a.b.names.Lookup(key); ok {
		a.members(n, via)
	}
}

// members adds the rows that speak of the genera where species once placed here stand now.
func (a *answer) members(n *taxon.Name, via Via) {
	seen := map[string]bool{}
	for _, m := range a.b.names.Members(n) {
		a.rows(a.b.byKey[m.Key], via, false, n.Name)
		genus := taxon.Key(taxon.Read(m.Name).Genus)
		if seen[genus] || genus == n.Key {
			continue
		}
		seen[genus] = true
		for _, e := range a.b.byKey[genus] {
			if e.Scope == AllOfIt {
				a.add(e, via, n.Name, true)
			}
		}
	}
}

// section adds the species placed in a section. Where neither a row nor a species is known of it, the section says
// no more than its genus.
func (a *answer) section(r reading) {
	before := len(a.hits)
	a.rows(a.b.sections[r.key], ByMembers, r.slip, a.matched)
	if r.name != nil {
		a.members(r.name, ByMembers)
	}
	a.genusRows(r.key, r.slip)
	if len(a.hits) == before && !a.b.has(r.key) && (a.b.under == nil || a.b.under.sections[r.key] == nil) {
		a.genus(taxon.Key(taxon.Read(r.key).Genus), ByMembers, r.slip)
	}
}

// higher adds everything that is classified under a family, order or wider.
func (a *answer) higher(r reading) {
	name := a.matched
	for _, k := range a.b.alike(r.key) {
		a.rows(a.b.higher[k], ByMembers, r.slip, name)
	}
	if r.name != nil && r.name.Rank == taxon.Family {
		a.members(r.name, ByMembers)
	}
}

// form adds everything that a form group could be.
func (a *answer) form(key string) {
	g := a.b.groups[taxon.Fold(key)]
	a.matched = g.Name
	for _, m := range g.Members {
		k := taxon.Key(m)
		a.rows(a.b.higher[k], ByForm, false, g.Name)
		for _, alike := range a.b.alike(k) {
			for _, e := range a.b.byKey[alike] {
				a.add(e, ByForm, g.Name, true)
			}
			a.rows(a.b.genera[alike], ByForm, false, g.Name)
		}
	}
}
