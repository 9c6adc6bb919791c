package taxon

import (
	"slices"
	"strings"
	"unicode"
)

// labelOf keeps the 2 of "sp.2" and the code "sp-AUS02".
func (r *reader) labelOf(token string) {
	if number := squeeze(token); isNumbered(number) {
		r.w.Label = number[2:]
	}
	if isCode(token) {
		r.w.Label, r.w.Provisional = strings.Trim(token, ".,;:()[]"), true
	}
}

// takeLabel takes what tells one unnamed species from the next: "sp. 1", "sp. A", "sp. #2", "Inocybe IN42".
func (r *reader) takeLabel() bool {
	word := strings.TrimRight(r.peek(), ",;:")
	bare := strings.TrimPrefix(word, "#")
	unnamed := r.isUnnamed()
	if unnamed && numberWord(word) && r.at+1 < len(r.words) && isDigits(squeeze(r.words[r.at+1])) {
		r.at++
		bare = squeeze(r.words[r.at])
	}
	capital := len(word) == 1 && startsUpper(word)
	switch {
	case unnamed && (isDigits(bare) || capital):
		r.w.Label = bare
	case isCode(word) && mend(word) == word:
		r.w.Label, r.w.Provisional = word, true
		r.doubts = append(r.doubts, doubt{OnlyGenus, r.at})
	default:
		return false
	}
	r.at++
	return true
}

// isUnnamed says whether "sp." stands right before the next word.
func (r *reader) isUnnamed() bool {
	return slices.ContainsFunc(r.doubts, func(d doubt) bool { return d.mark == OnlyGenus && d.at == r.at })
}

// isAside finds a bracket behind "sp." or "sp. 1", in which other names are thought of.
func (r *reader) isAside(i int) bool {
	if !strings.HasPrefix(r.tokens[i], "(") || len(r.words) == 0 {
		return false
	}
	return slices.ContainsFunc(r.doubts, func(d doubt) bool { return d.mark == OnlyGenus && d.at > 0 && len(r.words)-d.at <= 1 })
}

func numberWord(token string) bool {
	word := squeeze(token)
	return word == "nr" || word == "no"
}

// isCode finds working names such as "sp-AUS02" and "IN42": capitals and digits in one word.
func isCode(word string) bool {
	word = strings.Trim(word, ".,;:()[]")
	digits, capitals := 0, 0
	for _, c := range word {
		switch {
		case unicode.IsDigit(c):
			digits++
		case unicode.IsUpper(c):
			capitals++
		case c != '-' && c != '.' && !unicode.IsLetter(c):
			return false
		}
	}
	return digits > 0 && (capitals > 0 || strings.HasPrefix(word, "sp-")) && len(word) > 2
}

// mend makes letters of the digits that a scanner reads for them inside a word of small letters.
func mend(s string) string {
	if !strings.ContainsAny(s, "01|") || len(s) < 4 || !isASCII(s) || strings.ContainsAny(s[len(s)-1:], "01|") {
		return s
	}
	mended := strings.NewReplacer("0", "o", "1", "l", "|", "l").Replace(s)
	if !isWord(mended) {
		return s
	}
	return mended
}
