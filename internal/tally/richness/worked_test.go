package richness_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"forayhall/internal/tally/richness"
)

func counted(t testing.TB, individuals ...float64) richness.Abundance {
	t.Helper()
	a, err := richness.NewAbundance(individuals)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func walked(t testing.TB, units ...[]string) richness.Incidence {
	t.Helper()
	x, err := richness.IncidenceOfSets(units)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func near(t *testing.T, what string, got richness.Estimate, want float64) {
	t.Helper()
	if !got.OK || !(math.Abs(got.Value-want) <= 1e-9*max(1, math.Abs(want))) {
		t.Errorf("%s: %+v, want %v", what, got, want)
	}
}

// Three walks: a on all, b on two, c and d on one each. By hand; T = 3, U = 7, k = 2/3, Q1 = 2, Q2 = 1.
func TestThreeWalksByHand(t *testing.T) {
	x := walked(t, []string{"a", "b", "c", "c"}, []string{"a", "b"}, []string{"a", "d"})
	near(t, "Chao2", x.Chao2(), 4+2.0/3*4/2)
	near(t, "Chao2 bias-corrected", x.Chao2BiasCorrected(), 4+2.0/3*2/4)
	near(t, "Chao2 classic", x.Chao2Classic(), 6)
	near(t, "jackknife 1", x.Jackknife1(), 4+2*2.0/3)
	near(t, "jackknife 2", x.Jackknife2(), 4+2*3.0/3-1.0/6)
	near(t, "bootstrap", x.Bootstrap(), 4+1.0/27+2*8.0/27)
	near(t, "coverage", x.Coverage(), 1-2.0/7*(2*2.0)/(2*2+2))
	near(t, "coverage by Turing", x.CoverageTuring(), 5.0/7)
	near(t, "Hill 2", x.Hill(2), 49.0/15)
	// Heltshe & Forrester: one unique on the first walk and one on the third, (2/3)(1 + 1 - 4/3).
	near(t, "error of the jackknife", x.Jackknife1SE(), 2.0/3)
	curve := x.Accumulate()
	for i, want := range []float64{7.0 / 3, 10.0 / 3, 4} { // the three pairs of walks have 3, 4 and 3 species
		near(t, "expected", richness.Estimate{Value: curve.Expected[i], OK: true}, want)
	}
	near(t, "deviation over single walks", richness.Estimate{Value: curve.SD[0], OK: true}, math.Sqrt(2.0/9))
}

// Six individuals of three species, two drawn: they are of two species in 11 of 15 draws. By hand.
func TestTwoOfSixIndividualsByHand(t *testing.T) {
	a := counted(t, 3, 0, 2, 1)
	expected, sd, err := a.Rarefy(2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "expected", richness.Estimate{Value: expected, OK: true}, 26.0/15)
	near(t, "deviation", richness.Estimate{Value: sd, OK: true}, math.Sqrt(11.0/15*4/15))
	near(t, "Simpson", a.Simpson(), 1-14.0/36)
	near(t, "Shannon", a.Shannon(), math.Log(6)-(3*math.Log(3)+2*math.Log(2))/6)
	points, err := a.Curve([]int{1, 2}, []int{2}, richness.Resampling{})
	if err != nil {
		t.Fatal(err)
	}
	// Of two of one species the share is 1 in 4/15 draws; else there are two species with 1/2 each.
	near(t, "Hill 1 of two", points[0].Expected, math.Exp(11.0/15*math.Log(2)))
	near(t, "Hill 2 of two", points[1].Expected, 1/(4.0/15+11.0/15/2))
}

func TestWhatCannotBeEstimatedSaysWhy(t *testing.T) {
	none, err := richness.IncidenceOfFrequencies(nil, 3)
	if err != nil {
		t.Fatal(err)
	}
	complete, err := richness.IncidenceOfFrequencies([]float64{3, 2}, 3)
	if err != nil {
		t.Fatal(err)
	}
	one, nothing, all := counted(t, 1), counted(t, 0, 0), counted(t, 1, 1, 1)
	lone, rareOnce := counted(t, 1, 4, 5), counted(t, 1, 1, 30)
	walk, apart := walked(t, []string{"a", "b"}), walked(t, []string{"a", "b"}, nil, []string{"c"})
	for name, c := range map[string]struct {
		got richness.Estimate
		why richness.Reason
	}{
		"no individual":                           {nothing.Chao1Classic(), richness.Nothing},
		"no individual has no diversity":          {nothing.Shannon(), richness.Nothing},
		"no individual has no coverage":           {nothing.Coverage(), richness.Nothing},
		"the zero value":                          {richness.Abundance{}.Chao1SmallSample(), richness.Nothing},
		"one individual":                          {one.Chao1BiasCorrected(), richness.OneIndividual},
		"one individual has no coverage":          {one.Coverage(), richness.OneIndividual},
		"one individual has no ACE":               {one.ACE(), richness.OneIndividual},
		"every species once":                      {all.Chao1SmallSample(), richness.AllOnce},
		"every species once has no error":         {all.Chao1SmallSampleSE(), richness.AllOnce},
		"one species once and none twice":         {lone.Coverage(), richness.OnlyOneOnce},
		"every rare species once":                 {rareOnce.ACE(), richness.RareOnce},
		"one walk":                                {walk.Chao2(), richness.OneUnit},
		"one walk has no jackknife":               {walk.Jackknife1(), richness.OneUnit},
		"one walk has no bootstrap":               {walk.BootstrapSE(), richness.OneUnit},
		"every species on one walk":               {apart.Jackknife2(), richness.AllOnce},
		"nothing on three walks":                  {none.Chao2(), richness.Nothing},
		"frequencies have no error of the first":  {complete.Jackknife1SE(), richness.NeedsUnits},
		"frequencies have no error of the second": {complete.BootstrapSE(), richness.NeedsUnits},
		"a Hill number of another order":          {lone.Hill(3), richness.NotDefined},
	} {
		if c.got.OK || c.got.Why != c.why || c.got.Value != 0 {
			t.Errorf("%s: %+v, want %s", name, c.got, c.why)
		}
	}
	near(t, "nothing met with once: coverage", complete.Coverage(), 1)
	near(t, "nothing met with once: Chao2", complete.Chao2(), 2)
	if low, high := complete.Chao2Interval(0.95); low.Why != richness.NoneMissing || high.Why != richness.NoneMissing {
		t.Errorf("an interval of what adds nothing: %+v to %+v", low, high)
	}
}

func TestAnIntervalOfChaoBeginsAboveWhatWasMetWith(t *testing.T) {
	a := counted(t, 1, 1, 1, 2, 2, 9)
	narrow, wide := [2]richness.Estimate{}, [2]richness.Estimate{}
	narrow[0], narrow[1] = a.Chao1SmallSampleInterval(0.5)
	wide[0], wide[1] = a.Chao1SmallSampleInterval(0.99)
	total := a.Chao1SmallSample().Value
	if !(6 < wide[0].Value && wide[0].Value < narrow[0].Value && narrow[0].Value < total && total < narrow[1].Value && narrow[1].Value < wide[1].Value) {
		t.Errorf("%v, %v around %v", narrow, wide, total)
	}
	if low, _ := a.Chao1SmallSampleInterval(1); low.Why != richness.NotDefined {
		t.Errorf("a level of 1 gave %+v", low)
	}
}

func TestWhatIsNoCountIsRefusedWithItsPlace(t *testing.T) {
	abundance := func(v ...float64) error { _, err := richness.NewAbundance(v); return err }
	matrix := func(rows ...[]float64) error { _, err := richness.NewIncidence(rows); return err }
	frequencies := func(units int, v ...float64) error { _, err := richness.IncidenceOfFrequencies(v, units); return err }
	curve := func(orders, sizes []int, r richness.Resampling) error {
		_, err := counted(t, 1, 2, 3).Curve(orders, sizes, r)
		return err
	}
	rarefy := func(m int) error { _, _, err := counted(t, 1, 2, 3).Rarefy(m); return err }
	species, none := []int{0}, richness.Resampling{}
	for name, c := range map[string]struct {
		err         error
		problem     richness.Problem
		row, column int
	}{
		"a negative count":            {abundance(3, -1), richness.Negative, 1, -1},
		"no number":                   {abundance(math.NaN()), richness.NotNumber, 0, -1},
		"an infinite count":           {abundance(1, 1, math.Inf(1)), richness.NotNumber, 2, -1},
		"half an individual":          {abundance(1, 2.5), richness.NotWhole, 1, -1},
		"too many at once":            {abundance(1, 1e9), richness.TooMany, 1, -1},
		"too many in all":             {abundance(6e6, 6e6), richness.TooMany, 1, -1},
		"a negative cell":             {matrix([]float64{1, 0}, []float64{1, -2}), richness.Negative, 1, 1},
		"a cell that is no number":    {matrix([]float64{1, math.NaN()}), richness.NotNumber, 0, 1},
		"a short row":                 {matrix([]float64{1, 0}, []float64{1}), richness.Ragged, 1, -1},
		"more often than units":       {frequencies(4, 1, 5), richness.AboveUnit, 1, -1},
		"a negative frequency":        {frequencies(4, -1), richness.Negative, 0, -1},
		"a negative number of units":  {frequencies(-4, 1), richness.Negative, -1, -1},
		"a curve of none":             {curve(species, []int{1, 0}, none), richness.BadSize, 1, -1},
		"a curve too far":             {curve(species, []int{19}, none), richness.BadSize, 0, -1},
		"another order":               {curve([]int{0, 3}, []int{1}, none), richness.BadOrder, 1, -1},
		"one replicate":               {curve(species, []int{1}, richness.Resampling{Replicates: 1}), richness.BadDraws, -1, -1},
		"replicates without a source": {curve(species, []int{1}, richness.Resampling{Replicates: 5}), richness.BadDraws, -1, -1},
		"a level above 1":             {curve(species, []int{1}, richness.Resampling{Level: 95}), richness.BadLevel, -1, -1},
		"more than all individuals":   {rarefy(7), richness.BadSize, -1, -1},
		"fewer than one individual":   {rarefy(0), richness.BadSize, -1, -1},
	} {
		var e *richness.InputError
		if !errors.As(c.err, &e) || e.Problem != c.problem || e.Row != c.row || e.Column != c.column || e.Error() == "" {
			t.Errorf("%s: %v, want %s at %d, %d", name, c.err, c.problem, c.row, c.column)
		}
	}
	if err := curve(species, []int{18}, none); err != nil {
		t.Errorf("three times the sample: %v", err)
	}
}

func TestACurveBeyondASampleThatSaysNothingSaysSo(t *testing.T) {
	points, err := counted(t, 1, 1).Curve([]int{0, 1}, []int{1, 2, 4}, richness.Resampling{})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range points {
		beyond := p.Size > 2
		if p.Expected.OK == beyond || beyond && p.Expected.Why != richness.AllOnce || p.SE.OK || p.Low.OK || p.High.OK {
			t.Errorf("size %d, order %d: %+v", p.Size, p.Order, p)
		}
	}
}

func TestIntervalsOfACurveHoldTheCurveAndComeAgainWithTheSameSeed(t *testing.T) {
	a := counted(t, 1, 1, 1, 2, 2, 5, 8, 20)
	curve := func(seed uint64) []richness.Point {
		points, err := a.Curve([]int{0, 1, 2}, []int{5, 40, 80}, richness.Resampling{Replicates: 50, Source: rand.NewPCG(seed, 0)})
		if err != nil {
			t.Fatal(err)
		}
		return points
	}
	first, again, other := curve(1), curve(1), curve(2)
	if !slices.Equal(first, again) || slices.Equal(first, other) {
		t.Error("a seed does not decide the curve, or decides nothing")
	}
	for _, p := range first {
		if !(p.Low.OK && p.SE.Value > 0 && p.Low.Value < p.Expected.Value && p.Expected.Value < p.High.Value) {
			t.Errorf("order %d at %d: %+v", p.Order, p.Size, p)
		}
		if p.SD.OK != (p.Order == 0 && p.Size <= 40) {
			t.Errorf("order %d at %d: a deviation over draws: %+v", p.Order, p.Size, p.SD)
		}
	}
	plain, err := a.Curve([]int{1}, []int{40}, richness.Resampling{})
	if err != nil || plain[0].Low.Why != richness.NoResampling {
		t.Errorf("without replicates: %+v, %v", plain, err)
	}
}

// Of 200 samples of a known assemblage, the intervals of 95 % should hold the true expectation nearly always: fewer than 170
// would say that an error is made somewhere.
func TestIntervalsHoldTheTruthOfAKnownAssemblage(t *testing.T) {
	random, shares := rand.New(rand.NewPCG(7, 7)), make([]float64, 40)
	concentration, sum := 0.0, 0.0
	for i := range shares {
		shares[i] = 1 / float64(i+3)
		sum += shares[i]
	}
	for _, s := range shares {
		concentration += s / sum * s / sum
	}
	const n, samples = 150, 200
	// Of m individuals of the assemblage, Σ (k/m)² is 1/m + (m-1)/m Σ p² on average.
	truth := 1 / (1.0/n + (n-1.0)/n*concentration)
	species := 0.0
	for _, s := range shares {
		species += 1 - math.Pow(1-s/sum, n)
	}
	held := [2]int{}
	for range samples {
		counts := make([]float64, len(shares))
		for range n {
			u := random.Float64() * sum
			at := 0
			for ; at < len(shares)-1 && u >= shares[at]; at++ {
				u -= shares[at]
			}
			counts[at]++
		}
		points, err := counted(t, counts...).Curve([]int{0, 2}, []int{n}, richness.Resampling{Replicates: 60, Source: random})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{species, truth} {
			if points[i].Low.Value <= want && want <= points[i].High.Value {
				held[i]++
			}
		}
	}
	t.Logf("held %v of %d", held, samples)
	for i, order := range []int{0, 2} {
		if held[i] < 170 {
			t.Errorf("order %d: %d of %d intervals hold the truth", order, held[i], samples)
		}
	}
}

func TestSpeciesWithManyIndividualsAndManyUnitsDoNotOverflow(t *testing.T) {
	var counts []float64
	for i := range 1000 {
		counts = append(counts, math.Ceil(150_000/math.Pow(float64(i+1), 1.1)))
	}
	a := counted(t, counts...)
	sizes := []int{1, 2, 1000, a.N() / 2, a.N() - 1, a.N(), a.N() + 1, 2 * a.N()}
	points, err := a.Curve([]int{0, 1, 2}, sizes, richness.Resampling{})
	if err != nil {
		t.Fatal(err)
	}
	rising(t, points, len(sizes))
	frequencies := make([]float64, 800)
	for i := range frequencies {
		frequencies[i] = math.Ceil(5000 / float64(i+1))
	}
	x, err := richness.IncidenceOfFrequencies(frequencies, 5000)
	if err != nil {
		t.Fatal(err)
	}
	sizes = []int{1, 2500, 4999, 5000, 5001, 10_000}
	if points, err = x.Curve([]int{0, 1, 2}, sizes, richness.Resampling{}); err != nil {
		t.Fatal(err)
	}
	rising(t, points, len(sizes))
	near(t, "all units", richness.Estimate{Value: x.Accumulate().Expected[4999], OK: true}, 800)
}

// rising holds that a curve of each order rises with the size, as coverage does.
func rising(t *testing.T, points []richness.Point, sizes int) {
	t.Helper()
	for i, p := range points {
		if !p.Expected.OK || math.IsNaN(p.Expected.Value) || math.IsInf(p.Expected.Value, 0) {
			t.Fatalf("order %d at %d: %+v", p.Order, p.Size, p.Expected)
		}
		if i%sizes > 0 && (p.Expected.Value < points[i-1].Expected.Value || p.Coverage.Value < points[i-1].Coverage.Value) {
			t.Errorf("order %d falls from %v at %d to %v at %d", p.Order, points[i-1].Expected.Value, points[i-1].Size, p.Expected.Value, p.Size)
		}
	}
}

// Baselga (2010) figure 1 in small: what is replaced against what is nested. By hand.
func TestTurnoverTellsReplacedFromNested(t *testing.T) {
	near3 := func(name string, got richness.Turnover, jaccard, sorensen, replaced, nested float64) {
		t.Helper()
		near(t, name+": Jaccard", got.Jaccard, jaccard)
		near(t, name+": Sørensen", got.Sorensen, sorensen)
		near(t, name+": replaced", got.Replaced, replaced)
		near(t, name+": nested", got.Nested, nested)
	}
	near3("half replaced", richness.Compare([]string{"a", "b"}, []string{"b", "c", "b"}), 1.0/3, 0.5, 0.5, 0)
	near3("one within the other", richness.Compare([]string{"a", "b", "c"}, []string{"a"}), 1.0/3, 0.5, 0, 0.5)
	near3("the same", richness.Compare([]string{"a"}, []string{"a"}), 1, 1, 0, 0)
	near3("nothing shared", richness.Compare([]string{"a"}, []string{"b", "c"}), 0, 0, 1, 0)
	got := richness.Compare([]string{"a", "b", "c"}, []string{"c", "d"})
	if got.Shared != 1 || got.OnlyFirst != 2 || got.OnlySecond != 1 {
		t.Errorf("counts are %+v", got)
	}
	if e := richness.Compare(nil, nil); e.Jaccard.Why != richness.BothEmpty || e.Nested.Why != richness.BothEmpty {
		t.Errorf("two empty lists: %+v", e)
	}
	if e := richness.Compare(nil, []string{"a"}); !e.Jaccard.OK || e.Jaccard.Value != 0 || e.Replaced.Why != richness.Nothing {
		t.Errorf("an empty list: %+v", e)
	}
}

func TestCumulatedStepsCountWhatIsNew(t *testing.T) {
	got := richness.Cumulate([][]string{{"a", "b", "a"}, nil, {"b", "c"}})
	want := []richness.Step{{Met: 2, New: 2, Total: 2}, {Total: 2}, {Met: 2, New: 1, Total: 3}}
	if !slices.Equal(got, want) {
		t.Errorf("got %+v", got)
	}
}

func resampling(seed uint64) richness.Resampling {
	return richness.Resampling{Replicates: 200, Source: rand.NewPCG(seed, 0)}
}
