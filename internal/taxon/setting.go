package taxon

import "strings"

// Run is a piece of a name set in one style, with the space before it where one belongs.
type Run struct {
	Text   string
	Italic bool
}

// Setting is a name to be set: italics for genus and below, upright for authors, ranks and qualifiers (the International
// Code of Nomenclature asks for no more than that names are set off; italics are common practice). A name of rank Form is
// a group of the hall and is set upright.
type Setting struct {
	Name      string // canonical, or as written where nothing was matched
	Author    string
	Rank      Rank
	Qualifier Qualifier
	Position  Rank // which part the qualifier stands with
}

// upright are the words inside a name that are not part of it.
var upright = map[string]bool{"var.": true, "subsp.": true, "f.": true, "sect.": true, "subg.": true, "cf.": true,
	"aff.": true, "sp.": true, "group": true, "agg.": true, "s.l.": true, "s.str.": true, "?": true, "×": true}

// italicRanks are set in italics; names above genus and groups of the hall stand upright.
var italicRanks = map[Rank]bool{Genus: true, Section: true, Species: true, Subspecies: true, Variety: true, FormaRank: true}

// Runs cuts a name into runs, its qualifier at its place and the author behind.
func (s Setting) Runs() []Run {
	var runs []Run
	add := func(text string, italic bool) {
		if text == "" {
			return
		}
		if last := len(runs) - 1; last >= 0 && runs[last].Italic == italic {
			runs[last].Text += " " + text
			return
		}
		if len(runs) > 0 {
			text = " " + text
		}
		runs = append(runs, Run{text, italic})
	}
	for _, word := range s.Words() {
		add(word, italicRanks[s.Rank] && !upright[word])
	}
	add(s.Author, false)
	return runs
}

// Words are the words of the name with the qualifier among them.
func (s Setting) Words() []string {
	words := strings.Fields(s.Name)
	q := string(s.Qualifier)
	if q == "" || len(words) == 0 {
		return words
	}
	if s.Qualifier != Confer && s.Qualifier != Affinis && s.Qualifier != Doubt {
		return append(words, q)
	}
	at := min(s.place(), len(words))
	return append(append(append([]string{}, words[:at]...), q), words[at:]...)
}

// place is the word before which cf., aff. or ? stands.
func (s Setting) place() int {
	switch s.Position {
	case Species:
		return 1
	case Subspecies, Variety, FormaRank:
		return 2
	}
	return 0
}

// SettingOf is how a text that is known as a name only by being written is set: in italics where a list has it.
func SettingOf(names Names, written string) Setting {
	m := names.Match(written)
	if m.Found == nil || m.How == GenusOnly {
		return Setting{Name: written, Rank: m.Written.Rank}
	}
	return Setting{Name: m.Found.Name, Author: m.Found.Author, Rank: m.Found.Rank, Qualifier: m.Written.Qualifier, Position: m.Written.Position}
}
