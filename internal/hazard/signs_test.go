package hazard_test

import (
	"slices"
	"strings"
	"testing"

	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

// signBase is the knowledge that ships over the short list of names, with signs of the test's own.
func signBase(t *testing.T) *hazard.Base {
	t.Helper()
	all := tables(t)
	all.Signs = []hazard.Sign{
		{Taxon: "Amanita", Key: "volva", Text: "a sac at the base", HiddenBy: "a cut stem", Source: "test"},
		{Taxon: "Amanita", Key: "ring", Text: "a ring", Source: "test"},
		{Taxon: "Amanita phalloides", Key: "cap", Text: "an olive cap", Source: "test"},
		{Taxon: "Galerina", Key: "print", Text: "a rust-brown print", Source: "test"},
	}
	base, err := hazard.NewBase(smallIndex(t), all)
	if err != nil {
		t.Fatal(err)
	}
	return base
}

func keysOf(signs []hazard.Sign) string {
	var keys []string
	for _, s := range signs {
		keys = append(keys, s.Key)
	}
	return strings.Join(keys, " ")
}

func TestTheNearestSignsTell(t *testing.T) {
	base := signBase(t)
	for name, want := range map[string]string{
		"Amanita phalloides":  "cap",
		"Agaricus phalloides": "cap", // a former name of it
		"Amanita virosa":      "volva ring",
		"Amanita":             "volva ring",
		"Boletus edulis":      "",
	} {
		if got := keysOf(base.Signs(name)); got != want {
			t.Errorf("%s: signs %q, want %q", name, got, want)
		}
	}
}

func TestWhatASignOffAsksFor(t *testing.T) {
	base := signBase(t)
	tests := map[string]struct {
		written string
		among   []string
		region  string
		want    []string // with ~ where it is a double
	}{
		"a deadly name asks for its own signs":                    {"Amanita phalloides", nil, "EU", []string{"Amanita phalloides"}},
		"doubt asks as well":                                      {"Amanita cf. phalloides", nil, "EU", []string{"Amanita phalloides"}},
		"a genus with deadly members asks for those of the genus": {"Amanita", nil, "EU", []string{"Amanita"}},
		"a double of the region is asked for":                     {"Agaricus campestris", nil, "EU", []string{"~Amanita phalloides"}},
		"one of elsewhere is not":                                 {"Russula heterophylla", nil, "Australasia", nil},
		"unless it is among the names in question":                {"Russula heterophylla", []string{"Russula heterophylla", "Amanita phalloides"}, "Australasia", []string{"~Amanita phalloides"}},
		"a deadly name that is in question too is asked for":      {"Trametes versicolor", []string{"Amanita phalloides"}, "EU", []string{"Amanita phalloides"}},
		"what nothing deadly is known of asks for nothing":        {"Trametes versicolor", nil, "EU", nil},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			var got []string
			for _, s := range base.Suspects(test.written, test.among, test.region) {
				if s.Severity < hazard.Deadly {
					t.Errorf("%s: severity %d", s.Name, s.Severity)
				}
				if s.Double {
					s.Name = "~" + s.Name
				}
				got = append(got, s.Name)
			}
			for _, want := range test.want {
				if !slices.Contains(got, want) {
					t.Errorf("asked for %q, want %q", got, want)
				}
			}
			if len(test.want) == 0 && len(got) > 0 {
				t.Errorf("asked for %q, want nothing", got)
			}
		})
	}
}

func TestASignThatCannotBeUsedIsNamed(t *testing.T) {
	sign := hazard.Sign{Taxon: "Amanita", Key: "volva", Text: "a sac", Source: "test"}
	for name, spoil := range map[string]func(*hazard.Sign){
		"no source":   func(s *hazard.Sign) { s.Source = "" },
		"no words":    func(s *hazard.Sign) { s.Text = "" },
		"no key":      func(s *hazard.Sign) { s.Key = "" },
		"of a family": func(s *hazard.Sign) { s.Taxon = "Amanitaceae" },
		"of no name":  func(s *hazard.Sign) { s.Taxon = "?!" },
	} {
		s := sign
		spoil(&s)
		if _, err := hazard.NewBase(smallIndex(t), hazard.Tables{Signs: []hazard.Sign{s}}); err == nil || !strings.Contains(err.Error(), "sign") {
			t.Errorf("%s: error %v", name, err)
		}
	}
	if _, err := hazard.NewBase(smallIndex(t), hazard.Tables{Signs: []hazard.Sign{sign, sign}}); err == nil {
		t.Error("one that is there twice is taken")
	}
}

// Whoever signs a name that can kill is asked for something, and every species that people look for knows its doubles or
// says by whom none is known.
func TestWhatShipsHasSignsForEveryDeadlyRow(t *testing.T) {
	base, _ := shippedBase(t)
	for _, e := range base.Entries() {
		wide := e.Rank == taxon.Family || e.Rank == taxon.Order
		if e.Syndrome.Severity >= hazard.Deadly && !wide && len(base.Signs(e.Taxon)) < 2 {
			t.Errorf("%s (%s): %d signs", e.Taxon, e.Syndrome.Key, len(base.Signs(e.Taxon)))
		}
	}
}

func TestEverySpeciesThatPeopleLookForHasItsDoublesOrSaysThatNoneIsKnown(t *testing.T) {
	base, _ := shippedBase(t)
	all := tables(t)
	for _, g := range all.Gathered {
		pairs := slices.ContainsFunc(base.Doubles(g.Taxon), func(d hazard.Double) bool { return d.Role == hazard.Gathered })
		if pairs == (g.NoneKnown != "") {
			t.Errorf("%s: pairs %t, none known by %q", g.Taxon, pairs, g.NoneKnown)
		}
	}
	for _, p := range all.Pairs {
		if _, ok := base.Gathered(p.Gathered); !ok {
			t.Errorf("%s has a double and is not among what people look for", p.Gathered)
		}
	}
}
