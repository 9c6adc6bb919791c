package richness_test

import (
	"math"
	"slices"
	"testing"

	"forayhall/internal/tally/richness"
)

// published is what the literature says of a sample, to the digits that it prints.
type published struct {
	what string
	got  float64
	want float64
	unit float64 // of the last digit printed
}

func (p published) check(t *testing.T) {
	t.Helper()
	if !(math.Abs(p.got-p.want) <= p.unit/2*(1+1e-9)) {
		t.Errorf("%s: %v, want %v", p.what, p.got, p.want)
	}
}

// Spiders of girdled plots: Sackett et al. (2011), Ecosphere 2:art74; the example of Chao et al. (2014), Ecol. Monogr. 84:45-67.
// Chao1, its error and interval: iNEXT 3.0.2.
func TestPublishedSpidersOfGirdledPlots(t *testing.T) {
	a := abundance(t, "spider_girdled")
	low, high := a.Chao1SmallSampleInterval(0.95)
	for _, p := range []published{
		{"individuals", float64(a.N()), 168, 1}, {"species", float64(a.Observed()), 26, 1},
		{"singletons", float64(a.Singletons()), 12, 1}, {"doubletons", float64(a.Doubletons()), 4, 1},
		{"Chao1", a.Chao1SmallSample().Value, 43.893, 0.001}, {"its error", a.Chao1SmallSampleSE().Value, 14.306, 0.001},
		{"from", low.Value, 30.511, 0.001}, {"to", high.Value, 96.971, 0.001},
		{"coverage", a.Coverage().Value, 0.9289, 0.0001},
	} {
		p.check(t)
	}
}

// Beetles of second growth on Osa: Janzen (1973), Ecology 54:659-686, in Colwell et al. (2012), J. Plant Ecol. 5:3-21. Ants of La
// Selva at two heights: Longino & Colwell (2011), Ecosphere 2:art29. A seed bank: Butler & Chazdon (1998), Biotropica
// 30:214-222.
func TestPublishedSizesOfSamples(t *testing.T) {
	beetles := abundance(t, "beetles_osa_secondgrowth")
	low, high, seeds := incidence(t, "ant_50m"), incidence(t, "ant_500m"), incidence(t, "seedbank_butler_chazdon")
	for _, p := range []published{
		{"beetles", float64(beetles.N()), 976, 1}, {"their species", float64(beetles.Observed()), 140, 1},
		{"their singletons", float64(beetles.Singletons()), 70, 1}, {"their doubletons", float64(beetles.Doubletons()), 17, 1},
		{"samples of ants at 50 m", float64(low.Units()), 599, 1}, {"their species", float64(low.Observed()), 227, 1},
		{"samples of ants at 500 m", float64(high.Units()), 230, 1}, {"their species", float64(high.Observed()), 241, 1},
		{"samples of soil", float64(seeds.Units()), 121, 1}, {"their species", float64(seeds.Observed()), 34, 1},
	} {
		p.check(t)
	}
}

// The frequency counts of beetles in old growth on Osa: Janzen (1973), in the example of Colwell et al. (2012). They add up to the
// printed 237 individuals of 112 species; Chao1 is 112 + 84²/20 by hand.
func TestPublishedBeetlesOfOldGrowth(t *testing.T) {
	counts := map[int]int{1: 84, 2: 10, 3: 4, 4: 3, 5: 5, 6: 1, 7: 2, 8: 1, 14: 1, 42: 1}
	var individuals []float64
	for x, f := range counts {
		individuals = append(individuals, slices.Repeat([]float64{float64(x)}, f)...)
	}
	a, err := richness.NewAbundance(individuals)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []published{
		{"individuals", float64(a.N()), 237, 1}, {"species", float64(a.Observed()), 112, 1},
		{"Chao1", a.Chao1Classic().Value, 464.8, 1e-9}, {"Chao1 for small samples", a.Chao1SmallSample().Value, 112 + 352.8*236/237, 1e-9},
		{"Chao1 bias-corrected", a.Chao1BiasCorrected().Value, 112 + 84.0*83/22, 1e-9},
		{"coverage", a.Coverage().Value, 1 - 84.0/237*(236*84)/(236*84+20), 1e-9},
		{"coverage by Turing", a.CoverageTuring().Value, 1 - 84.0/237, 1e-9},
	} {
		p.check(t)
	}
}
