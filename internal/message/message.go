// Package message holds every text that a person reads, by key and language, so that another language is a
// set of files and not a rewrite. It renders; it never decides what to say.
//
// A catalogue is a folder of text files, one folder a language, one line a text:
//
//	intake.saved = Saved as {number}.
//	list.count#one = {n} collection
//	list.count#other = {n} collections
//
// A text with the suffixes #one and #other is chosen by its argument n.
package message

import (
	"context"
	"embed"
	"fmt"
	"io/fs"
	"path"
	"sort"
	"strings"
)

//go:embed en/*.txt
var files embed.FS

const (
	English = "en"
	// Pseudo is a language for tests: English with its letters replaced and longer, between ⟦ and ⟧, so that a
	// text which did not come through a catalogue, or a layout too tight for another language, is seen.
	Pseudo = "en-x-long"
)

// Text is a text to be said later, in the reader's language.
type Text struct {
	Key  string
	Args map[string]any
}

// T makes a Text from a key and pairs of argument name and value.
func T(key string, pairs ...any) Text {
	t := Text{Key: key}
	if len(pairs) > 0 {
		t.Args = make(map[string]any, len(pairs)/2)
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		t.Args[fmt.Sprint(pairs[i])] = pairs[i+1]
	}
	return t
}

// IsZero reports whether there is nothing to say.
func (t Text) IsZero() bool { return t.Key == "" }

// Printer says texts in one language.
type Printer struct {
	lang  string
	texts map[string]string
}

var catalogues = mustLoad()

// For returns the printer of a language; of English where the language is not there.
func For(lang string) Printer {
	if lang == Pseudo {
		return Printer{lang: Pseudo, texts: catalogues[English]}
	}
	if texts, ok := catalogues[lang]; ok {
		return Printer{lang: lang, texts: texts}
	}
	return Printer{lang: English, texts: catalogues[English]}
}

// Language is the printer's language tag, for an HTML lang attribute.
func (p Printer) Language() string {
	if p.lang == "" {
		return English
	}
	return p.lang
}

// Say renders the text of a key. A key that is in no catalogue is shown as itself between ⟪ and ⟫; a test keeps
// that from happening.
func (p Printer) Say(key string, pairs ...any) string { return p.Text(T(key, pairs...)) }

// Text renders a Text; arguments that are Texts themselves are rendered first.
func (p Printer) Text(t Text) string {
	if p.texts == nil {
		p = For(English)
	}
	s, ok := p.texts[t.Key]
	if !ok {
		s, ok = p.texts[t.Key+plural(t.Args["n"])]
	}
	if !ok {
		return "⟪" + t.Key + "⟫"
	}
	if p.lang == Pseudo {
		s = pseudo(s)
	}
	return p.fill(s, t.Args)
}

func (p Printer) fill(s string, args map[string]any) string {
	if len(args) == 0 {
		return s
	}
	pairs := make([]string, 0, 2*len(args))
	for name, value := range args {
		if inner, ok := value.(Text); ok {
			value = p.Text(inner)
		}
		pairs = append(pairs, "{"+name+"}", fmt.Sprint(value))
	}
	return strings.NewReplacer(pairs...).Replace(s)
}

// Has reports whether the English catalogue has a text for the key, alone or by number.
func Has(key string) bool {
	en := catalogues[English]
	_, plain := en[key]
	_, many := en[key+"#other"]
	return plain || many
}

// Keys lists the keys of the English catalogue in order.
func Keys() []string {
	keys := make([]string, 0, len(catalogues[English]))
	for k := range catalogues[English] {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

func plural(n any) string {
	if fmt.Sprint(n) == "1" { // also a number that came back from JSON
		return "#one"
	}
	return "#other"
}

type printerKey struct{}

// With puts the reader's printer into a context.
func With(ctx context.Context, p Printer) context.Context {
	return context.WithValue(ctx, printerKey{}, p)
}

// From takes the reader's printer out of a context; English where there is none.
func From(ctx context.Context) Printer {
	if p, ok := ctx.Value(printerKey{}).(Printer); ok {
		return p
	}
	return For(English)
}

func mustLoad() map[string]map[string]string {
	all := map[string]map[string]string{}
	names, err := fs.Glob(files, "*/*.txt")
	if err != nil {
		panic(err)
	}
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			panic(err)
		}
		lang := path.Dir(name)
		if all[lang] == nil {
			all[lang] = map[string]string{}
		}
		if err := readInto(all[lang], string(data)); err != nil {
			panic(fmt.Sprintf("message: %s: %v", name, err))
		}
	}
	return all
}

func readInto(texts map[string]string, data string) error {
	for i, line := range strings.Split(data, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "//") {
			continue
		}
		key, text, ok := strings.Cut(line, " = ")
		if !ok {
			return fmt.Errorf("line %d: no ' = '", i+1)
		}
		if _, twice := texts[key]; twice {
			return fmt.Errorf("line %d: %q is there twice", i+1, key)
		}
		texts[key] = text
	}
	return nil
}
