// Package richness estimates what a day did not show: how many species there are beside those that were met with, how
// complete a list is, and what more or fewer walks would have given. It exists apart from the list because an estimate
// is no record. It must never give a number where nothing can be known: such an Estimate says why it cannot be made.
//
// A sample is either abundance (individuals counted by species; Abundance) or incidence (sampling units such as walks or
// teams, and which species each of them met with; Incidence). Notation of the comments: n individuals or T units; f1, f2
// (Q1, Q2) species met with exactly once and twice; U the sum of all incidences; S species met with. The numbers of
// equations are cited from memory.
package richness

import (
	"fmt"
	"math"
)

// Reason says why an estimate cannot be made. Its values are keys: the text is richness.why.VALUE.
type Reason string

const (
	Nothing       Reason = "nothing"        // nothing was met with
	OneIndividual Reason = "one-individual" // a single individual was counted
	OneUnit       Reason = "one-unit"       // there was a single walk, team or other unit
	AllOnce       Reason = "all-once"       // every species was met with once: the coverage is 0
	OnlyOneOnce   Reason = "only-one-once"  // one species was met with once and none twice
	RareOnce      Reason = "rare-once"      // every rare species was met with once, so that ACE divides by 0
	NeedsUnits    Reason = "needs-units"    // frequencies alone do not say which species stood together
	NotDefined    Reason = "not-defined"    // there is no such figure for this point of a curve
	NoResampling  Reason = "no-resampling"  // it is had by resampling, and none was asked for
	NoneMissing   Reason = "none-missing"   // the estimate adds nothing to what was met with
	BothEmpty     Reason = "both-empty"     // two lists are compared that have nothing on them
)

// Estimate is a figure, or why there is none: Value is 0 unless OK.
type Estimate struct {
	Value float64
	OK    bool
	Why   Reason // empty when OK
}

func known(v float64) Estimate { return Estimate{Value: v, OK: true} }

func cannot(why Reason) Estimate { return Estimate{Why: why} }

// unless gives v, or why not.
func unless(why Reason, v float64) Estimate {
	if why != "" {
		return cannot(why)
	}
	return known(v)
}

// Problem is what is wrong with a number that was put in. Its values are keys: the text is richness.input.VALUE.
type Problem string

const (
	NotNumber Problem = "not-a-number" // NaN or infinite
	Negative  Problem = "negative"     // less than 0
	NotWhole  Problem = "not-whole"    // 2.5 individuals
	TooMany   Problem = "too-many"     // more than MostIndividuals or MostUnits in all
	AboveUnit Problem = "above-units"  // in more units than there were
	Ragged    Problem = "ragged"       // a row as long as no other
	BadSize   Problem = "size"         // a size of a curve below 1, or beyond Farthest times the sample
	BadOrder  Problem = "order"        // a Hill number of another order than 0, 1 or 2
	BadLevel  Problem = "level"        // a level of confidence that is not between 0 and 1
	BadDraws  Problem = "replicates"   // a negative number of replicates, or no source of randomness for them
)

// InputError says what is wrong and where.
type InputError struct {
	Problem Problem
	Row     int // place in the vector, or unit of the matrix, from 0; -1 where it is no single one
	Column  int // species of the matrix, from 0; -1 for a vector
	Value   float64
}

func (e *InputError) Error() string {
	return fmt.Sprintf("richness: %s: %v at row %d, column %d", e.Problem, e.Value, e.Row, e.Column)
}

// The most that is taken, so that a slip of the pen (a year typed as a count) does not fill the memory.
const (
	MostIndividuals = 10_000_000
	MostUnits       = 100_000
)

// count checks one number of individuals or units.
func count(v float64, row, column int) (int, error) {
	var p Problem
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		p = NotNumber
	case v < 0:
		p = Negative
	case v != math.Trunc(v):
		p = NotWhole
	case v > MostIndividuals:
		p = TooMany
	default:
		return int(v), nil
	}
	return 0, &InputError{Problem: p, Row: row, Column: column, Value: v}
}

// counts checks a vector.
func counts(vector []float64) ([]int, error) {
	all := make([]int, len(vector))
	total := 0
	for i, v := range vector {
		c, err := count(v, i, -1)
		if err != nil {
			return nil, err
		}
		if total += c; total > MostIndividuals {
			return nil, &InputError{Problem: TooMany, Row: i, Column: -1, Value: float64(total)}
		}
		all[i] = c
	}
	return all, nil
}
