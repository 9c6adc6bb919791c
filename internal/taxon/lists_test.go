package taxon

import (
	"slices"
	"testing"
)

// moved is a checklist that puts names elsewhere than the small list does.
func moved(t testing.TB) *Index {
	t.Helper()
	ix, err := NewIndex(append(slices.Concat(
		under("Otherfamily", Genus, "Venenarius", "Collybia"), accepted(Family, "Otherfamily"),
		accepted(Species, "Venenarius phalloides", "Collybia nuda", "Collybia nova", "Amanita muscaria")),
		former("Amanita phalloides", "Venenarius phalloides", "moved"), former("Lepista nuda", "Collybia nuda", "moved"),
		former("Lepista nova", "Collybia nova", "moved"), former("Agaricus vernalis", "Amanita muscaria", "merged")), nil)
	if err != nil {
		t.Fatal(err)
	}
	return ix
}

func TestTheFirstListDecidesWhatIsCurrent(t *testing.T) {
	l := NewLists(moved(t), small(t))
	for _, c := range []struct{ rule, written, found, current, common, family string }{
		{"a name that both have", "Amanita phalloides", "Amanita phalloides", "Venenarius phalloides", "Death Cap", "Otherfamily"},
		{"a former name that only the second has, moved on by the first", "Agaricus phalloides", "Agaricus phalloides", "Venenarius phalloides", "Death Cap", "Otherfamily"},
		{"the same over two steps", "Tricholoma nudum", "Tricholoma nudum", "Collybia nuda", "", "Otherfamily"},
		{"a name that only the first has", "Collybia nova", "Collybia nova", "Collybia nova", "", "Otherfamily"},
		{"a name that only the second has", "Boletus edulis", "Boletus edulis", "Boletus edulis", "", "Boletaceae"},
		{"a common name of the second", "death cap", "Amanita phalloides", "Venenarius phalloides", "Death Cap", "Otherfamily"},
		{"a classification that the first leaves open", "Amanita muscaria", "Amanita muscaria", "Amanita muscaria", "Fly Agaric", "Amanitaceae"},
		{"a slip that one list knows", "Venenarius faloides", "Venenarius phalloides", "Venenarius phalloides", "Death Cap", "Otherfamily"},
		{"a slip that both read as one taxon", "Amanita phaloides", "Amanita phalloides", "Venenarius phalloides", "Death Cap", "Otherfamily"},
	} {
		m := l.Match(c.written)
		if m.Found == nil {
			t.Errorf("%s: %s is %s, %v", c.rule, c.written, m.How, m.Candidates)
			continue
		}
		current := m.Found.Current()
		common := ""
		if len(current.Common) > 0 {
			common = current.Common[0].Name
		}
		if m.Found.Name != c.found || current.Name != c.current || common != c.common || m.Found.Family != c.family {
			t.Errorf("%s: %s is %s, now %s, %q, in %q", c.rule, c.written, m.Found.Name, current.Name, common, m.Found.Family)
		}
		if again := l.Match(c.written); again.Found != m.Found {
			t.Errorf("%s: the same name is another thing the second time", c.rule)
		}
	}
}

func TestWhereListsReadASlipDifferentlyItIsLeftOpen(t *testing.T) {
	other, err := NewIndex(accepted(Species, "Galerina marginelle"), nil)
	if err != nil {
		t.Fatal(err)
	}
	l := NewLists(other, small(t))
	if m := l.Match("Galerina marginela"); m.How != Several || len(m.Candidates) < 2 {
		t.Errorf("%s %v %v", m.How, m.Found, m.Candidates)
	}
}

// A warning must be met by whatever name any list joins to the one it stands under.
func TestEveryNameThatATaxonEverHadIsFoundFromEachOfThem(t *testing.T) {
	for order, l := range map[string]*Lists{"moved first": NewLists(moved(t), small(t)), "small first": NewLists(small(t), moved(t))} {
		for _, key := range []string{"amanita phalloides", "venenarius phalloides"} {
			n, ok := l.Lookup(key)
			if !ok {
				t.Fatalf("%s: %s is not there", order, key)
			}
			var kin []string
			for _, k := range append(l.FormerOf(n.Current()), n.Current()) {
				kin = append(kin, k.Key)
			}
			for _, want := range []string{"agaricus phalloides", "amanita phalloides", "venenarius phalloides"} {
				if !slices.Contains(kin, want) {
					t.Errorf("%s: from %s %s is not reached: %v", order, key, want, kin)
				}
			}
		}
	}
	l := NewLists(moved(t), small(t))
	genus, _ := l.Lookup("amanita")
	var members []string
	for _, m := range l.Members(genus) {
		members = append(members, m.Name)
	}
	if want := []string{"Amanita muscaria", "Amanita verna", "Amanita virosa", "Venenarius phalloides"}; !slices.Equal(members, want) {
		t.Errorf("members %v, want %v", members, want)
	}
}

func TestSuggestionsOfSeveralListsAreOne(t *testing.T) {
	l := NewLists(moved(t), small(t))
	var shown []string
	for _, s := range l.Suggest("am ph", 10) {
		shown = append(shown, s.Shown+" → "+s.Name.Current().Name)
	}
	if want := []string{"Amanita sect. Phalloideae → Amanita sect. Phalloideae", "Amanita phalloides → Venenarius phalloides"}; !slices.Equal(shown, want) {
		t.Errorf("%v, want %v", shown, want)
	}
	if got := l.Suggest("a", 3); len(got) != 3 {
		t.Errorf("the limit is not kept: %v", got)
	}
}
