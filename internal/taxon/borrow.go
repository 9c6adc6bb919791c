package taxon

import (
	_ "embed"
	"slices"
	"strings"
	"unicode"
)

// Relation says how a species stands to a genus or wider taxon from which its common name takes a word.
type Relation string

const (
	BorrowsNothing Relation = ""
	FromCurrent    Relation = "current"   // it belongs there now
	FromFormer     Relation = "former"    // it once stood there
	FromUnrelated  Relation = "unrelated" // neither
)

// Borrowing is what a common name takes from a scientific one. The zero value is nothing.
type Borrowing struct {
	Part     string // of the common name, as written
	Taxon    string // the genus or wider taxon that it comes from
	Rank     Rank
	Relation Relation
}

const (
	// clipLength is the shortest cut-down form that is looked for: Cat, Gym, Pax. Two letters say nothing.
	clipLength = 3
	// foreignClip is the shortest one for a genus in which the species never stood: a shorter one could be any word.
	foreignClip = 4
	// knownGenus is how many species a genus has before people cut its name short for others.
	knownGenus = 5
)

// Borrows says whether a common name contains the name, or a cut-down form, of a genus, family or wider taxon. A whole
// name counts before a cut-down one, the taxa of the species before others.
//
// Common practice: field workers cut a genus after its first syllable or two (Cort, Trich, Leucopax); English adds -s,
// French -e and -aire (Amanite, Cortinaire). Such words change their sense with the genus and are borrowed; words that
// a language made its own (bolete, polypore, bolet; ordinary.txt) are not, nor are compounds written as one word
// (Knolamaniet, Trichterling).
func Borrows(names Names, common, scientific string) Borrowing {
	b := borrower{names, standingsOf(names, scientific)}
	words := wordsOf(common)
	for _, find := range []func(word) (standing, bool){b.wholeOwn, b.wholeOther, b.clippedOwn, b.clippedOther} {
		for _, w := range words {
			if s, found := find(w); found {
				return Borrowing{w.written, s.name, s.rank, s.relation}
			}
		}
	}
	return Borrowing{}
}

// word is a word of a common name.
type word struct {
	written string
	stems   []string // folded: as it stands and without the endings a language may have put to it
	last    bool     // which in an English name is the thing itself
}

func wordsOf(common string) []word {
	parts := strings.FieldsFunc(common, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsMark(r) })
	var words []word
	for i, part := range parts {
		if stems := stemsOf(Fold(part)); !slices.ContainsFunc(stems, func(s string) bool { return ordinary[s] }) {
			words = append(words, word{part, stems, i == len(parts)-1})
		}
	}
	return words
}

// stemsOf undoes the plural and then the endings by which French makes a genus its own: -aire from -arius and -aria,
// -e from what else Latin ends in. A stem so short that it could be any word is left out.
func stemsOf(folded string) []string {
	stems := []string{folded}
	if singular, plural := strings.CutSuffix(folded, "s"); plural && len(singular) >= foreignClip {
		stems = append(stems, singular)
	}
	for _, s := range slices.Clone(stems) {
		if bare, ends := strings.CutSuffix(s, "aire"); ends && len(bare) >= foreignClip {
			stems = append(stems, bare+"ari")
		} else if bare, ends := strings.CutSuffix(s, "e"); ends && len(bare) > foreignClip {
			stems = append(stems, bare)
		}
	}
	return stems
}

//go:embed ordinary.txt
var ordinaryText string

var ordinary = readOrdinary(ordinaryText)

func readOrdinary(text string) map[string]bool {
	set := map[string]bool{}
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		for _, word := range strings.Fields(line) {
			set[word] = true
		}
	}
	return set
}

// standing is a taxon with which a species has to do, and how.
type standing struct {
	name     string
	rank     Rank
	relation Relation
}

type standings []standing

// Borrows says what a common name takes from the names of the index.
func (ix *Index) Borrows(common, scientific string) Borrowing { return Borrows(ix, common, scientific) }

// borrower looks for what the common name of one species borrows.
type borrower struct {
	names Names
	own   standings
}

// standingsOf are the taxa of a species: those it belongs to now, and the genera it once stood in. A misapplied name was
// said of it and was never its own. What the list does not know belongs to the genus that is written.
func standingsOf(names Names, scientific string) standings {
	w := Read(scientific)
	named, known := names.Lookup(Key(w.Canonical))
	if !known {
		if m := names.Match(scientific); m.Found != nil && m.How != GenusOnly {
			named, known = m.Found, true
		}
	}
	if !known {
		return unlisted(names, w.Genus)
	}
	current := named.Current()
	own := wider(current)
	for _, former := range names.FormerOf(current) {
		if former.Reason != "misapplied" {
			own.addFormer(former)
		}
	}
	return own
}

func unlisted(names Names, genus string) standings {
	if genus == "" {
		return nil
	}
	if g, known := names.Lookup(Key(genus)); known && g.Accepted == nil {
		return wider(g)
	}
	return standings{{genus, Genus, FromCurrent}}
}

// wider is a name's genus and what stands above it.
func wider(current *Name) (own standings) {
	if depth[current.Rank] >= depth[Genus] {
		genus, _, _ := strings.Cut(current.Name, " ")
		own = append(own, standing{genus, Genus, FromCurrent})
	}
	for _, above := range []standing{{current.Family, Family, FromCurrent}, {current.Order, Order, FromCurrent},
		{current.Class, Class, FromCurrent}, {current.Phylum, Phylum, FromCurrent}, {current.Kingdom, Kingdom, FromCurrent}} {
		if above.name != "" {
			own = append(own, above)
		}
	}
	return own
}

func (own *standings) addFormer(former *Name) {
	name, _, _ := strings.Cut(former.Name, " ")
	rank := former.Rank
	if depth[rank] > depth[Genus] {
		rank = Genus
	}
	if !slices.ContainsFunc(*own, func(s standing) bool { return s.name == name }) {
		*own = append(*own, standing{name, rank, FromFormer})
	}
}

// wholeOwn finds a taxon of the species by its whole name.
func (b borrower) wholeOwn(w word) (standing, bool) {
	for _, s := range b.own {
		if slices.Contains(w.stems, Key(s.name)) {
			return s, true
		}
	}
	return standing{}, false
}

// wholeOther finds any genus or wider taxon by its whole name.
func (b borrower) wholeOther(w word) (standing, bool) {
	for _, stem := range w.stems {
		if n, known := b.names.Lookup(stem); known && depth[n.Rank] <= depth[Genus] {
			return standing{n.Name, n.Rank, FromUnrelated}, true
		}
	}
	return standing{}, false
}

// clippedOwn finds a taxon of the species by a cut-down name. Of two, such as Tricholoma and Tricholomopsis, it is the
// one with more species: its name is cut short oftener.
func (b borrower) clippedOwn(w word) (best standing, found bool) {
	most := -1
	for _, s := range b.own {
		if !w.clips(s) {
			continue
		}
		if n := b.members(s.name); n > most {
			best, most = s, n
		}
	}
	return best, most >= 0
}

// clippedOther finds a well-known genus to which the species has no relation by its cut-down name, where that is the
// thing which the common name names.
func (b borrower) clippedOther(w word) (best standing, found bool) {
	if !w.last || len(w.stems[0]) < foreignClip {
		return standing{}, false
	}
	most := knownGenus - 1
	for _, stem := range w.stems {
		for _, genus := range b.generaFrom(stem) {
			if species := b.members(genus); species > most {
				best, most = standing{genus, Genus, FromUnrelated}, species
			}
		}
	}
	return best, best.name != ""
}

// generaFrom are genera that begin so: those that come up first when it is typed, which are the known ones.
func (b borrower) generaFrom(stem string) (genera []string) {
	const enough = 60
	for _, s := range b.names.Suggest(stem, enough) {
		genus, _, _ := strings.Cut(s.Name.Current().Name, " ")
		if strings.HasPrefix(Key(genus), stem) && !slices.Contains(genera, genus) {
			genera = append(genera, genus)
		}
	}
	return genera
}

// members is how many species a genus has; 0 for what is no genus.
func (b borrower) members(name string) int {
	if n, known := b.names.Lookup(Key(name)); known && n.Rank == Genus {
		return len(b.names.Members(n))
	}
	return 0
}

// clips says whether a word is the beginning of a taxon's name. A cut shorter than foreignClip counts only where it is
// the thing that is named. Names above genus begin as their genera do; they lose no more than the s of Agaricomycetes.
func (w word) clips(s standing) bool {
	key := oneVowel(Key(s.name))
	return slices.ContainsFunc(w.stems, func(stem string) bool {
		long := len(stem) >= foreignClip || w.last && len(stem) >= clipLength
		stem = oneVowel(stem)
		cut := len(key) - len(stem)
		return long && cut > 0 && (s.rank == Genus || cut == 1) && strings.HasPrefix(key, stem)
	})
}

// oneVowel writes ae and oe as the languages do that borrow: Panéole from Panaeolus.
func oneVowel(folded string) string { return diphthongs.Replace(folded) }

var diphthongs = strings.NewReplacer("ae", "e", "oe", "e")
