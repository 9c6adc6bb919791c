package taxon

import (
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

const src = "from memory"

func accepted(rank Rank, names ...string) []Row {
	var rows []Row
	for _, n := range names {
		rows = append(rows, Row{Name: n, Rank: rank, Status: "accepted", Source: src})
	}
	return rows
}

func under(parent string, rank Rank, names ...string) []Row {
	rows := accepted(rank, names...)
	for i := range rows {
		rows[i].Parent = parent
	}
	return rows
}

func former(name, current, reason string) Row {
	return Row{Name: name, Rank: Read(name).Rank, Status: "former", Accepted: current, Reason: reason, Source: src}
}

func smallRows() []Row {
	rows := slices.Concat(
		accepted(Kingdom, "Fungi"), under("Fungi", Phylum, "Basidiomycota"),
		under("Basidiomycota", Class, "Agaricomycetes"), under("Agaricomycetes", Order, "Agaricales", "Boletales"),
		under("Agaricales", Family, "Amanitaceae", "Agaricaceae", "Bolbitiaceae"), under("Boletales", Family, "Boletaceae"),
		under("Amanitaceae", Genus, "Amanita"), under("Agaricaceae", Genus, "Agaricus", "Lepiota"),
		under("Bolbitiaceae", Genus, "Conocybe", "Pholiotina"), under("Boletaceae", Genus, "Boletus", "Rubroboletus"),
		accepted(Genus, "Galerina", "Lepista", "Aspropaxillus"), accepted(Section, "Amanita sect. Phalloideae"),
		accepted(Species, "Amanita muscaria", "Agaricus campestris", "Agaricus xanthodermus", "Agaricus macrosporus",
			"Agaricus sylvaticus", "Agaricus sylvicola", "Lepiota cristata", "Pholiotina rugosa", "Conocybe apala", "Boletus edulis",
			"Rubroboletus satanas", "Galerina marginata", "Galerina marginella", "Lepista nuda", "Otidea lohjaënsis",
			"Aspropaxillus giganteus", "Boletus fechtneri"),
		accepted(Variety, "Amanita muscaria var. formosa", "Amanita muscaria var. alba"),
	)
	for _, n := range []string{"Amanita phalloides", "Amanita virosa", "Amanita verna"} {
		rows = append(rows, Row{Name: n, Rank: Species, Status: "accepted", Section: "Phalloideae", Source: src})
	}
	for i, row := range rows {
		if row.Name == "Galerina" {
			rows[i].Author = "Junius ex L."
		}
	}
	return append(rows,
		former("Agaricus phalloides", "Amanita phalloides", "moved"), former("Agaricus muscarius", "Amanita muscaria", "moved"),
		former("Conocybe rugosa", "Pholiotina rugosa", "moved"), former("Boletus satanas", "Rubroboletus satanas", "moved"),
		former("Leucopaxillus", "Aspropaxillus", "merged"), former("Leucopaxillus giganteus", "Aspropaxillus giganteus", "moved"),
		former("Clitocybe gigantea", "Leucopaxillus giganteus", "moved"), former("Tricholoma nudum", "Lepista nuda", "moved"),
		former("Lepiota nudum", "Lepista nuda", "misapplied"))
}

var smallCommons = []CommonRow{
	{Name: "Amanita phalloides", Common: "Death Cap", Language: "en", Source: src},
	{Name: "Amanita virosa", Common: "Destroying Angel", Language: "en", Source: src},
	{Name: "Amanita verna", Common: "Destroying Angel", Language: "en", Source: src},
	{Name: "Rubroboletus satanas", Common: "Boletus de Satan", Language: "xx", Source: src},
	{Name: "Amanita muscaria", Common: "Fly Agaric", Language: "en", Source: src},
	{Name: "Amanita phalloides", Common: "Grüner Knollenblätterpilz", Language: "de", Source: src},
}

func small(t testing.TB) *Index {
	t.Helper()
	ix, err := NewIndex(smallRows(), smallCommons)
	if err != nil {
		t.Fatal(err)
	}
	return ix
}

func TestMatch(t *testing.T) {
	ix := small(t)
	for _, c := range []struct {
		rule, written string
		how           How
		found         string
	}{
		{"exact", "Amanita phalloides", Same, "Amanita phalloides"},
		{"with author", "Amanita phalloides (Vaill. ex Fr.) Link", Same, "Amanita phalloides"},
		{"a doubt does not change the name", "Amanita cf. phalloides", Same, "Amanita phalloides"},
		{"small letters", "amanita PHALLOIDES", Same, "Amanita phalloides"},
		{"capitals", "AMANITA PHALLOIDES", Same, "Amanita phalloides"},
		{"accents", "Otidea lohjaensis", Same, "Otidea lohjaënsis"},
		{"genus with sp.", "Amanita sp.", Same, "Amanita"},
		{"section", "Amanita section Phalloideae", Same, "Amanita sect. Phalloideae"},
		{"family", "AMANITACEAE", Same, "Amanitaceae"},
		{"former name keeps itself", "Agaricus phalloides Fr.", Same, "Agaricus phalloides"},
		{"capital epithet", "Boletus Satanas", Same, "Boletus satanas"},
		{"capital epithet that looks like a person", "Boletus Fechtneri Velen.", Same, "Boletus fechtneri"},
		{"author that looks like an epithet", "Galerina Junius ex L.", Same, "Galerina"},
		{"common name that begins with a genus", "Boletus de Satan", Same, "Rubroboletus satanas"},
		{"variety", "Amanita muscaria v. formosa", Same, "Amanita muscaria var. formosa"},
		{"variety without its rank", "Amanita muscaria formosa", Same, "Amanita muscaria var. formosa"},
		{"misspelt variety", "Amanita muscaria var. formossa", Spelling, "Amanita muscaria var. formosa"},
		{"unknown variety falls to its species", "Amanita muscaria var. rubella", GenusOnly, "Amanita muscaria"},
		{"common name", "death-cap", Same, "Amanita phalloides"},
		{"doubted common name", "cf. Deathcap?", Same, "Amanita phalloides"},
		{"common name with accents", "GRUNER KNOLLENBLATTERPILZ", Same, "Amanita phalloides"},
		{"common name of two", "Destroying angel", Several, ""},
		{"abbreviation with one genus", "A. virosa", Short, "Amanita virosa"},
		{"abbreviation over a move of one taxon", "A. phalloides", Short, "Amanita phalloides"},
		{"longer abbreviation", "Am. muscaria", Short, "Amanita muscaria"},
		{"abbreviation with a slip", "A. silvaticus", Short, "Agaricus sylvaticus"},
		{"abbreviation nobody has", "B. virosa", Nothing, ""},
		{"abbreviation with variety", "A. muscaria var. alba", Short, "Amanita muscaria var. alba"},
		{"abbreviated genus alone", "A. sp.", Nothing, ""},
		{"wrong gender", "Lepiota cristatus", Spelling, "Lepiota cristata"},
		{"wrong declension", "Agaricus campester", Spelling, "Agaricus campestris"},
		{"heard alike", "Agaricus silvicola", Spelling, "Agaricus sylvicola"},
		{"slip in the genus", "Amanitta phalloides", Spelling, "Amanita phalloides"},
		{"slips in both", "Amanitta faloides", Spelling, "Amanita phalloides"},
		{"slip in a genus alone", "Amanitta", Spelling, "Amanita"},
		{"between two", "Galerina marginala", Several, ""},
		{"opposites are no slips", "Agaricus microsporus", GenusOnly, "Agaricus"},
		{"unknown epithet", "Amanita inventata", GenusOnly, "Amanita"},
		{"epithet of another genus", "Amanita campestris", GenusOnly, "Amanita"},
		{"unknown genus", "Inventaria phalloides", Nothing, ""},
		{"slip in the genus and unknown epithet", "Amanitta inventata", Nothing, ""},
		{"prose", "small brown thing with ring", Nothing, ""},
		{"nothing", "", Nothing, ""},
		{"number", "0137", Nothing, ""},
		{"this or that", "Amanita phalloides or A. virosa", Several, ""},
		{"this or that with one genus", "Amanita phalloides/virosa", Several, ""},
		{"this or something unknown", "Amanita phalloides or Inventaria inventata", Several, ""},
		{"two names of one taxon", "Amanita phalloides / Agaricus phalloides", Same, "Amanita phalloides"},
	} {
		m := ix.Match(c.written)
		found := ""
		if m.Found != nil {
			found = m.Found.Name
		}
		if m.How != c.how || found != c.found {
			t.Errorf("%s: Match(%q) = %s %q, want %s %q", c.rule, c.written, m.How, found, c.how, c.found)
		}
		if (m.How == Several) != (len(m.Candidates) > 0) {
			t.Errorf("%s: %s with candidates %v", c.rule, m.How, m.Candidates)
		}
	}
}

func TestAbbreviationPrefersNamesInUse(t *testing.T) {
	rows := append(smallRows(), accepted(Species, "Agaricus muscaria")...)
	ix, err := NewIndex(rows, nil)
	if err != nil {
		t.Fatal(err)
	}
	if m := ix.Match("A. muscaria"); m.How != Several || len(m.Candidates) != 2 {
		t.Errorf("two taxa: %+v", m)
	}
	m := ix.MatchWithin("A. muscaria", map[string]bool{"amanita muscaria": true})
	if m.How != Short || m.Found.Name != "Amanita muscaria" {
		t.Errorf("one in use: %+v", m)
	}
	if m := ix.MatchWithin("A. sp.", map[string]bool{"amanita virosa": true}); m.How != Short || m.Found.Name != "Amanita" {
		t.Errorf("one genus in use: %+v", m)
	}
}

func TestNewIndexNamesTheWrongRow(t *testing.T) {
	ok := Row{Name: "Amanita muscaria", Rank: Species, Status: "accepted", Source: src}
	for rule, c := range map[string]struct {
		rows    []Row
		commons []CommonRow
		want    string
	}{
		"accepted name not in the list": {[]Row{ok, former("Agaricus muscarius", "Amanita nobody", "moved")}, nil, "line 2: Agaricus muscarius: its accepted name"},
		"former without accepted":       {[]Row{ok, former("Agaricus muscarius", "", "moved")}, nil, "line 2: Agaricus muscarius: the accepted name is missing"},
		"cycle":                         {[]Row{former("Agaricus unus", "Boletus alter", "moved"), former("Boletus alter", "Agaricus unus", "moved")}, nil, "leads back to itself"},
		"duplicate":                     {[]Row{ok, ok}, nil, "line 2: Amanita muscaria: the name stands already in line 1"},
		"unknown rank":                  {[]Row{{Line: 9, Name: "Aaa", Rank: "tribe", Status: "accepted", Source: src}}, nil, `line 9: Aaa: unknown rank "tribe"`},
		"unknown reason":                {[]Row{ok, former("Agaricus muscarius", "Amanita muscaria", "because")}, nil, "unknown reason"},
		"parent not in the list":        {under("Nobodyaceae", Genus, "Amanita"), nil, `its parent "Nobodyaceae" is not in the list`},
		"parent no wider":               {slices.Concat(accepted(Genus, "Agaricus"), under("Agaricus", Genus, "Amanita")), nil, "no wider"},
		"no source":                     {[]Row{{Name: "Amanita", Rank: Genus, Status: "accepted"}}, nil, "the source is missing"},
		"author left in the name":       {accepted(Species, "Amanita muscaria (L.) Lam."), nil, "does not read as a name"},
		"rank that the name has not":    {accepted(Species, "Amanita"), nil, "does not read as a name"},
		"common name of nobody":         {[]Row{ok}, []CommonRow{{Name: "Amanita nobody", Common: "x", Language: "en", Source: src}}, "line 1: Amanita nobody: is not in the list"},
		"common name without source":    {[]Row{ok}, []CommonRow{{Name: "Amanita muscaria", Common: "x", Language: "en"}}, "the source is missing"},
	} {
		_, err := NewIndex(c.rows, c.commons)
		var row *RowError
		if err == nil || !errors.As(err, &row) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", rule, err, c.want)
		}
	}
}

func names(list []*Name) string {
	var out []string
	for _, n := range list {
		out = append(out, n.Name)
	}
	return strings.Join(out, ", ")
}

func get(t *testing.T, ix *Index, name string) *Name {
	t.Helper()
	n, ok := ix.Lookup(Key(name))
	if !ok {
		t.Fatalf("%s is not in the index", name)
	}
	return n
}

func TestMembersHoldWhatEverStoodThere(t *testing.T) {
	ix := small(t)
	for name, want := range map[string]string{
		"Conocybe":                  "Conocybe apala, Pholiotina rugosa",
		"Pholiotina":                "Pholiotina rugosa",
		"Amanita sect. Phalloideae": "Amanita phalloides, Amanita verna, Amanita virosa",
		"Boletaceae":                "Boletus edulis, Boletus fechtneri, Rubroboletus satanas",
		"Leucopaxillus":             "Aspropaxillus giganteus",
		"Agaricus phalloides":       "Amanita phalloides",
		"Bolbitiaceae":              "Conocybe apala, Pholiotina rugosa",
	} {
		if got := names(ix.Members(get(t, ix, name))); got != want {
			t.Errorf("Members(%s) = %s, want %s", name, got, want)
		}
	}
}

func TestNamesKnowTheirPlace(t *testing.T) {
	ix := small(t)
	n := get(t, ix, "Conocybe rugosa")
	if n.Current().Name != "Pholiotina rugosa" || n.Family != "Bolbitiaceae" || n.Order != "Agaricales" ||
		n.Class != "Agaricomycetes" || n.Phylum != "Basidiomycota" || n.Kingdom != "Fungi" {
		t.Errorf("former name: %+v", n)
	}
	if n := get(t, ix, "Clitocybe gigantea"); n.Current().Name != "Aspropaxillus giganteus" {
		t.Errorf("a chain of moves stops at %s", n.Current().Name)
	}
	if n := get(t, ix, "Galerina marginata"); n.Family != "" {
		t.Errorf("a genus without family row has %q", n.Family)
	}
	if n := get(t, ix, "Agaricus phalloides"); n.Section != "Phalloideae" {
		t.Errorf("a former name has the section %q, not that of its current name", n.Section)
	}
	if got := names(ix.FormerOf(get(t, ix, "Aspropaxillus giganteus"))); got != "Clitocybe gigantea, Leucopaxillus giganteus" {
		t.Errorf("FormerOf = %s", got)
	}
}

func TestWithinTakesBothAcceptedAndFormer(t *testing.T) {
	ix := small(t)
	for key, want := range map[string]string{
		"amanita phaloidis":  "Amanita phalloides",
		"agaricus phaloides": "Agaricus phalloides",
		"galerina marginala": "Galerina marginata, Galerina marginella",
		"amanitta":           "Amanita",
		"amanita":            "Amanita",
		"inventaria":         "",
	} {
		if got := names(ix.Within(key, 2)); got != want {
			t.Errorf("Within(%s, 2) = %s, want %s", key, got, want)
		}
	}
}

func TestSuggest(t *testing.T) {
	ix := small(t)
	for typed, want := range map[string]string{
		"am ph":           "Amanita phalloides",
		"Am. phall":       "Amanita phalloides",
		"amanita cf. vir": "Amanita virosa",
		"phallo":          "Amanita phalloides",
		"death c":         "Amanita phalloides",
		"cap":             "Amanita phalloides",
		"lohjae":          "Otidea lohjaënsis",
		"lepiota nu":      "Lepiota nudum",
		"am mu fo":        "Amanita muscaria var. formosa",
		"conoc":           "Conocybe",
	} {
		got := ix.Suggest(typed, 5)
		if len(got) == 0 || got[0].Shown != want {
			t.Errorf("Suggest(%q) = %+v, want %s first", typed, got, want)
		}
	}
	if s := ix.Suggest("lepiota nu", 5)[0]; !s.Former || s.Name.Current().Name != "Lepista nuda" {
		t.Errorf("a former name is not said to be one: %+v", s)
	}
	if s := ix.Suggest("fly a", 5)[0]; s.Common != "Fly Agaric" {
		t.Errorf("the common name that fitted is not given: %+v", s)
	}
	if got := ix.Suggest("am", 2); len(got) != 2 {
		t.Errorf("the limit is not kept: %d", len(got))
	}
	if got := ix.Suggest("", 5); got != nil {
		t.Errorf("nothing typed gives %v", got)
	}
}

func TestEveryNameMatchesItself(t *testing.T) {
	ix := small(t)
	rapid.Check(t, func(t *rapid.T) {
		e := ix.at(rapid.Uint32Range(0, uint32(ix.Len()-1)).Draw(t, "name"))
		around := rapid.SampledFrom([]string{"%", " % ", "% Fr.", "% (L.) Fr. 1821"}).Draw(t, "around")
		if m := ix.Match(strings.ReplaceAll(around, "%", e.Name)); m.How != Same || m.Found != e {
			t.Fatalf("%s is matched as %s %v", e.Name, m.How, m.Found)
		}
	})
}

func TestMatchTakesAnyText(t *testing.T) {
	ix := small(t)
	rapid.Check(t, func(t *rapid.T) {
		s := written().Draw(t, "s")
		m := ix.MatchWithin(s, map[string]bool{"amanita phalloides": true, "junk": true})
		if m.Written.Verbatim != s {
			t.Fatalf("verbatim lost: %q", m.Written.Verbatim)
		}
		if (m.Found == nil) != (m.How == Several || m.How == Nothing) || len(m.Candidates) > 5 || m.Score < 0 || m.Score > 1 {
			t.Fatalf("%q: %+v", s, m)
		}
		ix.Suggest(s, 5)
	})
}

func TestRevisionFollowsContentAlone(t *testing.T) {
	ix, rows := small(t), smallRows()
	slices.Reverse(rows)
	turned, err := NewIndex(rows, smallCommons)
	if err != nil || turned.Revision() != ix.Revision() || turned.Len() != ix.Len() {
		t.Errorf("another order is another revision (%v)", err)
	}
	rows[0].Disputed = "whether it is one"
	changed, err := NewIndex(rows, smallCommons)
	if err != nil || changed.Revision() == ix.Revision() {
		t.Errorf("a change has the same revision (%v)", err)
	}
}

func TestManyMayAskAtOnce(t *testing.T) {
	ix := small(t)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for _, s := range []string{"A. virosa", "Amanitta faloides", "Galerina marginala"} {
				ix.Match(s)
				ix.Suggest(s, 3)
				ix.Members(ix.at(ix.find("boletaceae")))
			}
		})
	}
	all.Wait()
}
