package taxon

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// tokens cuts what was written into words, marks set apart even where no blank was typed.
func tokens(s string) []string {
	fields := fieldsOf(tidy(s))
	out := make([]string, 0, len(fields)+2)
	for _, field := range fields {
		if _, quoted := inQuotes(field); quoted {
			out = append(out, field)
			continue
		}
		for _, part := range splitSigns(field) {
			out = append(out, splitDot(part, len(out) == 0)...)
		}
	}
	return out
}

// tidy makes blanks of control characters and underscores and drops what cannot be seen.
func tidy(s string) string {
	if plain(s) {
		return s
	}
	return norm.NFC.String(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r) || r == '_' || r == utf8.RuneError:
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		case r == '‐' || r == '‑' || r == '–':
			return '-'
		case r == 'ſ': // the long s of older print
			return 's'
		case r == 'ı':
			return 'i'
		}
		return r
	}, strings.ToValidUTF8(s, " ")))
}

func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] > '~' || s[i] == '_' {
			return false
		}
	}
	return true
}

var signs = strings.NewReplacer("(?)", " ? ", "[?]", " ? ", "?", " ? ", "×", " × ")

// splitSigns sets question marks and the hybrid sign apart, and an author's bracket typed against the name.
func splitSigns(field string) []string {
	if !strings.ContainsAny(field, "?×(") {
		return []string{field}
	}
	spaced := signs.Replace(field)
	if i := strings.IndexByte(spaced, '('); i > 0 && isWord(spaced[:i]) {
		spaced = spaced[:i] + " " + spaced[i:]
	}
	return strings.Fields(spaced)
}

// splitDot cuts "cf.phalloides", "var.alba" and, at the start, "A.muscaria".
func splitDot(part string, first bool) []string {
	i := strings.IndexByte(part, '.')
	if i <= 0 || i == len(part)-1 {
		return []string{part}
	}
	if _, whole := doubtWords[squeeze(part)]; whole {
		return []string{part}
	}
	left, right := part[:i+1], part[i+1:]
	if glued, ok := strings.CutSuffix(part[:i], "cf"); ok && len(glued) > 3 && isWord(right) { // no Latin word ends so
		return []string{glued, "cf.", right}
	}
	if isWord(part[:i]) && isWord(right) && (first || isMark(left)) {
		return []string{left, right}
	}
	if isMark(left) {
		return append([]string{left}, splitDot(right, false)...)
	}
	return []string{part}
}

func isMark(s string) bool {
	word := squeeze(s)
	_, doubt := doubtWords[word]
	_, infra := infraWords[word]
	_, group := groupWords[word]
	return (doubt || infra || group) && !startsUpper(s)
}

// allCaps says whether every word of two letters and more is in capitals.
func allCaps(tokens []string) bool {
	words := 0
	for _, t := range tokens {
		if utf8.RuneCountInString(t) < 2 || !isWord(t) {
			continue
		}
		if strings.ToUpper(t) != t {
			return false
		}
		words++
	}
	return words > 0
}
