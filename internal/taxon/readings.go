package taxon

import (
	"cmp"
	"slices"
	"strings"
)

// reading is one name that could be meant and what must have gone wrong for it to be so.
type reading struct {
	*entry
	cost  float64
	spelt int // letters that differ from what was written
}

// margin is by how much the best reading must beat the next taxon.
const margin = 0.5

// settle gives the one clear reading, or Several. Names of one taxon do not compete.
func (q *question) settle(how How, readings []reading, score float64) Match {
	slices.SortFunc(readings, compareReadings)
	best := readings[0]
	for _, other := range readings[1:] {
		if other.cost-best.cost < margin && !best.stands(other) {
			return Match{Written: q.w, How: Several, Candidates: candidates(readings)}
		}
	}
	return Match{Written: q.w, How: how, Found: best.Name, Score: score * best.score()}
}

// stands says whether a reading need not fear another: it is a name of the same taxon, or the same epithet in another
// gender (one name, ICN Art. 23.5 and 32.2) and further from what was written, where the slip cannot be heard.
func (r reading) stands(other reading) bool {
	if other.Current() == r.Current() {
		return true
	}
	variant := r.genus.word == other.genus.word && genderless(r.epithet.word) == genderless(other.epithet.word)
	return variant && r.Rank == Species && other.Rank == Species && r.cost <= heardAlike && r.spelt < other.spelt
}

func compareReadings(a, b reading) int {
	former := func(r reading) int {
		if r.Accepted != nil {
			return 1
		}
		return 0
	}
	return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.spelt, b.spelt), cmp.Compare(former(a), former(b)), strings.Compare(a.Key, b.Key))
}

// score falls with the cost by the length of the name; it orders candidates and is no probability.
func (r reading) score() float64 {
	return max(0.1, 1-2*r.cost/float64(len(r.Key)))
}

func candidates(readings []reading) []Candidate {
	var list []Candidate
	seen := map[*Name]bool{}
	for _, r := range readings {
		if len(list) == 5 {
			break
		}
		if !seen[r.Current()] {
			list = append(list, Candidate{Name: r.Name, Score: r.score()})
			seen[r.Current()] = true
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
	if len(readings) == 0 {
		return Match{}, false
	}
	for i, r := range readings {
		readings[i].spelt = Edits(Key(q.w.Canonical), r.Key, longest)
	}
	m := q.settle(Spelling, readings, 1)
	if q.w.Infra != "" && m.Found != nil {
		return q.withInfra(m)
	}
	return m, true
}

// withInfra goes on from a misspelt species to the variety below it.
func (q *question) withInfra(m Match) (Match, bool) {
	species := q.ix.byKey[m.Found.Key]
	e := q.ix.narrower(species, q.w)
	if e == species {
		return q.found(GenusOnly, species, 0.6*m.Score)
	}
	return q.found(Spelling, e, m.Score)
}

func (q *question) nearNames() []reading {
	if q.w.Epithet == "" {
		return q.nearGenera()
	}
	written, epithet := genusForm(Key(q.w.Genus)), epithetForm(Key(q.w.Epithet))
	if g := q.ix.byGenus[written.word]; g != nil {
		return nearSpecies(g, epithet, 0)
	}
	var readings []reading
	for _, g := range q.ix.genera {
		if c := written.cost(g.form); c < far {
			readings = append(readings, nearSpecies(g, epithet, c)...)
		}
	}
	return readings
}

// most is the greatest cost of a whole name.
const most = 2.0

func nearSpecies(g *genus, epithet form, genusCost float64) []reading {
	var readings []reading
	for _, e := range g.species {
		if c := genusCost + epithet.cost(e.epithet); c <= most {
			readings = append(readings, reading{e, c, 0})
		}
	}
	return readings
}

// nearGenera also finds misspelt names above genus. A word alone has nothing beside it that bears it out, so it
// takes what is heard alike, or one letter in a long word.
func (q *question) nearGenera() []reading {
	written := genusForm(Key(q.w.Genus))
	var readings []reading
	for _, e := range q.ix.wide {
		c := written.cost(e.genus)
		if c == heardAlike || c <= 1 && len(written.word) >= 8 && Edits(written.word, e.genus.word, 1) <= 1 {
			readings = append(readings, reading{e, c, 0})
		}
	}
	return readings
}
