package taxon

import (
	"slices"
	"strings"
)

// Index is a list of names made ready for questions. It never changes once built, so any number may ask at once.
type Index struct {
	entries  []*entry
	byKey    map[string]*entry
	common   map[string][]*entry // by the letters of a common name
	former   map[*Name][]*Name
	genera   []*genus
	wide     []*entry            // genera and wider names
	byGenus  map[string]*genus   // by folded genus word
	epithets map[string][]*entry // species by folded epithet
	infras   map[string][]*entry // names below species, by the key of the species
	typed    []typedWord         // for type-ahead
	revision string
}

// entry is a name with its folded parts.
type entry struct {
	*Name
	row     Row
	genus   form
	epithet form
	infra   form
	set     uint32 // letters of the key
}

// genus is a word that stands first in names, whether or not the list has the genus itself.
type genus struct {
	form
	name    *entry   // nil when only its species are listed
	species []*entry // with this word, accepted or not
}

// form is a folded word with what it sounds like, and the letters of both.
type form struct {
	word, sound       string
	wordSet, soundSet uint32
}

func genusForm(word string) form { return newForm(word, sound(word)) }

func epithetForm(word string) form { return newForm(word, sound(stem(word))) }

func newForm(word, heard string) form {
	return form{word, heard, letterSet(word), letterSet(heard)}
}

// NewIndex builds an index, or says which rows are wrong. Rows may stand in any order.
func NewIndex(names []Row, commons []CommonRow) (*Index, error) {
	ix := &Index{
		byKey: make(map[string]*entry, len(names)), common: map[string][]*entry{}, former: map[*Name][]*Name{},
		byGenus: map[string]*genus{}, epithets: map[string][]*entry{}, infras: map[string][]*entry{},
	}
	var wrong faults
	ix.addNames(names, &wrong)
	ix.linkAccepted(&wrong)
	ix.linkParents(&wrong)
	ix.addCommons(commons, &wrong)
	if err := wrong.err(); err != nil {
		return nil, err
	}
	ix.finish()
	ix.revision = revisionOf(names, commons)
	return ix, nil
}

// Len is the number of names.
func (ix *Index) Len() int { return len(ix.entries) }

// Revision changes when anything in the list does, and only then; the order of rows does not count.
func (ix *Index) Revision() string { return ix.revision }

// Lookup finds a name by its exact key.
func (ix *Index) Lookup(key string) (*Name, bool) {
	if e := ix.byKey[key]; e != nil {
		return e.Name, true
	}
	return nil, false
}

// FormerOf lists the names that point to an accepted one, by name.
func (ix *Index) FormerOf(accepted *Name) []*Name {
	return slices.Clone(ix.former[accepted])
}

// Within lists the names at most so many edits from a key, in the order of their keys: species when the key has
// more than one word, genera and wider names when it has one. It serves warnings, which take what a match would
// refuse.
func (ix *Index) Within(key string, maxEdits int) []*Name {
	var found []*Name
	words, set := strings.Count(key, " "), letterSet(key)
	for _, e := range ix.entries {
		if (words == 0) != (e.epithet.word == "") || !mayBeWithin(set, e.set, maxEdits) {
			continue
		}
		if Edits(key, e.Key, maxEdits) <= maxEdits {
			found = append(found, e.Name)
		}
	}
	return found
}

// finish makes the tables that questions are answered from, in the order of keys so that answers are stable.
func (ix *Index) finish() {
	slices.SortFunc(ix.entries, func(a, b *entry) int { return strings.Compare(a.Key, b.Key) })
	for _, e := range ix.entries {
		if e.Accepted != nil {
			ix.former[e.Accepted] = append(ix.former[e.Accepted], e.Name)
		}
		ix.fileUnderGenus(e)
		if e.Rank == Species {
			ix.epithets[e.epithet.word] = append(ix.epithets[e.epithet.word], e)
		}
		if e.infra.word != "" {
			species := e.genus.word + " " + e.epithet.word
			ix.infras[species] = append(ix.infras[species], e)
		}
	}
	ix.fillTyped()
}

func (ix *Index) fileUnderGenus(e *entry) {
	if depth[e.Rank] <= depth[Genus] {
		ix.wide = append(ix.wide, e)
	}
	if depth[e.Rank] < depth[Genus] {
		return
	}
	g := ix.byGenus[e.genus.word]
	if g == nil {
		g = &genus{form: e.genus}
		ix.byGenus[e.genus.word] = g
		ix.genera = append(ix.genera, g)
	}
	switch e.Rank {
	case Genus:
		g.name = e
	case Species:
		g.species = append(g.species, e)
	}
}
