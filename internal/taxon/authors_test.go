package taxon

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestReadAuthorsTakesACitationApart(t *testing.T) {
	for s, want := range map[string]Authorship{
		"":                  {},
		"L.":                {Combination: Citation{Authors: []string{"L."}}},
		"(L.) Lam.":         {Basionym: Citation{Authors: []string{"L."}}, Combination: Citation{Authors: []string{"Lam."}}},
		"(L.)Lam.":          {Basionym: Citation{Authors: []string{"L."}}, Combination: Citation{Authors: []string{"Lam."}}},
		"O.F. Müll.":        {Combination: Citation{Authors: []string{"O. F. Müll."}}},
		"Berk. & Broome":    {Combination: Citation{Authors: []string{"Berk.", "Broome"}}},
		"Berk. et Broome":   {Combination: Citation{Authors: []string{"Berk.", "Broome"}}},
		"B. & Br.":          {Combination: Citation{Authors: []string{"B.", "Br."}}},
		"E. Horak":          {Combination: Citation{Authors: []string{"E. Horak"}}},
		"Smith, A.H.":       {Combination: Citation{Authors: []string{"Smith A. H."}}},
		"Hook. f. ex Berk.": {Combination: Citation{Authors: []string{"Berk."}, Ex: []string{"Hook. f."}}},
		"Zhao, Li & Cai":    {Combination: Citation{Authors: []string{"Zhao", "Li", "Cai"}}},
		"Zhao et al.":       {Combination: Citation{Authors: []string{"Zhao"}, Others: true}},
		"Zhao & al., 2011":  {Combination: Citation{Authors: []string{"Zhao"}, Others: true, Year: "2011"}},
		"(Vaill. ex Fr.) Link, 1833": {
			Basionym:    Citation{Authors: []string{"Fr."}, Ex: []string{"Vaill."}},
			Combination: Citation{Authors: []string{"Link"}, Year: "1833"}},
		"Bull. : Fr.": {Combination: Citation{Authors: []string{"Bull."}, SanctionedBy: "Fr."}, Sanctioned: true},
		"(Bull.: Fr.) P. Kumm.": {Basionym: Citation{Authors: []string{"Bull."}, SanctionedBy: "Fr."},
			Combination: Citation{Authors: []string{"P. Kumm."}}, Sanctioned: true},
		"Bull.:Pers.":                  {Combination: Citation{Authors: []string{"Bull."}, SanctionedBy: "Pers."}, Sanctioned: true},
		"L., nom. sanct.":              {Combination: Citation{Authors: []string{"L."}}, Sanctioned: true},
		"Kühner in Kühner & Romagn.":   {Combination: Citation{Authors: []string{"Kühner"}, In: "Kühner & Romagn."}},
		"Sacc. apud Bres.":             {Combination: Citation{Authors: []string{"Sacc."}, In: "Bres."}},
		"Thomas 1831, non Borkh. 1800": {Combination: Citation{Authors: []string{"Thomas"}, Year: "1831"}, Not: "Borkh. 1800"},
		"auct. non Fr.":                {Not: "Fr."},
		"Fr. sensu Lange":              {Combination: Citation{Authors: []string{"Fr."}}},
		"Fr. nom. illeg.":              {Combination: Citation{Authors: []string{"Fr."}}},
		"[Dill.] L.":                   {Combination: Citation{Authors: []string{"L."}}},
		"[MB 101]":                     {Registered: "101"},
		"Singer [MB#326156]":           {Combination: Citation{Authors: []string{"Singer"}}, Registered: "326156"},
		"(Bull. Fr.":                   {Combination: Citation{Authors: []string{"Bull. Fr."}}},
		"M.A. Curtis":                  {Combination: Citation{Authors: []string{"M. A. Curtis"}}},
		"G. de Bary":                   {Combination: Citation{Authors: []string{"G. de Bary"}}},
		"J.-L. Moreau":                 {Combination: Citation{Authors: []string{"J.-L. Moreau"}}},
	} {
		if got := ReadAuthors(s); !alike(got, want) {
			t.Errorf("ReadAuthors(%q) = %+v, want %+v", s, got, want)
		}
	}
}

func alike(a, b Authorship) bool {
	return citedAlike(a.Basionym, b.Basionym) && citedAlike(a.Combination, b.Combination) &&
		a.Sanctioned == b.Sanctioned && a.Not == b.Not && a.Registered == b.Registered
}

func citedAlike(a, b Citation) bool {
	return slices.Equal(a.Authors, b.Authors) && slices.Equal(a.Ex, b.Ex) && a.Others == b.Others && a.In == b.In &&
		a.SanctionedBy == b.SanctionedBy && a.Year == b.Year
}

// Pairs that one writer and another may use for one author citation.
func TestSameAuthorsKnowsTheFormsOfOneCitation(t *testing.T) {
	for _, pair := range [][2]string{
		{"Fr.", "Fries"}, {"Fr.", "E. Fries"}, {"Pers.", "Persoon"}, {"L.", "Linnaeus"}, {"L.", "Linné"}, {"DC.", "De Candolle"},
		{"P. Kumm.", "Kummer"}, {"Quél.", "Quel."}, {"Quélet", "Quél."}, {"Müll.", "Mueller"}, {"Kühner", "Kuehner"},
		{"Cke.", "Cooke"}, {"Schw.", "Schwein."}, {"Berk. & Broome", "B. & Br."}, {"Berk. & Broome", "Broome et Berk."},
		{"Bull. : Fr.", "Bull."}, {"Bull.: Fr.", "Bull. ex Fr."}, {"(Bull.: Fr.) P. Kumm.", "(Bull. ex Fr.) Kummer"},
		{"Vaill. ex Fr.", "Fr."}, {"Vaill. ex Fr.", "Vaill."}, {"(Vaill. ex Fr.) Link", "Link"}, {"(L.) Lam.", "(L. : Fr.) Lam."},
		{"Kühner in Romagn.", "Kühner"}, {"Zhao et al.", "Zhao, Li & Cai"}, {"Zhao, Li & Cai", "Zhao & al. 2011"},
		{"(Batsch) Kühner", "(Batsch) R. Kühner"}, {"Bresadola", "Bres."}, {"Singer [MB#7]", "Sing. MB 7"}, {"(Bull.)", "(Bull.) Fr."},
		{"Jacq.: Fr.", "Jacquin, nom. sanct."}, {"O.F.Müll.", "O. F. Müller"}, {"de Bary", "Bary"}, {"Hook. f.", "Hooker fil."},
	} {
		if got := SameAuthors(pair[0], pair[1]); got < 0.75 {
			t.Errorf("SameAuthors(%q, %q) = %.2f, want one", pair[0], pair[1], got)
		}
	}
}

func TestSameAuthorsKeepsPeopleApart(t *testing.T) {
	for _, pair := range [][2]string{
		{"Fr.", "Pers."}, {"P. Karst.", "H. Karst."}, {"Hook.", "Hook. f."}, {"Bull.", "Bolton"}, {"Peck", "Pers."},
		{"(Pers.) Fr.", "(Bull.) Quél."}, {"Link", "Linkola"}, {"Smith", "Smitz"}, {"A.H. Sm.", "W.G. Sm."},
		{"Fr. ex Sacc.", "Bres."}, {"Romagn.", "Rolland"}, {"Velen.", "Vent."}, {"Berk. & Broome", "Sacc. & Syd."},
		{"Schaeff.", "Schumach."},
	} {
		if got := SameAuthors(pair[0], pair[1]); got > 0.5 {
			t.Errorf("SameAuthors(%q, %q) = %.2f, want two", pair[0], pair[1], got)
		}
	}
}

// One list's homonym is told from the other by whatever the writer gave of the author.
func TestSameAuthorsTellsHomonymsApart(t *testing.T) {
	for _, c := range []struct{ written, meant, other string }{
		{"Fr.", "(Pers.) Fr.", "(Bull.) Quél."}, {"Pers. ex Fr.", "(Pers.) Fr.", "Velen."}, {"Lge.", "J.E. Lange", "Britzelm."},
		{"J. Lange", "J.E. Lange", "(Fr.) Fr."}, {"Bull.", "(Bull.) Fr.", "Pers."}, {"P.Karst", "P. Karst.", "Peck"},
		{"(Fr.) Karst.", "(Fr.) P. Karst.", "(Pers.) P. Karst."},
	} {
		meant, other := SameAuthors(c.written, c.meant), SameAuthors(c.written, c.other)
		if meant < other+0.2 {
			t.Errorf("%q is %.2f like %q and %.2f like %q", c.written, meant, c.meant, other, c.other)
		}
	}
}

func TestSameAuthorsIsOpenWhereNobodyIsCited(t *testing.T) {
	for _, pair := range [][2]string{{"", "Fr."}, {"Fr.", ""}, {"", ""}, {"nom. nud.", "Fr."}, {"?", "Fr."}} {
		if got := SameAuthors(pair[0], pair[1]); got != 0.5 {
			t.Errorf("SameAuthors(%q, %q) = %.2f, want 0.5", pair[0], pair[1], got)
		}
	}
}

// citation draws text that is mostly made of what stands in author citations.
func citation() *rapid.Generator[string] {
	part := rapid.OneOf(rapid.SampledFrom([]string{"(", ")", "[", "]", "Fr.", "Pers.", ":", "ex", "in", "&", "et", "al.", ",", "P.", "f.",
		"Kühner", "1833", "non", "nom.", "sanct.", "L.", "MB", "12", "DC.", "de", "Linnaeus", "Müll."}), rapid.String())
	return rapid.Custom(func(t *rapid.T) string {
		return strings.Join(rapid.SliceOfN(part, 0, 9).Draw(t, "parts"), rapid.SampledFrom([]string{" ", ""}).Draw(t, "gap"))
	})
}

func TestSameAuthorsIsEvenAndInBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := citation().Draw(t, "a"), citation().Draw(t, "b")
		forth, back := SameAuthors(a, b), SameAuthors(b, a)
		if forth < 0 || forth > 1 || forth != back {
			t.Fatalf("SameAuthors(%q, %q) = %v, the other way round %v", a, b, forth, back)
		}
		if self := SameAuthors(a, a); !ReadAuthors(a).IsZero() && self < 0.9 {
			t.Fatalf("SameAuthors(%q) with itself = %v: %+v", a, self, ReadAuthors(a))
		}
	})
}

func FuzzReadAuthors(f *testing.F) {
	for _, s := range []string{"(Vaill. ex Fr. : Fr.) Link in X, 1833", "[MB#1]", "((", "& &", "ex ex", ": Fr.", "f.", "\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if v := SameAuthors(s, "(L.) Fr."); v < 0 || v > 1 {
			t.Fatalf("SameAuthors(%q) = %v", s, v)
		}
	})
}
