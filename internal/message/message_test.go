package message_test

import (
	"context"
	"regexp"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/message"
)

var placeholder = regexp.MustCompile(`\{[^{}]*\}`)

// texts is the English catalogue: every text by its whole key, with its suffix where it has one.
func texts(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, key := range message.Keys() {
		all[key] = message.For(message.English).Say(key)
	}
	if len(all) < 100 {
		t.Fatalf("only %d texts", len(all))
	}
	return all
}

func placeholders(s string) []string {
	found := placeholder.FindAllString(s, -1)
	slices.Sort(found)
	return slices.Compact(found)
}

var keyForm = regexp.MustCompile(`^[a-z0-9][a-z0-9_-]*(\.[A-Za-z0-9_-]+)*(#one|#other)?$`)

func TestEveryKeyIsWellFormedAndEveryTextSaysSomething(t *testing.T) {
	name := regexp.MustCompile(`^\{[a-z][a-z0-9_]*\}$`)
	for key, text := range texts(t) {
		if !keyForm.MatchString(key) {
			t.Errorf("%q is no key", key)
		}
		if strings.TrimSpace(text) == "" || strings.HasPrefix(text, "⟪") {
			t.Errorf("%s says %q", key, text)
		}
		for _, p := range placeholders(text) {
			if !name.MatchString(p) {
				t.Errorf("%s: %s is no placeholder", key, p)
			}
		}
		if strings.Count(text, "{") != len(placeholder.FindAllString(text, -1)) || strings.Count(text, "{") != strings.Count(text, "}") {
			t.Errorf("%s: a brace stands alone in %q", key, text)
		}
	}
}

// "{n} collection" and "{n} collections" say the same things; "one" may leave the number itself out.
func TestBothFormsOfANumberTakeTheSameArguments(t *testing.T) {
	all := texts(t)
	for key, other := range all {
		base, many := strings.CutSuffix(key, "#other")
		if _, one := strings.CutSuffix(key, "#one"); one {
			if _, ok := all[strings.TrimSuffix(key, "#one")+"#other"]; !ok {
				t.Errorf("%s has no #other", key)
			}
		}
		if !many {
			continue
		}
		if _, plain := all[base]; plain {
			t.Errorf("%s is there with and without number", base)
		}
		one, ok := all[base+"#one"]
		if !ok {
			t.Errorf("%s has no #one", key)
			continue
		}
		without := func(s string) []string {
			return slices.DeleteFunc(placeholders(s), func(p string) bool { return p == "{n}" })
		}
		if !slices.Equal(without(one), without(other)) {
			t.Errorf("%s: %v for one, %v for more", base, placeholders(one), placeholders(other))
		}
	}
}

// What the pseudo-language must keep is what the programme fills in; what it must change is every letter around it.
func TestThePseudoLanguageKeepsPlaceholdersAndChangesTheRest(t *testing.T) {
	pseudo := message.For(message.Pseudo)
	for key, text := range texts(t) {
		said := pseudo.Say(key)
		if !slices.Equal(placeholders(said), placeholders(text)) {
			t.Errorf("%s: %v became %v", key, placeholders(text), placeholders(said))
		}
		if !strings.HasPrefix(said, "⟦") || !strings.HasSuffix(said, "⟧") || len([]rune(said)) < len([]rune(text))*4/3 {
			t.Errorf("%s is not longer and fenced: %q", key, said)
		}
		if rest := placeholder.ReplaceAllString(said, ""); strings.ContainsAny(rest, "aeiou") {
			t.Errorf("%s keeps plain vowels: %q", key, said)
		}
	}
}

func TestATextIsFilledInItsReadersLanguage(t *testing.T) {
	for name, c := range map[string]struct {
		text message.Text
		want string
	}{
		"one":                       {message.T("tally.counts", "n", 1), "Counts as one: 1 confirmed find."},
		"more":                      {message.T("tally.counts", "n", 2), "Counts as one: 2 confirmed finds."},
		"none":                      {message.T("tally.counts", "n", 0), "Counts as one: 0 confirmed finds."},
		"a number back from JSON":   {message.T("tally.counts", "n", float64(1)), "Counts as one: 1 confirmed find."},
		"a text in a text":          {message.T("tally.narrower", "name", message.T("tally.form")), "Adds nothing: Adds nothing: a form group is no taxon., which lies within it, was confirmed too."},
		"an argument like a hole":   {message.T("tally.narrower", "name", "{name}"), "Adds nothing: {name}, which lies within it, was confirmed too."},
		"a key that is not there":   {message.T("no.such-text"), "⟪no.such-text⟫"},
		"a text that needs nothing": {message.T("tally.form"), "Adds nothing: a form group is no taxon."},
	} {
		t.Run(name, func(t *testing.T) {
			if got := message.For("en").Text(c.text); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
			if got := (message.Printer{}).Text(c.text); got != c.want {
				t.Errorf("without a language: %q", got)
			}
			if got := message.For("xx").Text(c.text); got != c.want {
				t.Errorf("in a language that is not there: %q", got)
			}
		})
	}
	if got := message.From(message.With(context.Background(), message.For(message.Pseudo))).Language(); got != message.Pseudo {
		t.Errorf("the reader's language is %q", got)
	}
	if message.From(context.Background()).Language() != message.English || message.Has("no.such-text") || !message.Has("tally.counts") {
		t.Error("the English catalogue is not the one to fall back on")
	}
}
