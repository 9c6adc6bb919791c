package knowledge

import (
	"cmp"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"unicode"
)

const glossaryFile = "glossary.csv"

// Word is a word of the trade with what it means.
type Word struct {
	Word   string
	Also   []string // other forms of it, and words that mean the same
	Plain  string
	Source string

	forms []string // as In looks for them
}

// Glossary is words by alphabet.
type Glossary []Word

var glossaryColumns = []string{"word", "also", "plain", "source"}

// ReadGlossary reads glossary.csv.
func ReadGlossary(files fs.FS) (Glossary, error) {
	var g Glossary
	var wrong error
	taken := map[string]bool{}
	err := eachRow(files, glossaryFile, glossaryColumns, func(line int, cell func(string) string) {
		w := Word{Word: cell("word"), Also: list(cell("also")), Plain: cell("plain"), Source: cell("source")}
		if problem := w.prepare(taken); problem != "" && wrong == nil {
			wrong = fmt.Errorf("%s: line %d: %s: %s", glossaryFile, line, w.Word, problem)
		}
		g = append(g, w)
	})
	if err := cmp.Or(err, wrong); err != nil {
		return nil, err
	}
	slices.SortFunc(g, func(x, y Word) int { return strings.Compare(strings.ToLower(x.Word), strings.ToLower(y.Word)) })
	return g, nil
}

// prepare says what is wrong with a word, "" when nothing is.
func (w *Word) prepare(taken map[string]bool) string {
	switch {
	case w.Word == "":
		return "the word is missing"
	case w.Plain == "":
		return "the explanation is missing"
	case w.Source == "":
		return "the source is missing"
	}
	for _, form := range append([]string{w.Word}, w.Also...) {
		key := asWords(form)
		if taken[key] {
			return fmt.Sprintf("%q is explained twice", form)
		}
		taken[key] = true
		w.forms = append(w.forms, key)
	}
	return ""
}

// In gives the words that stand in any of the texts, by alphabet. A word that is part of a longer one, and words that are
// parted by a comma, do not count: "egg-shaped" is no egg.
func (g Glossary) In(texts ...string) []Word {
	var in []Word
	read := make([]string, len(texts))
	for i, text := range texts {
		read[i] = asWords(text)
	}
	for _, w := range g {
		if w.standsIn(read) {
			in = append(in, w)
		}
	}
	return in
}

func (w Word) standsIn(texts []string) bool {
	for _, text := range texts {
		for _, form := range w.forms {
			if strings.Contains(text, form) {
				return true
			}
		}
	}
	return false
}

// asWords is a text in lower case with one blank before and after every word, and a bar for every other mark.
func asWords(text string) string {
	var b strings.Builder
	b.WriteByte(' ')
	for _, r := range strings.ToLower(text) {
		switch {
		case r == '-' || r == '\'' || unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		default:
			b.WriteString(" | ")
		}
	}
	return " " + strings.Join(strings.Fields(b.String()), " ") + " "
}
