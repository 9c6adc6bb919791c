package taxon

import (
	"cmp"
	"slices"
)

// Match finds the name meant in any of the lists. What is written exactly in one of them is that; where they would read a
// slip differently, it is left open.
func (l *Lists) Match(written string) Match { return l.MatchWithin(written, nil) }

// MatchWithin does the same among names already in use.
func (l *Lists) MatchWithin(written string, prefer map[string]bool) Match {
	answers := make([]Match, len(l.all))
	open := false // an earlier list has it for more than one taxon
	for i, ix := range l.all {
		answers[i] = ix.MatchWithin(written, prefer)
		if answers[i].How == Same && !open {
			return l.join(answers[i])
		}
		open = open || answers[i].How == Several
	}
	var sure []Match
	for _, m := range answers {
		if m.How != Nothing && m.How != GenusOnly {
			sure = append(sure, l.join(m))
		}
	}
	if len(sure) == 0 {
		best := answers[0]
		for _, m := range answers[1:] {
			if best.How == Nothing || m.How == GenusOnly && m.Score > best.Score {
				best = m
			}
		}
		return l.join(best)
	}
	return oneOf(sure)
}

// oneOf is the answer of several lists: the first one's where they agree, else all that could be meant.
func oneOf(answers []Match) Match {
	var all []Candidate
	agree := true
	for _, m := range answers {
		agree = agree && m.Found != nil && m.Found.Current() == cmp.Or(answers[0].Found, m.Found).Current()
		if m.Found != nil {
			all = append(all, Candidate{m.Found, m.Score})
		}
		all = append(all, m.Candidates...)
	}
	if agree {
		return answers[0]
	}
	slices.SortStableFunc(all, func(a, b Candidate) int { return cmp.Compare(b.Score, a.Score) })
	seen := map[*Name]bool{}
	all = slices.DeleteFunc(all, func(c Candidate) bool {
		was := seen[c.Name.Current()]
		seen[c.Name.Current()] = true
		return was
	})
	if len(all) == 1 { // two lists, one name by another spelling of it
		m := answers[0]
		m.How, m.Found, m.Score, m.Candidates = Spelling, all[0].Name, all[0].Score, nil
		return m
	}
	return Match{Written: answers[0].Written, How: Several, Candidates: all[:min(5, len(all))]}
}

// join gives an answer's names as all lists have them.
func (l *Lists) join(m Match) Match {
	if m.Found != nil {
		m.Found = l.joined(m.Found)
	}
	m.Candidates = slices.Clone(m.Candidates)
	for i := range m.Candidates {
		m.Candidates[i].Name = l.joined(m.Candidates[i].Name)
	}
	return m
}
