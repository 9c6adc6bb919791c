package worth

import (
	"encoding/binary"
	"math/rand/v2"
	"slices"

	"forayhall/internal/tally/richness"
)

// Measure is an estimate with what is known of its error. Low and High are of the level Level.
type Measure struct {
	Key Word
	richness.Estimate
	SE, Low, High richness.Estimate
}

func known(n int) richness.Estimate { return richness.Estimate{Value: float64(n), OK: true} }

var none = richness.Estimate{Why: richness.NotDefined}

func plain(key Word, e richness.Estimate) Measure {
	return Measure{Key: key, Estimate: e, SE: none, Low: none, High: none}
}

func chao2(x richness.Incidence) Measure {
	m := plain("chao2", x.Chao2())
	m.SE = x.Chao2SE()
	m.Low, m.High = x.Chao2Interval(Level)
	return m
}

func withSE(m Measure, se richness.Estimate) Measure {
	m.SE = se
	return m
}

// estimates are made of presence in units: how often a kind was brought in says nothing where nobody picks the tenth.
func (g *ground) estimates(d *Day) error {
	x, err := richness.IncidenceOfSets(d.Units.sets())
	if err != nil {
		return err
	}
	d.Estimates = []Measure{plain("units", known(x.Units())), plain("observed", known(x.Observed())), plain("uniques", known(x.Uniques())),
		plain("duplicates", known(x.Duplicates())), chao2(x), plain("chao2-bias-corrected", x.Chao2BiasCorrected()),
		withSE(plain("jackknife1", x.Jackknife1()), x.Jackknife1SE()), plain("jackknife2", x.Jackknife2()),
		withSE(plain("bootstrap", x.Bootstrap()), x.BootstrapSE()), plain("coverage", x.Coverage())}
	return nil
}

// Of finds a measure by its key.
func Of(all []Measure, key Word) Measure {
	if i := slices.IndexFunc(all, func(m Measure) bool { return m.Key == key }); i >= 0 {
		return all[i]
	}
	return plain(key, none)
}

// Replicates is how many samples the intervals of effective numbers are drawn of: a deviation of 100 is itself sure to
// about 7 %, and 200 would take as long as all other figures of a large foray together.
const Replicates = 100

// individuals are made only where everything met with was recorded. A plate is one encounter, a field record as many as
// were counted.
func (g *ground) individuals(d *Day) error {
	if !g.event.EverythingRecorded {
		return nil
	}
	n := map[string]float64{}
	for _, f := range g.finds {
		for _, key := range g.keys[f.ID] {
			n[key] += float64(f.n)
			d.Counted += f.n
		}
	}
	keys := make([]string, 0, len(n))
	for key := range n {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	counts := make([]float64, len(keys))
	for i, key := range keys {
		counts[i] = n[key]
	}
	a, err := richness.NewAbundance(counts)
	if err != nil {
		return err
	}
	d.Abundance = abundance(a)
	if a.N() == 0 {
		return nil
	}
	d.Effective, err = a.Curve([]int{0, 1, 2}, sizes(a.N(), 12), richness.Resampling{Replicates: Replicates, Source: g.source(), Level: Level})
	return err
}

func abundance(a richness.Abundance) []Measure {
	small := withSE(plain("chao1-small-sample", a.Chao1SmallSample()), a.Chao1SmallSampleSE())
	small.Low, small.High = a.Chao1SmallSampleInterval(Level)
	return []Measure{plain("encounters", known(a.N())), plain("observed", known(a.Observed())), plain("singletons", known(a.Singletons())),
		plain("doubletons", known(a.Doubletons())), small, plain("chao1-classic", a.Chao1Classic()), plain("chao1-bias-corrected", a.Chao1BiasCorrected()),
		withSE(plain("ace", a.ACE()), a.ACESE()), plain("shannon", a.Shannon()), plain("simpson", a.Simpson()), plain("hill0", a.Hill(0)),
		plain("hill1", a.Hill(1)), plain("hill2", a.Hill(2)), plain("coverage", a.Coverage())}
}

// source gives the same numbers every time for one event.
func (g *ground) source() rand.Source {
	id := g.event.ID
	return rand.NewPCG(binary.BigEndian.Uint64(id[:8]), binary.BigEndian.Uint64(id[8:]))
}

// sizes goes in about so many steps up to a sample of n and as many on to twice of it.
func sizes(n, steps int) []int {
	var all []int
	for i := 1; i <= 2*steps; i++ {
		all = append(all, max(1, n*i/steps))
	}
	return slices.Compact(all)
}

// curveSteps is fine enough for a smooth line.
const curveSteps = 24

// curve is what fewer units would have given and more might. One unit has none.
func (g *ground) curve(d *Day) error {
	x, err := richness.IncidenceOfSets(d.Units.sets())
	if err != nil || x.Units() < 2 || x.Observed() == 0 {
		return err
	}
	d.Curve, err = x.Curve([]int{0}, sizes(x.Units(), curveSteps), richness.Resampling{Level: Level})
	return err
}
