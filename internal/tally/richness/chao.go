package richness

import "math"

// unseen is f0, how many species Chao's lower bound adds; k is (n-1)/n or 1.
func (s *sample) unseen(k float64) float64 {
	f1, f2 := float64(s.once), float64(s.twice)
	if s.twice > 0 {
		return k * f1 * f1 / (2 * f2)
	}
	return k * f1 * (f1 - 1) / 2
}

func (s *sample) chao(k float64) Estimate {
	return unless(s.unknowable(), float64(s.observed)+s.unseen(k))
}

// chaoSE follows Chao (1987) eq. 13; without species met with twice, the form of Chao's bias-corrected bound.
func (s *sample) chaoSE(k float64) Estimate {
	if why := s.unknowable(); why != "" {
		return cannot(why)
	}
	f1, f2 := float64(s.once), float64(s.twice)
	if s.twice > 0 {
		r := f1 / f2
		return known(math.Sqrt(f2 * (k/2*r*r + k*k*r*r*r + k*k/4*r*r*r*r)))
	}
	total := float64(s.observed) + s.unseen(k)
	return root(k*f1*(f1-1)/2 + k*k*f1*(2*f1-1)*(2*f1-1)/4 - k*k*f1*f1*f1*f1/(4*total))
}

func (s *sample) chaoBiasCorrected(k float64) Estimate {
	return unless(s.unknowable(), float64(s.observed)+s.unseenBiasCorrected(k))
}

func (s *sample) unseenBiasCorrected(k float64) float64 {
	f1, f2 := float64(s.once), float64(s.twice)
	return k * f1 * (f1 - 1) / (2 * (f2 + 1))
}

func (s *sample) chaoBiasCorrectedSE(k float64) Estimate {
	if why := s.unknowable(); why != "" {
		return cannot(why)
	}
	f1, f2 := float64(s.once), float64(s.twice)
	by1, by2 := k*(2*f1-1)/(2*(f2+1)), -k*f1*(f1-1)/(2*(f2+1)*(f2+1))
	total := float64(s.observed) + s.unseenBiasCorrected(k)
	return root(s.delta(by1, by2, total))
}

// delta is the variance of S + h(f1, f2), with the derivatives of h by f1 and f2: by the delta method with the covariances
// f_i(1 - f_i/total) and -f_i f_j/total. Chao (1987) eq. 12; Colwell et al. (2012) eq. 10.
func (s *sample) delta(by1, by2, total float64) float64 {
	f1, f2, observed := float64(s.once), float64(s.twice), float64(s.observed)
	lift := by1*f1 + by2*f2
	return observed + 2*lift + by1*by1*f1 + by2*by2*f2 - (observed+lift)*(observed+lift)/total
}

func (s *sample) chaoInterval(total, se Estimate, level float64) (low, high Estimate) {
	z, ok := quantile(level)
	added := total.Value - float64(s.observed)
	switch {
	case !ok:
		return cannot(NotDefined), cannot(NotDefined)
	case !total.OK:
		return total, total
	case added <= 0:
		return cannot(NoneMissing), cannot(NoneMissing)
	}
	ratio := se.Value / added
	spread := math.Exp(z * math.Sqrt(math.Log1p(ratio*ratio)))
	return known(float64(s.observed) + added/spread), known(float64(s.observed) + added*spread)
}

// quantile is how many standard errors to each side hold a share level of the normal distribution.
func quantile(level float64) (z float64, ok bool) {
	if !(level > 0 && level < 1) {
		return 0, false
	}
	return math.Sqrt2 * math.Erfinv(level), true
}

// root is the standard error of a variance, which rounding may leave a little below 0.
func root(variance float64) Estimate { return known(math.Sqrt(max(variance, 0))) }
