package tally_test

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// Twenty finds, counted by hand under the rule that practice states: distinct current taxa at species or below,
// synonyms merged, a genus only where nothing within it was named, doubtful and unconfirmed ones apart.
func twenty() []tally.Find {
	return []tally.Find{
		find(1, "Boletus edulis", ""), // 1
		find(2, "Boletus edulis", ""),
		find(3, "Xerocomus badius", ""), // 2, as Imleria badia
		find(4, "Imleria badia", ""),
		find(5, "Galerina", ""),                                          // a Galerina was named: nothing
		find(6, "Galerina autumnalis", ""),                               // 3, as Galerina marginata
		find(7, "Galerina hypnorum", taxon.Confer),                       // doubtful: nothing
		find(8, "Amanita vaginata", ""),                                  // its variety was named: nothing
		find(9, "Amanita vaginata var. alba", ""),                        // 4
		find(10, "Amanita vaginata", taxon.Group),                        // wider still: nothing
		find(11, "Amanita muscaria", ""),                                 // 5
		find(12, "Amanitaceae", ""),                                      // nothing
		with(find(13, "Amanita muscaria", ""), outside),                  // nothing
		with(find(14, "Boletus edulis", ""), againstIt("Imleria badia")), // disputed: nothing, on either side
		with(find(15, "Peziza badia", ""), provisional),                  // nothing
		find(16, "Xylaria hypoxylon", ""),                                // 6, an ascomycete
		find(17, "Cladonia fimbriata", ""),                               // 7, a lichen
		find(18, "Fuligo septica", ""),                                   // 8, a slime mould
		find(19, "Boletus hollinbeckensis", ""),                          // 9, known to no classification
		with(find(20, "Phytophthora infestans", ""), cultivated),         // nothing
	}
}

func TestTwentyFindsCountedByHandAreNine(t *testing.T) {
	list := tally.Make(twenty())
	want := map[tally.Realm]int{tally.Basidiomycetes: 5, tally.Ascomycetes: 1, tally.Lichens: 1, tally.SlimeMoulds: 1, tally.Others: 1}
	if list.Total != 9 || list.Finds != 20 || !reflect.DeepEqual(list.Totals, want) {
		t.Errorf("%d of %d finds, %v", list.Total, list.Finds, list.Totals)
	}
	var counted []string
	for _, l := range list.Lines {
		if l.Counts {
			counted = append(counted, l.Name)
		}
	}
	if golden := []string{"Xylaria hypoxylon", "Amanita muscaria", "Amanita vaginata var. alba", "Boletus edulis", "Galerina marginata",
		"Imleria badia", "Fuligo septica", "Cladonia fimbriata", "Boletus hollinbeckensis"}; !reflect.DeepEqual(counted, golden) {
		t.Errorf("counted %q\nwant    %q", counted, golden)
	}
}

func TestTheNameAsDeterminedStaysBesideTheCurrentOne(t *testing.T) {
	for _, l := range tally.Make(twenty()).Lines {
		if l.Name == "Imleria badia" && l.Counts && (len(l.Determined) != 1 || l.Determined[0].Name != "Xerocomus badius") {
			t.Errorf("determined as %+v", l.Determined)
		}
	}
}

var (
	anyName      = rapid.SampledFrom([]string{"Galerina", "Galerina marginata", "Galerina autumnalis", "Galerina hypnorum", "Amanita", "Amanita vaginata", "Amanita vaginata var. alba", "Amanita sect. Vaginatae", "Amanitaceae", "Agaricales", "Peziza badia", "Fuligo septica", "Boletus hollinbeckensis"})
	anyQualifier = rapid.SampledFrom([]taxon.Qualifier{"", "", "", taxon.Confer, taxon.Affinis, taxon.Group, taxon.SensuLato, taxon.SensuStrict, taxon.Doubt, taxon.OnlyGenus})
)

func randomFinds(t *rapid.T) []tally.Find {
	finds := make([]tally.Find, rapid.IntRange(0, 12).Draw(t, "finds"))
	for i := range finds {
		f := find(i, anyName.Draw(t, "name"), anyQualifier.Draw(t, "qualifier"))
		f.State = rapid.SampledFrom([]tally.State{tally.Confirmed, tally.Confirmed, tally.Provisional, tally.Disputed}).Draw(t, "state")
		if f.State == tally.Disputed {
			f.Names = append(f.Names, named(anyName.Draw(t, "other"), ""))
		}
		f.Outside, f.Cultivated = rapid.IntRange(0, 9).Draw(t, "outside") == 0, rapid.IntRange(0, 9).Draw(t, "cultivated") == 0
		finds[i] = f
	}
	return finds
}

func TestNoListCountsMoreThanWasConfirmed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		finds := randomFinds(t)
		confirmed, sum := 0, 0
		for _, f := range finds {
			if f.State == tally.Confirmed && !f.Outside && !f.Cultivated {
				confirmed++
			}
		}
		list := tally.Make(finds)
		senses := map[string]bool{}
		for _, l := range list.Lines {
			if l.Counts && senses[taxon.Key(l.Name)] {
				t.Fatalf("%s is counted twice", l.Name)
			}
			senses[taxon.Key(l.Name)] = senses[taxon.Key(l.Name)] || l.Counts
		}
		for _, n := range list.Totals {
			sum += n
		}
		if list.Total > confirmed || sum != list.Total {
			t.Fatalf("%d counted, %d by groups, of %d confirmed", list.Total, sum, confirmed)
		}
	})
}

func TestTheOrderOfFindsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		finds := randomFinds(t)
		if a, b := tally.Make(finds), tally.Make(rapid.Permutation(finds).Draw(t, "order")); !reflect.DeepEqual(a, b) {
			t.Fatalf("%+v\nis not\n%+v", a, b)
		}
	})
}

func TestAnUnconfirmedFindNeverChangesTheTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		finds := randomFinds(t)
		more := find(99, anyName.Draw(t, "another"), anyQualifier.Draw(t, "its qualifier"))
		more.State = rapid.SampledFrom([]tally.State{tally.Provisional, tally.Disputed}).Draw(t, "its state")
		before, after := tally.Make(finds), tally.Make(append(finds, more))
		if before.Total != after.Total || !reflect.DeepEqual(before.Totals, after.Totals) {
			t.Fatalf("%d became %d by an unconfirmed %s", before.Total, after.Total, more.Names[0].Name)
		}
	})
}
