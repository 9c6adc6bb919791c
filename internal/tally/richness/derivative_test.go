package richness_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/tally/richness"
)

// byDelta is the error of estimate(f), f[i] species with i individuals, by differences in place of derivatives, with the
// covariances f_i(1 - f_i/total) and -f_i f_j/total.
func byDelta(f []float64, total float64, estimate func([]float64) float64) float64 {
	var squares, sum float64
	for i := range f {
		if f[i] == 0 {
			continue // and so without variance
		}
		step := 1e-5
		up, down := append([]float64(nil), f...), append([]float64(nil), f...)
		up[i] += step
		down[i] -= step
		slope := (estimate(up) - estimate(down)) / (2 * step)
		squares += slope * slope * f[i]
		sum += slope * f[i]
	}
	return math.Sqrt(max(squares-sum*sum/total, 0))
}

// ace is the rare part of ACE as Chao & Lee (1992) print it, and variation γ² before it is cut off at 0.
func ace(f []float64) float64 {
	rare, _ := aceAndVariation(f)
	return rare
}

func aceAndVariation(f []float64) (rare, variation float64) {
	var species, n, pairs float64
	for i, c := range f {
		x := float64(i)
		species, n, pairs = species+c, n+x*c, pairs+x*(x-1)*c
	}
	coverage := 1 - f[1]/n
	variation = species*pairs/(coverage*n*(n-1)) - 1
	return species/coverage + f[1]/coverage*max(variation, 0), variation
}

func TestErrorOfACEIsThatOfItsFormula(t *testing.T) {
	varied := 0
	rapid.Check(t, func(t *rapid.T) {
		f := make([]float64, 11)
		var counts []float64
		for i := 1; i <= 10; i++ {
			for range rapid.IntRange(0, 8).Draw(t, "f") {
				f[i]++
				counts = append(counts, float64(i))
			}
		}
		counts = append(counts, 25, 60)
		a, err := richness.NewAbundance(counts)
		if err != nil {
			t.Fatal(err)
		}
		total := a.ACE()
		if _, variation := aceAndVariation(f); !total.OK || f[1] == 0 || math.Abs(variation) < 1e-3 {
			return // where γ² is cut off there is a bend, and no slope
		}
		if math.Abs(total.Value-2-ace(f)) > 1e-9*total.Value {
			t.Fatalf("ACE %v, want %v", total.Value, ace(f)+2)
		}
		varied++
		if got, want := a.ACESE().Value, byDelta(f, total.Value, ace); math.Abs(got-want) > 1e-5*max(want, 1) {
			t.Errorf("error %v, by differences %v, of %v", got, want, f)
		}
	})
	if varied == 0 {
		t.Error("nothing was compared")
	}
}

func TestErrorOfExtrapolationIsThatOfItsFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once, twice := rapid.IntRange(2, 30).Draw(t, "f1"), rapid.IntRange(0, 15).Draw(t, "f2")
		counts := []float64{9, 12}
		for range once {
			counts = append(counts, 1)
		}
		for range twice {
			counts = append(counts, 2)
		}
		a, err := richness.NewAbundance(counts)
		if err != nil {
			t.Fatal(err)
		}
		n, more := float64(a.N()), rapid.IntRange(1, a.N()).Draw(t, "more")
		k := (n - 1) / n
		// Colwell et al. (2012) eq. 9, as printed, with f0 of Chao1.
		expected := func(f []float64) float64 {
			unseen := k * f[1] * (f[1] - 1) / 2
			if twice > 0 {
				unseen = k * f[1] * f[1] / (2 * f[2])
			}
			return f[1] + f[2] + f[3] + unseen*(1-math.Pow(1-f[1]/(n*unseen+f[1]), float64(more)))
		}
		f := []float64{0, float64(once), float64(twice), 2}
		points, err := a.Curve([]int{0}, []int{a.N() + more}, richness.Resampling{})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(points[0].Expected.Value-expected(f)) > 1e-9*expected(f) {
			t.Errorf("expected %v, by the formula %v", points[0].Expected.Value, expected(f))
		}
		want := byDelta(f, a.Chao1SmallSample().Value, expected)
		if got := points[0].SE.Value; math.Abs(got-want) > 1e-5*max(want, 1) {
			t.Errorf("error %v, by differences %v", got, want)
		}
	})
}
