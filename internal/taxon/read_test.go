package taxon

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestReadTakesAuthorsOff(t *testing.T) {
	for written, want := range map[string][2]string{
		"Amanita phalloides":                                       {"Amanita phalloides", ""},
		"Amanita phalloides (Vaill. ex Fr.) Link":                  {"Amanita phalloides", "(Vaill. ex Fr.) Link"},
		"Amanita phalloides (Vaill. ex Fr.)  Link, 1833":           {"Amanita phalloides", "(Vaill. ex Fr.) Link, 1833"},
		"Agaricus muscarius L. : Fr.":                              {"Agaricus muscarius", "L. : Fr."},
		"Agaricus muscarius L.: Fr. 1821":                          {"Agaricus muscarius", "L.: Fr. 1821"},
		"Amanita muscaria(L.)Lam.":                                 {"Amanita muscaria", "(L.)Lam."},
		"Galerina marginata (Batsch) Kühner":                       {"Galerina marginata", "(Batsch) Kühner"},
		"Collybia fusipes de Bary":                                 {"Collybia fusipes", "de Bary"},
		"Boletus Fries":                                            {"Boletus", "Fries"},
		"Amanita Pers.":                                            {"Amanita", "Pers."},
		"Cortinarius violaceus (L.) Gray in Nat. Arr. Brit. Pl.":   {"Cortinarius violaceus", "(L.) Gray in Nat. Arr. Brit. Pl."},
		"Amanita muscaria (L.) Lam. var. formosa (Pers.) Bertill.": {"Amanita muscaria var. formosa", "(Pers.) Bertill."},
		"Amanita muscaria (L.) Lam. var. muscaria":                 {"Amanita muscaria var. muscaria", "(L.) Lam."},
		"Puccinia foo Hook. f. ex Berk.":                           {"Puccinia foo", "Hook. f. ex Berk."},
		"Clitocybe dealbata sensu Lange":                           {"Clitocybe dealbata", "sensu Lange"},
		"Clitocybe dealbata ss. Lange":                             {"Clitocybe dealbata", "ss. Lange"},
		"Hygrocybe conica S. L. Miller":                            {"Hygrocybe conica", "S. L. Miller"},
	} {
		if got := Read(written); got.Canonical != want[0] || got.Author != want[1] {
			t.Errorf("Read(%q) = %q by %q, want %q by %q", written, got.Canonical, got.Author, want[0], want[1])
		}
	}
}

func TestReadKnowsDoubtsAndWhereTheyStand(t *testing.T) {
	for _, c := range []struct {
		written, canonical string
		qualifier          Qualifier
		position           Rank
	}{
		{"Russula cf. emetica", "Russula emetica", Confer, Species},
		{"Russula cf.emetica", "Russula emetica", Confer, Species},
		{"cf. Russula emetica", "Russula emetica", Confer, Genus},
		{"CF Russula emetica", "Russula emetica", Confer, Genus},
		{"Russula emetica cf", "Russula emetica", Confer, Species},
		{"Russula (cf.) emetica", "Russula emetica", Confer, Species},
		{"Russula aff emetica Fr.", "Russula emetica", Affinis, Species},
		{"Russula sp.", "Russula", OnlyGenus, Species},
		{"Russula sp", "Russula", OnlyGenus, Species},
		{"Russula spp.", "Russula", OnlyGenus, Species},
		{"russula sp.2", "Russula", OnlyGenus, Species},
		{"Russula emetica group", "Russula emetica", Group, Species},
		{"Russula emetica gr.", "Russula emetica", Group, Species},
		{"Russula emetica grp", "Russula emetica", Group, Species},
		{"Russula emetica agg.", "Russula emetica", Group, Species},
		{"Russula emetica (agg.)", "Russula emetica", Group, Species},
		{"Russula emetica species complex", "Russula emetica", Group, Species},
		{"Russula gr. emetica", "Russula emetica", Group, Species},
		{"Russula emetica s.l.", "Russula emetica", SensuLato, Species},
		{"Russula emetica s. lat.", "Russula emetica", SensuLato, Species},
		{"Russula emetica sensu lato", "Russula emetica", SensuLato, Species},
		{"Russula s.l.", "Russula", SensuLato, Genus},
		{"Russula emetica s. str.", "Russula emetica", SensuStrict, Species},
		{"Russula emetica ss.", "Russula emetica", SensuStrict, Species},
		{"Russula emetica sensu stricto", "Russula emetica", SensuStrict, Species},
		{"?Russula emetica", "Russula emetica", Doubt, Genus},
		{"Russula ?emetica", "Russula emetica", Doubt, Species},
		{"Russula emetica?", "Russula emetica", Doubt, Species},
		{"Russula emetica (?)", "Russula emetica", Doubt, Species},
		{"Russula emetica ined.", "Russula emetica", Ineditus, Species},
		{"Russula emetica nom. prov.", "Russula emetica", Ineditus, Species},
		{"Russula emetica auct. non Fr.", "Russula emetica", SensuAuct, Species},
		{"Russula emetica sensu auct.", "Russula emetica", SensuAuct, Species},
		{"Amanita muscaria cf. var. formosa", "Amanita muscaria var. formosa", Confer, Variety},
		{"Amanita muscaria var. cf. formosa", "Amanita muscaria var. formosa", Confer, Variety},
		{"Amanita muscaria s.l. var. formosa", "Amanita muscaria var. formosa", SensuLato, Species},
		{"Russula cf. emetica group", "Russula emetica", Group, Species},
		{"cf. Russula emetica s.str.", "Russula emetica", Confer, Genus},
		{"RUSSULA CF. EMETICA", "Russula emetica", Confer, Species},
	} {
		got := Read(c.written)
		if got.Canonical != c.canonical || got.Qualifier != c.qualifier || got.Position != c.position {
			t.Errorf("Read(%q) = %q %q %q, want %q %q %q", c.written, got.Canonical, got.Qualifier, got.Position,
				c.canonical, c.qualifier, c.position)
		}
	}
}

func TestReadTidiesTheName(t *testing.T) {
	for written, want := range map[string]string{
		"A. muscaria":                         "A. muscaria",
		"A.muscaria":                          "A. muscaria",
		"A muscaria":                          "A. muscaria",
		"Am. muscaria":                        "Am. muscaria",
		"AMANITA MUSCARIA":                    "Amanita muscaria",
		"AMANITA MUSCARIA (L.) LAM.":          "Amanita muscaria",
		"amanita muscaria":                    "Amanita muscaria",
		"Boletus Satanas":                     "Boletus satanas",
		"  Amanita\u00a0 muscaria\t":          "Amanita muscaria",
		"Amanita\u0000muscaria":               "Amanita muscaria",
		"Amanita_muscaria":                    "Amanita muscaria",
		"Amanita mus\u00adcaria":              "Amanita muscaria",
		"Otidea lohjaënsis":                   "Otidea lohjaënsis",
		"Clavulina novae-zelandiae":           "Clavulina novae-zelandiae",
		"Amanita × mixta":                     "Amanita × mixta",
		"Amanita x mixta":                     "Amanita × mixta",
		"×Amanitopsis mixta":                  "Amanitopsis × mixta",
		"Amanita muscaria ssp. flavivolvata":  "Amanita muscaria subsp. flavivolvata",
		"Amanita muscaria subspecies alba":    "Amanita muscaria subsp. alba",
		"Amanita muscaria forma alba":         "Amanita muscaria f. alba",
		"Amanita muscaria f.alba":             "Amanita muscaria f. alba",
		"Puccinia graminis f. sp. tritici":    "Puccinia graminis f. tritici",
		"Amanita muscaria formosa":            "Amanita muscaria formosa",
		"Amanita sect. Phalloideae":           "Amanita sect. Phalloideae",
		"Amanita section phalloideae":         "Amanita sect. Phalloideae",
		"Amanita subg. Lepidella":             "Amanita subg. Lepidella",
		"Amanita (Amanita) muscaria":          "Amanita muscaria",
		"Amanita phalloides × Amanita virosa": "Amanita phalloides × Amanita virosa",
	} {
		if got := Read(written).Canonical; got != want {
			t.Errorf("Read(%q).Canonical = %q, want %q", written, got, want)
		}
	}
}

func TestReadKnowsRanks(t *testing.T) {
	for written, want := range map[string]Rank{
		"Amanita": Genus, "Amanitaceae": Family, "Agaricales": Order, "Agaricomycetes": Class, "Basidiomycota": Phylum,
		"Fungi": Kingdom, "Amanita muscaria": Species, "Amanita sect. Phalloideae": Section,
		"Amanita muscaria var. alba": Variety, "Amanita muscaria f. alba": FormaRank,
		"small brown thing with ring": "", "": "", "???": "", "137": "", "Amanita virosa or A. phalloides": "",
		"Russula emetica/mairei": "", "Amanita phalloides × A. virosa": "",
	} {
		if got := Read(written).Rank; got != want {
			t.Errorf("Read(%q).Rank = %q, want %q", written, got, want)
		}
	}
}

func TestReadIsQuickWithAnyLength(t *testing.T) {
	for _, s := range []string{"cf.", "x ", "(", "var. a ", "ë", "? "} {
		long := strings.Repeat(s, 300_000)
		if w := Read(long); w.Verbatim != long || w.Rank != "" {
			t.Errorf("a long run of %q reads as a %s", s, w.Rank)
		}
	}
}

func checkRead(t interface{ Fatalf(string, ...any) }, s string) {
	w := Read(s)
	if w.Verbatim != s {
		t.Fatalf("Read(%q) changed what was written to %q", s, w.Verbatim)
	}
	if utf8.ValidString(s) && !utf8.ValidString(w.Canonical+w.Author) {
		t.Fatalf("Read(%q) cut a letter in two: %q %q", s, w.Canonical, w.Author)
	}
	if strings.ContainsRune(w.Canonical+w.Author, 0) {
		t.Fatalf("Read(%q) kept U+0000", s)
	}
	if key := Key(w.Canonical); Key(key) != key {
		t.Fatalf("Key(%q) is not its own key: %q", key, Key(key))
	}
	if again := Read(w.Canonical); w.Rank != "" && (again.Canonical != w.Canonical || again.Rank != w.Rank) {
		t.Fatalf("Read(%q) gives the %s %q, which reads as the %s %q", s, w.Rank, w.Canonical, again.Rank, again.Canonical)
	}
	w.Authorship()
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"Amanita cf. phalloides (Vaill. ex Fr.) Link", "A. muscaria var. alba", "×", "?", "\x00", "sect.", "f. sp.",
		"x x x", "(", "ß", "\xff", "cf.cf.cf.", "A.b.c", "ſ.ſ", `Amanita "sp-AUS02"`, "Cortinarius 'pseudosalor'", "Russula sp. 1",
		"Inocybe IN42 [MB#1]", "Amanita (Phl.) foo, young", "Fo. x B0letus", "β * - (a", "İstanbul ǅemal", "ſP", "ıned", "AA AAAAA aS", "A( FF"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { checkRead(t, s) })
}

// written draws text that is mostly made of what stands in names.
func written() *rapid.Generator[string] {
	part := rapid.OneOf(rapid.SampledFrom([]string{"Amanita", "A.", "phalloides", "cf.", "aff", "sp.", "var.", "f.", "ssp", "×", "x",
		"?", "(L.)", "Fr.", "ex", "sect.", "s.", "l.", "sensu", "lato", "auct.", "or", "/", "ß", "É", "\u0000", "ALBA", "\"", "'", "sp-A2",
		"1", "-", ",", "in", "(", ")", "nr", "β", "fascicu1are", "de", "var", "non", "young", "ser.", "ex", "gr."}), rapid.String())
	return rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(part, 0, 8).Draw(t, "parts"), rapid.SampledFrom([]string{" ", "", "  "}).Draw(t, "gap"))
	})
}

func TestReadTakesAnyTextAndKeepsIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { checkRead(t, written().Draw(t, "s")) })
}

func TestFold(t *testing.T) {
	for s, want := range map[string]string{
		"Lohjaënsis": "lohjaensis", "Łódź": "lodz", "Groß": "gross", "Ærø": "aero", "Þór Ðað": "thor dad",
		"novae-zelandiae": "novaezelandiae", " A  b\t": "a b", "ﬁmbriata": "fimbriata", "a\u0000b": "a b", "đ": "d",
		"foo‑bar": "foobar",
	} {
		if got := Fold(s); got != want {
			t.Errorf("Fold(%q) = %q, want %q", s, got, want)
		}
	}
}

func TestFoldAndKeyAreIdempotent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := written().Draw(t, "s")
		if once := Fold(s); Fold(once) != once {
			t.Fatalf("Fold(%q) = %q, again %q", s, once, Fold(once))
		}
		if once := Key(s); Key(once) != once {
			t.Fatalf("Key(%q) = %q, again %q", s, once, Key(once))
		}
	})
}

// plainEdits is the textbook table, without bounds or shortcuts.
func plainEdits(a, b []rune) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}

func TestEditsAgreeWithTheTextbook(t *testing.T) {
	word := rapid.StringOfN(rapid.SampledFrom([]rune("abcë")), 0, 9, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b, limit := word.Draw(t, "a"), word.Draw(t, "b"), rapid.IntRange(0, 4).Draw(t, "max")
		want := min(plainEdits([]rune(a), []rune(b)), limit+1)
		if got := Edits(a, b, limit); got != want {
			t.Fatalf("Edits(%q, %q, %d) = %d, want %d", a, b, limit, got, want)
		}
		if Edits(a, b, limit) != Edits(b, a, limit) {
			t.Fatalf("Edits(%q, %q) depends on the order", a, b)
		}
	})
}
