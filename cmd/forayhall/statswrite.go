package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"

	"forayhall/internal/message"
	"forayhall/internal/tally/richness"
)

// abundanceFigures is what the command prints of individuals. What cannot be estimated is null, and notes say why.
type abundanceFigures struct {
	N                  int               `json:"n"`
	Observed           int               `json:"observed"`
	Singletons         int               `json:"singletons"`
	Doubletons         int               `json:"doubletons"`
	Chao1BiasCorrected *float64          `json:"chao1_bias_corrected"`
	Chao1Classic       *float64          `json:"chao1_classic"`
	Chao1SmallSample   *float64          `json:"chao1_small_sample"`
	Chao1SE            *float64          `json:"chao1_se"` // of chao1_bias_corrected
	Chao1SmallSampleSE *float64          `json:"chao1_small_sample_se"`
	Chao1Low           *float64          `json:"chao1_small_sample_low"`
	Chao1High          *float64          `json:"chao1_small_sample_high"`
	ACE                *float64          `json:"ace"`
	ACESE              *float64          `json:"ace_se"`
	Shannon            *float64          `json:"shannon"`
	Simpson            *float64          `json:"simpson"`
	Hill0              *float64          `json:"hill0"`
	Hill1              *float64          `json:"hill1"`
	Hill2              *float64          `json:"hill2"`
	Coverage           *float64          `json:"coverage"`
	CoverageTuring     *float64          `json:"coverage_turing"`
	Curve              []point           `json:"curve"`
	Notes              map[string]string `json:"notes"`
}

// incidenceFigures is what the command prints of units.
type incidenceFigures struct {
	Units              int               `json:"units"`
	Observed           int               `json:"observed"`
	Incidences         int               `json:"incidences"`
	Uniques            int               `json:"uniques"`
	Duplicates         int               `json:"duplicates"`
	Chao2              *float64          `json:"chao2"`
	Chao2BiasCorrected *float64          `json:"chao2_bias_corrected"`
	Chao2Classic       *float64          `json:"chao2_classic"`
	Chao2SE            *float64          `json:"chao2_se"` // of chao2
	Chao2Low           *float64          `json:"chao2_low"`
	Chao2High          *float64          `json:"chao2_high"`
	Jackknife1         *float64          `json:"jackknife1"`
	Jackknife1SE       *float64          `json:"jackknife1_se"`
	Jackknife2         *float64          `json:"jackknife2"`
	Bootstrap          *float64          `json:"bootstrap"`
	BootstrapSE        *float64          `json:"bootstrap_se"`
	Hill0              *float64          `json:"hill0"`
	Hill1              *float64          `json:"hill1"`
	Hill2              *float64          `json:"hill2"`
	Coverage           *float64          `json:"coverage"`
	CoverageTuring     *float64          `json:"coverage_turing"`
	Curve              []point           `json:"curve"`
	Notes              map[string]string `json:"notes"`
}

// point is one point of the curve; t is individuals or units.
type point struct {
	Q             int             `json:"q"`
	T             int             `json:"t"`
	Method        richness.Method `json:"method"`
	Expected      *float64        `json:"expected"`
	SD            *float64        `json:"sd"`
	Unconditional *float64        `json:"sd_unconditional"`
	SE            *float64        `json:"se"` // what low and high are made of
	Low           *float64        `json:"low"`
	High          *float64        `json:"high"`
	Coverage      *float64        `json:"coverage"`
}

// confidence is the level of every interval.
const confidence = 0.95

// figures takes estimates, and notes of those that cannot be made why.
type figures struct {
	say   message.Printer
	notes map[string]string
}

func (r *figures) why(why richness.Reason) string { return r.say.Say("richness.why." + string(why)) }

func (r *figures) figure(name string, e richness.Estimate) *float64 {
	if e.OK {
		return &e.Value
	}
	r.notes[name] = r.why(e.Why)
	return nil
}

func (r *figures) abundance(a richness.Abundance, curve []point) abundanceFigures {
	low, high := a.Chao1SmallSampleInterval(confidence)
	return abundanceFigures{
		N: a.N(), Observed: a.Observed(), Singletons: a.Singletons(), Doubletons: a.Doubletons(),
		Chao1BiasCorrected: r.figure("chao1_bias_corrected", a.Chao1BiasCorrected()),
		Chao1Classic:       r.figure("chao1_classic", a.Chao1Classic()),
		Chao1SmallSample:   r.figure("chao1_small_sample", a.Chao1SmallSample()),
		Chao1SE:            r.figure("chao1_se", a.Chao1BiasCorrectedSE()),
		Chao1SmallSampleSE: r.figure("chao1_small_sample_se", a.Chao1SmallSampleSE()),
		Chao1Low:           r.figure("chao1_small_sample_low", low), Chao1High: r.figure("chao1_small_sample_high", high),
		ACE: r.figure("ace", a.ACE()), ACESE: r.figure("ace_se", a.ACESE()),
		Shannon: r.figure("shannon", a.Shannon()), Simpson: r.figure("simpson", a.Simpson()),
		Hill0: r.figure("hill0", a.Hill(0)), Hill1: r.figure("hill1", a.Hill(1)), Hill2: r.figure("hill2", a.Hill(2)),
		Coverage: r.figure("coverage", a.Coverage()), CoverageTuring: r.figure("coverage_turing", a.CoverageTuring()),
		Curve: curve, Notes: r.notes,
	}
}

func (r *figures) incidence(x richness.Incidence, curve []point) incidenceFigures {
	low, high := x.Chao2Interval(confidence)
	return incidenceFigures{
		Units: x.Units(), Observed: x.Observed(), Incidences: x.Incidences(), Uniques: x.Uniques(), Duplicates: x.Duplicates(),
		Chao2: r.figure("chao2", x.Chao2()), Chao2BiasCorrected: r.figure("chao2_bias_corrected", x.Chao2BiasCorrected()),
		Chao2Classic: r.figure("chao2_classic", x.Chao2Classic()), Chao2SE: r.figure("chao2_se", x.Chao2SE()),
		Chao2Low: r.figure("chao2_low", low), Chao2High: r.figure("chao2_high", high),
		Jackknife1: r.figure("jackknife1", x.Jackknife1()), Jackknife1SE: r.figure("jackknife1_se", x.Jackknife1SE()),
		Jackknife2: r.figure("jackknife2", x.Jackknife2()),
		Bootstrap:  r.figure("bootstrap", x.Bootstrap()), BootstrapSE: r.figure("bootstrap_se", x.BootstrapSE()),
		Hill0: r.figure("hill0", x.Hill(0)), Hill1: r.figure("hill1", x.Hill(1)), Hill2: r.figure("hill2", x.Hill(2)),
		Coverage: r.figure("coverage", x.Coverage()), CoverageTuring: r.figure("coverage_turing", x.CoverageTuring()),
		Curve: curve, Notes: r.notes,
	}
}

func (r *figures) points(points []richness.Point) []point {
	all := make([]point, len(points))
	for i, p := range points {
		all[i] = point{Q: p.Order, T: p.Size, Method: p.Method,
			Expected: r.ofCurve("expected", p.Expected), SD: r.ofCurve("sd", p.SD), Unconditional: r.ofCurve("sd_unconditional", p.Unconditional),
			SE: r.ofCurve("se", p.SE), Low: r.ofCurve("low", p.Low), High: r.ofCurve("high", p.High),
			Coverage: r.ofCurve("coverage", p.Coverage)}
	}
	return all
}

// ofCurve notes one reason for a column. That a deviation is not defined for part of the curve gives way to what ails all of it.
func (r *figures) ofCurve(column string, e richness.Estimate) *float64 {
	if e.OK {
		return &e.Value
	}
	name := "curve." + column
	switch _, noted := r.notes[name]; {
	case e.Why != richness.NotDefined:
		r.notes[name] = r.why(e.Why)
	case !noted:
		r.notes[name] = r.say.Say("stats.curve-sd")
	}
	return nil
}

// everySize is up to which size a curve of species has every size.
const everySize = 1000

// curveSizes gives the sizes of the curve of species and of the other orders: all of a small sample; else, besides the first and the
// last, every twentieth part. Where something can be said beyond the sample, they go on to its double.
func curveSizes(n int, beyond bool) (species, others []int) {
	const parts = 20
	others = []int{1, 2, 5, n - 1, n, n + 1}
	for i := 1; i <= 2*parts; i++ {
		others = append(others, int(math.RoundToEven(float64(n)*float64(i)/parts)))
	}
	if n <= 2*parts {
		for m := range 2 * n {
			others = append(others, m+1)
		}
	}
	species = slices.Clone(others)
	if n <= everySize {
		for m := range n {
			species = append(species, m+1)
		}
	}
	last := n
	if beyond {
		last = 2 * n
	}
	return within(species, last), within(others, last)
}

func within(sizes []int, last int) []int {
	slices.Sort(sizes)
	return slices.DeleteFunc(slices.Compact(sizes), func(m int) bool { return m < 1 || m > last })
}

func writeStats(w io.Writer, out any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(out); err != nil {
		return fmt.Errorf("write the figures: %w", err)
	}
	return nil
}
