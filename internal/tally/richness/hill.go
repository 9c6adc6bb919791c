package richness

import "math"

// mostOrder is the highest order of Hill numbers that has curves.
const mostOrder = 2

// profile is the Hill numbers of a sample at any size m: up to its own of the frequencies expected in m, beyond it by an
// approach to the asymptote, as Abundance.Curve says. It holds what several sizes share.
type profile struct {
	s                   *sample
	observed, asymptote [mostOrder + 1]float64
	approach            [mostOrder + 1]float64 // the part of what is left that one more individual brings
}

// newProfile takes what was met with for the asymptote of a sample of which nothing can be known.
func newProfile(s *sample) profile {
	p := profile{s: s}
	if s.observed == 0 {
		return p
	}
	for q := range p.observed {
		p.observed[q] = s.hillWithin(q, s.size)
	}
	if s.unknowable() != "" {
		p.asymptote = p.observed
		return p
	}
	p.asymptote = [...]float64{float64(s.observed) + s.unseen(s.small()), math.Exp(s.asymptoticEntropy()), s.asymptoticSimpson()}
	for q, d := range p.observed {
		before := s.hillWithin(q, s.size-1)
		if p.asymptote[q] > d && p.asymptote[q] > before {
			p.approach[q] = (d - before) / (p.asymptote[q] - before)
		}
	}
	p.approach[0] = s.twiceness()
	return p
}

// at is in effective species.
func (p *profile) at(order, m int) float64 {
	switch {
	case p.s.observed == 0: // units of a resampling that met with nothing
		return 0
	case m <= p.s.size:
		return p.s.hillWithin(order, m)
	case order == 2:
		return 1 / p.s.concentrationAt(m)
	}
	left := math.Pow(1-p.approach[order], float64(m-p.s.size))
	return p.observed[order] + (p.asymptote[order]-p.observed[order])*(1-left)
}

func (s *sample) hillWithin(order, m int) float64 {
	switch order {
	case 0:
		return s.richnessAt(m)
	case 1:
		return math.Exp(s.entropyAt(m))
	}
	return 1 / s.concentrationAt(m)
}

// incidences is what m units have on average, as Chao et al. (2014) define it; for individuals it is m.
func (s *sample) incidences(m int) float64 { return float64(m) * float64(s.total) / float64(s.size) }

// entropyAt is -Σ k/m ln(k/m) f_k(m) for the frequencies expected in m of n drawn without replacement.
func (s *sample) entropyAt(m int) float64 {
	all := s.incidences(m)
	term := func(k int) float64 {
		if k == 0 {
			return 0
		}
		share := float64(k) / all
		return -share * math.Log(share)
	}
	var sum float64
	for _, c := range s.classes {
		sum += float64(c.f) * meanDrawn(s.size, c.x, m, term)
	}
	return sum
}

// meanDrawn is the mean of g(k), k being how many of x marked ones of n are among m drawn. It goes from the likeliest k to both
// sides with the ratios of neighbouring chances, and divides by their sum: no factorial is needed, so none overflows.
func meanDrawn(n, x, m int, g func(int) float64) float64 {
	low, high := max(0, m+x-n), min(m, x)
	mode := min(max(int(float64(m+1)*float64(x+1)/float64(n+2)), low), high)
	const end = 1e-18
	weights, sum := 1.0, g(mode)
	for k, w := mode, 1.0; k < high && w > end; k++ {
		w *= float64(x-k) * float64(m-k) / (float64(k+1) * float64(n-x-m+k+1))
		weights += w
		sum += w * g(k+1)
	}
	for k, w := mode, 1.0; k > low && w > end; k-- {
		w *= float64(k) * float64(n-x-m+k) / (float64(x-k+1) * float64(m-k+1))
		weights += w
		sum += w * g(k-1)
	}
	return sum / weights
}

// concentrationAt is Σ (k/m)² f_k(m), which has a closed form on both sides of the size. Chao et al. (2014) table 1 and 2.
func (s *sample) concentrationAt(m int) float64 {
	all, n, drawn := s.incidences(m), float64(s.size), float64(m)
	pairs := 0.0
	if s.size > 1 {
		pairs = drawn * (drawn - 1) / (n * (n - 1)) * s.sum(func(x float64) float64 { return x * (x - 1) })
	}
	return 1/all + pairs/(all*all)
}

// asymptoticSimpson is the Hill number of order 2 of the assemblage, without bias: Good (1953); for units Chao et al. (2014).
// Where no species was met with twice it is infinite, and a sample of which that is true is unknowable.
func (s *sample) asymptoticSimpson() float64 {
	n, total := float64(s.size), float64(s.total)
	return total * total * (1 - 1/n) / s.sum(func(x float64) float64 { return x * (x - 1) })
}

// asymptoticEntropy is the entropy of the assemblage: Chao, Wang & Jost (2013, Methods Ecol. Evol. 4:1091-1100); for units
// Chao et al. (2014) appendix H.
func (s *sample) asymptoticEntropy() float64 {
	n, total := float64(s.size), float64(s.total)
	h := s.sum(func(x float64) float64 { return x / n * (digamma(n) - digamma(x)) })
	if s.once > 0 {
		h += float64(s.once) / n * tail(s.size, s.twiceness())
	}
	return n/total*h + math.Log(total/n)
}

// tail is (1-A)^(1-n) (-ln A - Σ (1-A)^r/r, r < n) = Σ (1-A)^(j+1)/(n+j), j = 0, 1, …. The series is short where A is large,
// and the difference exact enough where it is small.
func tail(n int, a float64) float64 {
	if a >= 1 {
		return 0
	}
	if float64(n)*a < 5 {
		rest, power := -math.Log(a), 1.0
		for r := 1; r < n; r++ {
			power *= 1 - a
			rest -= power / float64(r)
		}
		return rest / power
	}
	var sum float64
	for power, j := 1-a, 0.0; power > 1e-18; power, j = power*(1-a), j+1 {
		sum += power / (float64(n) + j)
	}
	return sum
}

// digamma for x ≥ 1 by its recurrence and asymptotic series; Abramowitz & Stegun (1964) 6.3.5, 6.3.18.
func digamma(x float64) float64 {
	var below float64
	for ; x < 12; x++ {
		below -= 1 / x
	}
	y := 1 / (x * x)
	return below + math.Log(x) - 1/(2*x) - y*(1.0/12-y*(1.0/120-y*(1.0/252-y*(1.0/240-y*(1.0/132-y*(691.0/32760-y/12))))))
}
