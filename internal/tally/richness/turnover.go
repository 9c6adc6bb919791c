package richness

// Turnover compares what two walks, sites or years met with. All figures but the counts are shares from 0 to 1.
type Turnover struct {
	Shared     int // on both lists: a
	OnlyFirst  int // b
	OnlySecond int // c
	// Jaccard is a/(a+b+c), the likeness of the lists. Jaccard (1912).
	Jaccard Estimate
	// Sorensen is 2a/(2a+b+c), which gives what is shared more weight. Sørensen (1948).
	Sorensen Estimate
	// Replaced is min(b,c)/(a+min(b,c)), the part of unlikeness that is species in the place of others: Simpson's
	// dissimilarity; Baselga (2010, Global Ecol. Biogeogr. 19:134-143) eq. 2.
	Replaced Estimate
	// Nested is 1 - Sorensen - Replaced, the part that is one list being shorter. Baselga (2010) eq. 6.
	Nested Estimate
}

// Compare takes the keys of the species on each list; a key given twice counts once. Two empty lists cannot be compared
// (BothEmpty); where one is empty nothing is shared, and of what is replaced or nested nothing can be said (Nothing).
func Compare(first, second []string) Turnover {
	a, b := set(first), set(second)
	var t Turnover
	for key := range a {
		if b[key] {
			t.Shared++
		}
	}
	t.OnlyFirst, t.OnlySecond = len(a)-t.Shared, len(b)-t.Shared
	t.figures()
	return t
}

func set(keys []string) map[string]bool {
	s := make(map[string]bool, len(keys))
	for _, key := range keys {
		s[key] = true
	}
	return s
}

func (t *Turnover) figures() {
	shared, only, fewer := float64(t.Shared), float64(t.OnlyFirst+t.OnlySecond), float64(min(t.OnlyFirst, t.OnlySecond))
	if shared+only == 0 {
		t.Jaccard, t.Sorensen, t.Replaced, t.Nested = cannot(BothEmpty), cannot(BothEmpty), cannot(BothEmpty), cannot(BothEmpty)
		return
	}
	t.Jaccard, t.Sorensen = known(shared/(shared+only)), known(2*shared/(2*shared+only))
	if shared+fewer == 0 {
		t.Replaced, t.Nested = cannot(Nothing), cannot(Nothing)
		return
	}
	t.Replaced = known(fewer / (shared + fewer))
	t.Nested = known(max(1-t.Sorensen.Value-t.Replaced.Value, 0))
}

// Step is one of a row of walks or years, in the order in which they came.
type Step struct {
	Met   int // species met with in this step
	New   int // those of them that no step before met with
	Total int // distinct species up to and with this step
}

// Cumulate takes the keys of the species that each step met with, in order; a key given twice in a step counts once.
func Cumulate(steps [][]string) []Step {
	seen := map[string]bool{}
	all := make([]Step, len(steps))
	for i, keys := range steps {
		there := set(keys)
		for key := range there {
			if !seen[key] {
				seen[key] = true
				all[i].New++
			}
		}
		all[i].Met, all[i].Total = len(there), len(seen)
	}
	return all
}
