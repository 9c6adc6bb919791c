package knowledge_test

import (
	"testing"

	"forayhall/internal/hazard"
	"forayhall/internal/knowledge"
	"forayhall/internal/taxon"
)

func TestTheRevisionIsAnotherOneWithEachEntryOfASociety(t *testing.T) {
	s, err := knowledge.Load(shippedFiles(t))
	if err != nil {
		t.Fatal(err)
	}
	row := hazard.Row{Taxon: "Suillus luteus", Rank: taxon.Species, Syndrome: "amatoxin", Exposure: hazard.Meal, Evidence: hazard.Reported, Source: "minutes", Own: "1"}
	contest := hazard.Contest{About: "Amanita phalloides / amatoxin", Reason: "doubt", Source: "minutes"}
	one, left := s.WithOwn(hazard.Own{Rows: []hazard.Row{row}})
	two, _ := one.WithOwn(hazard.Own{Rows: []hazard.Row{row}, Contests: []hazard.Contest{contest}})
	again, _ := two.WithOwn(hazard.Own{Rows: []hazard.Row{row}})
	none, _ := two.WithOwn(hazard.Own{})
	if len(left) > 0 || one.Revision == s.Revision || two.Revision == one.Revision || again.Revision != one.Revision || none.Revision != s.Revision {
		t.Errorf("ships %s, one %s, two %s, one again %s, none %s, left out %v", s.Revision, one.Revision, two.Revision, again.Revision, none.Revision, left)
	}
	if f := one.Hazards.Assess("Suillus luteus")[0]; f.Severity != 5 {
		t.Errorf("%+v", f)
	}
}

// An entry holds under whatever list of names the society follows.
func TestAnEntryHoldsUnderAListOfOthers(t *testing.T) {
	s, err := knowledge.Load(shippedFiles(t))
	if err != nil {
		t.Fatal(err)
	}
	list, err := taxon.NewIndex([]taxon.Row{
		{Name: "Venenarius", Rank: taxon.Genus, Status: "accepted", Source: "test"},
		{Name: "Venenarius luteus", Rank: taxon.Species, Status: "accepted", Source: "test"},
		{Name: "Suillus luteus", Rank: taxon.Species, Status: "former", Accepted: "Venenarius luteus", Reason: "moved", Source: "test"}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	with, err := s.With(list, list)
	if err != nil {
		t.Fatal(err)
	}
	row := hazard.Row{Taxon: "Suillus luteus", Rank: taxon.Species, Syndrome: "amatoxin", Exposure: hazard.Meal, Evidence: hazard.Reported, Source: "minutes", Own: "1"}
	own, left := with.WithOwn(hazard.Own{Rows: []hazard.Row{row}})
	if f := own.Hazards.Assess("Venenarius luteus")[0]; len(left) > 0 || f.Severity != 5 || f.Via != hazard.FormerName {
		t.Errorf("%+v, left out %v", f, left)
	}
}
