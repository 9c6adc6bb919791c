package richness

import (
	"math"
	"math/rand/v2"
	"sync"
)

// Method says how a point of a curve is had.
type Method string

const (
	Rarefaction   Method = "Rarefaction"   // fewer than there were
	Observed      Method = "Observed"      // all there were
	Extrapolation Method = "Extrapolation" // more than there were
)

// Farthest is how many times the size of a sample its curve may go: Colwell et al. (2012) advise against more than double or
// triple. For orders above 0 any size is sound in theory.
const Farthest = 3

// Point is one point of a curve of Hill numbers.
type Point struct {
	Order    int // q: 0 species, 1 exp(Shannon), 2 inverse Simpson
	Size     int // individuals, or units
	Method   Method
	Expected Estimate // effective species
	// SD is the deviation over draws from this very sample, 0 at its size: Abundance.Rarefy and Accumulation.SD. Order 0 only, and
	// only up to the size of the sample.
	SD Estimate
	// Unconditional is the deviation over samples of the same assemblage. For order 0 it is Colwell et al. (2004) eq. 6, (2012)
	// eq. 5 and 10, with Chao1SmallSample as the number of species for individuals and Jackknife1 for units. For orders 1
	// and 2 it is had by resampling.
	Unconditional Estimate
	// SE is what Low and High are made of. It differs from Unconditional only for units and order 0: there the number of species
	// is Chao2, as in Colwell et al. (2012).
	SE        Estimate
	Low, High Estimate // Expected ∓ z SE, cut off at 0
	Coverage  Estimate // expected coverage of a sample of this size, from 0 to 1: Chao & Jost (2012)
}

// Resampling is how deviations of orders 1 and 2 are had, and how wide intervals are.
type Resampling struct {
	// Replicates is how many samples are drawn of the estimated assemblage, at least 2; 0 for none. 200 are enough for a deviation.
	Replicates int
	Source     rand.Source // the same seed gives the same curve
	Level      float64     // of confidence, as 0.95, which it is where this is 0
}

// Curve gives Hill numbers and coverage of the orders asked for (0, 1, 2) at the sizes asked for, by order and in the order of
// the sizes. Fewer individuals: Hurlbert (1971), Chao et al. (2014, Ecol. Monogr. 84:45-67) table 1. More: order 0 Colwell et al.
// (2012) eq. 9, order 2 Chao et al. (2014) table 1, order 1 from the observed to the asymptotic value as order 0 goes, at
// the rate at which the last individual came near to it (Hsieh, Ma & Chao 2016, Methods Ecol. Evol. 7:1451-1456). A size
// below 1 or beyond Farthest, another order, and a wrong Resampling give an *InputError with its place as Row.
func (a Abundance) Curve(orders, sizes []int, r Resampling) ([]Point, error) {
	c := curve{s: &a.s, shown: a.Chao1SmallSample(), interval: a.Chao1SmallSample(),
		sd: func(m int) Estimate { return known(a.s.drawn(m)) }, again: a.again}
	return c.points(orders, sizes, r)
}

// Curve is that of Abundance.Curve for units: order 0 Colwell et al. (2004), (2012) eq. 17 and 18, and the rest by Chao et al.
// (2014) table 2.
func (x Incidence) Curve(orders, sizes []int, r Resampling) ([]Point, error) {
	c := curve{s: &x.s, shown: x.Jackknife1(), interval: x.Chao2(), again: x.again}
	orders0 := sync.OnceValue(x.orders) // only order 0 asks for it
	c.sd = func(m int) Estimate {
		if orders0() == nil {
			return cannot(NeedsUnits)
		}
		return known(orders0().deviation(absences(x.s.size, m, x.s.most())))
	}
	return c.points(orders, sizes, r)
}

// curve is what individuals and units do differently.
type curve struct {
	s               *sample
	shown, interval Estimate                       // the number of species for Unconditional, and for SE
	sd              func(m int) Estimate           // up to the size
	again           func() func(*rand.Rand) sample // draws samples of the estimated assemblage
}

func (c curve) points(orders, sizes []int, r Resampling) ([]Point, error) {
	z, err := c.check(orders, sizes, r)
	if err != nil {
		return nil, err
	}
	p := newProfile(c.s)
	drawn := c.resample(orders, sizes, r)
	coverage := make([]Estimate, len(sizes))
	for j, m := range sizes {
		coverage[j] = c.s.coverageAt(m)
	}
	all := make([]Point, 0, len(orders)*len(sizes))
	for i, q := range orders {
		for j, m := range sizes {
			point := Point{Order: q, Size: m, Method: c.method(m), Coverage: coverage[j]}
			if q == 0 {
				c.species(&point)
			} else {
				point.SD, point.SE = cannot(NotDefined), drawn[i][j]
				point.Unconditional = point.SE
			}
			c.complete(&point, &p, z)
			all = append(all, point)
		}
	}
	return all, nil
}

func (c curve) method(m int) Method {
	switch {
	case m < c.s.size:
		return Rarefaction
	case m == c.s.size:
		return Observed
	}
	return Extrapolation
}

// species fills in the deviations of order 0.
func (c curve) species(p *Point) {
	p.SD = cannot(NotDefined)
	if p.Size <= c.s.size {
		p.SD = c.sd(p.Size)
	}
	p.Unconditional, p.SE = c.s.unconditional(p.Size, c.shown), c.s.unconditional(p.Size, c.interval)
}

func (c curve) complete(p *Point, profile *profile, z float64) {
	if why := c.s.unknowable(); why == Nothing || why != "" && p.Size > c.s.size {
		p.Expected, p.SD, p.Unconditional, p.SE = cannot(why), cannot(why), cannot(why), cannot(why)
	} else {
		p.Expected = known(profile.at(p.Order, p.Size))
	}
	p.Low, p.High = p.SE, p.SE
	if p.SE.OK {
		p.Low = known(max(p.Expected.Value-z*p.SE.Value, 0))
		p.High = known(p.Expected.Value + z*p.SE.Value)
	}
}

func (c curve) check(orders, sizes []int, r Resampling) (z float64, err error) {
	for i, q := range orders {
		if q < 0 || q > mostOrder {
			return 0, &InputError{Problem: BadOrder, Row: i, Column: -1, Value: float64(q)}
		}
	}
	for i, m := range sizes {
		if m < 1 || m > Farthest*c.s.size {
			return 0, &InputError{Problem: BadSize, Row: i, Column: -1, Value: float64(m)}
		}
	}
	if r.Replicates < 0 || r.Replicates == 1 || r.Replicates > 0 && r.Source == nil {
		return 0, &InputError{Problem: BadDraws, Row: -1, Column: -1, Value: float64(r.Replicates)}
	}
	level := r.Level
	if level == 0 {
		level = 0.95
	}
	z, ok := quantile(level)
	if !ok {
		return 0, &InputError{Problem: BadLevel, Row: -1, Column: -1, Value: level}
	}
	return z, nil
}

// unconditional is the deviation of order 0 over samples of an assemblage with total species: Colwell et al. (2004) eq. 6 and
// (2012) eq. 5 up to the size; beyond it (2012) eq. 10, with the derivatives of what is added.
func (s *sample) unconditional(m int, total Estimate) Estimate {
	if !total.OK {
		return total
	}
	if m <= s.size {
		return known(s.spread(absences(s.size, m, s.most()), total.Value))
	}
	by1, by2 := s.slopes(float64(m - s.size))
	return root(s.delta(by1, by2, total.Value))
}

// slopes are the derivatives by f1 and f2 of f0 (1 - (1-A)^more): f0 of unseen, A of twiceness.
func (s *sample) slopes(more float64) (by1, by2 float64) {
	if s.once == 0 {
		return 0, 0
	}
	f1, f2, others, k := float64(s.once), float64(s.twice), float64(s.size-1), s.small()
	f0, a := s.unseen(k), s.twiceness()
	got, left := 1-math.Pow(1-a, more), more*math.Pow(1-a, more-1)
	if s.twice > 0 {
		below := others*f1 + 2*f2
		byA1, byA2 := -2*f2*others/(below*below), 2*others*f1/(below*below)
		return k*f1/f2*got + f0*left*byA1, -f0/f2*got + f0*left*byA2
	}
	below := others*(f1-1) + 2
	return k*(2*f1-1)/2*got - f0*left*2*others/(below*below), 0
}
