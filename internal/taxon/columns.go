package taxon

import "slices"

// columns is a list of names as an index file holds it: a column for each thing that is known, and the orders in which
// questions are answered. Numbers are places in other columns. Nothing in it points anywhere, so that half a million
// names are read in one piece and cost what they weigh.
type columns struct {
	text string   // every string, one after the other
	ends []uint32 // by string: where it ends; string 0 is empty

	// By name, in the order of keys and, where names are homonyms, of authors.
	key, name, author, source, disputed, section []uint32 // strings
	genus, epithet, infra                        []uint32 // forms
	accepted                                     []uint32 // the current name; itself where it is that
	parent                                       []uint32 // of a genus and above: the next wider name; none
	rank, reason                                 []uint8  // places in ranks and reasonWords

	word, sound []uint32 // by form: strings

	commonOf, common, language, commonSource, commonLetters []uint32 // by common name, in the order of the names they belong to

	byEpithet  []uint32 // species by epithet
	bySound    []uint32 // species by what their epithet sounds like
	byAccepted []uint32 // former names by their current one
	byLetters  []uint32 // common names by their letters

	// Places at which typing may start, in the order of what is typed from there.
	typedText, typedOf, typedCommon []uint32 // a string, the name, the common name it is of; none
	typedFrom                       []uint16 // in bytes of the string
	typedWeight                     []uint8  // how good a start it is, 0 best
}

// none is where nothing is pointed at.
const none = ^uint32(0)

// ranks and reasonWords are the words that files hold as numbers: new ones go to the end.
var (
	ranks       = []Rank{"", Kingdom, Phylum, Class, Order, Family, Genus, Section, Species, Subspecies, Variety, FormaRank}
	reasonWords = []string{"", "moved", "merged", "split", "misapplied", "spelling", "alternative"}
)

func numberOf[T comparable](words []T, word T) uint8 { return uint8(max(0, slices.Index(words, word))) }

// parts lists the columns in the order of the file.
func (c *columns) parts() []any {
	return []any{&c.text, &c.ends, &c.key, &c.name, &c.author, &c.source, &c.disputed, &c.section, &c.genus, &c.epithet, &c.infra,
		&c.accepted, &c.parent, &c.rank, &c.reason, &c.word, &c.sound,
		&c.commonOf, &c.common, &c.language, &c.commonSource, &c.commonLetters,
		&c.byEpithet, &c.bySound, &c.byAccepted, &c.byLetters,
		&c.typedText, &c.typedOf, &c.typedCommon, &c.typedFrom, &c.typedWeight}
}

// fit reports whether the columns fit together: every number is a place that is there. What follows may rely on it.
func (c *columns) fit() bool {
	names, forms, commons, typed := len(c.key), len(c.word), len(c.common), len(c.typedText)
	end := uint32(0)
	for _, e := range c.ends {
		if e < end {
			return false
		}
		end = e
	}
	if len(c.ends) == 0 || c.ends[0] != 0 || int(end) != len(c.text) || len(c.rank) != names || len(c.reason) != names ||
		len(c.typedFrom) != typed || len(c.typedWeight) != typed {
		return false
	}
	strings := len(c.ends)
	for _, part := range []struct {
		column     []uint32
		length     int // none asked for: -1
		places     int
		mayBeEmpty bool
	}{
		{c.key, names, strings, false}, {c.name, names, strings, false}, {c.author, names, strings, false}, {c.source, names, strings, false},
		{c.disputed, names, strings, false}, {c.section, names, strings, false},
		{c.genus, names, forms, false}, {c.epithet, names, forms, false}, {c.infra, names, forms, false},
		{c.accepted, names, names, false}, {c.parent, names, names, true},
		{c.word, forms, strings, false}, {c.sound, forms, strings, false},
		{c.commonOf, commons, names, false}, {c.common, commons, strings, false}, {c.language, commons, strings, false},
		{c.commonSource, commons, strings, false}, {c.commonLetters, commons, strings, false},
		{c.byEpithet, -1, names, false}, {c.bySound, -1, names, false}, {c.byAccepted, -1, names, false}, {c.byLetters, commons, commons, false},
		{c.typedText, typed, strings, false}, {c.typedOf, typed, names, false}, {c.typedCommon, typed, commons, true},
	} {
		if part.length >= 0 && len(part.column) != part.length {
			return false
		}
		for _, at := range part.column {
			if int(at) >= part.places && !(part.mayBeEmpty && at == none) {
				return false
			}
		}
	}
	return c.wordsFit()
}

// wordsFit looks at what is no place in a column: ranks, reasons, and where in a string typing starts.
func (c *columns) wordsFit() bool {
	for i := range c.rank {
		if int(c.rank[i]) >= len(ranks) || int(c.reason[i]) >= len(reasonWords) || c.parent[i] != none && c.rank[c.parent[i]] >= c.rank[i] {
			return false
		}
		if at := c.accepted[i]; c.accepted[at] != at {
			return false
		}
	}
	for i, from := range c.typedFrom {
		if int(from) > c.length(c.typedText[i]) {
			return false
		}
	}
	return true
}

func (c *columns) length(s uint32) int {
	if s == 0 {
		return 0
	}
	return int(c.ends[s] - c.ends[s-1])
}
