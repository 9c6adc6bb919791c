package richness

import "math"

// richnessAt is the number of species expected among m ≤ size individuals (units) drawn without replacement, as the sum of
// each species' chance to be there.
func (s *sample) richnessAt(m int) float64 {
	absent := absences(s.size, m, s.most())
	return s.sum(func(x float64) float64 { return 1 - absent.of(int(x)) })
}

// Rarefy is the number of species expected among m of the n individuals, drawn without replacement (Hurlbert 1971, Ecology
// 52:577-586, eq. 13), and its standard deviation over such draws (Heck, van Belle & Simberloff 1975, Ecology 56:1459-1461,
// eq. 3), both in species. That deviation is conditional: it knows nothing of what was not met with, and is 0 at m = n. An
// m below 1 or above n gives an *InputError.
func (a Abundance) Rarefy(m int) (expected, sd float64, err error) {
	if m < 1 || m > a.s.size {
		return 0, 0, &InputError{Problem: BadSize, Row: -1, Column: -1, Value: float64(m)}
	}
	return a.s.richnessAt(m), a.s.drawn(m), nil
}

// drawn sums the covariances of being absent, C(n-a-b, m)/C(n, m) less the product of both chances, over pairs of classes.
func (s *sample) drawn(m int) float64 {
	absent := absences(s.size, m, 2*s.most())
	var alone, pairs float64
	for i, a := range s.classes {
		p, f := absent.of(a.x), float64(a.f)
		alone += f * p * (1 - p)
		pairs += f * (f - 1) * (absent.of(2*a.x) - p*p)
		for _, b := range s.classes[:i] {
			pairs += 2 * f * float64(b.f) * (absent.of(a.x+b.x) - p*absent.of(b.x))
		}
	}
	// One individual is always one species, and all of them are always all species: rounding is all that is left then.
	if alone+pairs < 1e-11*alone {
		return 0
	}
	return math.Sqrt(alone + pairs)
}
