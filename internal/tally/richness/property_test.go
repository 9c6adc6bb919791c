package richness_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/tally/richness"
)

const rounding = 1e-9

// drawnCounts is one sample and the same in another order.
func drawnCounts(t *rapid.T) (a, shuffled richness.Abundance) {
	counts := rapid.SliceOfN(rapid.Map(rapid.IntRange(0, 30), func(x int) float64 { return float64(x * x / 20) }), 1, 25).Draw(t, "counts")
	var err error
	if a, err = richness.NewAbundance(counts); err != nil {
		t.Fatal(err)
	}
	if shuffled, err = richness.NewAbundance(rapid.Permutation(counts).Draw(t, "shuffled")); err != nil {
		t.Fatal(err)
	}
	return a, shuffled
}

func drawnMatrix(t *rapid.T) [][]float64 {
	species := rapid.IntRange(1, 12).Draw(t, "species")
	return rapid.SliceOfN(rapid.SliceOfN(rapid.SampledFrom([]float64{0, 0, 0, 1, 7}), species, species), 1, 9).Draw(t, "units")
}

func drawnIncidence(t *rapid.T) (richness.Incidence, [][]float64) {
	m := drawnMatrix(t)
	x, err := richness.NewIncidence(m)
	if err != nil {
		t.Fatal(err)
	}
	return x, m
}

func share(e richness.Estimate) bool {
	return !e.OK || e.Value >= -rounding && e.Value <= 1+rounding
}

// holds checks what is true of every curve: it rises, its orders are ordered, and its coverage is a share.
func holds(t *rapid.T, points []richness.Point, sizes int) {
	for i, p := range points {
		if !share(p.Coverage) {
			t.Errorf("coverage %v", p.Coverage)
		}
		if p.Expected.OK && i%sizes > 0 && p.Expected.Value < points[i-1].Expected.Value*(1-rounding) {
			t.Errorf("order %d falls at %d: %v after %v", p.Order, p.Size, p.Expected.Value, points[i-1].Expected.Value)
		}
		if p.Expected.OK && p.Size <= points[sizes-1].Size && i >= sizes && p.Method != richness.Extrapolation &&
			p.Expected.Value > points[i-sizes].Expected.Value*(1+rounding) {
			t.Errorf("order %d is above the one before at %d: %v over %v", p.Order, p.Size, p.Expected.Value, points[i-sizes].Expected.Value)
		}
	}
}

func upTo(n int) (sizes []int) {
	for m := 1; m <= n; m++ {
		sizes = append(sizes, m)
	}
	return sizes
}

func TestCurvesOfIndividualsRiseToWhatWasMetWith(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, shuffled := drawnCounts(t)
		sizes := upTo(2 * a.N())
		points, err := a.Curve([]int{0, 1, 2}, sizes, richness.Resampling{})
		if err != nil {
			t.Fatal(err)
		}
		holds(t, points, len(sizes))
		for _, p := range points {
			if met := a.Hill(p.Order).Value; p.Method == richness.Observed && math.Abs(p.Expected.Value-met) > rounding*met {
				t.Errorf("order %d ends at %v, not at %v", p.Order, p.Expected.Value, met)
			}
		}
		again, err := shuffled.Curve([]int{0, 1, 2}, sizes, richness.Resampling{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range points {
			if points[i] != again[i] {
				t.Fatalf("the order of species matters: %+v, %+v", points[i], again[i])
			}
		}
	})
}

func TestEstimatesAreNoFewerThanWasMetWith(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, _ := drawnCounts(t)
		x, _ := drawnIncidence(t)
		for name, c := range map[string]struct {
			got   richness.Estimate
			least int
		}{
			"Chao1": {a.Chao1Classic(), a.Observed()}, "Chao1 bias-corrected": {a.Chao1BiasCorrected(), a.Observed()},
			"Chao1 small": {a.Chao1SmallSample(), a.Observed()}, "ACE": {a.ACE(), a.Observed()}, "Chao2": {x.Chao2(), x.Observed()},
			"jackknife": {x.Jackknife1(), x.Observed()}, "bootstrap": {x.Bootstrap(), x.Observed()},
			"error of Chao1": {a.Chao1BiasCorrectedSE(), 0}, "error of ACE": {a.ACESE(), 0}, "error of Chao2": {x.Chao2SE(), 0},
			"error of the jackknife": {x.Jackknife1SE(), 0}, "error of the bootstrap": {x.BootstrapSE(), 0},
		} {
			if c.got.OK == (c.got.Why != "") || c.got.OK && !(c.got.Value >= float64(c.least)*(1-rounding)) || math.IsInf(c.got.Value, 0) {
				t.Errorf("%s: %+v, at least %d", name, c.got, c.least)
			}
		}
		if !share(a.Coverage()) || !share(a.CoverageTuring()) || !share(x.Coverage()) || !share(x.CoverageTuring()) || !share(a.Simpson()) {
			t.Errorf("a coverage is no share: %v, %v", a.Coverage(), x.Coverage())
		}
	})
}

func TestDeviationOfDrawsIsThatOfAllDraws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		counts := rapid.SliceOfN(rapid.IntRange(1, 4), 1, 4).Draw(t, "counts")
		var individuals []int
		var vector []float64
		for species, c := range counts {
			vector = append(vector, float64(c))
			for range c {
				individuals = append(individuals, species)
			}
		}
		m := rapid.IntRange(1, len(individuals)).Draw(t, "m")
		a, err := richness.NewAbundance(vector)
		if err != nil {
			t.Fatal(err)
		}
		var n, sum, squares float64
		subsets(len(individuals), m, func(chosen []int) {
			there := map[int]bool{}
			for _, i := range chosen {
				there[individuals[i]] = true
			}
			n, sum, squares = n+1, sum+float64(len(there)), squares+float64(len(there)*len(there))
		})
		expected, sd, err := a.Rarefy(m)
		if err != nil {
			t.Fatal(err)
		}
		mean := sum / n
		if math.Abs(expected-mean) > rounding || math.Abs(sd*sd-(squares/n-mean*mean)) > rounding {
			t.Errorf("%v of %v: %v ± %v, counted %v ± %v", m, counts, expected, sd, mean, math.Sqrt(squares/n-mean*mean))
		}
	})
}

// subsets gives every choice of m of n.
func subsets(n, m int, use func([]int)) {
	chosen := make([]int, 0, m)
	var from func(int)
	from = func(at int) {
		if len(chosen) == m {
			use(chosen)
			return
		}
		for i := at; i < n; i++ {
			chosen = append(chosen, i)
			from(i + 1)
			chosen = chosen[:len(chosen)-1]
		}
	}
	from(0)
}

func TestAccumulationIsTheMeanOverAllSetsOfUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, matrix := drawnIncidence(t)
		curve := x.Accumulate()
		for i, expected := range curve.Expected {
			var n, sum float64
			subsets(len(matrix), i+1, func(chosen []int) {
				n++
				for species := range matrix[0] {
					for _, unit := range chosen {
						if matrix[unit][species] > 0 {
							sum++
							break
						}
					}
				}
			})
			if math.Abs(expected-sum/n) > rounding {
				t.Errorf("%d units: %v, counted %v", i+1, expected, sum/n)
			}
			if plain := pairwise(matrix, i+1); math.Abs(curve.SD[i]-plain) > 1e-7 {
				t.Errorf("%d units: deviation %v, pair by pair %v", i+1, curve.SD[i], plain)
			}
		}
	})
}

// pairwise is the deviation over orders as Ugland et al. (2003) write it, species by species and pair by pair.
func pairwise(matrix [][]float64, t int) float64 {
	n := len(matrix)
	var presence [][]float64
	var roots []float64
	for species := range matrix[0] {
		column, q := make([]float64, n), 0
		for unit := range matrix {
			if matrix[unit][species] > 0 {
				column[unit] = 1
				q++
			}
		}
		absent := 1.0
		for j := range t {
			absent *= max(float64(n-q-j), 0) / float64(n-j)
		}
		if q > 0 {
			presence, roots = append(presence, column), append(roots, math.Sqrt(absent*(1-absent)))
		}
	}
	var variance float64
	for i := range presence {
		variance += roots[i] * roots[i]
		for j := range i {
			variance += 2 * correlation(presence[i], presence[j]) * roots[i] * roots[j]
		}
	}
	return math.Sqrt(max(variance, 0))
}

// correlation is 0 where one of them never varies.
func correlation(a, b []float64) float64 {
	var sa, sb, aa, bb, ab float64
	for i := range a {
		sa, sb, aa, bb, ab = sa+a[i], sb+b[i], aa+a[i]*a[i], bb+b[i]*b[i], ab+a[i]*b[i]
	}
	n := float64(len(a))
	below := (aa - sa*sa/n) * (bb - sb*sb/n)
	if below < rounding {
		return 0
	}
	return (ab - sa*sb/n) / math.Sqrt(below)
}

func TestCurvesOfUnitsRiseToWhatWasMetWithAndAgreeWithFrequencies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, matrix := drawnIncidence(t)
		sizes := upTo(2 * x.Units())
		points, err := x.Curve([]int{0, 1, 2}, sizes, richness.Resampling{})
		if err != nil {
			t.Fatal(err)
		}
		if x.Observed() > 0 {
			holds(t, points, len(sizes))
		}
		var frequencies []float64
		for species := range matrix[0] {
			q := 0.0
			for unit := range matrix {
				if matrix[unit][species] > 0 {
					q++
				}
			}
			frequencies = append(frequencies, q)
		}
		f, err := richness.IncidenceOfFrequencies(frequencies, len(matrix))
		if err != nil {
			t.Fatal(err)
		}
		plain, err := f.Curve([]int{0, 1, 2}, sizes, richness.Resampling{})
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range points {
			q := plain[i]
			if p.SD, q.SD = (richness.Estimate{}), (richness.Estimate{}); p != q {
				t.Fatalf("frequencies differ: %+v, %+v", p, q)
			}
		}
	})
}

func TestUnconditionalDeviationIsContinuousAtTheSample(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, _ := drawnCounts(t)
		if a.N() < 60 || a.Doubletons() == 0 {
			return // too small for neighbours to be near, or of the other form of Chao1, which steps
		}
		points, err := a.Curve([]int{0}, []int{a.N() - 1, a.N(), a.N() + 1}, richness.Resampling{})
		if err != nil {
			t.Fatal(err)
		}
		before, at, after := points[0].SE.Value, points[1].SE.Value, points[2].SE.Value
		if jump := max(math.Abs(at-before), math.Abs(after-at)); jump > 0.2 {
			t.Errorf("%v, %v, %v", before, at, after)
		}
	})
}

func TestResamplingNeverFails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, _ := drawnCounts(t)
		x, _ := drawnIncidence(t)
		r := richness.Resampling{Replicates: 3, Source: rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0)}
		of, err := a.Curve([]int{1, 2}, upTo(2*a.N()), r)
		if err != nil {
			t.Fatal(err)
		}
		in, err := x.Curve([]int{1, 2}, upTo(2*x.Units()), r)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range append(of, in...) {
			if p.SE.OK && !(p.SE.Value >= 0 && p.Low.Value >= 0 && p.High.Value >= p.Expected.Value) {
				t.Errorf("%+v", p)
			}
		}
	})
}
