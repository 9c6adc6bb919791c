package richness

import "math"

func (s *sample) turing() Estimate {
	if why := s.nothing(); why != "" {
		return cannot(why)
	}
	return known(1 - float64(s.once)/float64(s.total))
}

func (s *sample) coverage() Estimate { return s.coverageAt(s.size) }

// coverageAt is the coverage expected of a sample of another size m: below its own by Chao & Jost (2012) eq. 4b, beyond by
// eq. 12; for units, Chao et al. (2014) table 2.
func (s *sample) coverageAt(m int) Estimate {
	switch why := s.nothing(); {
	case why != "":
		return cannot(why)
	case m < s.size:
		return known(s.coverageBelow(m))
	}
	switch why := s.unknowable(); {
	case why != "":
		return cannot(why)
	case s.once == 1 && s.twice == 0:
		return cannot(OnlyOneOnce) // the formula would say that nothing is missing
	case s.once == 0:
		return known(1)
	}
	again := math.Pow(1-s.twiceness(), float64(m-s.size+1))
	return known(1 - float64(s.once)/float64(s.total)*again)
}

// twiceness is A of Chao & Jost (2012) eq. 4a: the estimated chance that what was met with once is met with in one more
// individual or unit, relative to the mean; 1 when nothing was met with once.
func (s *sample) twiceness() float64 {
	f1, f2, others := float64(s.once), float64(s.twice), float64(s.size-1)
	switch {
	case s.twice > 0:
		return 2 * f2 / (others*f1 + 2*f2)
	case s.once > 0:
		return 2 / (others*(f1-1) + 2)
	}
	return 1
}

func (s *sample) coverageBelow(m int) float64 {
	absent := absences(s.size-1, m, s.most()-1)
	return 1 - s.sum(func(x float64) float64 { return x * absent.of(int(x)-1) })/float64(s.total)
}
