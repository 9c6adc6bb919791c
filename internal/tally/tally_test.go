package tally_test

import (
	"fmt"
	"testing"

	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// A small classification of these tests; the fungi are real. Families and higher names from memory.
var taxa = map[string]*taxon.Name{}

func init() {
	for _, n := range []taxon.Name{
		{Name: "Galerina", Rank: taxon.Genus, Family: "Hymenogastraceae", Order: "Agaricales"},
		{Name: "Galerina marginata", Rank: taxon.Species, Family: "Hymenogastraceae", Order: "Agaricales"},
		{Name: "Galerina hypnorum", Rank: taxon.Species, Family: "Hymenogastraceae", Order: "Agaricales"},
		{Name: "Amanita", Rank: taxon.Genus, Family: "Amanitaceae", Order: "Agaricales"},
		{Name: "Amanita vaginata", Rank: taxon.Species, Family: "Amanitaceae", Order: "Agaricales", Section: "Vaginatae"},
		{Name: "Amanita vaginata var. alba", Rank: taxon.Variety, Family: "Amanitaceae", Order: "Agaricales", Section: "Vaginatae"},
		{Name: "Amanita sect. Vaginatae", Rank: taxon.Section, Family: "Amanitaceae", Order: "Agaricales", Section: "Vaginatae"},
		{Name: "Amanita muscaria", Rank: taxon.Species, Family: "Amanitaceae", Order: "Agaricales", Section: "Amanita"},
		{Name: "Amanitaceae", Rank: taxon.Family, Family: "Amanitaceae", Order: "Agaricales"},
		{Name: "Agaricales", Rank: taxon.Order, Order: "Agaricales"},
		{Name: "Imleria badia", Rank: taxon.Species, Family: "Boletaceae", Order: "Boletales"},
		{Name: "Boletus edulis", Rank: taxon.Species, Family: "Boletaceae", Order: "Boletales"},
		{Name: "Peziza badia", Rank: taxon.Species, Family: "Pezizaceae", Order: "Pezizales", Phylum: "Ascomycota"},
		{Name: "Xylaria hypoxylon", Rank: taxon.Species, Family: "Xylariaceae", Order: "Xylariales", Phylum: "Ascomycota"},
		{Name: "Cladonia fimbriata", Rank: taxon.Species, Family: "Cladoniaceae", Order: "Lecanorales", Class: "Lecanoromycetes", Phylum: "Ascomycota"},
		{Name: "Fuligo septica", Rank: taxon.Species, Family: "Physaraceae", Order: "Physarales", Class: "Myxomycetes", Phylum: "Amoebozoa", Kingdom: "Protozoa"},
		{Name: "Phytophthora infestans", Rank: taxon.Species, Phylum: "Oomycota", Kingdom: "Chromista"},
	} {
		if n.Kingdom == "" {
			n.Kingdom = "Fungi"
		}
		if n.Phylum == "" {
			n.Phylum = "Basidiomycota"
		}
		n.Key = taxon.Key(n.Name)
		taxa[n.Name] = &n
	}
	for former, current := range map[string]string{"Xerocomus badius": "Imleria badia", "Boletus badius": "Imleria badia", "Galerina autumnalis": "Galerina marginata"} {
		taxa[former] = &taxon.Name{Name: former, Key: taxon.Key(former), Rank: taxon.Species, Accepted: taxa[current]}
	}
}

// named reads "Amanita vaginata" or, with its qualifier, "Amanita vaginata|group".
func named(name string, q taxon.Qualifier) tally.Named {
	n := tally.Named{Name: name, Qualifier: q, Key: taxon.Key(name), Rank: taxon.Species}
	if known := taxa[name]; known != nil {
		n.Rank, n.Current = known.Rank, known.Current()
	}
	return n
}

// find is a confirmed find number i of a name.
func find(i int, name string, q taxon.Qualifier) tally.Find {
	return tally.Find{ID: fmt.Sprint("id", i), Number: fmt.Sprintf("%04d", i), State: tally.Confirmed, Names: []tally.Named{named(name, q)}}
}

func with(f tally.Find, change func(*tally.Find)) tally.Find {
	change(&f)
	return f
}

func outside(f *tally.Find)     { f.Outside = true }
func cultivated(f *tally.Find)  { f.Cultivated = true }
func provisional(f *tally.Find) { f.State = tally.Provisional }
func againstIt(other string) func(*tally.Find) {
	return func(f *tally.Find) { f.State, f.Names = tally.Disputed, append(f.Names, named(other, "")) }
}

// line is what a case expects of a line: the reason by its key.
type line struct {
	name   string
	counts bool
	why    string
	finds  int
}

func lines(l tally.List) []line {
	var got []line
	for _, x := range l.Lines {
		name := x.Name
		if x.Qualifier != "" {
			name += " " + string(x.Qualifier)
		}
		got = append(got, line{name, x.Counts, x.Why.Key, len(x.Finds)})
	}
	return got
}

// The rule of counting. A published list of 2019 stood about a tenth too high during its event; each case is one way
// to get there.
func TestTheCountingRuleAndItsReasons(t *testing.T) {
	form := tally.Named{Name: "Small brown agaric", Rank: taxon.Form, Key: "form:small_brown"}
	for name, c := range map[string]struct {
		finds []tally.Find
		want  []line
		total int
	}{
		"nothing: nothing": {},
		"two finds of a species are one": {[]tally.Find{find(1, "Boletus edulis", ""), find(2, "Boletus edulis", "")},
			[]line{{"Boletus edulis", true, "tally.counts", 2}}, 1},
		"synonyms are merged under the current name": {[]tally.Find{find(1, "Xerocomus badius", ""), find(2, "Imleria badia", ""), find(3, "Boletus badius", "")},
			[]line{{"Imleria badia", true, "tally.counts", 3}}, 1},
		"a genus alone counts": {[]tally.Find{find(1, "Galerina", "")}, []line{{"Galerina", true, "tally.counts", 1}}, 1},
		"a genus beside a species of it adds nothing": {[]tally.Find{find(1, "Galerina", ""), find(2, "Galerina hypnorum", "")},
			[]line{{"Galerina", false, "tally.narrower", 1}, {"Galerina hypnorum", true, "tally.counts", 1}}, 1},
		"a genus beside an unconfirmed species of it counts": {[]tally.Find{find(1, "Galerina", ""), with(find(2, "Galerina hypnorum", ""), provisional)},
			[]line{{"Galerina", true, "tally.counts", 1}, {"Galerina hypnorum", false, "tally.apart.unconfirmed", 1}}, 1},
		"a genus written with sp. is that genus": {[]tally.Find{find(1, "Galerina", ""), find(2, "Galerina", taxon.OnlyGenus)},
			[]line{{"Galerina", true, "tally.counts", 1}, {"Galerina sp.", false, "tally.repeated", 1}}, 1},
		"a family beside a genus of it adds nothing": {[]tally.Find{find(1, "Amanitaceae", ""), find(2, "Amanita", "")},
			[]line{{"Amanita", true, "tally.counts", 1}, {"Amanitaceae", false, "tally.narrower", 1}}, 1},
		"an order beside a species of it adds nothing": {[]tally.Find{find(1, "Agaricales", ""), find(2, "Amanita muscaria", "")},
			[]line{{"Agaricales", false, "tally.narrower", 1}, {"Amanita muscaria", true, "tally.counts", 1}}, 1},
		"a section beside a species of another counts": {[]tally.Find{find(1, "Amanita sect. Vaginatae", ""), find(2, "Amanita muscaria", "")},
			[]line{{"Amanita muscaria", true, "tally.counts", 1}, {"Amanita sect. Vaginatae", true, "tally.counts", 1}}, 2},
		"a section beside its own species adds nothing": {[]tally.Find{find(1, "Amanita sect. Vaginatae", ""), find(2, "Amanita vaginata", "")},
			[]line{{"Amanita sect. Vaginatae", false, "tally.narrower", 1}, {"Amanita vaginata", true, "tally.counts", 1}}, 1},
		"a species beside its variety adds nothing": {[]tally.Find{find(1, "Amanita vaginata", ""), find(2, "Amanita vaginata var. alba", "")},
			[]line{{"Amanita vaginata", false, "tally.narrower", 1}, {"Amanita vaginata var. alba", true, "tally.counts", 1}}, 1},
		"a group beside its species adds nothing": {[]tally.Find{find(1, "Amanita vaginata", taxon.Group), find(2, "Amanita vaginata", "")},
			[]line{{"Amanita vaginata", true, "tally.counts", 1}, {"Amanita vaginata group", false, "tally.narrower", 1}}, 1},
		"a group alone counts": {[]tally.Find{find(1, "Amanita vaginata", taxon.Group)}, []line{{"Amanita vaginata group", true, "tally.counts", 1}}, 1},
		"s.l. and group of one species are one": {[]tally.Find{find(1, "Amanita vaginata", taxon.SensuLato), find(2, "Amanita vaginata", taxon.Group)},
			[]line{{"Amanita vaginata group", true, "tally.counts", 1}, {"Amanita vaginata s.l.", false, "tally.repeated", 1}}, 1},
		"s.str. beside the plain name is one": {[]tally.Find{find(1, "Amanita vaginata", taxon.SensuStrict), find(2, "Amanita vaginata", "")},
			[]line{{"Amanita vaginata", true, "tally.counts", 1}, {"Amanita vaginata s.str.", false, "tally.repeated", 1}}, 1},
		"cf. is apart":                   {[]tally.Find{find(1, "Boletus edulis", taxon.Confer)}, []line{{"Boletus edulis cf.", false, "tally.apart.aff", 1}}, 0},
		"aff. never counts as its name":  {[]tally.Find{find(1, "Boletus edulis", taxon.Affinis)}, []line{{"Boletus edulis aff.", false, "tally.apart.aff", 1}}, 0},
		"a question mark is apart":       {[]tally.Find{find(1, "Boletus edulis", taxon.Doubt)}, []line{{"Boletus edulis ?", false, "tally.apart.aff", 1}}, 0},
		"cf. hides no genus":             {[]tally.Find{find(1, "Galerina", ""), find(2, "Galerina hypnorum", taxon.Confer)}, []line{{"Galerina", true, "tally.counts", 1}, {"Galerina hypnorum cf.", false, "tally.apart.aff", 1}}, 1},
		"a dispute stands on both sides": {[]tally.Find{with(find(1, "Boletus edulis", ""), againstIt("Imleria badia"))}, []line{{"Boletus edulis", false, "tally.apart.disputed", 1}, {"Imleria badia", false, "tally.apart.disputed", 1}}, 0},
		"a dispute about a species that another find is": {[]tally.Find{with(find(1, "Boletus edulis", ""), againstIt("Imleria badia")), find(2, "Boletus edulis", "")},
			[]line{{"Boletus edulis", true, "tally.counts", 1}, {"Boletus edulis", false, "tally.apart.disputed", 1}, {"Imleria badia", false, "tally.apart.disputed", 1}}, 1},
		"unconfirmed adds nothing":                {[]tally.Find{with(find(1, "Boletus edulis", ""), provisional)}, []line{{"Boletus edulis", false, "tally.apart.unconfirmed", 1}}, 0},
		"outside the area adds nothing":           {[]tally.Find{with(find(1, "Boletus edulis", ""), outside)}, []line{{"Boletus edulis", false, "tally.apart.outside", 1}}, 0},
		"cultivated adds nothing":                 {[]tally.Find{with(find(1, "Boletus edulis", ""), cultivated)}, []line{{"Boletus edulis", false, "tally.apart.cultivated", 1}}, 0},
		"a name no classification knows is kept":  {[]tally.Find{find(1, "Boletus hollinbeckensis", "")}, []line{{"Boletus hollinbeckensis", true, "tally.counts-unknown", 1}}, 1},
		"a form group is no taxon":                {[]tally.Find{{ID: "1", State: tally.Confirmed, Names: []tally.Named{form}}}, []line{{"Small brown agaric", false, "tally.form", 1}}, 0},
		"a find with two synonyms stands once":    {[]tally.Find{with(find(1, "Boletus badius", ""), func(f *tally.Find) { f.Names = append(f.Names, named("Imleria badia", "")) })}, []line{{"Imleria badia", true, "tally.counts", 1}}, 1},
		"a genus beside an unknown species of it": {[]tally.Find{find(1, "Galerina", ""), find(2, "Galerina hollinbeckensis", "")}, []line{{"Galerina", false, "tally.narrower", 1}, {"Galerina hollinbeckensis", true, "tally.counts-unknown", 1}}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			list := tally.Make(c.finds)
			got := lines(list)
			if list.Total != c.total || list.Finds != len(c.finds) || len(got) != len(c.want) {
				t.Fatalf("total %d of %d finds: %+v, want %d: %+v", list.Total, list.Finds, got, c.total, c.want)
			}
			for _, want := range c.want {
				if !has(got, want) {
					t.Errorf("%+v is not among %+v", want, got)
				}
			}
		})
	}
}

func has(all []line, want line) bool {
	for _, l := range all {
		if l == want {
			return true
		}
	}
	return false
}
