package taxon

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The rules are those of the International Code of Nomenclature for algae, fungi, and plants, Madrid Code (decisions of
// the XX International Botanical Congress, 2024; published 2025, Regnum Vegetabile), with its Chapter F for fungi.
// Art. 46.1 and 46.2, Rec. 50A to 50E, Art. F.3.1 and F.3.2, Rec. F.3A and Art. F.10 were read in the Shenzhen Code
// (2018) with the San Juan Chapter F (May et al. 2019, IMA Fungus 10: 21); what the XII International Mycological Congress
// of 2024 decided does not touch the citing of authors. The other articles named in this package, and that the Madrid
// Code kept their numbers, are from memory.

// Authorship is the author citation of a name taken apart. It is no part of the name (Art. 46.1) and may be shorter or
// longer with each writer.
type Authorship struct {
	Basionym    Citation // in brackets: who named the epithet first (Art. 49)
	Combination Citation // who published the name as it stands (Art. 46.2 to 46.5)
	Sanctioned  bool     // ": Fr.", ": Pers." or "nom. sanct." (Art. F.3.1, Rec. F.3A)
	Not         string   // the author of the homonym or use that is not meant: "non", "nec" (Rec. 50C, 50D)
	Registered  string   // digits of the registered identifier that may stand for the author (Art. F.10)
}

// Citation is one set of authors in an author citation.
type Citation struct {
	Authors      []string // as written: "Fr.", "P. Kumm."
	Others       bool     // "& al." stands for the rest (Rec. 46C)
	Ex           []string // to whom these authors ascribed the name: Vaill. in "Vaill. ex Fr." (Art. 46.5)
	In           string   // the work or its author after "in", which are no authors of the name (Art. 46)
	SanctionedBy string   // "Fr." or "Pers."; the colon was used until 2018 and is met in all older lists (Rec. F.3A)
	Year         string
}

// IsZero says whether nobody is cited.
func (a Authorship) IsZero() bool {
	return a.Basionym.isZero() && a.Combination.isZero()
}

func (c Citation) isZero() bool { return len(c.Authors) == 0 && len(c.Ex) == 0 }

// ReadAuthors takes an author citation apart. Any text is taken; what does not read as one gives fewer parts.
func ReadAuthors(s string) Authorship {
	var a Authorship
	if len(s) > longestName {
		return a
	}
	words := authorWordsOf(tidy(s))
	words, a.Registered = takeRegistered(words)
	words, a.Not, a.Sanctioned = cutStatus(words)
	inside, rest := cutBracket(words)
	a.Basionym, a.Combination = readCitation(inside), readCitation(rest)
	a.Sanctioned = a.Sanctioned || a.Basionym.SanctionedBy != "" || a.Combination.SanctionedBy != ""
	return a
}

// authorWordsOf cuts a citation into words and marks: brackets, commas, colons and ampersands stand by themselves, and
// so do initials typed against a name.
func authorWordsOf(s string) []string {
	spaced := strings.NewReplacer("(", " ( ", ")", " ) ", "[", " [ ", "]", " ] ", ",", " , ", ";", " , ", ":", " : ", "&", " & ",
		"+", " & ", "#", " ").Replace(s)
	var words []string
	for _, field := range strings.Fields(spaced) {
		words = append(words, splitInitials(field)...)
	}
	return words
}

// splitInitials cuts "P.Kumm." into "P." and "Kumm.", and "O.F.Müll." likewise.
func splitInitials(field string) []string {
	var parts []string
	for {
		i := strings.IndexByte(field, '.')
		if i < 0 || i == len(field)-1 || field[i+1] == '-' {
			return append(parts, field)
		}
		parts, field = append(parts, field[:i+1]), field[i+1:]
	}
}

// registers are the repositories in front of whose numbers a name is registered (Art. F.5).
var registers = map[string]bool{"mb": true, "if": true, "fn": true, "mycobank": true}

// takeRegistered takes "[MB 456789]" and "MB#456789" out.
func takeRegistered(words []string) ([]string, string) {
	for i, word := range words {
		if !registers[squeeze(word)] || i+1 >= len(words) || !isDigits(words[i+1]) {
			continue
		}
		from, to := i, i+2
		if from > 0 && words[from-1] == "[" && to < len(words) && words[to] == "]" {
			from, to = from-1, to+1
		}
		return slices.Concat(words[:from], words[to:]), words[i+1]
	}
	return words, ""
}

func isDigits(s string) bool { return s != "" && onlyDigits(s) }

// statusWords begin what is said of a name behind its author (Rec. 50A to 50G, 47A).
var statusWords = map[string]bool{
	"nom": true, "nomen": true, "orth": true, "comb": true, "stat": true, "pro": true, "emend": true, "emended": true,
	"sensu": true, "ss": true, "sens": true, "auct": true, "auctt": true, "pp": true, "non": true, "nec": true, "not": true,
	"sp": true, "gen": true, "hort": true, "typ": true, "ut": true, "as": true, "ined": true, "s": true,
}

// cutStatus cuts off what is said of the name, and keeps of it who is not meant and whether it was sanctioned.
func cutStatus(words []string) (authors []string, not string, sanctioned bool) {
	for i, word := range words {
		if i > 0 && startsUpper(word) || !statusWords[squeeze(word)] || startsUpper(word) {
			continue
		}
		said := words[i:]
		return words[:i], authorAfter(said, "non", "nec", "not"), hasStatus(said, "sanct")
	}
	return words, "", false
}

// authorAfter is what stands behind one of some marks, up to the next of them or a comma.
func authorAfter(words []string, marks ...string) string {
	var found []string
	taking := false
	for _, word := range words {
		switch {
		case slices.Contains(marks, squeeze(word)):
			if len(found) > 0 {
				return joinAuthor(found)
			}
			taking = true
		case taking && (word == "," || statusWords[squeeze(word)] && !startsUpper(word)):
			return joinAuthor(found)
		case taking:
			found = append(found, word)
		}
	}
	return joinAuthor(found)
}

// joinAuthor puts words together again as they are written.
func joinAuthor(words []string) string {
	return strings.NewReplacer("( ", "(", " )", ")", "[ ", "[", " ]", "]", " ,", ",").Replace(strings.Join(words, " "))
}

func hasStatus(words []string, status string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return squeeze(w) == status })
}

// cutBracket takes the authors in brackets apart from those behind them, and leaves out authors in square brackets, who
// wrote before the starting point of nomenclature (Art. 46, from memory).
func cutBracket(words []string) (inside, rest []string) {
	depth, square := 0, 0
	for _, word := range words {
		switch word {
		case "(":
			depth++
		case ")":
			depth = max(0, depth-1)
		case "[":
			square++
		case "]":
			square = max(0, square-1)
		default:
			if square == 0 && depth > 0 {
				inside = append(inside, word)
			} else if square == 0 {
				rest = append(rest, word)
			}
		}
	}
	if depth > 0 { // never closed: nothing tells where it ends
		return nil, append(inside, rest...)
	}
	return inside, rest
}

// readCitation reads "Vaill. ex Fr. : Fr. in Karst., 1880".
func readCitation(words []string) Citation {
	var c Citation
	words, c.Year = takeYear(words)
	if i := slices.IndexFunc(words, isIn); i >= 0 {
		words, c.In = words[:i], joinAuthor(words[i+1:])
	}
	words, c.SanctionedBy = takeSanction(words)
	if i := lastIndex(words, "ex"); i >= 0 && i+1 < len(words) {
		c.Ex, _ = people(words[:i])
		words = words[i+1:]
	}
	c.Authors, c.Others = people(words)
	if len(c.Authors) == 0 { // nobody stands behind the "ex"
		c.Authors, c.Ex = c.Ex, nil
	}
	return c
}

func isIn(word string) bool { return word == "in" || word == "apud" }

func lastIndex(words []string, word string) int {
	for i := len(words) - 1; i >= 0; i-- {
		if words[i] == word {
			return i
		}
	}
	return -1
}

// takeYear takes the last year out. Linnaeus's Species Plantarum of 1753 is the starting point (Art. F.1), and earlier
// years are met with authors who are cited all the same.
func takeYear(words []string) ([]string, string) {
	for i := len(words) - 1; i >= 0; i-- {
		year := strings.Trim(words[i], ".'’")
		if isYear(year) {
			return slices.Concat(words[:i], words[i+1:]), year
		}
	}
	return words, ""
}

func isYear(s string) bool {
	return len(s) == 4 && onlyDigits(s) && s >= "1600" && s < "2200"
}

// takeSanction takes ": Fr." and ": Pers." out; any other colon is one of a page.
func takeSanction(words []string) ([]string, string) {
	for i := 0; i+1 < len(words); i++ {
		if words[i] != ":" {
			continue
		}
		switch name := Fold(strings.TrimRight(words[i+1], ".")); name {
		case "fr", "fries", "pers", "persoon":
			return slices.Concat(words[:i], words[i+2:]), words[i+1]
		}
	}
	return words, ""
}

// people parts authors at commas, "&", "et" and "and"; "et al." says that there were more.
func people(words []string) (list []string, others bool) {
	var one []string
	end := func() {
		if name := strings.Join(one, " "); isPerson(name) {
			list = append(list, name)
		} else if name != "" && len(list) > 0 {
			list[len(list)-1] += " " + name // initials or "f." behind a comma
		}
		one = nil
	}
	for _, word := range words {
		switch strings.TrimRight(word, ".") {
		case "&", "et", "and", "und", "y", "e", ",", "":
			end()
		case "al", "alii", "others":
			others = true
		default:
			if word != ":" && word != "ex" {
				one = append(one, word)
			}
		}
	}
	end()
	return list, others
}

// isPerson tells a name from initials and from "f.", "fil.", "Jr." that belong to the name before. A single initial is
// a name: "L." is Linnaeus, "B. & Br." are Berkeley and Broome.
func isPerson(name string) bool {
	if isSon(name) || readPerson(name).family == "" {
		return false
	}
	fields := strings.Fields(name)
	if len(fields) == 1 && utf8.RuneCountInString(squeeze(name)) == 1 {
		return true
	}
	return slices.ContainsFunc(fields, func(f string) bool { return !isInitial(f) })
}

var sons = map[string]bool{"f": true, "fil": true, "filius": true, "jr": true, "jun": true, "junior": true, "bis": true}

// isSon knows the "f." of "Hook. f." from the initial "F.".
func isSon(word string) bool {
	return sons[squeeze(word)] && (!startsUpper(word) || utf8.RuneCountInString(word) > 2)
}

// isInitial finds "P.", "J.-L." and the "JI" of reversed names.
func isInitial(s string) bool {
	letters, upper := 0, 0
	for _, r := range s {
		if unicode.IsLetter(r) {
			letters++
			if unicode.IsUpper(r) {
				upper++
			}
		}
	}
	return letters > 0 && letters == upper && letters <= 2 && Fold(squeeze(s)) != "dc"
}
