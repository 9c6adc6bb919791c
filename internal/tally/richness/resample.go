package richness

import (
	"math"
	"math/rand/v2"
)

// resample gives the deviation of each order above 0 at each size over samples of the estimated assemblage.
func (c curve) resample(orders, sizes []int, r Resampling) [][]Estimate {
	all := make([][]Estimate, len(orders))
	for i := range orders {
		all[i] = make([]Estimate, len(sizes))
		for j := range sizes {
			all[i][j] = cannot(NoResampling)
			if why := c.s.unknowable(); why != "" {
				all[i][j] = cannot(why)
			}
		}
	}
	if r.Replicates == 0 || c.s.unknowable() != "" || !anyAbove0(orders) {
		return all
	}
	spread := make([]deviation, len(orders)*len(sizes))
	random, draw := rand.New(r.Source), c.again()
	for range r.Replicates {
		s := draw(random)
		p := newProfile(&s)
		for i, q := range orders {
			for j, m := range sizes {
				if q > 0 {
					spread[i*len(sizes)+j].add(p.at(q, m))
				}
			}
		}
	}
	for i, q := range orders {
		for j := range sizes {
			if q > 0 {
				all[i][j] = known(spread[i*len(sizes)+j].value())
			}
		}
	}
	return all
}

func anyAbove0(orders []int) bool {
	for _, q := range orders {
		if q > 0 {
			return true
		}
	}
	return false
}

// deviation is a standard deviation in one pass: Welford (1962, Technometrics 4:419-420).
type deviation struct{ n, mean, squares float64 }

func (d *deviation) add(v float64) {
	d.n++
	off := v - d.mean
	d.mean += off / d.n
	d.squares += off * (v - d.mean)
}

func (d *deviation) value() float64 { return math.Sqrt(d.squares / (d.n - 1)) }

// assemblage is the estimated chances of the species to be met with by an individual (unit): those met with, with their chances
// made smaller by what is missing in the coverage, and f0 more that share what is missing. Chao et al. (2014) appendix G.
func (s *sample) assemblage() []float64 {
	n := float64(s.size)
	missed := math.Ceil(s.unseen(s.small()))
	uncovered, shrink := 0.0, 0.0
	if missed > 0 {
		uncovered = s.incidences(1) * (1 - s.coverage().Value)
		shrink = uncovered / s.sum(func(x float64) float64 { return x / n * math.Pow(1-x/n, n) })
	}
	chances := make([]float64, 0, s.observed+int(missed))
	for _, c := range s.classes {
		x := float64(c.x)
		for range c.f {
			chances = append(chances, max(x/n*(1-shrink*math.Pow(1-x/n, n)), 0))
		}
	}
	for range int(missed) {
		chances = append(chances, min(uncovered/missed, 1))
	}
	return chances
}

// again draws n individuals of the estimated assemblage: a multinomial, as binomials of what is left.
func (a Abundance) again() func(*rand.Rand) sample {
	chances := a.s.assemblage()
	rest := make([]float64, len(chances)) // the chances from here to the end
	for i := len(chances) - 1; i >= 0; i-- {
		rest[i] = chances[i]
		if i+1 < len(chances) {
			rest[i] += rest[i+1]
		}
	}
	return func(r *rand.Rand) sample {
		counts := make([]int, len(chances))
		left := a.s.size
		for i, p := range chances {
			counts[i] = binomial(r, left, p/rest[i])
			left -= counts[i]
		}
		return newSample(counts, -1, OneIndividual)
	}
}

// again draws T units of the estimated assemblage, in which every unit meets with each species independently.
func (x Incidence) again() func(*rand.Rand) sample {
	chances := x.s.assemblage()
	return func(r *rand.Rand) sample {
		counts := make([]int, len(chances))
		for i, p := range chances {
			counts[i] = binomial(r, x.s.size, p)
		}
		return newSample(counts, x.s.size, OneUnit)
	}
}

// binomial is how many of n happen that happen with chance p each, by inversion from the likeliest number to both sides: about
// as many steps as the deviation of the number.
func binomial(r *rand.Rand, n int, p float64) int {
	switch {
	case p <= 0 || n == 0:
		return 0
	case p >= 1:
		return n
	}
	mode := min(int(float64(n+1)*p), n)
	odds := p / (1 - p)
	at := math.Exp(logBinomial(n, mode) + float64(mode)*math.Log(p) + float64(n-mode)*math.Log1p(-p))
	u := r.Float64() - at
	for up, down, above, below := mode, mode, at, at; u >= 0 && (up < n || down > 0); {
		if up < n {
			above *= odds * float64(n-up) / float64(up+1)
			up++
			if u -= above; u < 0 {
				return up
			}
		}
		if down > 0 {
			below *= float64(down) / (odds * float64(n-down+1))
			down--
			if u -= below; u < 0 {
				return down
			}
		}
		if above+below < 1e-300 {
			break
		}
	}
	return mode
}

func logBinomial(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}
