package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// answer is what stats printed, by name.
type answer map[string]any

func stats(t *testing.T, stdin string, args ...string) (answer, called) {
	t.Helper()
	c := must(t, stdin, append([]string{"stats"}, args...)...)
	var a answer
	if err := json.Unmarshal([]byte(c.out), &a); err != nil {
		t.Fatalf("%v in %s", err, c.out)
	}
	return a, c
}

// is holds that a figure is there and is what it should be.
func (a answer) is(t *testing.T, what, name string, want float64) {
	t.Helper()
	got, ok := a[name].(float64)
	if !ok || !(math.Abs(got-want) <= 1e-8*max(math.Abs(want), 1)) {
		t.Errorf("%s: %s is %v, want %v", what, name, a[name], want)
	}
}

// cannot holds that a figure is null, and that a note says why.
func (a answer) cannot(t *testing.T, what, name, why string) {
	t.Helper()
	value, there := a[name]
	note, _ := a["notes"].(map[string]any)[name].(string)
	if !there || value != nil || !strings.Contains(note, why) {
		t.Errorf("%s: %s is %v with the note %q, want none because %q", what, name, value, note, why)
	}
}

// point finds one point of the curve.
func (a answer) point(t *testing.T, q, size int) answer {
	t.Helper()
	for _, p := range a["curve"].([]any) {
		if p := answer(p.(map[string]any)); p["q"] == float64(q) && p["t"] == float64(size) {
			return p
		}
	}
	t.Fatalf("no point q %d at %d", q, size)
	return nil
}

// Ten individuals of four species: by hand, as the formulas of the package are tested.
func TestStatsOfIndividuals(t *testing.T) {
	for what, input := range map[string]string{
		"commas":                          "species,count\nAmanita muscaria,6\nBoletus edulis,2\nCalocera viscosa,1\nDaldinia concentrica,1\n",
		"semicolons, a mark, other order": "\ufeffnumber;Count;Species\r\n1;6;Amanita muscaria\r\n2;2;Boletus edulis\r\n3;1;Calocera viscosa\r\n4;1.0;Daldinia concentrica\r\n5;0;Exidia recisa\r\n",
		"a matrix, pooled":                "unit,a,b,c,d\nw1,4,,1,0\nw2,2,2,0,1\n",
	} {
		a, _ := stats(t, input)
		for name, want := range map[string]float64{"n": 10, "observed": 4, "singletons": 2, "doubletons": 1, "chao1_bias_corrected": 4.5,
			"chao1_classic": 6, "chao1_small_sample": 5.8, "ace": 4.5, "simpson": 1 - 42.0/100, "hill0": 4, "hill2": 100.0 / 42,
			"coverage": 1 - 0.2*18/20, "coverage_turing": 0.8, "shannon": math.Log(10) - (6*math.Log(6)+2*math.Log(2))/10} {
			if name == "ace" { // S_rare/C + γ² f1/C, C = 1 - 2/10, γ² = 4·32/(0.8·90) - 1
				want = 4/0.8 + (4*32/(0.8*90)-1)*2/0.8
			}
			a.is(t, what, name, want)
		}
		p := a.point(t, 0, 10)
		p.is(t, what, "expected", 4)
		p.is(t, what, "sd", 0)
		if p["method"] != "Observed" || a.point(t, 1, 9)["method"] != "Rarefaction" || a.point(t, 2, 20)["method"] != "Extrapolation" {
			t.Errorf("%s: the methods are not told apart", what)
		}
		if low, high := a.point(t, 1, 20)["low"], a.point(t, 1, 20)["high"]; low == nil || high == nil {
			t.Errorf("%s: no interval: %v to %v", what, low, high)
		}
	}
}

const threeWalks = "unit,a,b,c,d,e\nfirst,1,1,1,0,0\nsecond,5,1,0,0,0\nthird,1,0,0,1,0\n"

// By hand: Q1 = 2, Q2 = 1, T = 3.
func TestStatsOfUnits(t *testing.T) {
	for what, args := range map[string][]string{
		"flags before": {"--incidence", "-"}, "flags after": {"-", "--incidence"}, "units repeated": {"--incidence", "--units", "3"},
	} {
		a, _ := stats(t, threeWalks, args...)
		for name, want := range map[string]float64{"units": 3, "observed": 4, "uniques": 2, "duplicates": 1, "chao2": 4 + 4.0/3,
			"chao2_bias_corrected": 4 + 1.0/3, "jackknife1": 4 + 4.0/3, "jackknife2": 6 - 1.0/6, "bootstrap": 4 + 1.0/27 + 16.0/27,
			"coverage": 1 - 2.0/7*2/3, "jackknife1_se": 2.0 / 3} {
			a.is(t, what, name, want)
		}
		a.point(t, 0, 2).is(t, what, "expected", 10.0/3)
	}
	a, c := stats(t, "frequency,species\n3,a\n2,b\n1,c\n1,d\n3,__T_sampling_units__\n", "--units=3", "--incidence")
	a.is(t, "frequencies", "chao2", 4+4.0/3)
	a.cannot(t, "frequencies", "jackknife1_se", "frequencies alone")
	a.cannot(t, "frequencies", "bootstrap_se", "frequencies alone")
	if !strings.Contains(c.err, "is no species") {
		t.Errorf("the row with the number of units goes without a word: %q", c.err)
	}
}

func TestStatsSaysWhatCannotBeEstimated(t *testing.T) {
	one, _ := stats(t, "species,count\na,1\n")
	for _, name := range []string{"chao1_bias_corrected", "chao1_classic", "chao1_small_sample", "chao1_se", "ace", "coverage"} {
		one.cannot(t, "one individual", name, "one individual")
	}
	one.is(t, "one individual", "hill0", 1)
	nothing, _ := stats(t, "species,count\n")
	for _, name := range []string{"chao1_classic", "shannon", "simpson", "hill0", "coverage"} {
		nothing.cannot(t, "nothing", name, "nothing was met with")
	}
	nothing.is(t, "nothing", "n", 0)
	walk, _ := stats(t, "unit,a,b\nfirst,1,1\n", "--incidence")
	for _, name := range []string{"chao2", "chao2_bias_corrected", "jackknife1", "jackknife2", "bootstrap", "coverage"} {
		walk.cannot(t, "one walk", name, "one walk")
	}
	once, _ := stats(t, "species,count\na,1\nb,1\n")
	once.cannot(t, "every species once", "chao1_classic", "only once")
	for _, a := range []answer{one, nothing, walk, once} {
		if note, _ := a["notes"].(map[string]any)["curve"].(string); note == "" {
			t.Errorf("nothing says why the curve ends: %v", a["notes"])
		}
		for _, p := range a["curve"].([]any) {
			if p.(map[string]any)["method"] == "Extrapolation" {
				t.Errorf("a curve goes beyond what is known: %v", p)
			}
		}
	}
}

func TestStatsCurvesAtTheSizesThatAreAskedFor(t *testing.T) {
	a, _ := stats(t, threeWalks, "--incidence", "--at", "9, 2", "--replicates", "0")
	var sizes []float64
	for _, p := range a["curve"].([]any) {
		sizes = append(sizes, p.(map[string]any)["t"].(float64))
	}
	if len(sizes) != 6 || sizes[0] != 9 || sizes[5] != 2 {
		t.Errorf("sizes are %v", sizes)
	}
	if p := a.point(t, 1, 2); p["low"] != nil || a.point(t, 0, 9)["low"] == nil {
		t.Errorf("without replicates: %v", p)
	}
	_, first := stats(t, threeWalks, "--incidence", "--seed", "5")
	_, again := stats(t, threeWalks, "--incidence", "--seed", "5")
	_, other := stats(t, threeWalks, "--incidence", "--seed", "6")
	if first.out != again.out || first.out == other.out {
		t.Error("the seed does not decide the intervals")
	}
}

func TestStatsRefusesWhatIsNoCountAndNamesTheCell(t *testing.T) {
	inc := []string{"--incidence"}
	for what, c := range map[string]struct {
		input string
		args  []string
		says  []string
	}{
		"a word":                       {"species,count\na,1\nb,many\n", nil, []string{"line 3", "count", `"many"`}},
		"nothing at all":               {"species,count\na,\n", nil, []string{"line 2", "count"}},
		"less than 0":                  {"species,count\na,-3\n", nil, []string{"line 2", "count", "less than 0"}},
		"parts":                        {"species,count\na,1\n\nb,2.5\n", nil, []string{"line 4", "count", "whole"}},
		"no number":                    {"species,count\na,NaN\n", nil, []string{"line 2", "count"}},
		"thousands":                    {"species;count\na;1.000\n", nil, []string{"line 2", "count", `"1.000"`}},
		"too many":                     {"species,count\na,99999999999\n", nil, []string{"line 2", "count"}},
		"a species twice":              {"species,count\na,1\nb,1\na,2\n", nil, []string{"line 4", "line 2", `"a"`}},
		"a species without a name":     {"species,count\n ,1\n", nil, []string{"line 2", "species"}},
		"a cell too many":              {"species,count\na,1,9\n", nil, []string{"line 2", `"9"`}},
		"no counts":                    {"species,number\na,1\n", nil, []string{`"count"`}},
		"a cell of a matrix":           {"unit,a,b\nfirst,1,1\nsecond,1,x\n", inc, []string{"line 3", "column b", `"x"`}},
		"a negative cell of a matrix":  {"unit,a,b\nfirst,1,1\nsecond,-1,0\n", inc, []string{"line 3", "column a", "less than 0"}},
		"parts in a pooled matrix":     {"unit,a,b\nfirst,1,1\nsecond,1,0.5\n", nil, []string{"line 3", "column b", "whole"}},
		"too many in a pooled matrix":  {"unit,a,b\nfirst,9000000,1\nsecond,9000000,5\n", nil, []string{"column a"}},
		"a unit twice":                 {"unit,a\nfirst,1\nfirst,1\n", inc, []string{"line 3", "line 2"}},
		"a matrix without species":     {"unit\nfirst\n", inc, []string{`"unit"`}},
		"other units than the matrix":  {threeWalks, []string{"--incidence", "--units", "4"}, []string{"3", "4"}},
		"frequencies without units":    {"species,frequency\na,1\n", inc, []string{"--units"}},
		"more often than units":        {"species,frequency\na,1\nb,4\n", []string{"--incidence", "--units", "3"}, []string{"line 3", "frequency", `"4"`}},
		"another number of units":      {"species,frequency\n__T_sampling_units__,5\na,1\n", []string{"--incidence", "--units", "3"}, []string{"line 2", "5", "3"}},
		"units of individuals":         {"species,count\na,1\n", []string{"--units", "3"}, []string{"--incidence"}},
		"units that are no number":     {"species,frequency\na,1\n", []string{"--incidence", "--units", "few"}, []string{`"few"`}},
		"a size of the curve too far":  {threeWalks, []string{"--incidence", "--at", "2,10"}, []string{`"10"`, "9"}},
		"a size that is no number":     {threeWalks, []string{"--incidence", "--at", "2,,3"}, []string{`""`}},
		"one replicate":                {threeWalks, []string{"--incidence", "--replicates", "1"}, []string{"--replicates"}},
		"a file that is not there":     {"", []string{filepath.Join(t.TempDir(), "nothing.csv")}, []string{"nothing.csv"}},
		"a file with nothing in it":    {"", nil, []string{"standard input"}},
		"an argument too many":         {"", []string{"a.csv", "b.csv"}, []string{`"b.csv"`}},
		"frequencies taken for counts": {"species,frequency\na,1\n", nil, []string{`"count"`}},
	} {
		got := call(t, c.input, append([]string{"stats"}, c.args...)...)
		if got.code != exitWrong || got.out != "" {
			t.Errorf("%s: exit %d, %q, %q", what, got.code, got.out, got.err)
		}
		for _, says := range c.says {
			if !strings.Contains(got.err, says) {
				t.Errorf("%s: %q does not say %q", what, got.err, says)
			}
		}
	}
}

// The whole way of a file through the command, on the reference data: the estimates, and every size of the curves.
func TestStatsEqualsTheReference(t *testing.T) {
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	table := func(name string) []map[string]string {
		data, err := os.ReadFile(filepath.Join(folder, "stats", name))
		if err != nil {
			t.Fatal(err)
		}
		return rows(t, string(data))
	}
	value := func(row map[string]string, column string) float64 {
		v, err := strconv.ParseFloat(row[column], 64)
		if err != nil {
			t.Fatalf("%s: %v", column, err)
		}
		return v
	}
	answers := map[string]answer{}
	for _, row := range table("expected_abundance.csv") {
		name := row["dataset"]
		file := name + ".abundance.csv"
		if matrix, ok := strings.CutSuffix(name, "_pooled"); ok {
			file = matrix + ".matrix.csv"
		}
		a, _ := stats(t, "", filepath.Join(folder, "stats", file))
		answers[name] = a
		columns := map[string]string{"n": "n", "observed": "S_obs", "singletons": "f1", "doubletons": "f2", "shannon": "shannon_H",
			"simpson": "simpson_1mD", "hill0": "hill0", "hill1": "hill1", "hill2": "hill2", "chao1_bias_corrected": "chao1_bc",
			"chao1_classic": "chao1_classic", "chao1_small_sample": "chao1_n1n", "chao1_se": "vegan_se_chao1", "ace": "vegan_ACE",
			"coverage": "coverage_chaojost"}
		for ours, theirs := range columns {
			nothingKnown := name == "edge_single_individual" || name == "edge_all_singletons"
			if nothingKnown && (strings.HasPrefix(ours, "chao1") || ours == "ace" || ours == "coverage") {
				a.cannot(t, name, ours, "estimated")
				continue
			}
			a.is(t, name, ours, value(row, theirs))
		}
	}
	for _, row := range table("expected_rarefaction_individuals.csv") {
		p := answers[row["dataset"]].point(t, 0, int(value(row, "m")))
		p.is(t, row["dataset"]+" "+row["m"], "expected", value(row, "S_m"))
		if se := value(row, "se_vegan"); se > 1e-5 { // below, the reference has rounding for 0
			p.is(t, row["dataset"]+" "+row["m"], "sd", se)
		}
	}
	for _, name := range []string{"BCI", "dune", "varespec"} {
		answers[name], _ = stats(t, "", "--incidence", filepath.Join(folder, "stats", name+".matrix.csv"))
	}
	compared := 0
	for _, row := range table("expected_rarefaction_samples.csv") {
		a, there := answers[row["dataset"]]
		if !there {
			continue
		}
		p := a.point(t, 0, int(value(row, "t")))
		for ours, theirs := range map[string]string{"expected": "S_t", "sd": "sd_conditional", "sd_unconditional": "sd_unconditional"} {
			p.is(t, row["dataset"]+" "+row["t"], ours, value(row, theirs))
		}
		compared++
	}
	for _, row := range table("expected_inext_interp_extrap.csv") {
		a, there := answers[row["dataset"]]
		if !there {
			continue
		}
		p := a.point(t, int(value(row, "q")), int(value(row, "size")))
		p.is(t, row["dataset"]+" "+row["size"], "expected", value(row, "qD"))
		p.is(t, row["dataset"]+" "+row["size"], "coverage", value(row, "SC"))
		compared++
	}
	if compared < 300 {
		t.Errorf("only %d points were compared", compared)
	}
}
