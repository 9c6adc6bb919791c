package richness

import "math"

// entropy is Shannon's, of the shares x/total.
func (s *sample) entropy() float64 {
	n := float64(s.total)
	return -s.sum(func(x float64) float64 { return x / n * math.Log(x/n) })
}

// concentration is Σ p² of the shares x/total.
func (s *sample) concentration() float64 {
	n := float64(s.total)
	return s.sum(func(x float64) float64 { return x / n * (x / n) })
}

// empirical is the Hill number of the sample as it is.
func (s *sample) empirical(order int) Estimate {
	switch why := s.nothing(); {
	case why != "":
		return cannot(why)
	case order == 0:
		return known(float64(s.observed))
	case order == 1:
		return known(math.Exp(s.entropy()))
	case order == 2:
		return known(1 / s.concentration())
	}
	return cannot(NotDefined)
}
