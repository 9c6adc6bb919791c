package pages_test

import (
	"encoding/csv"
	"io/fs"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"testing"
	"unicode"

	"golang.org/x/net/html"

	"forayhall/internal/access"
	"forayhall/internal/message"
	"forayhall/seed"
)

// inPseudo asks for every page in the test language.
type inPseudo struct{ next http.RoundTripper }

func (p inPseudo) RoundTrip(r *http.Request) (*http.Response, error) {
	r = r.Clone(r.Context())
	r.Header.Set("Accept-Language", message.Pseudo+", en;q=0.5")
	return p.next.RoundTrip(r)
}

// TestEveryTextComesFromACatalogue reads every page of every role in the test language, in which each text stands
// between ⟦ and ⟧. It would catch a word that was written into a view, and a key that no catalogue has.
func TestEveryTextComesFromACatalogue(t *testing.T) {
	f := onSQLite(t).whole()
	for _, b := range f.at {
		b.client.Transport = inPseudo{http.DefaultTransport}
	}
	told := map[string]bool{}
	f.everyPage(t, func(t *testing.T, p shown) {
		if !contains(p.body, "⟦") || attr(find(p.page, func(n *node) bool { return n.Data == "html" }), "lang") != message.Pseudo {
			t.Errorf("%s: %s is not in the test language", p.who, p.path)
		}
		for _, text := range visibleTexts(p.page) {
			if wrong := notFromACatalogue(text); wrong != "" && !f.isData(wrong) && !told[wrong] {
				told[wrong] = true
				t.Errorf("%s: %s: %q in %q", p.who, p.path, wrong, text.text)
			}
		}
	})
}

// said is a text that somebody reads or hears.
type said struct {
	text string
	gaps bool // a script fills in what is left open: what changed, how many, how far a photograph has come
}

// spoken are the attributes that are read out or shown, and filled those of them with gaps for a script.
var (
	spoken = []string{"aria-label", "title", "alt", "placeholder", "aria-description", "data-list-label", "data-said-none", "data-live-name", "data-on", "data-off",
		"data-none", "data-shrinking", "data-ready", "data-failed"}
	filled = []string{"data-live-changed", "data-live-here", "data-live-show", "data-live-lost", "data-live-back", "data-said-many", "data-sending", "data-chosen", "data-first", "data-numbered"}
)

// visibleTexts are the texts of a page, but for those marked as names and numbers.
func visibleTexts(root *node) []said {
	var texts []said
	var walk func(n *node)
	walk = func(n *node) {
		if n.Type == html.TextNode {
			texts = append(texts, said{strings.Join(strings.Fields(n.Data), " "), false})
		}
		if n.Type == html.ElementNode {
			for _, name := range spoken {
				texts = append(texts, said{attr(n, name), false})
			}
			for _, name := range filled {
				texts = append(texts, said{attr(n, name), true})
			}
			if attr(n, "translate") == "no" || n.Data == "script" || n.Data == "style" || n.Data == "datalist" || n.Data == "code" {
				return
			}
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(root)
	return texts
}

// notFromACatalogue is what stands outside the brackets, where it has letters; or a key that has no text.
func notFromACatalogue(one said) string {
	text := one.text
	if _, key, missing := strings.Cut(text, "⟪"); missing {
		return "⟪" + key
	}
	if gaps := unfilled.FindAllString(text, -1); len(gaps) > 0 && !one.gaps {
		return strings.Join(gaps, " ")
	}
	var outside strings.Builder
	depth := 0
	for _, r := range text {
		switch r {
		case '⟦':
			depth++
		case '⟧':
			depth--
		default:
			if depth == 0 {
				outside.WriteRune(r)
			}
		}
	}
	rest := trimmed(outside.String())
	if strings.IndexFunc(rest, unicode.IsLetter) < 0 {
		return ""
	}
	return rest
}

// unfilled is an argument that nobody gave.
var unfilled = regexp.MustCompile(`\{[a-z_]+\}`)

func trimmed(s string) string { return strings.Trim(s, " ·,:.;–—†") }

// isData reports whether a text is what people typed, or what the knowledge says, whole.
func (f *floor) isData(text string) bool {
	for _, words := range []string{"Hollinbeck Fungus Society", "Fernhollow Fungus Group", "Autumn foray · Hollinbeck Hall", "Autumn foray", "Hollinbeck Hall", "HB26", "Poison line", "day and night", "Alder Carr", "Weir Bank",
		"ALD Alder Carr", "WEIR Weir Bank", "1 Boletes", "2 Small brown ones", "3 Hazards", "Mei Adeyemi", "Ines Okafor", "Person second", "Person third",
		"Person second, Person third", "Fagus", "by the weir", "under the footbridge", "meal", "radish", "browner", "seen with a lens", "scaly below the ring",
		"smooth below the ring", "another plate was meant", "too old", "Tomasz Achebe", "potato", "cf", "nobody", "spores", "Amanita citrina", "x", "boletus hollinbeckensis", "cut through", "1 Otters", "91 Otters", "92 Otters", "91 Alder Carr",
		"HB26 Autumn foray", "Installation", "Adaeze Marsh", "Tobi Marsh", "wet", "Guest Of Ours", "Letter Wood", "LS Letter Wood", "the title"} {
		if text == words {
			return true
		}
	}
	if strings.HasPrefix(text, "http://127.0.0.1:") { // an address that is shown to be kept
		return true
	}
	for _, right := range access.Rights {
		if text == "Person "+string(right) {
			return true
		}
	}
	return knowledgeCells()[text]
}

// knowledgeCells are the cells of the tables of knowledge: common names, syndromes and differences are the knowledge's
// own words and belong to no catalogue of the pages.
var knowledgeCells = sync.OnceValue(func() map[string]bool {
	cells := map[string]bool{}
	err := fs.WalkDir(seed.Files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".csv") || strings.HasPrefix(path, "demo/") {
			return err
		}
		file, err := seed.Files.Open(path)
		if err != nil {
			return err
		}
		defer file.Close()
		rows, err := csv.NewReader(file).ReadAll()
		for _, row := range rows {
			for _, cell := range row {
				cells[trimmed(strings.Join(strings.Fields(cell), " "))] = true
			}
		}
		return err
	})
	if err != nil {
		panic(err)
	}
	return cells
})
