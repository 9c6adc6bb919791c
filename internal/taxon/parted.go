package taxon

import "strings"

// parted reads again what was written in two words too many, or in one too few: "albo violaceus", "Macro lepiota procera",
// "Boletusedulis". Only a name that is there exactly is taken, so that two words make no third by chance.
func (q *question) parted() (Match, bool) {
	if q.w.Qualifier == SensuAuct || q.ix.find(Key(q.w.Canonical)) != none {
		return Match{}, false
	}
	for _, words := range regrouped(q.words) {
		key := Key(strings.Join(words, " "))
		i := q.ix.find(key)
		if i == none || q.ix.rankOf(i) != Species {
			continue
		}
		return q.settle(Spelling, []reading{q.ix.reading(i, heardAlike)}, 1), true
	}
	return Match{}, false
}

// partedLeast is the fewest letters of a word that may be two.
const partedLeast = 10

// regrouped lists other ways to part the words of a name: neighbours as one, a lone long word as two.
func regrouped(words []string) [][]string {
	var ways [][]string
	switch len(words) {
	case 1:
		letters := []rune(words[0])
		for at := 4; at+3 <= len(letters) && len(letters) >= partedLeast; at++ {
			ways = append(ways, []string{string(letters[:at]), string(letters[at:])})
		}
	case 2: // the gap is a letter or two from where it belongs
		letters, gap := []rune(words[0]+words[1]), len([]rune(words[0]))
		for _, at := range []int{gap - 1, gap + 1, gap - 2, gap + 2} {
			if at >= 4 && at+3 <= len(letters) {
				ways = append(ways, []string{string(letters[:at]), string(letters[at:])})
			}
		}
	case 3:
		ways = append(ways, []string{words[0], words[1] + words[2]}, []string{words[0] + words[1], words[2]})
	}
	return ways
}

// nearInfras finds a name below a species whose species is written with a slip and is not listed itself.
func (q *question) nearInfras() []reading {
	g := q.ix.byGenus[Key(q.w.Genus)]
	if g == nil {
		return nil
	}
	epithet, infra := epithetForm(Key(q.w.Epithet)), epithetForm(Key(q.w.Infra))
	var readings []reading
	for i := g.first; i < g.end; i++ {
		if q.ix.infra[i] == 0 || q.w.InfraRank != "" && q.ix.rankOf(i) != q.w.InfraRank {
			continue
		}
		if c := epithet.cost(q.ix.epithetOf(i)) + infra.cost(q.ix.infraOf(i)); c <= most {
			readings = append(readings, q.ix.reading(i, c))
		}
	}
	return readings
}
