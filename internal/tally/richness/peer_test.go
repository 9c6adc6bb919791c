package richness_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"forayhall/internal/tally/richness"
)

// fewest is how many times faster than vegan the accumulation must be.
const fewest = 20

// peer times R's own loop by R's own clock, so that its start counts for nothing: first once to warm up, then for at least two
// seconds. It prints the seconds of one call and then the curve, to be compared with ours.
const peer = `
suppressMessages(library(vegan))
m <- as.matrix(read.csv(commandArgs(TRUE)[1], row.names = 1))
curve <- specaccum(m, method = "exact")
times <- 0
begun <- proc.time()[["elapsed"]]
repeat {
	curve <- specaccum(m, method = "exact")
	times <- times + 1
	took <- proc.time()[["elapsed"]] - begun
	if (took >= 2 && times >= 10) break
}
options(digits = 15)
cat(took / times, "\n")
write.table(cbind(curve$richness, curve$sd), sep = ",", row.names = FALSE, col.names = FALSE)
`

// vegan runs the peer on a matrix; the benchmark is skipped where R or vegan is not there, or failed when
// FORAYHALL_TEST_ALL is 1.
func vegan(b *testing.B, matrix string) (seconds float64, curve [][]string) {
	b.Helper()
	give := b.Skip
	if os.Getenv("FORAYHALL_TEST_ALL") == "1" {
		give = b.Fatal
	}
	program, err := exec.LookPath("Rscript")
	if err != nil {
		give("Rscript is not here: install r-base-core and r-cran-vegan")
	}
	if exec.Command(program, "-e", "library(vegan)").Run() != nil {
		give("R's package vegan is not here: install r-cran-vegan")
	}
	script := filepath.Join(b.TempDir(), "peer.R")
	if err := os.WriteFile(script, []byte(peer), 0o600); err != nil {
		b.Fatal(err)
	}
	var problems bytes.Buffer
	c := exec.Command(program, "--vanilla", script, matrix)
	c.Stderr = &problems
	out, err := c.Output()
	if err != nil {
		b.Fatalf("%v: %s", err, &problems)
	}
	first, rest, _ := strings.Cut(string(out), "\n")
	curve, err = csv.NewReader(strings.NewReader(rest)).ReadAll()
	if err != nil {
		b.Fatal(err)
	}
	return number(b, strings.TrimSpace(first)), curve
}

// ours takes the matrix as R does, with its numbers read already, and gives the deviations of both kinds.
func ours(b *testing.B, matrix [][]float64) (seconds float64, curve richness.Accumulation) {
	b.Helper()
	begun, times := time.Now(), 0
	for time.Since(begun) < time.Second {
		x, err := richness.NewIncidence(matrix)
		if err != nil {
			b.Fatal(err)
		}
		curve = x.Accumulate()
		times++
	}
	return time.Since(begun).Seconds() / float64(times), curve
}

// BenchmarkAccumulationBesideVegan does the exact accumulation of 225 trees on 50 plots, with its deviations, here and in R with
// vegan's specaccum, in turns: ours before and after theirs, so that a machine that is busy for a while is busy for both.
func BenchmarkAccumulationBesideVegan(b *testing.B) {
	matrix := units(b, "BCI")
	before, curve := ours(b, matrix)
	theirs, want := vegan(b, filepath.Join(referenceFolder(b), "BCI.matrix.csv"))
	after, _ := ours(b, matrix)
	if len(want) != len(curve.Expected) {
		b.Fatalf("vegan's curve has %d steps, ours %d", len(want), len(curve.Expected))
	}
	for i, row := range want {
		if math.Abs(number(b, row[0])-curve.Expected[i]) > 1e-8 || math.Abs(number(b, row[1])-curve.SD[i]) > 1e-6 {
			b.Errorf("%d plots: %v ± %v, vegan says %v", i+1, curve.Expected[i], curve.SD[i], row)
		}
	}
	mean := (before + after) / 2
	b.ReportMetric(0, "ns/op") // of the whole comparison: says nothing
	b.ReportMetric(mean*1e6, "µs-ours")
	b.ReportMetric(theirs*1e6, "µs-vegan")
	b.ReportMetric(theirs/mean, "times-vegan")
	if theirs/mean < fewest {
		b.Errorf("only %.1f times faster than vegan, want %d", theirs/mean, fewest)
	}
}

// BenchmarkAccumulate is the exact curve of 400 species in 5,000 units, with both deviations.
func BenchmarkAccumulate(b *testing.B) {
	matrix := make([][]float64, 5000)
	for u := range matrix {
		matrix[u] = make([]float64, 400)
		for s := range matrix[u] {
			if (u*(s+7))%(s+3) == s%3 {
				matrix[u][s] = 1
			}
		}
	}
	x, err := richness.NewIncidence(matrix)
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		x.Accumulate()
	}
}

// BenchmarkRarefy is one size of a sample of a million individuals of 2,000 species.
func BenchmarkRarefy(b *testing.B) {
	counts := make([]float64, 2000)
	for i := range counts {
		counts[i] = math.Ceil(120_000 / float64(i+1))
	}
	a, err := richness.NewAbundance(counts)
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		if _, _, err := a.Rarefy(10_000); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkIntervals is a curve of 40 sizes with 200 replicates.
func BenchmarkIntervals(b *testing.B) {
	counts := make([]float64, 93)
	for i := range counts {
		counts[i] = math.Ceil(40 / float64(i+1))
	}
	a, err := richness.NewAbundance(counts)
	if err != nil {
		b.Fatal(err)
	}
	sizes := make([]int, 40)
	for i := range sizes {
		sizes[i] = (i + 1) * a.N() / 20
	}
	b.ResetTimer()
	for i := range b.N {
		if _, err := a.Curve([]int{0, 1, 2}, sizes, resampling(uint64(i))); err != nil {
			b.Fatal(err)
		}
	}
}
