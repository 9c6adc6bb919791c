package taxon

import (
	"cmp"
	"slices"
	"sort"
	"strings"
)

// Suggestion is a line of a type-ahead list.
type Suggestion struct {
	Name   *Name
	Shown  string // the scientific name as listed
	Former bool   // Name.Current() is another name
	Common string // the common name that fitted, if one did
}

// Suggest lists names that what was typed so far may become: beginnings of genus, epithet and variety in their
// order ("am ph"), or of a common name. Accepted names come before former ones, well-known before others.
func (ix *Index) Suggest(typed string, limit int) []Suggestion {
	_, words := read(typed)
	parts := strings.Fields(commonText(strings.ReplaceAll(strings.Join(words, " "), ".", " ")))
	if len(parts) == 0 || limit <= 0 {
		return nil
	}
	best := shortList{ix: ix, limit: limit}
	if len(parts) == 1 && len(parts[0]) <= rememberedLetters && limit <= rememberedNames {
		kept := ix.begun(parts[0])
		best.kept = kept[:min(limit, len(kept))]
	} else {
		best.gather(parts)
	}
	return best.suggestions()
}

// What is remembered of how typing begins: every name starts with one of few beginnings, and each is asked for again and
// again. There are at most some ten thousand of them.
const (
	rememberedLetters = 3
	rememberedNames   = 10
)

// begun is the best places for a beginning of one to three letters, worked out when it is first asked for.
func (ix *Index) begun(letters string) []int {
	if kept, ok := ix.beginnings.Load(letters); ok {
		return kept.([]int)
	}
	best := shortList{ix: ix, limit: rememberedNames}
	best.gather([]string{letters})
	if len(best.kept) > 0 { // what begins nothing is not remembered: anything may be typed
		ix.beginnings.Store(strings.Clone(letters), best.kept)
	}
	return best.kept
}

// gather goes through all places that begin as the first part does.
func (s *shortList) gather(parts []string) {
	ix := s.ix
	first := sort.Search(len(ix.typedText), func(t int) bool { return ix.typedAt(t) >= parts[0] })
	n := sort.Search(len(ix.typedText)-first, func(t int) bool { return !strings.HasPrefix(ix.typedAt(first+t), parts[0]) })
	for t := first; t < first+n; t++ {
		if s.wants(t) && (len(parts) == 1 || fitsAll(ix.typedAt(t), parts)) {
			s.take(t)
		}
	}
}

// typedAt is what is typed from a place on.
func (ix *Index) typedAt(t int) string { return ix.str(ix.typedText[t])[ix.typedFrom[t]:] }

// fitsAll says whether the words of a text begin, in their order, as the parts do.
func fitsAll(text string, parts []string) bool {
	for _, part := range parts {
		var word string
		if text == "" {
			return false
		}
		word, text, _ = strings.Cut(text, " ")
		if !strings.HasPrefix(word, part) {
			return false
		}
	}
	return true
}

// shortList keeps the best few places, one for each name: of the many that begin with one letter no more are held.
type shortList struct {
	ix    *Index
	limit int
	kept  []int // the best first
}

func (s *shortList) compare(a, b int) int {
	return cmp.Or(cmp.Compare(s.ix.typedWeight[a], s.ix.typedWeight[b]), cmp.Compare(s.ix.typedOf[a], s.ix.typedOf[b]))
}

// wants rules out what would fall off the list.
func (s *shortList) wants(t int) bool {
	return len(s.kept) < s.limit || s.compare(t, s.kept[len(s.kept)-1]) < 0
}

func (s *shortList) take(t int) {
	if at := slices.IndexFunc(s.kept, func(k int) bool { return s.ix.typedOf[k] == s.ix.typedOf[t] }); at >= 0 {
		if s.compare(s.kept[at], t) <= 0 {
			return
		}
		s.kept = slices.Delete(s.kept, at, at+1)
	}
	at, _ := slices.BinarySearchFunc(s.kept, t, s.compare)
	s.kept = slices.Insert(s.kept, at, t)
	s.kept = s.kept[:min(len(s.kept), s.limit)]
}

func (s *shortList) suggestions() []Suggestion {
	list := make([]Suggestion, 0, len(s.kept))
	for _, k := range s.kept {
		n := s.ix.at(s.ix.typedOf[k])
		one := Suggestion{Name: n, Shown: n.Name, Former: n.Accepted != nil}
		if c := s.ix.typedCommon[k]; c != none {
			one.Common = s.ix.str(s.ix.common[c])
		}
		list = append(list, one)
	}
	return list
}
