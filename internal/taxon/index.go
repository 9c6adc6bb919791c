package taxon

import (
	"iter"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
)

// Index is a list of names made ready for questions. It never changes once built, so any number may ask at once.
type Index struct {
	columns
	forms   []form
	genera  []genus
	byGenus map[string]*genus // by folded genus word
	wide    []id              // genera and wider names
	keySet  []uint32          // by name: letters of the key
	made    []atomic.Pointer[Name]

	beginnings sync.Map // places of suggestions by the first letters that are typed

	revision string
}

// id is the place of a name in an index.
type id = uint32

// genus is a word that stands first in names, whether or not the list has the genus itself.
type genus struct {
	form
	name       id // none when only its species are listed
	first, end id // the names that begin with it
}

// form is a folded word with what it sounds like, and the letters of both; and what it may be taken for by ears that say
// Latin otherwise, and by eyes that read a pencil.
type form struct {
	word, sound       string
	wordSet, soundSet uint32
	soft, shape       string
}

func genusForm(word string) form { return newForm(word, sound(word)) }

func epithetForm(word string) form { return newForm(word, sound(stem(word))) }

func newForm(word, heard string) form {
	return form{word, heard, letterSet(word), letterSet(heard), soft(heard), shape(word)}
}

// NewIndex builds an index, or says which rows are wrong. Rows may stand in any order.
func NewIndex(names []Row, commons []CommonRow) (*Index, error) {
	b := NewBuilder()
	var wrong faults
	for i, row := range names {
		if row.Line == 0 {
			row.Line = i + 1
		}
		wrong.note(b.Add(row))
	}
	for i, row := range commons {
		if row.Line == 0 {
			row.Line = i + 1
		}
		wrong.note(b.AddCommon(row))
	}
	ix, left := b.Finish()
	for _, problem := range left {
		wrong.note(problem)
	}
	if err := wrong.err(); err != nil {
		return nil, err
	}
	return ix, nil
}

// Len is the number of names.
func (ix *Index) Len() int { return len(ix.key) }

// Revision changes when anything in the list does, and only then; the order of rows does not count.
func (ix *Index) Revision() string { return ix.revision }

// All gives every name in the order of keys.
func (ix *Index) All() iter.Seq[*Name] {
	return func(yield func(*Name) bool) {
		for i := range ix.key {
			if !yield(ix.at(id(i))) {
				return
			}
		}
	}
}

// Wide gives the genera and wider names, accepted and former, in the order of keys.
func (ix *Index) Wide() iter.Seq[*Name] {
	return func(yield func(*Name) bool) {
		for _, i := range ix.wide {
			if !yield(ix.at(i)) {
				return
			}
		}
	}
}

// Lookup finds a name by its exact key; of homonyms, an accepted one.
func (ix *Index) Lookup(key string) (*Name, bool) {
	if i := ix.find(key); i != none {
		return ix.at(i), true
	}
	return nil, false
}

// Listed reports whether the list has a name.
func (ix *Index) Listed(key string) bool { return ix.find(key) != none }

// LookupBy finds a name by its exact key and author: of homonyms the one whose author is written so.
func (ix *Index) LookupBy(key, author string) (*Name, bool) {
	first, end := ix.homonyms(key)
	for i := first; i < end; i++ {
		if ix.str(ix.author[i]) == author {
			return ix.at(i), true
		}
	}
	return ix.Lookup(key)
}

// FormerOf lists the names that point to an accepted one, by name.
func (ix *Index) FormerOf(accepted *Name) []*Name {
	i := ix.of(accepted)
	if i == none {
		return nil
	}
	var list []*Name
	for _, f := range ix.formerOf(i) {
		list = append(list, ix.at(f))
	}
	return list
}

// Within lists the names at most so many edits from a key, in the order of their keys: species when the key has
// more than one word, genera and wider names when it has one. It serves warnings, which take what a match would
// refuse.
func (ix *Index) Within(key string, maxEdits int) []*Name {
	var found []*Name
	words, set := strings.Count(key, " "), letterSet(key)
	for i := range ix.key {
		if (words == 0) != (ix.epithet[i] == 0) || !mayBeWithin(set, ix.keySet[i], maxEdits) {
			continue
		}
		if own := ix.str(ix.key[i]); Edits(key, own, maxEdits) <= maxEdits {
			found = append(found, ix.at(id(i)))
		}
	}
	return found
}

// prepare makes of the columns what is not worth a place in the file.
func (ix *Index) prepare() {
	ix.made = make([]atomic.Pointer[Name], len(ix.key))
	ix.forms = make([]form, len(ix.word))
	for i := range ix.forms {
		ix.forms[i] = newForm(ix.str(ix.word[i]), ix.str(ix.sound[i]))
	}
	ix.keySet = make([]uint32, len(ix.key))
	for i, key := range ix.key {
		ix.keySet[i] = letterSet(ix.str(key))
		if depth[ranks[ix.rank[i]]] <= depth[Genus] {
			ix.wide = append(ix.wide, id(i))
		}
	}
	ix.fillGenera()
}

// fillGenera finds the names that begin with each word: they stand together in the order of keys.
func (ix *Index) fillGenera() {
	for first := 0; first < len(ix.key); {
		end := first + 1
		for end < len(ix.key) && ix.genus[end] == ix.genus[first] {
			end++
		}
		g := genus{form: ix.forms[ix.genus[first]], name: none, first: id(first), end: id(end)}
		narrow := false
		for i := first; i < end; i++ {
			rank := ranks[ix.rank[i]]
			narrow = narrow || depth[rank] >= depth[Genus]
			if rank == Genus && (g.name == none || ix.accepted[g.name] != g.name && ix.accepted[i] == id(i)) {
				g.name = id(i)
			}
		}
		if narrow {
			ix.genera = append(ix.genera, g)
		}
		first = end
	}
	ix.byGenus = make(map[string]*genus, len(ix.genera))
	for i := range ix.genera {
		ix.byGenus[ix.genera[i].word] = &ix.genera[i]
	}
}

// str is a string of the columns.
func (c *columns) str(s uint32) string {
	if s == 0 {
		return ""
	}
	return c.text[c.ends[s-1]:c.ends[s]]
}

// keyOf, genusOf and so on are parts of one name.
func (ix *Index) keyOf(i id) string    { return ix.str(ix.key[i]) }
func (ix *Index) rankOf(i id) Rank     { return ranks[ix.rank[i]] }
func (ix *Index) genusOf(i id) form    { return ix.forms[ix.genus[i]] }
func (ix *Index) epithetOf(i id) form  { return ix.forms[ix.epithet[i]] }
func (ix *Index) infraOf(i id) form    { return ix.forms[ix.infra[i]] }
func (ix *Index) isFormer(i id) bool   { return ix.accepted[i] != i }
func (ix *Index) authorOf(i id) string { return ix.str(ix.author[i]) }

// homonyms is the run of names that have a key: empty, one, or homonyms by author.
func (ix *Index) homonyms(key string) (first, end id) {
	at := sort.Search(len(ix.key), func(i int) bool { return ix.str(ix.key[i]) >= key })
	to := at
	for to < len(ix.key) && ix.str(ix.key[to]) == key {
		to++
	}
	return id(at), id(to)
}

// find gives the name with a key: of homonyms the first accepted one, else the first.
func (ix *Index) find(key string) id {
	first, end := ix.homonyms(key)
	if first == end {
		return none
	}
	for i := first; i < end; i++ {
		if !ix.isFormer(i) {
			return i
		}
	}
	return first
}

// of is the place of a name that came from this index or another.
func (ix *Index) of(n *Name) id {
	first, end := ix.homonyms(n.Key)
	for i := first; i < end; i++ {
		if ix.made[i].Load() == n {
			return i
		}
	}
	for i := first; i < end; i++ {
		if ix.authorOf(i) == n.Author {
			return i
		}
	}
	return ix.find(n.Key)
}

// formerOf is the names that point to an accepted one.
func (ix *Index) formerOf(accepted id) []id {
	at := sort.Search(len(ix.byAccepted), func(i int) bool { return ix.accepted[ix.byAccepted[i]] >= accepted })
	to := at
	for to < len(ix.byAccepted) && ix.accepted[ix.byAccepted[to]] == accepted {
		to++
	}
	return ix.byAccepted[at:to]
}

// called is the names that have a common name, by its letters.
func (ix *Index) called(letters string) []id {
	if letters == "" {
		return nil
	}
	at := sort.Search(len(ix.byLetters), func(i int) bool { return ix.str(ix.commonLetters[ix.byLetters[i]]) >= letters })
	var list []id
	for ; at < len(ix.byLetters) && ix.str(ix.commonLetters[ix.byLetters[at]]) == letters; at++ {
		if i := ix.commonOf[ix.byLetters[at]]; !slices.Contains(list, i) {
			list = append(list, i)
		}
	}
	return list
}
