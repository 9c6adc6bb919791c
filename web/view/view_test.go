package view

import (
	"bytes"
	"context"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"golang.org/x/net/html"

	"forayhall/internal/message"
)

func render(t *testing.T, s sample, language string) *html.Node {
	t.Helper()
	var b bytes.Buffer
	if err := s.page.Render(message.With(context.Background(), message.For(language)), &b); err != nil {
		t.Fatalf("%s: %v", s.name, err)
	}
	doc, err := html.Parse(&b)
	if err != nil {
		t.Fatalf("%s: %v", s.name, err)
	}
	return doc
}

func each(n *html.Node, visit func(*html.Node)) {
	visit(n)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		each(c, visit)
	}
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	for _, a := range n.Attr {
		if a.Key == key {
			return true
		}
	}
	return false
}

// dataWords are the words of every string in a sample: what may stand on a page without a catalogue. The key of a
// text and an address are no such words.
func dataWords(v reflect.Value, words map[string]bool) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			dataWords(v.Elem(), words)
		}
	case reflect.Struct:
		if _, ok := v.Interface().(time.Time); ok {
			return
		}
		if text, ok := v.Interface().(message.Text); ok {
			for _, arg := range text.Args {
				dataWords(reflect.ValueOf(arg), words)
			}
			return
		}
		for i := range v.NumField() {
			dataWords(v.Field(i), words)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			dataWords(v.Index(i), words)
		}
	case reflect.String:
		if strings.HasPrefix(v.String(), "/") {
			return // an address is never shown
		}
		for _, w := range split(v.String()) {
			words[w] = true
		}
	}
}

func split(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
}

// uncatalogued gives the words outside ⟦ ⟧.
func uncatalogued(s string) []string {
	var b strings.Builder
	depth := 0
	for _, r := range s {
		switch {
		case r == '⟦':
			depth++
		case r == '⟧':
			depth--
		case depth == 0:
			b.WriteRune(r)
		}
	}
	return split(b.String())
}

// It catches a word typed into a template, in any attribute that is read out or shown as well as in the text.
func TestEveryWordComesFromTheCatalogueOrTheData(t *testing.T) {
	spoken := []string{"title", "aria-label", "placeholder", "alt", "data-list-label", "data-said-many", "data-said-none",
		"data-live-changed", "data-live-here", "data-live-show", "data-live-lost", "data-live-back", "data-live-name", "data-on", "data-off"}
	for _, s := range samples() {
		words := map[string]bool{}
		dataWords(reflect.ValueOf(s.data), words)
		check := func(where, text string) {
			if strings.Contains(text, "⟪") {
				t.Errorf("%s: %s: no such text: %s", s.name, where, text)
			}
			for _, w := range uncatalogued(text) {
				if !words[w] {
					t.Errorf("%s: %s: %q did not come through the catalogue: %s", s.name, where, w, text)
				}
			}
		}
		each(render(t, s, message.Pseudo), func(n *html.Node) {
			if n.Type == html.TextNode && n.Parent.Data != "kbd" { // what stands on a key
				check(n.Parent.Data, n.Data)
			}
			for _, key := range spoken {
				check("@"+key, attr(n, key))
			}
		})
	}
}

func TestNoPageCarriesStyleOrScriptOfItsOwn(t *testing.T) {
	for _, s := range samples() {
		each(render(t, s, message.English), func(n *html.Node) {
			if n.Data == "style" && n.Type == html.ElementNode || n.Data == "script" && !has(n, "src") {
				t.Errorf("%s: inline <%s>", s.name, n.Data)
			}
			for _, a := range n.Attr {
				if a.Key == "style" || strings.HasPrefix(a.Key, "on") || strings.HasPrefix(strings.ToLower(a.Val), "javascript:") {
					t.Errorf("%s: <%s %s=%q>", s.name, n.Data, a.Key, a.Val)
				}
			}
		})
	}
}

func TestEveryControlHasALabelAndWhatItRefersToIsThere(t *testing.T) {
	for _, s := range samples() {
		ids, labelled := map[string]int{}, map[string]bool{}
		doc := render(t, s, message.English)
		each(doc, func(n *html.Node) {
			if id := attr(n, "id"); id != "" {
				ids[id]++
			}
			if n.Data == "label" {
				labelled[attr(n, "for")] = true
			}
		})
		for id, n := range ids {
			if n > 1 {
				t.Errorf("%s: id %q is there %d times", s.name, id, n)
			}
		}
		each(doc, func(n *html.Node) {
			control := n.Data == "input" && attr(n, "type") != "hidden" || n.Data == "select" || n.Data == "textarea"
			if n.Type == html.ElementNode && control && !labelled[attr(n, "id")] {
				t.Errorf("%s: %s %q has no label", s.name, n.Data, attr(n, "name"))
			}
			for _, key := range []string{"aria-describedby", "aria-labelledby", "list"} {
				for _, id := range strings.Fields(attr(n, key)) {
					if ids[id] == 0 {
						t.Errorf("%s: %s=%q points nowhere", s.name, key, id)
					}
				}
			}
			if href := attr(n, "href"); strings.HasPrefix(href, "#") && ids[href[1:]] == 0 {
				t.Errorf("%s: link to %s points nowhere", s.name, href)
			}
		})
	}
}

func TestEveryFormThatWritesCarriesACommand(t *testing.T) {
	for _, s := range samples() {
		each(render(t, s, message.English), func(n *html.Node) {
			if n.Data != "form" || attr(n, "method") != "post" {
				return
			}
			command := false
			each(n, func(c *html.Node) { command = command || attr(c, "name") == "command" && attr(c, "value") != "" })
			if !command {
				t.Errorf("%s: form to %s has no command", s.name, attr(n, "action"))
			}
		})
	}
}

func TestDecidingFormsCarryTheVersionThatWasOnTheScreen(t *testing.T) {
	want := map[string]bool{FormSign: true, FormNameless: true, FormStrike: true, FormFieldName: false}
	doc := render(t, sample{name: "collection", page: CollectionPage(collectionSample())}, message.English)
	each(doc, func(n *html.Node) {
		action := attr(n, "action")
		expect, known := want[action[strings.LastIndex(action, "/")+1:]]
		if n.Data != "form" || !known {
			return
		}
		got := false
		each(n, func(c *html.Node) { got = got || attr(c, "name") == "base_version" && attr(c, "value") == "4" })
		if got != expect {
			t.Errorf("%s: carries the version: %v, want %v", action, got, expect)
		}
	})
}

var heading = regexp.MustCompile(`^h[1-6]$`)

func TestHeadingsGoDownOneStepAtATimeFromOneFirst(t *testing.T) {
	for _, s := range samples() {
		last, firsts := 0, 0
		main := false
		each(render(t, s, message.English), func(n *html.Node) {
			if n.Data == "main" {
				main = true
			}
			if n.Type != html.ElementNode || !heading.MatchString(n.Data) {
				return
			}
			level := int(n.Data[1] - '0')
			if level == 1 {
				firsts++
			}
			if level > last+1 && !(firsts == 0 && level == 2) { // the error summary stands before the heading
				t.Errorf("%s: <%s> after <h%d>", s.name, n.Data, last)
			}
			last = level
		})
		if firsts != 1 || !main {
			t.Errorf("%s: %d first headings, main: %v", s.name, firsts, main)
		}
	}
}

func TestPagesThatNameFungiToThePublicCarryTheCaution(t *testing.T) {
	for _, s := range samples() {
		if !s.public {
			continue
		}
		caution := false
		each(render(t, s, message.English), func(n *html.Node) { caution = caution || attr(n, "class") == "caution" })
		if !caution {
			t.Errorf("%s has no standing caution", s.name)
		}
	}
}

func TestTasteIsNeverAskedFor(t *testing.T) {
	for _, s := range samples() {
		each(render(t, s, message.English), func(n *html.Node) {
			if strings.Contains(strings.ToLower(attr(n, "name")), "taste") || n.Type == html.TextNode && strings.Contains(strings.ToLower(n.Data), "taste") {
				t.Errorf("%s speaks of taste: %s", s.name, n.Data)
			}
		})
	}
}

func TestAFieldThatIsWrongSaysSoAndTheSummaryLinksToIt(t *testing.T) {
	for _, s := range samples() {
		if s.name != "intake-refused" && s.name != "conflict" {
			continue
		}
		invalid, linked := 0, map[string]bool{}
		doc := render(t, s, message.English)
		each(doc, func(n *html.Node) {
			if n.Data == "a" && n.Parent.Data == "li" && strings.HasPrefix(attr(n, "href"), "#") {
				linked[attr(n, "href")[1:]] = true
			}
		})
		each(doc, func(n *html.Node) {
			if attr(n, "aria-invalid") != "true" {
				return
			}
			invalid++
			if !linked[attr(n, "id")] || !strings.Contains(attr(n, "aria-describedby"), attr(n, "id")+"-error") {
				t.Errorf("%s: %s is wrong and is not linked or described", s.name, attr(n, "id"))
			}
		})
		if invalid != 2 {
			t.Errorf("%s: %d fields are marked, want 2", s.name, invalid)
		}
	}
}

func TestNoHazardIsEverDrawnAsHarmless(t *testing.T) {
	for _, severity := range []int{-1, 0, 6} {
		h := Hazard{Severity: severity}
		if h.word().Key != "pages.hazard.none" || h.class() != "hazard-none" {
			t.Errorf("severity %d is drawn as %s", severity, h.word().Key)
		}
	}
}

func TestEveryWordOfTheVocabulariesHasItsTextAndEveryGroupItsPicture(t *testing.T) {
	areas := map[string][]string{"group": Groups, "substrate": Substrates, "growth": Growths, "plate": Plates, "stickiness": Stickiness,
		"texture": Textures, "basis": Bases, "where": Places, "role": Roles}
	for _, n := range Namings {
		areas["state"] = append(areas["state"], string(n))
	}
	for area, values := range areas {
		for _, v := range values {
			if !message.Has("pages." + area + "." + v) {
				t.Errorf("no text for %s.%s", area, v)
			}
		}
	}
	for _, o := range QualifierOptions("") {
		if !message.Has(o.Text.Key) {
			t.Errorf("no text for %s", o.Text.Key)
		}
	}
	for _, g := range Groups {
		if len(pictures[g]) == 0 {
			t.Errorf("no picture of %s", g)
		}
	}
}
