package hazard_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

// names that a slip may bear: hazardous, not hazardous, wide, wrong and empty of meaning.
var someNames = []string{"Amanita phalloides", "Amanita rubescens", "Amanita citrina", "Galerina marginata", "Galerina",
	"Boletus edulis", "Boletus satanoides", "Suillus luteus", "Suillus", "Clitocybe odora", "Clitocybe rivulosa",
	"Kuehneromyces mutabilis", "Galerina mutabilis", "Lepiota cristata", "Inocybe patouillardii", "Conocybe filaris",
	"Agaricus", "Agaricus campestris", "Cantharellus cibarius", "Galerina margnata", "Russula vesca", "Bolbitiaceae",
	"Amanita sect. Phalloideae", "Xerula radicata", "brown thing", "A. rubescens", "small brown agaric", "Lepista saeva"}

var qualifiers = []func(string) string{
	func(s string) string { return s + " s.l." },
	func(s string) string { return s + " group" },
	func(s string) string { return s + " agg." },
	func(s string) string { return s + " ?" },
	func(s string) string { return "?" + s },
	func(s string) string { return "cf. " + s },
	func(s string) string { return "aff. " + s },
	func(s string) string { return inside(s, "cf.") },
	func(s string) string { return inside(s, "aff.") },
	func(s string) string { return inside(s, "?") },
}

func inside(s, q string) string {
	first, rest, ok := strings.Cut(s, " ")
	if !ok {
		return q + " " + s
	}
	return first + " " + q + " " + rest
}

func drawQuestions(t *rapid.T, least int) []hazard.Question {
	groups := []string{"", "bolete", "small_brown", "crust"}
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) hazard.Question {
		return hazard.Question{Text: rapid.SampledFrom(someNames).Draw(t, "name"), Group: rapid.SampledFrom(groups).Draw(t, "group")}
	}), least, 5).Draw(t, "questions")
}

// tester is what a property and a plain test have in common.
type tester interface {
	Helper()
	Fatalf(format string, args ...any)
}

func mustNotLose(t tester, before, after hazard.Assessment) {
	t.Helper()
	if after.Weight < before.Weight || after.Severity < before.Severity || before.NoEntry && !after.NoEntry {
		t.Fatalf("weight %d → %d, severity %d → %d, no entry %t → %t", before.Weight, after.Weight, before.Severity,
			after.Severity, before.NoEntry, after.NoEntry)
	}
	for _, f := range before.Findings {
		if !brings(after, f.Syndrome.Key) {
			t.Fatalf("%s is gone", f.Syndrome.Key)
		}
	}
}

func brings(a hazard.Assessment, syndrome string) bool {
	for _, f := range a.Findings {
		if f.Syndrome.Key == syndrome {
			return true
		}
	}
	return false
}

func TestAnotherNameInQuestionNeverTakesAWarningAway(t *testing.T) {
	base := smallBase(t)
	rapid.Check(t, func(t *rapid.T) {
		before := drawQuestions(t, 1)
		after := append(append([]hazard.Question{}, before...), drawQuestions(t, 1)...)
		mustNotLose(t, base.Worst(before, "EU"), base.Worst(after, "EU"))
	})
}

func TestADoubtNeverTakesAWarningAway(t *testing.T) {
	base := smallBase(t)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(someNames).Draw(t, "name")
		for range rapid.IntRange(0, 1).Draw(t, "doubts before") {
			name = rapid.SampledFrom(qualifiers).Draw(t, "first doubt")(name)
		}
		doubted := rapid.SampledFrom(qualifiers).Draw(t, "doubt")(name)
		mustNotLose(t, base.Worst([]hazard.Question{{Text: name}}, "EU"), base.Worst([]hazard.Question{{Text: doubted}}, "EU"))
	})
}

func TestAFormerNameHitsAtLeastAsHardAsTheCurrentOne(t *testing.T) {
	base, names := shippedBase(t)
	pairs := 0
	for _, e := range base.Entries() {
		former, current := append([]string{}, e.Former...), e.Taxon
		if n, ok := names.Lookup(taxon.Key(e.Taxon)); ok {
			current = n.Current().Name
			for _, f := range names.FormerOf(n.Current()) {
				former = append(former, f.Name)
			}
		}
		for _, name := range former {
			pairs++
			mustNotLose(t, base.Worst([]hazard.Question{{Text: current}}, ""), base.Worst([]hazard.Question{{Text: name}}, ""))
		}
	}
	if pairs < 250 {
		t.Errorf("only %d former names were looked at", pairs)
	}
}

func TestEveryTypoWithinTwoEditsOfAHazardousBinomialWarns(t *testing.T) {
	base := smallBase(t)
	var binomials []*hazard.Entry
	for _, e := range base.Entries() {
		if e.Rank == taxon.Species {
			binomials = append(binomials, e)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.SampledFrom(binomials).Draw(t, "entry")
		name := rapid.SampledFrom(append([]string{e.Taxon}, e.Former...)).Draw(t, "name")
		typo := name
		for range rapid.IntRange(0, 2).Draw(t, "edits") {
			typo = edited(t, typo)
		}
		got := base.Worst([]hazard.Question{{Text: typo}}, "")
		if !brings(got, e.Syndrome.Key) {
			t.Fatalf("%q for %q does not warn of %s", typo, name, e.Syndrome.Key)
		}
	})
}

// edited makes one slip: a letter lost, doubled in by another, changed, or swapped with the next.
func edited(t *rapid.T, s string) string {
	at := rapid.IntRange(0, len(s)-2).Draw(t, "at")
	letter := string(rune(rapid.SampledFrom([]byte("abcdefghijklmnopqrstuvwxyz -.?")).Draw(t, "letter")))
	switch rapid.IntRange(0, 3).Draw(t, "slip") {
	case 0:
		return s[:at] + s[at+1:]
	case 1:
		return s[:at] + letter + s[at:]
	case 2:
		return s[:at] + letter + s[at+1:]
	}
	return s[:at] + s[at+1:at+2] + s[at:at+1] + s[at+2:]
}

func TestWeightOfNamesWithoutEntryLiesBetweenSeverityTwoAndThree(t *testing.T) {
	base := smallBase(t)
	tests := map[string]struct {
		questions []hazard.Question
		weight    int
		noEntry   bool
	}{
		"no question":                            {nil, 25, true},
		"a blank name":                           {[]hazard.Question{{Text: " "}}, 25, true},
		"an unlisted species":                    {[]hazard.Question{{Text: "Boletus edulis"}}, 25, true},
		"severity 1":                             {[]hazard.Question{{Text: "Suillus luteus"}}, 10, false},
		"severity 1 beside an unlisted one":      {[]hazard.Question{{Text: "Suillus luteus"}, {Text: "Boletus edulis"}}, 25, true},
		"a genus known only by a mild member":    {[]hazard.Question{{Text: "Suillus"}}, 25, true},
		"severity 5":                             {[]hazard.Question{{Text: "Boletus edulis"}, {Text: "Amanita cf. virosa"}}, 50, true},
		"a form group with deadly members":       {[]hazard.Question{{Group: "small_brown"}}, 50, true},
		"a form group of which nothing is known": {[]hazard.Question{{Group: "crust"}}, 25, true},
		"a text nobody can read, with a group":   {[]hazard.Question{{Text: "brown thing", Group: "small_brown"}}, 50, true},
	}
	for name, test := range tests {
		got := base.Worst(test.questions, "EU")
		if got.Weight != test.weight || got.NoEntry != test.noEntry {
			t.Errorf("%s: weight %d no entry %t, want %d %t", name, got.Weight, got.NoEntry, test.weight, test.noEntry)
		}
	}
}

func TestWorstSaysWhichQuestionBroughtAFinding(t *testing.T) {
	got := smallBase(t).Worst([]hazard.Question{{Text: "Suillus luteus"}, {Text: "Galerina marginata"}, {Text: "Galerina marginata"}}, "EU")
	if len(got.Findings) != 2 || got.Findings[0].Question != 1 || got.Findings[1].Question != 0 {
		t.Errorf("findings %+v", got.Findings)
	}
}

func BenchmarkWorst(b *testing.B) {
	base := smallBase(b)
	questions := []hazard.Question{{Text: "Amanita cf. rubescens"}, {Text: "Amanita pantherina"}, {Text: "Galerina sp."}}
	for b.Loop() {
		base.Worst(questions, "EU")
	}
}
