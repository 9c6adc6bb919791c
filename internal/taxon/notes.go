package taxon

import (
	"strings"
	"unicode/utf8"
)

// noteWords begin what is said of a find behind its name: who named it, who saw it, of what age it is.
var noteWords = map[string]bool{
	"det": true, "leg": true, "coll": true, "conf": true, "teste": true, "fide": true, "herb": true, "vid": true,
	"juv": true, "imm": true, "pers": true, "no": true, "nr": true, "ca": true, "but": true, "probably": true, "maybe": true,
	"perhaps": true, "as": true, "young": true, "old": true, "very": true,
}

var noteSigns = map[string]bool{
	"-": true, "—": true, "=": true, "≡": true, "->": true, "→": true, "!": true, "!!": true, "*": true, ";": true,
}

// startsNote says whether the words from here on are no part of the name: behind a dash, in brackets in small letters,
// behind a comma in small letters, a place or a substrate ("on birch"), a number that is no year.
func (r *reader) startsNote() bool {
	word := r.peek()
	_, quoted := inQuotes(word)
	bare := squeeze(word)
	switch {
	case quoted || noteSigns[word]:
		return true
	case proseWords[word], noteWords[bare] && !startsUpper(word):
		return true
	case strings.HasPrefix(word, "(") && r.isSmall(strings.TrimLeft(word, "(")):
		return true
	case (strings.HasPrefix(bare, "x") || bare == "×") && isDigits(strings.TrimLeft(bare, "x×")+r.digitsAfter()): // "x3"
		return true
	case r.w.Label != "" && r.isSmall(word):
		return true
	case isDigits(bare) && !isYear(bare) && !registers[squeeze(r.words[r.at-1])], strings.HasPrefix(word, "#"):
		return true
	}
	return word == "in" && r.smallAfter() || r.afterComma() && r.isSmall(word)
}

// isSmall says whether a word is in small letters and none that stands among authors.
func (r *reader) isSmall(word string) bool {
	bare := strings.TrimRight(word, ".,;:)!")
	lower := strings.ToLower(bare)
	if bare == "in" && r.smallAfter() || proseWords[bare] {
		return true
	}
	_, infra := infraWords[squeeze(word)]
	return isWord(bare) && !startsUpper(bare) && !authorWords[lower] && !statusWords[squeeze(word)] && !infra
}

// digitsAfter is the next word but one if it is a number and the next is a sign or a letter alone.
func (r *reader) digitsAfter() string {
	if utf8.RuneCountInString(r.peek()) == 1 && r.at+1 < len(r.words) && isDigits(r.words[r.at+1]) {
		return r.words[r.at+1]
	}
	return ""
}

func (r *reader) smallAfter() bool {
	return r.at+1 < len(r.words) && !startsUpper(r.words[r.at+1]) && isWord(strings.TrimRight(r.words[r.at+1], ".,;:)")) &&
		!authorWords[r.words[r.at+1]]
}

func (r *reader) afterComma() bool {
	if r.comma > 0 && r.comma == r.at {
		return true
	}
	return r.at > 0 && strings.HasSuffix(strings.TrimSuffix(r.words[r.at-1], "."), ",") ||
		r.at > 0 && strings.HasSuffix(r.words[r.at-1], ";")
}

// takeNote takes the rest of the words.
func (r *reader) takeNote() {
	r.noteAt = r.at
	words := make([]string, 0, len(r.words)-r.at)
	for _, word := range r.words[r.at:] {
		if inside, quoted := inQuotes(word); quoted {
			word = inside
		}
		words = append(words, word)
	}
	r.at = len(r.words)
	note := strings.Trim(strings.NewReplacer(" ? )", "?)", " ?", "?").Replace(strings.Join(words, " ")), " ,;-—")
	if strings.HasPrefix(note, "(") && strings.HasSuffix(note, ")") {
		note = note[1 : len(note)-1]
	}
	if inside, square := strings.CutPrefix(note, "["); square {
		note = strings.TrimSuffix(inside, "]")
	}
	r.w.Note = strings.TrimSpace(note)
}

// takeSense notes in whose sense a name is used and whose name is not meant; both stay with the author's part as well.
func (r *reader) takeSense() {
	if !strings.Contains(r.w.Author, "s") && !strings.Contains(r.w.Author, "n") {
		return
	}
	words := strings.Fields(strings.ReplaceAll(r.w.Author, ",", " , "))
	for i, word := range words {
		if mark := squeeze(word); (mark == "sensu" || mark == "ss" || mark == "sens") && !startsUpper(word) {
			r.w.SenseOf = authorAfter(words[i:], "sensu", "ss", "sens")
			break
		}
	}
	r.w.NotOf = authorAfter(words, "non", "nec", "not")
}
