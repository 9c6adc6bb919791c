package taxon

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Builder gathers the rows of a list and makes an index of them. What it is given is kept once, however often it is
// said, so that a list of half a million names can be given a row at a time.
type Builder struct {
	rows    []builtRow
	commons []builtCommon
	words   interned
	byKey   map[uint32]int // the first row with a key
	same    []int          // by row: the next row with its key; -1
}

// builtRow is a row with its strings as numbers.
type builtRow struct {
	line                                                                           int
	key, name, author, accepted, acceptedAuthor, parent, section, disputed, source uint32
	rank, reason                                                                   uint8
	former                                                                         bool
	current                                                                        int // row; -1: left out
	id, wider                                                                      id  // places in the index; wider may be none
}

type builtCommon struct {
	line                                    int
	name, common, language, source, letters uint32
}

// interned keeps each string once.
type interned struct {
	all []string
	at  map[string]uint32
}

func (in *interned) number(s string) uint32 {
	if n, ok := in.at[s]; ok {
		return n
	}
	s = strings.Clone(s) // a row may be a part of a large buffer
	n := uint32(len(in.all))
	in.all, in.at[s] = append(in.all, s), n
	return n
}

// NewBuilder begins a list.
func NewBuilder() *Builder {
	b := &Builder{words: interned{at: map[string]uint32{}}, byKey: map[uint32]int{}}
	b.words.number("")
	return b
}

// Len is how many names were taken so far.
func (b *Builder) Len() int { return len(b.rows) }

// Add takes a row, or says what is wrong with it. A name that is there already is taken only with another author: the
// two are homonyms.
func (b *Builder) Add(row Row) error {
	if problem := row.fault(); problem != "" {
		return &RowError{Line: row.Line, Name: row.Name, Problem: problem}
	}
	n := b.words.number
	r := builtRow{line: row.Line, key: n(Key(row.Name)), name: n(row.Name), author: n(row.Author), accepted: n(row.Accepted),
		acceptedAuthor: n(row.AcceptedAuthor), parent: n(row.Parent), section: n(row.Section), disputed: n(row.Disputed), source: n(row.Source),
		rank: numberOf(ranks, row.Rank), former: row.Status == "former"}
	if r.former {
		r.reason = numberOf(reasonWords, row.Reason)
	}
	for other := b.first(r.key); other >= 0; other = b.same[other] {
		if b.rows[other].author == r.author {
			return &RowError{Line: row.Line, Name: row.Name, Problem: fmt.Sprintf("the name stands already in line %d", b.rows[other].line)}
		}
	}
	b.same = append(b.same, b.first(r.key))
	b.byKey[r.key] = len(b.rows)
	b.rows = append(b.rows, r)
	return nil
}

// first is the newest row with a key; -1 where there is none.
func (b *Builder) first(key uint32) int {
	if at, ok := b.byKey[key]; ok {
		return at
	}
	return -1
}

// AddCommon takes a common name. Its scientific name may come later.
func (b *Builder) AddCommon(row CommonRow) error {
	wrong := func(problem string) error {
		return &RowError{Common: true, Line: row.Line, Name: row.Name, Problem: problem}
	}
	word := letters(row.Common)
	switch {
	case word == "":
		return wrong("the common name is missing")
	case strings.TrimSpace(row.Source) == "":
		return wrong("the source is missing")
	case strings.TrimSpace(row.Language) == "":
		return wrong("the language is missing")
	}
	n := b.words.number
	b.commons = append(b.commons, builtCommon{line: row.Line, name: n(row.Name), common: n(row.Common),
		language: n(row.Language), source: n(row.Source), letters: n(word)})
	return nil
}

// Finish makes the index of what was given. A row that leads nowhere is left out and told; the builder is used up.
func (b *Builder) Finish() (*Index, []*RowError) {
	var left []*RowError
	tell := func(r builtRow, format string, args ...any) {
		left = append(left, &RowError{Line: r.line, Name: b.words.all[r.name], Problem: fmt.Sprintf(format, args...)})
	}
	b.linkAccepted(tell)
	order := b.order()
	b.linkParents(order, tell)
	f := newFiller(b)
	f.addCommons(b.placeCommons(&left))
	b.words.at, b.byKey, b.same = nil, nil, nil // room for the columns
	for _, at := range order {
		f.add(&b.rows[at])
	}
	f.sortTables()
	ix := &Index{columns: f.columns}
	ix.prepare()
	ix.revision = ix.revised()
	return ix, left
}

// linkAccepted follows each former name to its end, since an accepted name may become former in its turn.
func (b *Builder) linkAccepted(tell func(builtRow, string, ...any)) {
	for at := range b.rows {
		current, problem := b.follow(at)
		if b.rows[at].current = current; problem != "" {
			tell(b.rows[at], "%s", problem)
		}
	}
}

func (b *Builder) follow(at int) (int, string) {
	for range len(b.rows) + 1 {
		r := b.rows[at]
		if !r.former {
			return at, ""
		}
		next := b.pointed(r)
		if next < 0 {
			return -1, fmt.Sprintf("its accepted name %q is not in the list", b.words.all[r.accepted])
		}
		at = next
	}
	return -1, "its accepted name leads back to itself"
}

// pointed is the row that a former name points to: of homonyms the one whose author it names, else an accepted one.
func (b *Builder) pointed(r builtRow) int {
	found := -1
	key, ok := b.words.at[Key(b.words.all[r.accepted])]
	if !ok {
		return -1
	}
	for at := b.first(key); at >= 0; at = b.same[at] {
		other := b.rows[at]
		switch {
		case r.acceptedAuthor != 0 && other.author == r.acceptedAuthor:
			return at
		case found < 0 || b.rows[found].former && !other.former || b.rows[found].former == other.former && b.authorLess(other, b.rows[found]):
			found = at
		}
	}
	return found
}

func (b *Builder) authorLess(a, c builtRow) bool {
	return b.words.all[a.author] < b.words.all[c.author]
}

// order is the rows that stay, by key and author, each with its place.
func (b *Builder) order() []int {
	var order []int
	for at, r := range b.rows {
		if r.current >= 0 {
			order = append(order, at)
		}
	}
	slices.SortFunc(order, func(x, y int) int {
		a, c := b.rows[x], b.rows[y]
		return cmp.Or(strings.Compare(b.words.all[a.key], b.words.all[c.key]), strings.Compare(b.words.all[a.author], b.words.all[c.author]))
	})
	for i, at := range order {
		b.rows[at].id = id(i)
	}
	return order
}

// linkParents gives each name its next wider one. A parent that does not fit is told and left out; the name stays.
func (b *Builder) linkParents(order []int, tell func(builtRow, string, ...any)) {
	for _, at := range order {
		r := &b.rows[at]
		parent, problem := b.parentOf(*r)
		if r.wider = none; parent >= 0 {
			r.wider = b.rows[parent].id
		}
		if problem != "" {
			tell(*r, "%s", problem)
		}
	}
}

func (b *Builder) parentOf(r builtRow) (int, string) {
	if r.parent == 0 {
		return -1, ""
	}
	parent := b.pointed(builtRow{accepted: r.parent})
	switch {
	case parent < 0 || b.rows[parent].current < 0:
		return -1, fmt.Sprintf("its parent %q is not in the list", b.words.all[r.parent])
	case b.rows[parent].rank >= r.rank:
		return -1, fmt.Sprintf("its parent %q is no wider than itself", b.words.all[b.rows[parent].name])
	case b.rows[parent].former:
		return -1, fmt.Sprintf("its parent %q is a former name", b.words.all[b.rows[parent].name])
	}
	return parent, ""
}

// placedCommon is a common name with the place of its name.
type placedCommon struct {
	builtCommon
	of id
}

// placeCommons puts the common names into the order of their names; within one name they keep the order of the list.
func (b *Builder) placeCommons(left *[]*RowError) []placedCommon {
	var list []placedCommon
	wrong := func(c builtCommon, problem string) {
		*left = append(*left, &RowError{Common: true, Line: c.line, Name: b.words.all[c.name], Problem: problem})
	}
	type said struct {
		of             id
		name, language uint32
	}
	seen := map[said]bool{}
	for _, c := range b.commons {
		at := b.pointed(builtRow{accepted: c.name})
		if at < 0 || b.rows[at].current < 0 {
			wrong(c, "is not in the list of names")
			continue
		}
		one := said{b.rows[at].id, c.common, c.language}
		if seen[one] {
			wrong(c, fmt.Sprintf("%q is given twice", b.words.all[c.common]))
			continue
		}
		seen[one] = true
		list = append(list, placedCommon{c, one.of})
	}
	slices.SortStableFunc(list, func(x, y placedCommon) int { return cmp.Compare(x.of, y.of) })
	return list
}
