package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/tally/richness"
)

// statsCall is how the command was called.
type statsCall struct {
	incidence  bool
	units      int // -1 where they are not given
	at         string
	replicates int
	seed       int
}

// mostReplicates keeps a slip of the pen from running all night.
const mostReplicates = 10_000

func runStats(_ context.Context, e *env, args []string) error {
	f := e.flags("stats")
	incidence, units, at := f.yes("incidence"), f.text("units", ""), f.text("at", "")
	replicates, seed := f.number("replicates", 200), f.number("seed", 1)
	words, err := f.parse(args, 0, 1)
	if err != nil {
		return err
	}
	call := statsCall{incidence: *incidence, at: *at, replicates: *replicates, seed: *seed}
	if call.units, err = unitsGiven(*units, *incidence); err != nil {
		return err
	}
	if call.replicates < 0 || call.replicates == 1 || call.replicates > mostReplicates {
		return fault.New(fault.Invalid, "stats.replicates-bad", "written", call.replicates, "most", mostReplicates)
	}
	t, err := e.input(words)
	if err != nil {
		return err
	}
	e.notes(t.Notes())
	out, err := e.stats(statsTable{t}, call)
	if err != nil {
		return err
	}
	return writeStats(e.stdout, out)
}

func unitsGiven(written string, incidence bool) (int, error) {
	if written == "" {
		return -1, nil
	}
	if !incidence {
		return 0, fault.New(fault.Invalid, "stats.units-alone")
	}
	n, err := strconv.Atoi(strings.TrimSpace(written))
	if err != nil || n < 0 || n > richness.MostUnits {
		return 0, fault.New(fault.Invalid, "stats.units-bad", "written", written, "most", richness.MostUnits)
	}
	return n, nil
}

// stats answers with what is to be written as JSON.
func (e *env) stats(t statsTable, call statsCall) (any, error) {
	r := figures{say: e.say, notes: map[string]string{}}
	if !call.incidence {
		a, err := t.abundance()
		if err != nil {
			return nil, err
		}
		curve, err := call.curve(&r, a.N(), a.Chao1SmallSample(), a.Curve)
		return r.abundance(a, curve), err
	}
	x, note, err := t.incidence(call.units)
	if err != nil {
		return nil, err
	}
	e.notes(note)
	curve, err := call.curve(&r, x.Units(), x.Chao2(), x.Curve)
	return r.incidence(x, curve), err
}

// curveOf is Curve of individuals or of units.
type curveOf func(orders, sizes []int, r richness.Resampling) ([]richness.Point, error)

// curve has the number of species at every size of a small sample, and the diversities, which are drawn for, at a choice.
func (c statsCall) curve(r *figures, size int, total richness.Estimate, of curveOf) ([]point, error) {
	if total.Why == richness.Nothing {
		r.notes["curve"] = r.why(total.Why)
		return []point{}, nil
	}
	species, others := curveSizes(size, total.OK)
	switch {
	case c.at != "":
		asked, err := c.sizes(size)
		if err != nil {
			return nil, err
		}
		species, others = asked, asked
	case !total.OK:
		r.notes["curve"] = r.say.Say("stats.curve-beyond", "why", r.why(total.Why))
	}
	points, err := of([]int{0}, species, richness.Resampling{})
	if err != nil {
		return nil, fmt.Errorf("curve of species: %w", err)
	}
	drawn, err := of([]int{1, 2}, others, richness.Resampling{Replicates: c.replicates, Source: rand.NewPCG(uint64(c.seed), 0)})
	if err != nil {
		return nil, fmt.Errorf("curve of diversities: %w", err)
	}
	return r.points(append(points, drawn...)), nil
}

func (c statsCall) sizes(size int) (sizes []int, err error) {
	for word := range strings.SplitSeq(c.at, ",") {
		m, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || m < 1 || m > richness.Farthest*size {
			return nil, fault.New(fault.Invalid, "stats.at-bad", "written", word, "most", richness.Farthest*size)
		}
		sizes = append(sizes, m)
	}
	return sizes, nil
}

// statsTable is what was read, with its lines and columns for messages.
type statsTable struct{ *archive.Table }

func (t statsTable) cell(line int, column, written string, problem richness.Problem) error {
	return fault.New(fault.Invalid, "stats.cell", "file", t.Name, "line", line, "column", column, "value", written,
		"problem", inputText(problem))
}
