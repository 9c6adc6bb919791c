package knowledge

import (
	"testing"

	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
	"forayhall/seed"
)

// No list that is taken in hides a warning: what it knows as a species is still a species that nobody looked at, a slip
// within its reach is still near what is deadly, and a name that it moves harms as before.
func TestNoListOfNamesMakesAWarningLess(t *testing.T) {
	s, err := Load(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	row := func(name, status, accepted string) taxon.Row {
		r := taxon.Row{Name: name, Rank: taxon.Species, Status: status, Accepted: accepted, Source: "test"}
		if status == "former" {
			r.Reason = "moved"
		}
		return r
	}
	list, err := taxon.NewIndex([]taxon.Row{
		{Name: "Galerinna", Rank: taxon.Genus, Status: "accepted", Source: "test"},
		row("Amanita nuperrima", "accepted", ""), row("Galerina marginatta", "accepted", ""), row("Cortinarius ignotus", "accepted", ""),
		row("Galerinna minor", "accepted", ""), row("Venenarius phalloides", "accepted", ""), row("Amanita phalloides", "former", "Venenarius phalloides"),
		row("Boletus edulis", "accepted", ""), row("Galerina marginata", "former", "Boletus edulis"),
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, followed := range map[string]*taxon.Index{"installed": nil, "followed": list} {
		with, err := s.With(followed, list)
		if err != nil {
			t.Fatal(err)
		}
		for _, written := range []string{"Amanita nuperrima", "Galerina marginatta", "Cortinarius ignotus", "Galerinna minor", "Galerinna sp.", "Amanita phalloides",
			"Galerina marginata", "Boletus edulis", "A. phalloides", "Death Cap", "Amanita", "Amanita faloides", "Amanita cf. nuperrima", "Cortinarius"} {
			asked := []hazard.Question{{Text: written}}
			was, is := s.Hazards.Worst(asked, "EU"), with.Hazards.Worst(asked, "EU")
			if is.Severity < was.Severity || was.NoEntry && is.Severity == 0 && !is.NoEntry {
				t.Errorf("%s: %s was %d, is %d", name, written, was.Severity, is.Severity)
			}
		}
		if moved := with.Hazards.Worst([]hazard.Question{{Text: "Venenarius phalloides"}}, "EU"); moved.Severity != 5 {
			t.Errorf("%s: under its new name it is %d", name, moved.Severity)
		}
	}
}
