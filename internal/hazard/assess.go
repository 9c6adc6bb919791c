package hazard

import (
	"slices"
	"strings"

	"forayhall/internal/taxon"
)

// Assess lists what a name as written may bring, one finding a syndrome, worst first. It is never empty: a name
// that nothing is known of answers one finding via NoEntry.
func (b *Base) Assess(written string) []Finding { return b.AssessIn(written, "") }

// AssessIn does the same for an event's region: rows of other regions stay and are marked.
func (b *Base) AssessIn(written, region string) []Finding {
	a, ok := b.ask(Question{Text: written})
	if !ok {
		a = &answer{b: b}
	}
	return a.findings(region)
}

// answer gathers what one written name could be.
type answer struct {
	b       *Base
	matched string
	hits    []Finding
	// unlisted is true until a row speaks of the name itself. A name that only could turn out to be something
	// listed is not known by that.
	unlisted bool
	unread   bool                   // nothing in it was known to any list
	heard    map[string]taxon.Match // what was found before for the same text; nil: it is not asked twice
}

func (a *answer) match(written string) taxon.Match {
	m, ok := a.heard[written]
	if ok {
		return m
	}
	m = a.b.names.Match(written)
	if a.heard != nil {
		a.heard[written] = m
	}
	return m
}

func (b *Base) read(written string) *answer {
	if b.own == nil {
		return b.readAlone(written, nil)
	}
	heard := map[string]taxon.Match{}
	a := b.readAlone(written, heard)
	a.lay(b.own.readAlone(written, heard))
	return a
}

// readAlone reads without what a society laid over.
func (b *Base) readAlone(written string, heard map[string]taxon.Match) *answer {
	a := &answer{b: b, unlisted: true, heard: heard}
	a.one(written)
	parts := alternatives(written)
	for _, part := range parts {
		other := &answer{b: b, unlisted: true, heard: heard}
		other.one(part)
		a.hits = append(a.hits, other.hits...)
		a.unlisted = a.unlisted || other.unlisted
	}
	return a
}

var between = strings.NewReplacer(" or ", "/", " vs ", "/", " vs. ", "/", " versus ", "/")

// alternatives are the names between which a writer left it open.
func alternatives(written string) []string {
	parts := strings.Split(between.Replace(written), "/")
	if len(parts) < 2 {
		return nil
	}
	genus := taxon.Read(parts[0]).Genus
	for i, part := range parts {
		if part = strings.TrimSpace(part); i > 0 && !strings.Contains(part, " ") && part == strings.ToLower(part) {
			parts[i] = genus + " " + part // "Russula emetica / mairei"
		}
	}
	return parts
}

func (a *answer) one(written string) {
	w := taxon.Read(written)
	for _, text := range []string{written, w.Canonical} {
		if a.b.groups[taxon.Fold(text)] != nil {
			a.form(text)
			return
		}
	}
	m := a.match(written)
	a.unread = m.How == taxon.Nothing
	for _, r := range a.readings(w, m) {
		a.take(r)
	}
	for _, key := range append(a.b.near(w), a.b.nearShort(w)...) {
		if key != taxon.Key(w.Canonical) {
			a.exact(key, true)
		}
	}
	a.genusOf(w, m)
	a.widen(w, m)
}

// reading is one name that was meant, or may have been.
type reading struct {
	key  string
	name *taxon.Name // nil where no list has it
	slip bool        // only through a misspelling
}

// readings lists the name as written, and every name the index would take it for.
func (a *answer) readings(w taxon.Written, m taxon.Match) []reading {
	own := taxon.Key(w.Canonical)
	n, _ := a.b.names.Lookup(own)
	list := []reading{{own, n, false}}
	if w.Infra != "" {
		species := taxon.Key(w.Genus + " " + w.Epithet)
		n, _ := a.b.names.Lookup(species)
		list = append(list, reading{species, n, false})
	}
	found := []*taxon.Name{m.Found}
	for _, c := range m.Candidates {
		found = append(found, c.Name)
	}
	for _, n := range found {
		if n != nil && n.Key != own && (w.Epithet == "" || !isWide(n.Rank)) { // the genus alone is for genusOf
			list = append(list, reading{n.Key, n, isSlip(w, m, n)})
		}
	}
	if n := list[0].name; n != nil {
		a.matched = n.Name
	} else if m.Found != nil { // the genus, where the epithet is in no list
		a.matched = m.Found.Name
	}
	return list
}

// isSlip says whether a name was found only by taking what was written for a misspelling.
func isSlip(w taxon.Written, m taxon.Match, n *taxon.Name) bool {
	if m.How == taxon.Short || m.How == taxon.Several {
		return w.Epithet != "" && taxon.Key(w.Epithet) != taxon.Key(taxon.Read(n.Name).Epithet)
	}
	return m.How == taxon.Spelling
}

// take follows one reading by its rank.
func (a *answer) take(r reading) {
	a.exact(r.key, r.slip)
	switch rank := rankOf(r); rank {
	case taxon.Species, taxon.Subspecies, taxon.Variety, taxon.FormaRank:
		a.below(r.key, r.slip)
		if r.name != nil {
			a.genusRows(r.name.Name, r.slip)
			a.genusRows(r.name.Current().Name, r.slip)
		}
	case taxon.Genus:
		a.genus(r.key, ByMembers, r.slip)
	case taxon.Section:
		a.section(r)
	case taxon.Family, taxon.Order, taxon.Class, taxon.Phylum, taxon.Kingdom:
		a.higher(r)
	}
}

func rankOf(r reading) taxon.Rank {
	if r.name != nil {
		return r.name.Rank
	}
	return taxon.Read(r.key).Rank
}

// genusOf takes the genus that was written: its rows speak of every species in it, and when the epithet is not
// known the name says no more than the genus does.
func (a *answer) genusOf(w taxon.Written, m taxon.Match) {
	if w.Genus == "" || w.Rank == "" || isWide(w.Rank) && w.Rank != taxon.Section && a.b.isWord(taxon.Key(w.Genus)) {
		return
	}
	keys, slip := []string{taxon.Key(w.Genus)}, false
	if near := a.b.nearGenera(w.Genus); len(near) > 0 {
		keys, slip = near, true
	}
	if start, short := strings.CutSuffix(keys[0], "."); short {
		if m.How == taxon.Nothing && len(a.hits) == 0 {
			keys = a.b.generaFrom(start)
		}
	}
	known := a.knownSpecies(w, m)
	for _, key := range keys {
		if slip && w.Epithet == "" {
			a.exact(key, true)
			a.rows(a.b.higher[key], ByMembers, true, capital(key))
		}
		a.genusRows(key, slip)
		if !known {
			a.genus(key, ByMembers, slip)
		}
	}
}

// generaFrom lists the genera with hazards that an abbreviation could stand for.
func (b *Base) generaFrom(start string) []string {
	var keys []string
	for genus := range b.genera {
		if strings.HasPrefix(genus, start) {
			keys = append(keys, genus)
		}
	}
	slices.Sort(keys)
	return keys
}

// knownSpecies says whether the epithet as written is one that a list or the knowledge has, or is at most a letter from
// it. What is further off may as well be a species that no list has, and says no more than its genus does.
func (a *answer) knownSpecies(w taxon.Written, m taxon.Match) bool {
	if w.Epithet == "" {
		return false
	}
	for _, key := range []string{taxon.Key(w.Canonical), taxon.Key(w.Genus + " " + w.Epithet)} {
		if a.b.names.Listed(key) || a.b.has(key) {
			return true
		}
	}
	if m.Found == nil || isWide(m.Found.Rank) || m.Slips > 1 {
		return false
	}
	return a.b.names.Listed(m.Found.Key) || a.b.names.Listed(m.Found.Current().Key)
}

// widen adds what a qualifier leaves open. Of two doubts the reader keeps the wider, so that each that is wider
// than "group" must open as much: a second doubt never takes a warning away. The section is wide enough only where a
// row speaks of it as a whole: others are drawn differently by every author, and then the genus is told too.
func (a *answer) widen(w taxon.Written, m taxon.Match) {
	q := w.Qualifier
	onGenus := w.Position == taxon.Genus && q != taxon.None && q != taxon.SensuStrict
	if w.Epithet == "" || !onGenus && q != taxon.Group && q != taxon.SensuLato && q != taxon.Affinis && q != taxon.OnlyGenus {
		return
	}
	for _, r := range a.readings(w, m) {
		if key := a.b.sectionOf(r); key != "" {
			a.rows(a.b.byKey[key], ByGroup, false, a.matched)
			a.rows(a.b.sections[key], ByGroup, false, a.matched)
			if a.b.has(key) {
				continue
			}
		}
		genus := taxon.Key(taxon.Read(r.key).Genus)
		a.genus(genus, ByGroup, r.slip)
		if r.name != nil {
			a.genus(taxon.Key(taxon.Read(r.name.Current().Name).Genus), ByGroup, r.slip)
		}
	}
}

func (b *Base) sectionOf(r reading) string {
	if r.name == nil || r.name.Current().Section == "" {
		return ""
	}
	current := r.name.Current()
	return sectionKey(taxon.Read(current.Name).Genus, current.Section)
}
