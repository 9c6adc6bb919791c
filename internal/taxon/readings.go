package taxon

import (
	"cmp"
	"slices"
	"strings"
)

// reading is one name that could be meant and what must have gone wrong for it to be so.
type reading struct {
	id
	current id
	cost    float64
	spelt   int // letters that differ from what was written
}

func (ix *Index) reading(i id, cost float64) reading { return reading{i, ix.accepted[i], cost, 0} }

// margin is by how much the best reading must beat the next taxon.
const margin = 0.5

// settle gives the one clear reading, or Several. Names of one taxon do not compete.
func (q *question) settle(how How, readings []reading, score float64) Match {
	slices.SortFunc(readings, compareReadings)
	best := readings[0]
	for _, other := range readings[1:] {
		if other.cost-best.cost < margin && !q.ix.stands(best, other) {
			return Match{Written: q.w, How: Several, Candidates: q.ix.candidates(readings)}
		}
	}
	return Match{Written: q.w, How: how, Found: q.ix.at(best.id), Score: score * q.ix.score(best), Slips: best.cost}
}

// stands says whether a reading need not fear another: it is a name of the same taxon, or the same epithet in another
// gender (one name, ICN Art. 23.5 and 32.2) and further from what was written, where the slip cannot be heard.
func (ix *Index) stands(r, other reading) bool {
	if other.current == r.current {
		return true
	}
	if ix.rankOf(r.id) != Species || ix.rankOf(other.id) != Species || r.cost > heardAlike || r.spelt >= other.spelt {
		return false
	}
	return ix.genus[r.id] == ix.genus[other.id] && genderless(ix.epithetOf(r.id).word) == genderless(ix.epithetOf(other.id).word)
}

func compareReadings(a, b reading) int {
	former := func(r reading) int {
		if r.current != r.id {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.spelt, b.spelt), cmp.Compare(former(a), former(b)), cmp.Compare(a.id, b.id))
}

// score falls with the cost by the length of the name; it orders candidates and is no probability.
func (ix *Index) score(r reading) float64 {
	return max(0.1, 1-2*r.cost/float64(len(ix.keyOf(r.id))))
}

func (ix *Index) candidates(readings []reading) []Candidate {
	var list []Candidate
	seen := map[id]bool{}
	for _, r := range readings {
		if len(list) == 5 {
			break
		}
		if !seen[r.current] {
			list = append(list, Candidate{Name: ix.at(r.id), Score: ix.score(r)})
			seen[r.current] = true
		}
	}
	return list
}

// longest is the longest genus or epithet, in letters, for which misspellings are looked for.
const longest = 60

// misspelt looks for names that the writing could be a slip for.
func (q *question) misspelt() (Match, bool) {
	if q.w.Rank == "" || len(q.w.Genus) > longest || len(q.w.Epithet) > longest || q.w.Section != "" && q.w.Epithet == "" {
		return Match{}, false
	}
	readings := q.nearNames()
	if len(readings) == 0 && q.w.Infra != "" {
		readings = q.nearInfras()
	}
	if len(readings) == 0 {
		return Match{}, false
	}
	for i, r := range readings {
		readings[i].spelt = Edits(Key(q.w.Canonical), q.ix.keyOf(r.id), longest)
	}
	m := q.settle(Spelling, readings, 1)
	if q.w.Infra != "" && m.Found != nil && m.Found.Rank == Species {
		return q.withInfra(m)
	}
	return m, true
}

// withInfra goes on from a misspelt species to the variety below it.
func (q *question) withInfra(m Match) (Match, bool) {
	species := q.ix.of(m.Found)
	i := q.ix.narrower(species, q.w)
	if i == species {
		return q.found(GenusOnly, species, 0.6*m.Score)
	}
	found, ok := q.found(Spelling, i, m.Score)
	found.Slips = m.Slips
	return found, ok
}

func (q *question) nearNames() []reading {
	if q.w.Epithet == "" {
		return q.nearGenera()
	}
	written, epithet := genusForm(Key(q.w.Genus)), epithetForm(Key(q.w.Epithet))
	if g := q.ix.byGenus[written.word]; g != nil {
		return q.ix.nearSpecies(g, epithet, 0)
	}
	var readings []reading
	root := genusRoot(written.word)
	for i := range q.ix.genera {
		g := &q.ix.genera[i]
		if c := written.cost(g.form); c < far {
			readings = append(readings, q.ix.nearSpecies(g, epithet, c)...)
		} else if strings.HasPrefix(g.word, root) && genusRoot(g.word) == root {
			readings = append(readings, q.ix.sameSpecies(g, epithet)...)
		}
	}
	return readings
}

// genusRoot is a genus without its ending, for one that was given another's: Pholiotus for Pholiota, Geaster for
// Geastrum. What is too short to say anything is left whole.
func genusRoot(word string) string {
	for _, ending := range []string{"astrum", "aster", "um", "us", "a"} {
		if root, ok := strings.CutSuffix(word, ending); ok && len(root)+len(ending) >= 7 && len(root) >= 2 {
			if strings.HasPrefix(ending, "ast") {
				root += "ast"
			}
			return root
		}
	}
	return word
}

// sameSpecies is the species of a genus that have the epithet as it is written: only they bear out a genus whose ending
// is another.
func (ix *Index) sameSpecies(g *genus, epithet form) []reading {
	var readings []reading
	for _, r := range ix.nearSpecies(g, epithet, 1) {
		if r.cost <= 1+heardAlike {
			readings = append(readings, r)
		}
	}
	return readings
}

// firstLetter is what a wrong first letter of an epithet costs, which a genus that is written right bears out.
const firstLetter = 1.3

func (f form) differsAtFirst(other form) bool {
	return len(f.word) >= 7 && len(other.word) == len(f.word) && f.word[1:] == other.word[1:]
}

// most is the greatest cost of a whole name.
const most = 2.0

func (ix *Index) nearSpecies(g *genus, epithet form, genusCost float64) []reading {
	var readings []reading
	for i := g.first; i < g.end; i++ {
		if ix.rankOf(i) != Species {
			continue
		}
		own := ix.forms[ix.epithet[i]]
		c := genusCost + epithet.cost(own)
		if genusCost == 0 && c >= far && epithet.differsAtFirst(own) {
			c = firstLetter
		}
		if c <= most {
			readings = append(readings, ix.reading(i, c))
		}
	}
	return readings
}

// nearGenera also finds misspelt names above genus. A word alone has nothing beside it that bears it out, so it
// takes what is heard alike, or one letter in a long word.
func (q *question) nearGenera() []reading {
	written := genusForm(Key(q.w.Genus))
	var readings []reading
	for _, i := range q.ix.wide {
		own := q.ix.genusOf(i)
		c := written.cost(own)
		if c == heardAlike || c <= 1 && len(written.word) >= 8 && Edits(written.word, own.word, 1) <= 1 {
			readings = append(readings, q.ix.reading(i, c))
		}
	}
	return readings
}
