package richness

import "math"

// Accumulation is what t = 1, 2, … T units give on average over all orders in which they could have come; entry t-1 is for t.
type Accumulation struct {
	Expected []float64 // species
	// SD is the standard deviation over orders, in species: conditional on these units, and so 0 at t = T. It is near, not exact,
	// for t > 1, since two species are taken to be as correlated in t units as they are in one. nil where only
	// frequencies are known.
	SD []float64
	// Unconditional is the standard deviation over samples of the same assemblage, in species, with Jackknife1 as the
	// number of its species; nil where that cannot be estimated.
	Unconditional []float64
}

// Accumulate is the exact species accumulation curve: the number of species expected in t of the T units, S - Σ C(T-Q, t)/C(T, t)
// (Ugland, Gray & Ellingsen 2003, J. Anim. Ecol. 72:888-897; Mao Tau of Colwell, Mao & Chang 2004, Ecology 85:2717-2727), its
// deviation over orders (Ugland et al. 2003), and the unconditional one (Colwell et al. 2004 eq. 6, which leaves open how the
// number of species is estimated). It takes no time that grows with the number of species: those alike in
// frequency are taken together.
func (x Incidence) Accumulate() Accumulation {
	t := x.s.size
	all := Accumulation{Expected: make([]float64, t)}
	orders, total := x.orders(), x.Jackknife1()
	if orders != nil {
		all.SD = make([]float64, t)
	}
	if total.OK {
		all.Unconditional = make([]float64, t)
	}
	for i := range t {
		absent := absences(t, i+1, x.s.most())
		all.Expected[i] = x.s.present(absent)
		if orders != nil {
			all.SD[i] = orders.deviation(absent)
		}
		if total.OK {
			all.Unconditional[i] = x.s.spread(absent, total.Value)
		}
	}
	return all
}

// present is how many species are there on average.
func (s *sample) present(absent chances) (sum float64) {
	for _, c := range s.classes {
		sum += float64(c.f) * (1 - absent.of(c.x))
	}
	return sum
}

// spread is the root of Σ (1-a)² - (Σ (1-a))²/total over the chances a to be absent: Colwell et al. (2004) eq. 6, (2012) eq. 5. It is
// written in sums of a, so that little is lost where all but nothing is absent.
func (s *sample) spread(absent chances, total float64) float64 {
	var sum, squares float64
	for _, c := range s.classes {
		a, f := absent.of(c.x), float64(c.f)
		sum += f * a
		squares += f * a * a
	}
	observed := float64(s.observed)
	return math.Sqrt(max((total-observed)*(observed-2*sum)/total+squares-sum*sum/total, 0))
}

// orders is what the deviation over orders needs of the units. For species i and j, which are absent of t units with the
// variances v_i and v_j, Ugland et al. take the covariance r_ij √(v_i v_j), r_ij being the correlation of their presence
// in the units. So the variance is a quadratic form of √v, and species of one class have one v: sums of r over pairs of
// classes are all that is needed.
type orders struct {
	classes []class
	r       []float64 // sums of r_ij, a row a class
}

// orders gives nil where only frequencies are known.
func (x Incidence) orders() *orders {
	if x.presence == nil || x.s.size == 0 {
		return nil
	}
	t, d := float64(x.s.size), len(x.s.classes)
	o := &orders{x.s.classes, make([]float64, d*d)}
	scores := make([]float64, d)
	for _, unit := range x.byUnit() {
		for i, c := range x.s.classes {
			p := float64(c.x) / t
			scores[i] = 0
			if p < 1 { // what is everywhere never varies
				scores[i] = (unit[i] - float64(c.f)*p) / math.Sqrt(t*p*(1-p))
			}
		}
		for i, a := range scores {
			row := o.r[i*d:]
			for j, b := range scores[:i+1] {
				row[j] += a * b
			}
		}
	}
	return o
}

func (o *orders) deviation(absent chances) float64 {
	roots := make([]float64, len(o.classes))
	var variance float64
	for i, c := range o.classes {
		p := absent.of(c.x)
		roots[i] = math.Sqrt(p * (1 - p))
		row := o.r[i*len(o.classes):]
		var others float64
		for j, b := range roots[:i] {
			others += row[j] * b
		}
		variance += roots[i] * (2*others + row[i]*roots[i])
	}
	return math.Sqrt(max(variance, 0))
}
