package knowledge_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"forayhall/internal/knowledge"
	"forayhall/seed"
)

func glossary(t *testing.T) knowledge.Glossary {
	t.Helper()
	g, err := knowledge.ReadGlossary(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// praises would tell somebody that a fungus may be eaten, which no text here does.
var praises = regexp.MustCompile(`(?i)\b(edible|safe|harmless|tasty|delicious|good to)\b`)

func TestTheGlossaryThatShipsExplainsEachWordOnceWithItsSource(t *testing.T) {
	g := glossary(t)
	if len(g) < 90 {
		t.Errorf("only %d words", len(g))
	}
	for i, w := range g {
		if w.Source == "" || !strings.HasSuffix(w.Plain, ".") || praises.MatchString(w.Plain) {
			t.Errorf("%s: %q, source %q", w.Word, w.Plain, w.Source)
		}
		if i > 0 && strings.ToLower(g[i-1].Word) >= strings.ToLower(w.Word) {
			t.Errorf("%s stands after %s", w.Word, g[i-1].Word)
		}
	}
}

// Every form of every word in the texts of look-alikes, found by reading them word by word, is among the words explained.
func TestEveryWordThatStandsInATextOfLookAlikesIsExplained(t *testing.T) {
	g := glossary(t)
	tables, err := knowledge.ReadHazards(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	forms := map[string]*regexp.Regexp{}
	for _, w := range g {
		for _, form := range append([]string{w.Word}, w.Also...) {
			forms[form] = regexp.MustCompile(`(?i)(^|[^\pL\pN'-])` + strings.ReplaceAll(regexp.QuoteMeta(form), " ", `\s+`) + `($|[^\pL\pN'-])`)
		}
	}
	for _, p := range tables.Pairs {
		in := g.In(p.Differences)
		if len(in) == 0 {
			t.Errorf("no word is explained of %q", p.Differences)
		}
		for _, w := range g {
			stands := slices.ContainsFunc(append([]string{w.Word}, w.Also...), func(form string) bool {
				return forms[form].MatchString(p.Differences)
			})
			if explained := slices.ContainsFunc(in, func(x knowledge.Word) bool { return x.Word == w.Word }); stands != explained {
				t.Errorf("%q in %q: stands %t, explained %t", w.Word, p.Differences, stands, explained)
			}
		}
	}
}

// The words by which the most dangerous are told apart; without them a row could be lost and nobody see it.
func TestTheWordsOfTheWorstLookAlikesAreInTheGlossary(t *testing.T) {
	in := glossary(t).In("Gills stay white; white print; a SAC at the base, a volva.", "rust-brown print, cobweb and KOH", "gills run down, egg-shaped, free, rim")
	var words []string
	for _, w := range in {
		words = append(words, w.Word)
	}
	want := "cobweb gills KOH print rim running down rust-brown print sac at the base stem base"
	if got := strings.Join(words, " "); got != want {
		t.Errorf("explained: %s, want %s", got, want)
	}
}

func TestAGlossaryWithAMistakeIsRefusedWithItsLine(t *testing.T) {
	for name, c := range map[string]struct{ rows, says string }{
		"without a source":       {"ring,,A band.,\n", "line 2: ring: the source is missing"},
		"without an explanation": {"ring,,,x\n", "explanation"},
		"without a word":         {",rings,A band.,x\n", "word is missing"},
		"explained twice":        {"ring,,A band.,x\nannulus,Ring,A band.,x\n", `line 3: annulus: "Ring" is explained twice`},
		"with a column too few":  {"ring,,A band.\n", "wrong number of fields"},
	} {
		_, err := knowledge.ReadGlossary(fstest.MapFS{"glossary.csv": {Data: []byte("word,also,plain,source\n" + c.rows)}})
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := knowledge.ReadGlossary(fstest.MapFS{}); err == nil {
		t.Error("a missing file is taken")
	}
}
