package hazard_test

import (
	"reflect"
	"testing"

	"forayhall/internal/hazard"
)

// Which names are hazardous, and under which names they went, is in the tables with its sources; the rules by which
// a name as written reaches them are common practice at forays ("Lepiota sp." warns as the genus).
func TestAssess(t *testing.T) {
	base := smallBase(t)
	tests := []struct {
		rule     string
		written  string
		syndrome string // "" for no entry
		severity int
		via      hazard.Via
	}{
		{"the listed name", "Amanita phalloides", "amatoxin", 5, hazard.Listed},
		{"author and case do not count", "AMANITA PHALLOIDES (Vaill. ex Fr.) Link", "amatoxin", 5, hazard.Listed},
		{"cf. warns as the name", "Amanita cf. phalloides", "amatoxin", 5, hazard.Listed},
		{"aff. warns as the name", "Amanita aff. phalloides", "amatoxin", 5, hazard.Listed},
		{"a question mark warns as the name", "Amanita phalloides?", "amatoxin", 5, hazard.Listed},
		{"a synonym of the list", "Amanita viridis", "amatoxin", 5, hazard.FormerName},
		{"a former name, moved", "Conocybe filaris", "amatoxin", 5, hazard.FormerName},
		{"a former name, merged", "Inocybe patouillardii", "muscarine", 3, hazard.FormerName},
		{"a former name, misapplied", "Boletus satanoides", "gut", 2, hazard.FormerName},
		{"a former name of a hallucinogenic one", "Panaeolus subbalteatus", "psilocybin", 2, hazard.FormerName},
		{"a former name of a muscarinic one", "Clitocybe dealbata", "muscarine", 3, hazard.FormerName},
		{"a former name that only the row has", "Galerina autumnalis", "amatoxin", 5, hazard.FormerName},
		{"a newer name that only the row has", "Collybia rivulosa", "muscarine", 3, hazard.FormerName},
		{"two edits in the epithet", "Galerina margnatta", "amatoxin", 5, hazard.Misspelt},
		{"one edit", "Galerina margnata", "amatoxin", 5, hazard.Misspelt},
		{"an edit in the genus", "Amenita phalloides", "amatoxin", 5, hazard.Misspelt},
		{"a lost blank", "Amanitaphalloides", "amatoxin", 5, hazard.Misspelt},
		{"a stray blank", "Amanita phal loides", "amatoxin", 5, hazard.Misspelt},
		{"a misspelt former name", "Conocybe filarris", "amatoxin", 5, hazard.Misspelt},
		{"an abbreviated genus", "A. phalloides", "amatoxin", 5, hazard.Listed},
		{"an abbreviated genus and a misspelling", "A. phaloides", "amatoxin", 5, hazard.Misspelt},
		{"a common name", "death cap", "amatoxin", 5, hazard.Listed},
		{"a variety of a listed species", "Amanita phalloides var. alba", "amatoxin", 5, hazard.Listed},
		{"a genus", "Galerina", "amatoxin", 5, hazard.ByGenus},
		{"a genus with sp.", "Lepiota sp.", "amatoxin", 5, hazard.ByGenus},
		{"a genus whose deadly species has left it", "Conocybe sp.", "amatoxin", 5, hazard.ByGenus},
		{"a misspelt genus", "Galernia sp.", "amatoxin", 5, hazard.Misspelt},
		{"a species of a listed genus", "Galerina hypnorum", "amatoxin", 5, hazard.ByGenus},
		{"a species of a listed genus in no list", "Galerina ampullaceocystis", "amatoxin", 5, hazard.ByGenus},
		{"a species whose present genus is listed", "Inocybe bongardii", "muscarine", 3, hazard.FormerName},
		{"a species written in a listed genus", "Galerina mutabilis", "amatoxin", 5, hazard.ByGenus},
		{"a species that once stood in a listed genus is not it", "Kuehneromyces mutabilis", "", 0, hazard.NoEntry},
		{"a listed section", "Amanita sect. Phalloideae", "amatoxin", 5, hazard.BySection},
		{"a section of which nothing is known", "Amanita sect. Validae", "amatoxin", 5, hazard.ByGenus},
		{"a genus with members only", "Agaricus sp.", "amatoxin", 5, hazard.ByMembers},
		{"a genus that listed species have left", "Boletus sp.", "gut-severe", 3, hazard.ByMembers},
		{"an epithet in no list says no more than its genus", "Boletus xanthopurpureus", "gut-severe", 3, hazard.ByMembers},
		{"a family with a row", "Bolbitiaceae", "amatoxin", 5, hazard.ByFamily},
		{"a family with members only", "Galeropsidaceae", "psilocybin", 2, hazard.ByMembers},
		{"an order with a row", "Agaricales", "amatoxin", 5, hazard.ByOrder},
		{"the widest name", "Fungi", "amatoxin", 5, hazard.ByMembers},
		{"a form group", "small brown agaric", "amatoxin", 5, hazard.ByForm},
		{"a form group in doubt", "small brown agaric?", "amatoxin", 5, hazard.ByForm},
		{"s.l. widens to the section", "Amanita virosa s.l.", "amatoxin", 5, hazard.Listed},
		{"s.l. widens to the genus where no row speaks of the section", "Amanita muscaria s.l.", "amatoxin", 5, hazard.ByGroup},
		{"group widens to the genus", "Clitocybe odora group", "acromelic", 3, hazard.ByGroup},
		{"a row for what has no epithet leaves a named species alone", "Clitocybe odora", "", 0, hazard.NoEntry},
		{"either of two names", "Boletus edulis or Amanita phalloides", "amatoxin", 5, hazard.Listed},
		{"either of two names with one genus", "Amanita citrina/ocreata", "amatoxin", 5, hazard.Listed},
		{"a species without row", "Boletus edulis", "", 0, hazard.NoEntry},
		{"a text that is no name", "brown thing under birch", "", 0, hazard.NoEntry},
		{"nothing at all", "", "", 0, hazard.NoEntry},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			got := base.Assess(test.written)[0]
			key := ""
			if got.Syndrome != nil {
				key = got.Syndrome.Key
			}
			if key != test.syndrome || got.Severity != test.severity || got.Via != test.via {
				t.Errorf("%q: %q %d via %q, want %q %d via %q", test.written, key, got.Severity, got.Via,
					test.syndrome, test.severity, test.via)
			}
		})
	}
}

func TestAssessGivesOneFindingASyndromeWorstFirst(t *testing.T) {
	base := smallBase(t)
	for _, written := range []string{"Amanita", "small brown agaric", "Fungi", "Suillellus luridus"} {
		findings := base.Assess(written)
		seen := map[string]bool{}
		for i, f := range findings {
			if seen[f.Syndrome.Key] {
				t.Errorf("%s: %s twice", written, f.Syndrome.Key)
			}
			seen[f.Syndrome.Key] = true
			if i > 0 && f.Severity > findings[i-1].Severity {
				t.Errorf("%s: %s stands below something less severe", written, f.Syndrome.Key)
			}
		}
		if again := base.Assess(written); !reflect.DeepEqual(findings, again) {
			t.Errorf("%s: two askings differ", written)
		}
	}
}

func TestRowsOfAnotherRegionAreShownAndMarked(t *testing.T) {
	base := smallBase(t)
	tests := []struct {
		written, region string
		out             bool
	}{
		{"Amanita ocreata", "NA", false},
		{"Amanita ocreata", "EU", true},
		{"Amanita phalloides", "EU", false},
		{"Amanita ocreata", "Asia", true},
		{"Trichoderma cornu-damae", "Australasia", false},
		{"Pleurocybella porrigens", "EU", false},
		{"Amanita ocreata", "", false},
	}
	for _, test := range tests {
		got := base.AssessIn(test.written, test.region)[0]
		if got.OutOfRegion != test.out || got.Severity < 4 {
			t.Errorf("%s in %q: severity %d out %t, want out %t", test.written, test.region, got.Severity, got.OutOfRegion, test.out)
		}
	}
}
