package taxon

import (
	"cmp"
	"iter"
	"slices"
	"strings"
	"sync"
)

// Names answers questions about names: an Index, or several read as one.
type Names interface {
	Match(written string) Match
	MatchWithin(written string, prefer map[string]bool) Match
	Lookup(key string) (*Name, bool)
	LookupBy(key, author string) (*Name, bool)
	FormerOf(accepted *Name) []*Name
	Members(name *Name) []*Name
	Within(key string, maxEdits int) []*Name
	Suggest(typed string, limit int) []Suggestion
	Wide() iter.Seq[*Name]
	Borrows(common, scientific string) Borrowing
	Revision() string
	Len() int
}

// Lists is several lists read as one. The first decides what is current and how it is classified; where it does not know
// a name, the next one says what that is, and the first what became of it. Common names come from all.
type Lists struct {
	all  []*Index
	made sync.Map // by key and author: *Name
}

// NewLists reads lists as one, in the order in which they are believed. There must be one.
func NewLists(first *Index, others ...*Index) *Lists {
	return &Lists{all: append([]*Index{first}, others...)}
}

// Len is the number of names, counting one for each list that has it.
func (l *Lists) Len() int {
	n := 0
	for _, ix := range l.all {
		n += ix.Len()
	}
	return n
}

// Revision changes when any of the lists does.
func (l *Lists) Revision() string {
	if len(l.all) == 1 {
		return l.all[0].Revision()
	}
	revisions := make([]string, len(l.all))
	for i, ix := range l.all {
		revisions[i] = ix.Revision()
	}
	return revisionOf([]byte(strings.Join(revisions, "+")))
}

// Lookup finds a name by its exact key in the first list that has it.
func (l *Lists) Lookup(key string) (*Name, bool) { return l.LookupBy(key, "") }

// LookupBy does the same; of homonyms it takes the one whose author is written so.
func (l *Lists) LookupBy(key, author string) (*Name, bool) {
	for _, ix := range l.all {
		if n, ok := ix.LookupBy(key, author); ok {
			return l.joined(n), true
		}
	}
	return nil, false
}

// joined is a name of one list as all of them together have it: always the same thing for the same name.
func (l *Lists) joined(n *Name) *Name {
	at := n.Key + "\x00" + n.Author
	if made, ok := l.made.Load(at); ok {
		return made.(*Name)
	}
	own := *n
	own.Accepted = nil
	current := l.currentOf(n)
	if current.Key != n.Key || current.Author != n.Author && n.Accepted != nil {
		own.Accepted = l.joined(current)
		own.Reason = cmp.Or(n.Reason, "moved")
		own.Family, own.Order, own.Class, own.Phylum, own.Kingdom, own.Section = current.Family, current.Order, current.Class, current.Phylum, current.Kingdom, current.Section
	} else {
		own.Reason = ""
		l.fillUp(&own)
	}
	own.Common = l.commons(n.Key)
	made, _ := l.made.LoadOrStore(at, &own)
	return made.(*Name)
}

// currentOf follows a name through the lists: what one says it is now may have moved on in an earlier one. A name that
// the first list has is followed there alone.
func (l *Lists) currentOf(n *Name) *Name {
	current := n.Current()
	for _, ix := range l.all {
		if known, ok := ix.LookupBy(n.Key, n.Author); ok {
			current = known.Current()
			break
		}
	}
	for _, ix := range l.all {
		if known, ok := ix.LookupBy(current.Key, current.Author); ok {
			return known.Current()
		}
	}
	return current
}

// fillUp takes from later lists what the first that knows a current name leaves open.
func (l *Lists) fillUp(n *Name) {
	for _, ix := range l.all {
		other, ok := ix.LookupBy(n.Key, n.Author)
		if !ok {
			continue
		}
		n.Section, n.Disputed = cmp.Or(n.Section, other.Section), cmp.Or(n.Disputed, other.Disputed)
		if n.Family == "" && other.Accepted == nil {
			n.Family, n.Order, n.Class = other.Family, cmp.Or(n.Order, other.Order), cmp.Or(n.Class, other.Class)
			n.Phylum, n.Kingdom = cmp.Or(n.Phylum, other.Phylum), cmp.Or(n.Kingdom, other.Kingdom)
		}
	}
}

// commons is the common names of a name, those of former names that later lists have under it too.
func (l *Lists) commons(key string) []Common {
	var all []Common
	for _, ix := range l.all {
		n, ok := ix.Lookup(key)
		if !ok {
			continue
		}
		for _, c := range n.Common {
			if !slices.ContainsFunc(all, func(o Common) bool { return o.Name == c.Name && o.Language == c.Language }) {
				all = append(all, c)
			}
		}
	}
	if len(all) > 0 {
		return all
	}
	for _, ix := range l.all[1:] { // the first list has moved the name: its common names stand under what another calls current
		for _, former := range l.formerIn(key) {
			if n, ok := ix.Lookup(former); ok && n.Accepted == nil {
				all = append(all, n.Common...)
			}
		}
	}
	return all
}

// formerIn is the keys that the first list has under a current name.
func (l *Lists) formerIn(key string) []string {
	n, ok := l.all[0].Lookup(key)
	if !ok || n.Accepted != nil {
		return nil
	}
	var keys []string
	for _, f := range l.all[0].FormerOf(n) {
		keys = append(keys, f.Key)
	}
	return keys
}

// FormerOf lists every name that any list joins to an accepted one, by way of whatever they call current: of one taxon,
// all the names it ever had. It is what warnings ask.
func (l *Lists) FormerOf(accepted *Name) []*Name {
	seen := map[string]*Name{accepted.Key: accepted}
	for next := []string{accepted.Key}; len(next) > 0; {
		key := next[0]
		next = next[1:]
		for _, ix := range l.all {
			n, ok := ix.Lookup(key)
			if !ok {
				continue
			}
			for _, kin := range append(ix.FormerOf(n.Current()), n.Current()) {
				if seen[kin.Key] == nil {
					seen[kin.Key] = l.joined(kin)
					next = append(next, kin.Key)
				}
			}
		}
	}
	delete(seen, accepted.Key)
	return inOrder(seen)
}

func inOrder(names map[string]*Name) []*Name {
	list := make([]*Name, 0, len(names))
	for _, n := range names {
		list = append(list, n)
	}
	slices.SortFunc(list, func(a, b *Name) int { return strings.Compare(a.Key, b.Key) })
	return list
}

// Members lists the accepted species that any list has within a name.
func (l *Lists) Members(name *Name) []*Name {
	found := map[string]*Name{}
	for _, ix := range l.all {
		if own, ok := ix.Lookup(name.Key); ok {
			for _, m := range ix.Members(own) {
				current := l.joined(m).Current()
				found[current.Key] = current
			}
		}
	}
	return inOrder(found)
}

// Within lists the names of all lists at most so many edits from a key.
func (l *Lists) Within(key string, maxEdits int) []*Name {
	found := map[string]*Name{}
	for _, ix := range l.all {
		for _, n := range ix.Within(key, maxEdits) {
			if found[n.Key] == nil {
				found[n.Key] = l.joined(n)
			}
		}
	}
	return inOrder(found)
}

// Wide gives the genera and wider names of all lists.
func (l *Lists) Wide() iter.Seq[*Name] {
	return func(yield func(*Name) bool) {
		seen := map[string]bool{}
		for _, ix := range l.all {
			for n := range ix.Wide() {
				if seen[n.Key] {
					continue
				}
				seen[n.Key] = true
				if !yield(l.joined(n)) {
					return
				}
			}
		}
	}
}

// Borrows says what a common name takes from a scientific one: by the first list that has the species, and by the others
// where that sees nothing.
func (l *Lists) Borrows(common, scientific string) Borrowing {
	key := Key(Read(scientific).Canonical)
	var found Borrowing
	for _, ix := range l.all {
		b := ix.Borrows(common, scientific)
		if _, known := ix.Lookup(key); known && b.Relation != BorrowsNothing {
			return b
		}
		if found.Relation == BorrowsNothing {
			found = b
		}
	}
	return found
}

// Suggest lists names of all lists; of one that several have, the first one's.
func (l *Lists) Suggest(typed string, limit int) []Suggestion {
	var all []Suggestion
	seen := map[string]bool{}
	for _, ix := range l.all {
		for _, s := range ix.Suggest(typed, limit) {
			if seen[s.Name.Key] {
				continue
			}
			seen[s.Name.Key] = true
			n := l.joined(s.Name)
			all = append(all, Suggestion{Name: n, Shown: n.Name, Former: n.Accepted != nil, Common: s.Common})
		}
	}
	slices.SortStableFunc(all, func(a, b Suggestion) int { return cmp.Compare(a.weight(), b.weight()) })
	return all[:min(len(all), max(limit, 0))]
}

// weight puts current names before former ones, and those with a common name before others.
func (s Suggestion) weight() int {
	w := 0
	if s.Former {
		w += 2
	}
	if len(s.Name.Current().Common) == 0 {
		w++
	}
	return w
}
