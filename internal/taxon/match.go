package taxon

import (
	"slices"
	"strings"
)

// Match finds the name meant by what somebody wrote. The nearest thing is never given for a name that is not there.
func (ix *Index) Match(s string) Match { return ix.MatchWithin(s, nil) }

// MatchWithin does the same among names already in use: prefer holds their keys, and settles what an abbreviated
// genus stands for. For a part that is not listed (a variety, an epithet) Found is the next wider name and How is
// GenusOnly.
func (ix *Index) MatchWithin(s string, prefer map[string]bool) Match {
	if parts := alternatives(s); parts != nil {
		q := question{ix: ix, w: Read(s), prefer: prefer}
		if m, ok := q.twoNames(parts); ok {
			return m
		}
	}
	return ix.one(s, prefer)
}

// one finds one name by the surest way that gives an answer.
func (ix *Index) one(s string, prefer map[string]bool) Match {
	w, words := read(s)
	q := question{ix: ix, w: w, words: words, prefer: prefer}
	for _, try := range []func(*question) (Match, bool){
		(*question).commonName, (*question).capitalEpithet, (*question).exact, (*question).genusAuthor, (*question).short,
		(*question).belowSpecies, (*question).parted, (*question).misspelt, (*question).genusOnly,
	} {
		if m, ok := try(&q); ok {
			return m
		}
	}
	return Match{Written: w, How: Nothing}
}

// question is one written name on its way through the ways of finding it.
type question struct {
	ix     *Index
	w      Written
	words  []string
	prefer map[string]bool
}

func (q *question) found(how How, i id, score float64) (Match, bool) {
	return Match{Written: q.w, How: how, Found: q.ix.at(i), Score: score}, true
}

// exact finds the name as it is written. Of homonyms the author that was written decides; without one, or with another,
// it is left open.
func (q *question) exact() (Match, bool) {
	first, end := q.ix.homonyms(Key(q.w.Canonical))
	if first == end || q.w.Rank == "" {
		return Match{}, false
	}
	if end-first == 1 {
		return q.found(Same, first, 1)
	}
	var readings []reading
	best, second := 0.0, 0.0
	by := first
	for i := first; i < end; i++ {
		readings = append(readings, q.ix.reading(i, 0))
		if alike := SameAuthors(q.w.Author, q.ix.authorOf(i)); alike > best {
			best, second, by = alike, best, i
		} else {
			second = max(second, alike)
		}
	}
	if q.w.Author != "" && best > 0.5 && second < best {
		return q.found(Same, by, 1)
	}
	return q.settle(Same, readings, 1), true
}

// commonName answers Several where a common name is used for more than one taxon. It comes before "genus with
// author", as which "Clitocybe de l'olivier" would read, but never before a name that is written out.
func (q *question) commonName() (Match, bool) {
	if q.w.Author == "" && q.ix.find(Key(q.w.Canonical)) != none {
		return Match{}, false
	}
	list := q.ix.called(letters(strings.Join(q.words, " ")))
	if len(list) == 0 {
		return Match{}, false
	}
	q.w.Genus, q.w.Epithet, q.w.Infra, q.w.InfraRank, q.w.Author, q.w.Rank = "", "", "", "", "", ""
	q.w.Canonical = strings.Join(q.words, " ")
	readings := make([]reading, 0, len(list))
	for _, i := range list {
		readings = append(readings, q.ix.reading(i, 0))
	}
	return q.settle(Same, readings, 1), true
}

// capitalEpithet reads "Boletus Fechtneri" again, whose epithet was taken for an author.
func (q *question) capitalEpithet() (Match, bool) {
	first, rest, _ := strings.Cut(q.w.Author, " ")
	if q.w.Rank != Genus || !isWord(first) {
		return Match{}, false
	}
	i := q.ix.find(Key(q.w.Genus + " " + first))
	if i == none {
		return Match{}, false
	}
	q.w.Epithet, q.w.Author, q.w.Rank = strings.ToLower(first), rest, Species
	q.w.Canonical = q.w.Genus + " " + q.w.Epithet
	return q.found(Same, i, 1)
}

// genusAuthor reads "Phallus Junius" again, whose author was taken for an epithet: the listed author decides.
func (q *question) genusAuthor() (Match, bool) {
	g := q.ix.byGenus[Key(q.w.Genus)]
	if len(q.words) < 2 || !startsUpper(q.words[1]) || g == nil || g.name == none {
		return Match{}, false
	}
	if q.w.Epithet != strings.ToLower(q.words[1]) || !strings.Contains(q.ix.authorOf(g.name), q.words[1]) {
		return Match{}, false
	}
	q.w.Author = strings.Join(q.words[1:], " ")
	q.w.Epithet, q.w.Rank, q.w.Canonical = "", Genus, q.w.Genus
	return q.found(Same, g.name, 1)
}

// short finds what an abbreviated genus stands for.
func (q *question) short() (Match, bool) {
	start, isShort := strings.CutSuffix(Key(q.w.Genus), ".")
	if !isShort || q.w.Rank == "" {
		return Match{}, false
	}
	var readings []reading
	if q.w.Epithet == "" {
		readings = q.shortGenus(start)
	} else {
		readings = q.shortSpecies(start)
	}
	if len(readings) == 0 {
		return Match{Written: q.w, How: Nothing}, true
	}
	return q.settle(Short, q.preferred(readings), 0.95), true
}

// shortGenus takes only genera in use: any letter stands for hundreds.
func (q *question) shortGenus(start string) []reading {
	var readings []reading
	for key := range q.prefer {
		word, _, _ := strings.Cut(key, " ")
		g := q.ix.byGenus[word]
		if g == nil || g.name == none || !strings.HasPrefix(word, start) {
			continue
		}
		r := q.ix.reading(g.name, 0)
		if !slices.Contains(readings, r) {
			readings = append(readings, r)
		}
	}
	return readings
}

// shortSpecies takes the epithet as written; only if nobody has it, one that is heard alike.
func (q *question) shortSpecies(start string) []reading {
	epithet := epithetForm(Key(q.w.Epithet))
	var same, alike []reading
	for _, i := range q.ix.speciesBy(q.ix.byEpithet, q.ix.word, epithet.word) {
		if strings.HasPrefix(q.ix.genusOf(i).word, start) {
			same = append(same, q.ix.reading(q.ix.narrower(i, q.w), 0))
		}
	}
	if len(same) > 0 {
		return same
	}
	for _, i := range q.ix.speciesBy(q.ix.bySound, q.ix.sound, epithet.sound) {
		if strings.HasPrefix(q.ix.genusOf(i).word, start) {
			alike = append(alike, q.ix.reading(q.ix.narrower(i, q.w), heardAlike))
		}
	}
	if len(alike) > 0 {
		return alike
	}
	for k := range q.ix.genera { // a letter more than an abbreviation leaves open
		if g := &q.ix.genera[k]; strings.HasPrefix(g.word, start) {
			for _, r := range q.ix.nearSpecies(g, epithet, 0) {
				if r.cost <= 1 {
					alike = append(alike, r)
				}
			}
		}
	}
	return alike
}

// speciesBy is the species whose epithet has a word, or a sound, out of the table in that order.
func (ix *Index) speciesBy(table []id, column []uint32, wanted string) []id {
	at, _ := slices.BinarySearchFunc(table, wanted, func(i id, s string) int { return strings.Compare(ix.str(column[ix.epithet[i]]), s) })
	to := at
	for to < len(table) && ix.str(column[ix.epithet[table[to]]]) == wanted {
		to++
	}
	return table[at:to]
}

// below is the names below a species: they follow it in the order of keys.
func (ix *Index) below(species id) []id {
	g := ix.byGenus[ix.genusOf(species).word]
	var list []id
	for i := species + 1; g != nil && i < g.end && ix.epithet[i] == ix.epithet[species]; i++ {
		if ix.infra[i] != 0 {
			list = append(list, i)
		}
	}
	return list
}

// narrower goes from a species to the variety written under it, if that is listed.
func (ix *Index) narrower(species id, w Written) id {
	if w.Infra == "" {
		return species
	}
	for _, i := range ix.below(species) {
		if ix.infraOf(i).word == Key(w.Infra) && (w.InfraRank == "" || w.InfraRank == ix.rankOf(i)) {
			return i
		}
	}
	return species
}

// preferred keeps the readings in use, if any are.
func (q *question) preferred(readings []reading) []reading {
	var used []reading
	for _, r := range readings {
		if q.prefer[q.ix.keyOf(r.id)] || q.prefer[q.ix.keyOf(r.current)] {
			used = append(used, r)
		}
	}
	if len(used) > 0 {
		return used
	}
	return readings
}

// belowSpecies handles names with a part below a species that is listed.
func (q *question) belowSpecies() (Match, bool) {
	species := q.ix.find(Key(q.w.Genus + " " + q.w.Epithet))
	if q.w.Infra == "" || species == none {
		return Match{}, false
	}
	if i := q.ix.narrower(species, q.w); i != species {
		return q.found(Same, i, 1)
	}
	written := epithetForm(Key(q.w.Infra))
	var readings []reading
	for _, i := range q.ix.below(species) {
		if c := written.cost(q.ix.infraOf(i)); c < far {
			readings = append(readings, q.ix.reading(i, c))
		}
	}
	if len(readings) == 0 {
		return q.found(GenusOnly, species, 0.6)
	}
	return q.settle(Spelling, readings, 1), true
}

func (q *question) genusOnly() (Match, bool) {
	g := q.ix.byGenus[Key(q.w.Genus)]
	if g == nil || g.name == none || q.w.Rank == "" || q.w.Rank == Genus {
		return Match{}, false
	}
	return q.found(GenusOnly, g.name, 0.5)
}
