package richness

import "slices"

// class is the species that were met with equally often: f of them, x times each.
type class struct{ x, f int }

// sample is what abundance and incidence have in common: Colwell et al. (2012, J. Plant Ecol. 5:3-21) treat them by the
// same formulas, with T for n, and Chao & Jost (2012) put U in the place of one n.
type sample struct {
	classes  []class // by x, none with x = 0
	size     int     // n, or T
	total    int     // n, or U
	observed int     // S
	once     int     // f1, or Q1
	twice    int     // f2, or Q2
	single   Reason  // why a sample of size 1 says nothing
}

// newSample sorts the species into classes; zeros are left out. Where units is negative, the size is the total.
func newSample(counts []int, units int, single Reason) sample {
	s := sample{size: units, single: single}
	times := map[int]int{}
	for _, x := range counts {
		if x > 0 {
			times[x]++
			s.observed++
			s.total += x
		}
	}
	for x, f := range times {
		s.classes = append(s.classes, class{x, f})
	}
	slices.SortFunc(s.classes, func(a, b class) int { return a.x - b.x })
	s.once, s.twice = times[1], times[2]
	if units < 0 {
		s.size = s.total
	}
	return s
}

// unknowable says why nothing can be said of what was not met with.
func (s *sample) unknowable() Reason {
	switch {
	case s.observed == 0:
		return Nothing
	case s.size == 1:
		return s.single
	case s.once == s.total:
		return AllOnce
	}
	return ""
}

// nothing says why a figure of what was met with cannot be given.
func (s *sample) nothing() Reason {
	if s.observed == 0 {
		return Nothing
	}
	return ""
}

func (s *sample) most() int {
	if len(s.classes) == 0 {
		return 0
	}
	return s.classes[len(s.classes)-1].x
}

// small is the factor for small samples, (n-1)/n.
func (s *sample) small() float64 { return float64(s.size-1) / float64(s.size) }

// sum adds g(x) over all species.
func (s *sample) sum(g func(x float64) float64) float64 {
	var sum float64
	for _, c := range s.classes {
		sum += float64(c.f) * g(float64(c.x))
	}
	return sum
}
