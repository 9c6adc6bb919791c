package taxon

import (
	"cmp"
	"slices"
	"strings"
)

// filler makes columns of rows in their order. Strings and forms are numbered as they are met, so that the same list
// makes the same file whatever order its rows came in.
type filler struct {
	columns
	b       *Builder
	text    strings.Builder
	strings map[string]uint32
	forms   [2]map[string]uint32 // of first words, and of the others: they are heard differently
}

func newFiller(b *Builder) *filler {
	f := &filler{b: b, strings: make(map[string]uint32, len(b.words.all)), forms: [2]map[string]uint32{{}, {}}}
	f.ends = make([]uint32, 0, len(b.words.all))
	f.str("")
	f.form("", 1) // 0: there is none
	return f
}

func (f *filler) str(s string) uint32 {
	n, ok := f.strings[s]
	if !ok {
		n = uint32(len(f.ends))
		f.strings[s] = n
		f.text.WriteString(s)
		f.ends = append(f.ends, uint32(f.text.Len()))
	}
	return n
}

func (f *filler) form(word string, place int) uint32 {
	n, ok := f.forms[place][word]
	if !ok {
		made := genusForm(word)
		if place == 1 {
			made = epithetForm(word)
		}
		n = uint32(len(f.word))
		f.forms[place][word] = n
		f.word, f.sound = append(f.word, f.str(made.word)), append(f.sound, f.str(made.sound))
	}
	return n
}

func (f *filler) add(r *builtRow) {
	word := func(s uint32) uint32 { return f.str(f.b.words.all[s]) }
	name := f.b.words.all[r.name]
	w := Read(name)
	f.key, f.name, f.author = append(f.key, word(r.key)), append(f.name, word(r.name)), append(f.author, word(r.author))
	f.source, f.disputed, f.section = append(f.source, word(r.source)), append(f.disputed, word(r.disputed)), append(f.section, word(r.section))
	f.genus = append(f.genus, f.form(Key(w.Genus), 0))
	f.epithet, f.infra = append(f.epithet, f.form(Key(w.Epithet), 1)), append(f.infra, f.form(Key(w.Infra), 1))
	f.accepted, f.parent = append(f.accepted, f.b.rows[r.current].id), append(f.parent, r.wider)
	f.rank, f.reason = append(f.rank, r.rank), append(f.reason, r.reason)
}

// addCommons takes common names in the order of their names.
func (f *filler) addCommons(list []placedCommon) {
	for _, c := range list {
		word := func(s uint32) uint32 { return f.str(f.b.words.all[s]) }
		f.commonOf, f.common, f.language = append(f.commonOf, c.of), append(f.common, word(c.common)), append(f.language, word(c.language))
		f.commonSource, f.commonLetters = append(f.commonSource, word(c.source)), append(f.commonLetters, word(c.letters))
	}
}

// sortTables makes the orders in which questions are answered, and closes the text.
func (f *filler) sortTables() {
	f.fillTyped()
	f.columns.text = f.text.String()
	for i := range f.key {
		if f.accepted[i] != id(i) {
			f.byAccepted = append(f.byAccepted, id(i))
		}
		if ranks[f.rank[i]] == Species {
			f.byEpithet = append(f.byEpithet, id(i))
		}
	}
	f.bySound = slices.Clone(f.byEpithet)
	by := func(column []uint32) func(x, y id) int {
		return func(x, y id) int {
			return cmp.Or(strings.Compare(f.columns.str(column[f.epithet[x]]), f.columns.str(column[f.epithet[y]])), cmp.Compare(x, y))
		}
	}
	slices.SortFunc(f.byEpithet, by(f.word))
	slices.SortFunc(f.bySound, by(f.sound))
	slices.SortFunc(f.byAccepted, func(x, y id) int { return cmp.Or(cmp.Compare(f.accepted[x], f.accepted[y]), cmp.Compare(x, y)) })
	for c := range f.common {
		f.byLetters = append(f.byLetters, uint32(c))
	}
	slices.SortFunc(f.byLetters, func(x, y uint32) int {
		return cmp.Or(strings.Compare(f.columns.str(f.commonLetters[x]), f.columns.str(f.commonLetters[y])), cmp.Compare(x, y))
	})
}

// typedStart is one place at which typing may start.
type typedStart struct {
	from             string // what is typed from there
	text, of, common uint32
	at               uint16
	weight           uint8
}

// fillTyped lists where typing may start: at the genus, at the epithet, at each word of a common name.
func (f *filler) fillTyped() {
	var list []typedStart
	known := map[id]bool{}
	for _, of := range f.commonOf {
		known[of] = true
	}
	put := func(text string, at int, of, common uint32, place uint8) {
		at = min(at, 1<<16-1)
		list = append(list, typedStart{text[at:], f.str(text), of, common, uint16(at), place*4 + f.standing(of, known)})
	}
	for i := range f.key {
		text := withoutRankWords(f.stringOf(f.key[i]))
		put(text, 0, uint32(i), none, 0)
		if f.epithet[i] != 0 {
			put(text, strings.IndexByte(text, ' ')+1, uint32(i), none, 2)
		}
	}
	for c := range f.common {
		text, place := commonText(f.stringOf(f.common[c])), uint8(1)
		for at := 0; ; place = 3 {
			put(text, at, f.commonOf[c], uint32(c), place)
			space := strings.IndexByte(text[at:], ' ')
			if space < 0 {
				break
			}
			at += space + 1
		}
	}
	slices.SortStableFunc(list, func(x, y typedStart) int {
		return strings.Compare(x.from, y.from)
	})
	for _, t := range list {
		f.typedText, f.typedOf, f.typedCommon = append(f.typedText, t.text), append(f.typedOf, t.of), append(f.typedCommon, t.common)
		f.typedFrom, f.typedWeight = append(f.typedFrom, t.at), append(f.typedWeight, t.weight)
	}
}

// standing orders names that are typed alike: former names after current ones, those without a common name after others.
func (f *filler) standing(of id, known map[id]bool) (weight uint8) {
	if f.accepted[of] != of {
		weight += 2
	}
	if !known[f.accepted[of]] && ranks[f.rank[of]] != Genus {
		weight++
	}
	return weight
}

// stringOf reads a string while the text is still being written.
func (f *filler) stringOf(s uint32) string {
	if s == 0 {
		return ""
	}
	return f.text.String()[f.ends[s-1]:f.ends[s]]
}

// withoutRankWords leaves out what nobody types.
func withoutRankWords(key string) string {
	if !strings.Contains(key, ".") {
		return key
	}
	parts := strings.Fields(key)
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return strings.HasSuffix(p, ".") }), " ")
}

// commonText keeps the words apart that a hyphen joins.
func commonText(common string) string {
	return Fold(strings.ReplaceAll(common, "-", " "))
}
