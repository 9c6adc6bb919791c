package richness_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"forayhall/internal/tally/richness"
)

// tolerance is relative.
const tolerance = 1e-8

func referenceFolder(t testing.TB) string {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	return filepath.Join(folder, "stats")
}

func readRows(t testing.TB, name string) [][]string {
	t.Helper()
	file, err := os.Open(filepath.Join(referenceFolder(t), name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.FieldsPerRecord = -1
	all, err := r.ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	return all
}

func readTable(t testing.TB, name string) (list []map[string]string) {
	t.Helper()
	all := readRows(t, name)
	for _, record := range all[1:] {
		row := map[string]string{}
		for i, column := range all[0] {
			row[column] = record[i]
		}
		list = append(list, row)
	}
	return list
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func whole(t testing.TB, s string) int { return int(number(t, s)) }

// units is the matrix of a dataset, without its first column.
func units(t testing.TB, dataset string) (matrix [][]float64) {
	t.Helper()
	for _, record := range readRows(t, dataset+".matrix.csv")[1:] {
		row := make([]float64, len(record)-1)
		for i, cell := range record[1:] {
			row[i] = number(t, cell)
		}
		matrix = append(matrix, row)
	}
	return matrix
}

func has(t testing.TB, name string) bool {
	t.Helper()
	_, err := os.Stat(filepath.Join(referenceFolder(t), name))
	return err == nil
}

// abundance reads a dataset of counts, or sums the columns of a matrix ("_pooled").
func abundance(t testing.TB, dataset string) richness.Abundance {
	t.Helper()
	var counts []float64
	if matrix, ok := strings.CutSuffix(dataset, "_pooled"); ok {
		for _, row := range units(t, matrix) {
			if counts == nil {
				counts = make([]float64, len(row))
			}
			for i, v := range row {
				counts[i] += v
			}
		}
	} else {
		for _, row := range readTable(t, dataset+".abundance.csv") {
			counts = append(counts, number(t, row["count"]))
		}
	}
	a, err := richness.NewAbundance(counts)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// incidence reads a matrix, or frequencies with the row that holds the number of units.
func incidence(t testing.TB, dataset string) richness.Incidence {
	t.Helper()
	if has(t, dataset+".matrix.csv") {
		x, err := richness.NewIncidence(units(t, dataset))
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	var frequencies []float64
	var size int
	for _, row := range readTable(t, dataset+".incidence_freq.csv") {
		if row["species"] == "__T_sampling_units__" {
			size = whole(t, row["frequency"])
			continue
		}
		frequencies = append(frequencies, number(t, row["frequency"]))
	}
	x, err := richness.IncidenceOfFrequencies(frequencies, size)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func just(n int) richness.Estimate { return richness.Estimate{Value: float64(n), OK: true} }

// unknowable are the samples of which nothing can be estimated: the reference holds what the formulas give, and we say why
// they mean nothing.
var unknowable = map[string]richness.Reason{
	"edge_single_individual": richness.OneIndividual, "edge_all_singletons": richness.AllOnce,
	"edge_inc_one_unit": richness.OneUnit, "edge_inc_all_unique": richness.AllOnce,
}

// closest collects how near the values come, and counts them.
type closest struct {
	compared int
	worst    float64
	where    string
}

func (c *closest) compare(t *testing.T, where, want string, got richness.Estimate) {
	t.Helper()
	if !got.OK {
		t.Errorf("%s: want %s, and it cannot be estimated: %s", where, want, got.Why)
		return
	}
	c.compared++
	w := number(t, want)
	off := math.Abs(got.Value - w)
	if w != 0 {
		off /= math.Abs(w)
	}
	if off > c.worst {
		c.worst, c.where = off, where
	}
	if !(off <= tolerance) {
		t.Errorf("%s: %v, want %s (off by %.1e)", where, got.Value, want, off)
	}
}

func (c *closest) tell(t *testing.T, least int) {
	t.Helper()
	t.Logf("%d values, the furthest off by %.1e: %s", c.compared, c.worst, c.where)
	if c.compared < least {
		t.Errorf("only %d values were compared, want %d", c.compared, least)
	}
}

// estimated holds the figures that need something to be known, which in the samples of unknowable is not so.
func (c *closest) estimated(t *testing.T, dataset, column, want string, got richness.Estimate) {
	t.Helper()
	why, none := unknowable[dataset]
	switch {
	case none:
		if got.OK || got.Why != why {
			t.Errorf("%s %s: %+v, want that it cannot be made: %s", dataset, column, got, why)
		}
	case want == "":
		if got.OK || got.Why != richness.NeedsUnits {
			t.Errorf("%s %s: %+v, want that it needs the units", dataset, column, got)
		}
	default:
		c.compare(t, dataset+" "+column, want, got)
	}
}

// Made with vegan 2.6 (estimateR, diversity) and iNEXT 3.0.2, or by the formulas named beside our functions.
func TestEveryAbundanceValueOfTheReference(t *testing.T) {
	var c closest
	for _, row := range readTable(t, "expected_abundance.csv") {
		name := row["dataset"]
		a := abundance(t, name)
		for column, got := range map[string]richness.Estimate{
			"n": just(a.N()), "S_obs": just(a.Observed()), "f1": just(a.Singletons()), "f2": just(a.Doubletons()),
			"shannon_H": a.Shannon(), "simpson_1mD": a.Simpson(), "invsimpson": a.Hill(2), "hill0": a.Hill(0), "hill1": a.Hill(1),
			"hill2": a.Hill(2), "coverage_turing": a.CoverageTuring(),
		} {
			c.compare(t, name+" "+column, row[column], got)
		}
		for column, got := range map[string]richness.Estimate{
			"chao1_bc": a.Chao1BiasCorrected(), "chao1_classic": a.Chao1Classic(), "chao1_n1n": a.Chao1SmallSample(),
			"vegan_chao1": a.Chao1BiasCorrected(), "vegan_se_chao1": a.Chao1BiasCorrectedSE(), "vegan_ACE": a.ACE(),
			"vegan_se_ACE": a.ACESEByConvention(), "coverage_chaojost": a.Coverage(),
		} {
			c.estimated(t, name, column, row[column], got)
		}
		if even := a.Shannon().Value / math.Log(float64(a.Observed())); row["pielou_J"] != "" {
			c.compare(t, name+" pielou_J", row["pielou_J"], richness.Estimate{Value: even, OK: true})
		}
	}
	c.tell(t, 200)
}

func TestEveryIncidenceValueOfTheReference(t *testing.T) {
	var c closest
	for _, row := range readTable(t, "expected_incidence.csv") {
		name := row["dataset"]
		x := incidence(t, name)
		for column, got := range map[string]richness.Estimate{
			"T": just(x.Units()), "U": just(x.Incidences()), "S_obs": just(x.Observed()), "Q1": just(x.Uniques()), "Q2": just(x.Duplicates()),
			"coverage_turing": x.CoverageTuring(), "hill1_inc": x.Hill(1), "hill2_inc": x.Hill(2),
		} {
			c.compare(t, name+" "+column, row[column], got)
		}
		for column, got := range map[string]richness.Estimate{
			"chao2": x.Chao2(), "chao2_bc": x.Chao2BiasCorrected(), "chao2_classic_no_k": x.Chao2Classic(), "jack1": x.Jackknife1(),
			"jack2": x.Jackknife2(), "bootstrap": x.Bootstrap(), "coverage_chaojost": x.Coverage(),
			"vegan_jack1_se": x.Jackknife1SEByConvention(), "vegan_boot_se": x.BootstrapSE(),
		} {
			c.estimated(t, name, column, row[column], got)
		}
		// These are there of matrices alone, and need no more than frequencies.
		for column, got := range map[string]richness.Estimate{"vegan_chao": x.Chao2(), "vegan_chao_se": x.Chao2SE(),
			"vegan_jack1": x.Jackknife1(), "vegan_jack2": x.Jackknife2(), "vegan_boot": x.Bootstrap()} {
			if row[column] != "" {
				c.compare(t, name+" "+column, row[column], got)
			}
		}
	}
	c.tell(t, 150)
}

func TestEveryRarefactionOfIndividualsOfTheReference(t *testing.T) {
	var c, sd closest
	for _, row := range readTable(t, "expected_rarefaction_individuals.csv") {
		name, m := row["dataset"], whole(t, row["m"])
		expected, deviation, err := abundance(t, name).Rarefy(m)
		if err != nil {
			t.Fatal(err)
		}
		where := name + " " + row["m"]
		c.compare(t, where, row["S_m"], richness.Estimate{Value: expected, OK: true})
		// The reference has up to 5e-6 where the number of species cannot vary: rounding of a difference of sums near 1.
		if number(t, row["se_vegan"]) < 1e-5 {
			if deviation != 0 {
				t.Errorf("%s: deviation %v, want 0", where, deviation)
			}
			continue
		}
		sd.compare(t, where+" se", row["se_vegan"], richness.Estimate{Value: deviation, OK: true})
	}
	c.tell(t, 160)
	sd.tell(t, 130)
}

func TestEveryRarefactionOfUnitsOfTheReference(t *testing.T) {
	var c, conditional, unconditional closest
	made := map[string]richness.Accumulation{}
	for _, row := range readTable(t, "expected_rarefaction_samples.csv") {
		name, at := row["dataset"], whole(t, row["t"])-1
		if _, there := made[name]; !there {
			made[name] = incidence(t, name).Accumulate()
		}
		curve, where := made[name], name+" "+row["t"]
		c.compare(t, where, row["S_t"], richness.Estimate{Value: curve.Expected[at], OK: true})
		if row["sd_conditional"] == "" {
			if curve.SD != nil {
				t.Errorf("%s: a deviation over orders, of frequencies alone", where)
			}
			continue
		}
		conditional.compare(t, where+" conditional", row["sd_conditional"], richness.Estimate{Value: curve.SD[at], OK: true})
		unconditional.compare(t, where+" unconditional", row["sd_unconditional"], richness.Estimate{Value: curve.Unconditional[at], OK: true})
	}
	c.tell(t, 220)
	conditional.tell(t, 90)
	unconditional.tell(t, 90)
}

// Made with iNEXT 3.0.2.
func TestEveryPointOfTheCurvesOfTheReference(t *testing.T) {
	var c, coverage closest
	for _, row := range readTable(t, "expected_inext_interp_extrap.csv") {
		order, size := []int{whole(t, row["q"])}, []int{whole(t, row["size"])}
		var points []richness.Point
		var err error
		if row["kind"] == "abundance" {
			points, err = abundance(t, row["dataset"]).Curve(order, size, richness.Resampling{})
		} else {
			points, err = incidence(t, row["dataset"]).Curve(order, size, richness.Resampling{})
		}
		if err != nil {
			t.Fatal(err)
		}
		where := row["dataset"] + " " + row["size"] + " q=" + row["q"]
		c.compare(t, where, row["qD"], points[0].Expected)
		coverage.compare(t, where+" coverage", row["SC"], points[0].Coverage)
		if string(points[0].Method) != row["method"] {
			t.Errorf("%s: %s, want %s", where, points[0].Method, row["method"])
		}
	}
	c.tell(t, 330)
	coverage.tell(t, 330)
}
