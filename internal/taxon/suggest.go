package taxon

import (
	"cmp"
	"slices"
	"strings"
)

// Suggestion is a line of a type-ahead list.
type Suggestion struct {
	Name   *Name
	Shown  string // the scientific name as listed
	Former bool   // Name.Current() is another name
	Common string // the common name that fitted, if one did
}

// typedWord is a place at which typing may start: a genus, an epithet, a word of a common name.
type typedWord struct {
	text   string // from this word to the end
	entry  *entry
	common string
	place  int // how good a start it is, 0 best
}

func (ix *Index) fillTyped() {
	for _, e := range ix.entries {
		ix.typed = append(ix.typed, typedWord{e.typedText(), e, "", 0})
		if e.epithet.word != "" {
			_, fromEpithet, _ := strings.Cut(e.typedText(), " ")
			ix.typed = append(ix.typed, typedWord{fromEpithet, e, "", 2})
		}
		for _, c := range e.Common {
			ix.addTypedCommon(e, c.Name)
		}
	}
	slices.SortStableFunc(ix.typed, func(a, b typedWord) int { return strings.Compare(a.text, b.text) })
}

func (ix *Index) addTypedCommon(e *entry, common string) {
	rest, place := commonText(common), 1
	for more := true; more; place = 3 {
		ix.typed = append(ix.typed, typedWord{rest, e, common, place})
		_, rest, more = strings.Cut(rest, " ")
	}
}

// commonText keeps the words apart that a hyphen joins.
func commonText(common string) string {
	return Fold(strings.ReplaceAll(common, "-", " "))
}

// typedText leaves out rank words, which nobody types.
func (e *entry) typedText() string {
	parts := strings.Fields(e.Key)
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return strings.HasSuffix(p, ".") }), " ")
}

// Suggest lists names that what was typed so far may become: beginnings of genus, epithet and variety in their
// order ("am ph"), or of a common name. Accepted names come before former ones, well-known before others.
func (ix *Index) Suggest(typed string, limit int) []Suggestion {
	_, words := read(typed)
	parts := strings.Fields(commonText(strings.ReplaceAll(strings.Join(words, " "), ".", " ")))
	if len(parts) == 0 || limit <= 0 {
		return nil
	}
	best := map[*entry]typedWord{}
	start, _ := slices.BinarySearchFunc(ix.typed, parts[0], func(t typedWord, s string) int { return strings.Compare(t.text, s) })
	for _, t := range ix.typed[start:] {
		if !strings.HasPrefix(t.text, parts[0]) {
			break
		}
		if old, seen := best[t.entry]; fitsAll(t.text, parts) && (!seen || t.place < old.place) {
			best[t.entry] = t
		}
	}
	return suggestions(best, limit)
}

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

func suggestions(best map[*entry]typedWord, limit int) []Suggestion {
	list := make([]typedWord, 0, len(best))
	for _, t := range best {
		list = append(list, t)
	}
	slices.SortFunc(list, compareTyped)
	out := make([]Suggestion, 0, min(limit, len(list)))
	for _, t := range list[:min(limit, len(list))] {
		out = append(out, Suggestion{Name: t.entry.Name, Shown: t.entry.Name.Name, Former: t.entry.Accepted != nil, Common: t.common})
	}
	return out
}

func compareTyped(a, b typedWord) int {
	return cmp.Or(cmp.Compare(a.weight(), b.weight()), strings.Compare(a.entry.Key, b.entry.Key))
}

// weight orders suggestions: where the typing starts, then former names, then names that have no common one.
func (t typedWord) weight() int {
	w := t.place * 4
	if t.entry.Accepted != nil {
		w += 2
	}
	if len(t.entry.Current().Common) == 0 && t.entry.Rank != Genus {
		w++
	}
	return w
}
