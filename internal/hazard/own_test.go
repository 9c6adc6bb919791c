package hazard_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

// ownRow is a row as a safety lead would add it.
func ownRow(id, name, syndrome string) hazard.Row {
	return hazard.Row{Taxon: name, Rank: taxon.Read(name).Rank, Syndrome: syndrome, Exposure: hazard.Meal, Region: "world",
		Evidence: hazard.Reported, Source: "minutes of the society, page 4", Own: id}
}

func mustLay(t tester, b *hazard.Base, own hazard.Own) *hazard.Base {
	t.Helper()
	with, left := b.WithOwn(own)
	if len(left) > 0 {
		t.Fatalf("%s: %v", left[0].Own, left[0].Err)
	}
	return with
}

// Names that a row of a society may bear: known to ship with a row, without one, and wide.
var ownTaxa = []string{"Amanita phalloides", "Amanita rubescens", "Amanita citrina", "Galerina", "Galerina marginata", "Boletus edulis",
	"Suillus luteus", "Suillus", "Clitocybe odora", "Kuehneromyces mutabilis", "Agaricus campestris", "Cantharellus cibarius",
	"Russula vesca", "Bolbitiaceae", "Amanita sect. Phalloideae", "Agaricus"}

func drawOwn(t *rapid.T, b *hazard.Base) hazard.Own {
	var own hazard.Own
	entries, syndromes := b.Entries(), b.Syndromes()
	for i := range rapid.IntRange(0, 4).Draw(t, "rows") {
		r := ownRow(strings.Repeat("i", i+1), rapid.SampledFrom(ownTaxa).Draw(t, "taxon"), rapid.SampledFrom(syndromes).Draw(t, "syndrome").Key)
		r.Exposure = rapid.SampledFrom(hazard.Exposures()).Draw(t, "exposure")
		r.Region = rapid.SampledFrom(hazard.Regions()).Draw(t, "region")
		r.Evidence = rapid.SampledFrom(hazard.Evidences()).Draw(t, "evidence")
		r.Scope = rapid.SampledFrom([]hazard.Scope{hazard.AllOfIt, hazard.Unnamed}).Draw(t, "scope")
		own.Rows = append(own.Rows, r)
	}
	for range rapid.IntRange(0, 3).Draw(t, "contests") {
		own.Contests = append(own.Contests, hazard.Contest{About: rapid.SampledFrom(entries).Draw(t, "contested").ID, Reason: "nobody fell ill", Source: "minutes"})
	}
	return own
}

// A society's entries and contests only ever add. A row of little severity about a name that nobody knew is no word that
// somebody looked at it.
func TestWhatASocietyWritesNeverLowersAnyAssessment(t *testing.T) {
	small := smallBase(t)
	shipped, _ := shippedBase(t)
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.SampledFrom([]*hazard.Base{small, shipped}).Draw(t, "base")
		with := mustLay(t, base, drawOwn(t, base))
		names := append(append([]string{}, someNames...), ownTaxa...)
		names = append(names, "Galerina inventata", "Amnita citrina", "Suilus luteus", "S. luteus", "Boletus or Suillus luteus")
		for _, region := range []string{"", "EU", "NA"} {
			name := rapid.SampledFrom(names).Draw(t, "name")
			if rapid.Bool().Draw(t, "doubted") {
				name = rapid.SampledFrom(qualifiers).Draw(t, "doubt")(name)
			}
			q := []hazard.Question{{Text: name, Group: rapid.SampledFrom([]string{"", "small_brown", "bolete"}).Draw(t, "group")}}
			before, after := base.Worst(q, region), with.Worst(q, region)
			if after.Weight < before.Weight || after.Severity < before.Severity {
				t.Fatalf("%s: weight %d → %d, severity %d → %d", name, before.Weight, after.Weight, before.Severity, after.Severity)
			}
			for _, f := range before.Findings {
				if !stillSaid(after, f) {
					t.Fatalf("%s: %s of severity %d is gone, or said less of the name or the region", name, f.Syndrome.Key, f.Severity)
				}
			}
		}
	})
}

func stillSaid(a hazard.Assessment, f hazard.Asked) bool {
	for _, g := range a.Findings {
		if g.Syndrome == f.Syndrome && (f.Wide || !g.Wide) && (f.Wide != g.Wide || f.OutOfRegion || !g.OutOfRegion) && g.Severity == f.Severity {
			return true
		}
	}
	return false
}

func TestASocietysRowReachesEveryNameThatOneOfTheTablesWould(t *testing.T) {
	base, _ := shippedBase(t)
	with := mustLay(t, base, hazard.Own{Rows: []hazard.Row{ownRow("0001", "Suillus luteus", "amatoxin")}})
	tests := []struct {
		rule, written string
		via           hazard.Via
		wide          bool
	}{
		{"the name itself", "Suillus luteus", hazard.Listed, false},
		{"a former name", "Boletus luteus", hazard.FormerName, false},
		{"a misspelling", "Suilus luteuss", hazard.Misspelt, false},
		{"its genus", "Suillus sp.", hazard.ByMembers, true},
		{"a name in doubt", "Suillus cf. luteus", hazard.Listed, false},
		{"a group that may be it", "bolete", hazard.ByForm, true},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			for _, f := range with.Assess(test.written) {
				if f.Entry != nil && f.Entry.Own == "0001" {
					if f.Via != test.via || f.Wide != test.wide || f.Severity != 5 {
						t.Errorf("%s: via %s, wide %t, severity %d", test.written, f.Via, f.Wide, f.Severity)
					}
					return
				}
			}
			// A form group may bring the syndrome by a row that ships; the society's then stands beside it.
			for _, f := range with.Explain(test.written, "") {
				if f.Entry.Own == "0001" && f.Via == test.via {
					return
				}
			}
			t.Errorf("%s: the row did not fire", test.written)
		})
	}
	if with.Assess("Suillus luteus")[0].Severity <= base.Assess("Suillus luteus")[0].Severity {
		t.Error("the row made nothing worse")
	}
	if again, _ := with.WithOwn(hazard.Own{}); again.Assess("Suillus luteus")[0].Severity != base.Assess("Suillus luteus")[0].Severity {
		t.Error("a row that was taken away still fires")
	}
}

func TestARowOfLittleSeverityDoesNotMakeANameOneThatSomebodyLookedAt(t *testing.T) {
	base, _ := shippedBase(t)
	with := mustLay(t, base, hazard.Own{Rows: []hazard.Row{ownRow("1", "Cantharellus cibarius", "intolerance")}})
	q := []hazard.Question{{Text: "Cantharellus cibarius"}}
	before, after := base.Worst(q, ""), with.Worst(q, "")
	if !before.NoEntry || !after.NoEntry || after.Weight != hazard.NoEntryWeight || len(after.Findings) != 1 {
		t.Errorf("before %+v, after %+v", before, after)
	}
}

func TestAContestStandsBesideARowAndLowersNothing(t *testing.T) {
	base, _ := shippedBase(t)
	at := time.Date(2026, 10, 24, 15, 40, 0, 0, time.UTC)
	plain := base.Assess("Amanita phalloides")[0]
	pair := base.Doubles("Amanita phalloides")[0]
	with := mustLay(t, base, hazard.Own{Contests: []hazard.Contest{
		{About: plain.Entry.ID, Reason: "not found in this county", Source: "county list", By: "p", At: at},
		{About: pair.ID, Reason: "never on one table", Source: "minutes", By: "p", At: at}}})
	f := with.Assess("Amanita phalloides")[0]
	if len(f.Contests) != 1 || f.Contests[0].Reason != "not found in this county" || f.Severity != plain.Severity || f.Via != plain.Via {
		t.Errorf("%+v", f)
	}
	d := with.Doubles("Amanita phalloides")[0]
	if len(d.Contests) != 1 || d.Contests[0].Source != "minutes" || d.Severity != pair.Severity {
		t.Errorf("%+v", d)
	}
	if len(base.Assess("Amanita phalloides")[0].Contests) != 0 {
		t.Error("what ships was changed")
	}
}

func TestAnotherExposureOfTheSameSyndromeStandsBesideWhatShips(t *testing.T) {
	base, _ := shippedBase(t)
	row := ownRow("1", "Amanita phalloides", "amatoxin")
	row.Exposure = hazard.Raw
	f := mustLay(t, base, hazard.Own{Rows: []hazard.Row{row}}).Assess("Amanita phalloides")[0]
	if f.Entry.Own != "" || len(f.Beside) != 1 || f.Beside[0].Exposure != hazard.Raw {
		t.Errorf("told %s, beside %v", f.Entry.ID, f.Beside)
	}
}

func TestARowForAnotherRegionMakesItOneOfTheRegion(t *testing.T) {
	base, _ := shippedBase(t)
	row := ownRow("1", "Amanita ocreata", "amatoxin")
	row.Region = "EU"
	before := base.AssessIn("Amanita ocreata", "EU")[0]
	after := mustLay(t, base, hazard.Own{Rows: []hazard.Row{row}}).AssessIn("Amanita ocreata", "EU")[0]
	if !before.OutOfRegion || after.OutOfRegion || after.Entry.Own != "1" || len(after.Beside) != 1 {
		t.Errorf("before %+v, after %+v", before, after)
	}
}

func TestAPairOfTheSocietyIsFoundFromBothSidesAndAWorseRowMakesPairsWorse(t *testing.T) {
	base, _ := shippedBase(t)
	own := hazard.Own{Rows: []hazard.Row{ownRow("1", "Suillus luteus", "amatoxin")},
		Pairs: []hazard.Pair{{Gathered: "Boletus edulis", Poisonous: "Suillus luteus", Differences: "Gathered: no ring. Poisonous: a ring.", Source: "minutes", Own: "2"}}}
	with := mustLay(t, base, own)
	for name, role := range map[string]hazard.Role{"Boletus edulis": hazard.Gathered, "Boletus luteus": hazard.Poisonous} {
		found := false
		for _, d := range with.Doubles(name) {
			found = found || d.Own == "2" && d.Role == role && d.Severity == 5
		}
		if !found {
			t.Errorf("%s: the pair is not there", name)
		}
	}
	raised := mustLay(t, base, hazard.Own{Rows: []hazard.Row{ownRow("1", "Amanita pantherina", "amatoxin")}})
	for _, d := range raised.Doubles("Amanita rubescens") {
		if d.Other == "Amanita pantherina" && d.Severity != 5 {
			t.Errorf("the pair of a row that is worse now: severity %d", d.Severity)
		}
	}
}

// One row that cannot be joined takes nothing else down.
func TestARowThatCannotBeJoinedIsLeftOutAlone(t *testing.T) {
	base, _ := shippedBase(t)
	with, left := base.WithOwn(hazard.Own{
		Rows:  []hazard.Row{ownRow("gone", "Suillus luteus", "a syndrome of yesterday"), ownRow("stays", "Boletus edulis", "amatoxin")},
		Pairs: []hazard.Pair{{Gathered: "Boletus edulis", Poisonous: "Cantharellus cibarius", Differences: "ribs", Source: "minutes", Own: "lost"}}})
	if len(left) != 2 || left[0].Own != "gone" || left[1].Own != "lost" {
		t.Errorf("left out: %v", left)
	}
	if with.Assess("Boletus edulis")[0].Severity != 5 || with.Assess("Amanita phalloides")[0].Severity != 5 {
		t.Error("what can be joined does not fire")
	}
}

func TestTheSheetHoldsTheSocietysRows(t *testing.T) {
	base, _ := shippedBase(t)
	row := ownRow("1", "Suillus luteus", "amatoxin")
	with := mustLay(t, base, hazard.Own{Rows: []hazard.Row{row}, Contests: []hazard.Contest{{About: "Suillus luteus / amatoxin / 1", Reason: "doubt", Source: "minutes"}}})
	s := with.MakeSheet(hazard.SheetInput{Region: "EU", Plates: []hazard.Plate{{Number: "0001", Names: []string{"Suillus luteus"}}}})
	if len(s.Here) == 0 || s.Here[0].Finding.Entry.Own != "1" || s.Here[0].Finding.Severity != 5 || len(s.Here[0].Finding.Contests) != 1 {
		t.Errorf("%+v", s.Here)
	}
}

func BenchmarkLayOwnEntries(b *testing.B) {
	base, _ := shippedBase(b)
	var own hazard.Own
	for i, e := range base.Entries() {
		if i < 100 {
			row := e.Row
			row.Own = e.ID
			own.Rows = append(own.Rows, row)
		}
	}
	for b.Loop() {
		base.WithOwn(own)
	}
}
