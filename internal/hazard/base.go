package hazard

import (
	"fmt"
	"slices"
	"strings"

	"forayhall/internal/taxon"
)

// Names is what the rules need of an index of names.
type Names interface {
	Match(written string) taxon.Match
	Lookup(key string) (*taxon.Name, bool)
	FormerOf(*taxon.Name) []*taxon.Name
	Members(*taxon.Name) []*taxon.Name
	// Listed reports whether a name is in the list against which the tables of hazards were held. What only another list
	// has says no more than its genus: nobody looked whether it harms.
	Listed(key string) bool
}

// Base is the knowledge of hazards joined with the names of fungi. It never changes once it is made, so that any
// number of readers may share it.
type Base struct {
	names     Names
	syndromes map[string]*Syndrome
	entries   []*Entry
	pairs     []*pair
	signs     map[string][]Sign    // by key of the taxon
	gathered  map[string]Gathering // by every key of the taxon
	groups    map[string]*Group    // by folded key and by folded name

	byKey    map[string][]*Entry // every name of an entry, present or former
	spelt    map[string]string   // how the names of byKey are written
	children map[string][]*Entry // species key → entries with a name below that species
	genera   map[string][]*Entry // genus → entries below genus with a name, present or former, in it
	sections map[string][]*Entry // "genus sect. section" → species placed there
	higher   map[string][]*Entry // family, order, class … → entries classified there
	loose    []loose             // the names of byKey, for spelling

	own      *Base                // a society's rows and pairs over these; nil: none
	under    *Base                // of a society's: what they lie over
	raised   map[*pair]Finding    // of a society's: pairs of under that its rows make worse
	contests map[string][]Contest // by the id of the row or pair

	recall *recall // of this base alone: a copy starts without
}

// Tables is the knowledge of hazards as it stands in files.
type Tables struct {
	Syndromes []Syndrome
	Rows      []Row
	Pairs     []Pair
	Groups    []Group
	Signs     []Sign
	Gathered  []Gathering
}

// NewBase joins the knowledge with an index of names. An error names the row that cannot be used.
func NewBase(names Names, t Tables) (*Base, error) {
	b := newBase(names)
	steps := []func() error{
		func() error { return b.takeSyndromes(t.Syndromes) },
		func() error { return b.takeRows(t.Rows) },
		func() error { return b.takePairs(t.Pairs) },
		func() error { return b.takeGroups(t.Groups) },
		func() error { return b.takeSigns(t.Signs) },
		func() error { return b.takeGathered(t.Gathered) },
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return b, nil
}

func newBase(names Names) *Base {
	return &Base{names: names, recall: &recall{}, syndromes: map[string]*Syndrome{}, groups: map[string]*Group{},
		byKey: map[string][]*Entry{}, spelt: map[string]string{}, children: map[string][]*Entry{},
		signs: map[string][]Sign{}, gathered: map[string]Gathering{},
		genera: map[string][]*Entry{}, sections: map[string][]*Entry{}, higher: map[string][]*Entry{}}
}

// Entries lists the rows in the order of their file, a society's own behind.
func (b *Base) Entries() []*Entry {
	if b.own != nil {
		return slices.Concat(b.entries, b.own.entries)
	}
	return slices.Clone(b.entries)
}

// Syndrome finds a syndrome by key.
func (b *Base) Syndrome(key string) (*Syndrome, bool) {
	s, ok := b.syndromes[key]
	return s, ok
}

// Group finds a form group by key or name.
func (b *Base) Group(key string) (*Group, bool) {
	g, ok := b.groups[taxon.Fold(key)]
	return g, ok
}

func (b *Base) takeSyndromes(syndromes []Syndrome) error {
	for _, s := range syndromes {
		if err := checkSyndrome(s); err != nil {
			return fmt.Errorf("syndrome %q: %w", s.Key, err)
		}
		if b.syndromes[s.Key] != nil {
			return fmt.Errorf("syndrome %q: is there twice", s.Key)
		}
		b.syndromes[s.Key] = &s
	}
	return nil
}

func (b *Base) takeRows(rows []Row) error {
	seen := map[string]bool{}
	for _, row := range rows {
		e, err := b.entryOf(row)
		if err == nil && seen[e.ID] {
			err = fmt.Errorf("is there twice")
		}
		if err != nil {
			return fmt.Errorf("hazard %q / %q: %w", row.Taxon, row.Syndrome, err)
		}
		seen[e.ID] = true
		b.entries = append(b.entries, e)
		b.file(e)
	}
	b.loose = loosen(b.spelt)
	return nil
}

func (b *Base) entryOf(row Row) (*Entry, error) {
	s := b.syndromes[row.Syndrome]
	if s == nil {
		return nil, fmt.Errorf("unknown syndrome")
	}
	if row.Scope == "" {
		row.Scope = AllOfIt
	}
	if err := checkRow(row); err != nil {
		return nil, err
	}
	e := &Entry{Row: row, Syndrome: s, ID: row.Taxon + " / " + row.Syndrome}
	if row.Exposure != Meal {
		e.ID += " / " + string(row.Exposure)
	}
	if row.Own != "" {
		e.ID += " / " + row.Own
	}
	return e, nil
}

// file puts an entry under every name that leads to it.
func (b *Base) file(e *Entry) {
	names := b.namesOf(e)
	for _, name := range names {
		key := taxon.Key(name)
		b.spelt[key] = name
		put(b.byKey, key, e)
		w := taxon.Read(name)
		if isWide(e.Rank) && e.Rank != taxon.Section {
			continue
		}
		put(b.genera, taxon.Key(w.Genus), e)
		if w.Infra != "" {
			put(b.children, taxon.Key(w.Genus+" "+w.Epithet), e)
		}
	}
	b.classify(e, names)
}

// namesOf lists the row's own names and what the index knows as present and former names of its taxon.
func (b *Base) namesOf(e *Entry) []string {
	names := append([]string{e.Taxon}, e.Former...)
	for _, n := range b.cluster(taxon.Key(e.Taxon)) {
		if !slices.Contains(names, n.Name) && taxon.Read(n.Name).Rank != "" {
			names = append(names, n.Name)
		}
	}
	if b.under != nil {
		for _, k := range b.under.alike(taxon.Key(e.Taxon)) {
			if name := b.under.spelt[k]; name != "" && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

// cluster lists a name's current name, its former names and itself.
func (b *Base) cluster(key string) []*taxon.Name {
	n, ok := b.names.Lookup(key)
	if !ok {
		return nil
	}
	current := n.Current()
	return append([]*taxon.Name{n, current}, b.names.FormerOf(current)...)
}

// classify files an entry under section, family and above. Every genus that one of its names stands in counts, so
// that a family holds here what it held under any circumscription.
func (b *Base) classify(e *Entry, names []string) {
	b.place(e, taxon.Key(e.Taxon))
	for _, name := range names {
		b.place(e, taxon.Key(taxon.Read(name).Genus))
	}
}

func (b *Base) place(e *Entry, key string) {
	n, ok := b.names.Lookup(key)
	if !ok {
		return
	}
	n = n.Current()
	if n.Section != "" && !isWide(e.Rank) {
		put(b.sections, sectionKey(taxon.Read(n.Name).Genus, n.Section), e)
	}
	for _, above := range []string{n.Family, n.Order, n.Class, n.Phylum, n.Kingdom} {
		if above != "" {
			put(b.higher, taxon.Key(above), e)
		}
	}
}

func sectionKey(genus, section string) string {
	section = strings.TrimPrefix(section, "sect. ")
	return taxon.Key(genus + " sect. " + section)
}

func put(m map[string][]*Entry, key string, e *Entry) {
	if !slices.Contains(m[key], e) {
		m[key] = append(m[key], e)
	}
}

func isWide(r taxon.Rank) bool {
	return r != taxon.Species && r != taxon.Subspecies && r != taxon.Variety && r != taxon.FormaRank
}
