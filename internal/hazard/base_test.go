package hazard_test

import (
	"os"
	"strings"
	"testing"

	"forayhall/internal/hazard"
	"forayhall/internal/knowledge"
	"forayhall/internal/taxon"
	"forayhall/seed"
)

// smallIndex is a short list of names, so that these tests hold whatever list of names ships.
func smallIndex(t testing.TB) *taxon.Index {
	t.Helper()
	ix, err := knowledge.ReadNames(os.DirFS("testdata"))
	if err != nil {
		t.Fatal(err)
	}
	return ix
}

func tables(t testing.TB) hazard.Tables {
	t.Helper()
	tables, err := knowledge.ReadHazards(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	return tables
}

// smallBase is the knowledge that ships over the short list of names.
func smallBase(t testing.TB) *hazard.Base {
	t.Helper()
	base, err := hazard.NewBase(smallIndex(t), tables(t))
	if err != nil {
		t.Fatal(err)
	}
	return base
}

// shippedBase is the knowledge that ships over the names that ship.
func shippedBase(t testing.TB) (*hazard.Base, taxon.Names) {
	t.Helper()
	s, err := knowledge.Load(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	return s.Hazards, s.Names
}

func TestNewBaseNamesTheRowThatCannotBeUsed(t *testing.T) {
	syndrome := hazard.Syndrome{Key: "liver", Name: "Liver", Plain: "Harms.", CountedFrom: "meal", Severity: 5, Source: "test"}
	row := hazard.Row{Taxon: "Amanita phalloides", Rank: taxon.Species, Syndrome: "liver", Exposure: hazard.Meal,
		Evidence: hazard.Reported, Source: "test"}
	pair := hazard.Pair{Gathered: "Agaricus campestris", Poisonous: "Amanita phalloides", Differences: "sac", Source: "test"}
	group := hazard.Group{Key: "ring agaric", Name: "Ring agaric", SpoilsH: 36, Members: []string{"Amanita"}, Source: "test"}
	tests := map[string]struct {
		spoil func(*hazard.Syndrome, *hazard.Row, *hazard.Pair, *hazard.Group)
		want  string
	}{
		"unknown syndrome": {func(_ *hazard.Syndrome, r *hazard.Row, _ *hazard.Pair, _ *hazard.Group) { r.Syndrome = "heart" },
			`"Amanita phalloides" / "heart": unknown syndrome`},
		"row without source": {func(_ *hazard.Syndrome, r *hazard.Row, _ *hazard.Pair, _ *hazard.Group) { r.Source = "" },
			`"Amanita phalloides" / "liver": has no source`},
		"name that is a sentence": {func(_ *hazard.Syndrome, r *hazard.Row, _ *hazard.Pair, _ *hazard.Group) {
			r.Taxon = "some white thing here"
		},
			`does not read as a species`},
		"rank that the name does not have": {func(_ *hazard.Syndrome, r *hazard.Row, _ *hazard.Pair, _ *hazard.Group) { r.Rank = taxon.Genus },
			`does not read as a genus`},
		"former name that does not read": {func(_ *hazard.Syndrome, r *hazard.Row, _ *hazard.Pair, _ *hazard.Group) { r.Former = []string{"12"} },
			`former name "12"`},
		"unknown region": {func(_ *hazard.Syndrome, r *hazard.Row, _ *hazard.Pair, _ *hazard.Group) { r.Region = "Moon" },
			`unknown region "Moon"`},
		"severity out of scale": {func(s *hazard.Syndrome, _ *hazard.Row, _ *hazard.Pair, _ *hazard.Group) { s.Severity = 6 },
			`syndrome "liver": severity 6`},
		"syndrome without source": {func(s *hazard.Syndrome, _ *hazard.Row, _ *hazard.Pair, _ *hazard.Group) { s.Source = "" },
			`syndrome "liver": has no source`},
		"poisonous side without entry": {func(_ *hazard.Syndrome, _ *hazard.Row, p *hazard.Pair, _ *hazard.Group) {
			p.Poisonous = "Boletus edulis"
		},
			`"Agaricus campestris" / "Boletus edulis": the poisonous side has no entry`},
		"pair without source": {func(_ *hazard.Syndrome, _ *hazard.Row, p *hazard.Pair, _ *hazard.Group) { p.Source = "" },
			`has no source`},
		"group without source": {func(_ *hazard.Syndrome, _ *hazard.Row, _ *hazard.Pair, g *hazard.Group) { g.Source = "" },
			`group "ring agaric": has no source`},
		"group that goes by a taxon's name": {func(_ *hazard.Syndrome, _ *hazard.Row, _ *hazard.Pair, g *hazard.Group) { g.Key = "amanita" },
			`is also the name of a taxon`},
		"group of species": {func(_ *hazard.Syndrome, _ *hazard.Row, _ *hazard.Pair, g *hazard.Group) {
			g.Members = []string{"Amanita muscaria"}
		},
			`does not read as a genus or family`},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			s, r, p, g := syndrome, row, pair, group
			test.spoil(&s, &r, &p, &g)
			_, err := hazard.NewBase(smallIndex(t), hazard.Tables{Syndromes: []hazard.Syndrome{s}, Rows: []hazard.Row{r}, Pairs: []hazard.Pair{p}, Groups: []hazard.Group{g}})
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want one with %q", err, test.want)
			}
		})
	}
	if _, err := hazard.NewBase(smallIndex(t), hazard.Tables{Syndromes: []hazard.Syndrome{syndrome}, Rows: []hazard.Row{row}, Pairs: []hazard.Pair{pair}, Groups: []hazard.Group{group}}); err != nil {
		t.Errorf("tables without fault: %v", err)
	}
	if _, err := hazard.NewBase(smallIndex(t), hazard.Tables{Syndromes: []hazard.Syndrome{syndrome}, Rows: []hazard.Row{row, row}}); err == nil {
		t.Error("a row that is there twice was taken")
	}
}
