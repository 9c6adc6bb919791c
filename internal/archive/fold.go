package archive

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Letters that have no decomposition in Unicode but are read as their plain neighbours.
var plainLetters = strings.NewReplacer("ł", "l", "ß", "ss", "æ", "ae", "œ", "oe", "þ", "th", "ø", "o", "đ", "d")

// fold brings headings and words to one form: "Event_Date", "event date" and "éventDate" are alike. What has no
// letter or digit at all ("#") stays as it is.
func fold(s string) string {
	if plain, ok := foldASCII(s); ok {
		return plain
	}
	var b strings.Builder
	for _, r := range norm.NFKD.String(s) {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			b.WriteRune(unicode.ToLower(r))
		}
	}
	if b.Len() == 0 {
		return strings.TrimSpace(s)
	}
	return plainLetters.Replace(b.String())
}

func foldASCII(s string) (string, bool) {
	out := make([]byte, 0, len(s))
	for i := range len(s) {
		switch c := s[i]; {
		case c >= 0x80:
			return "", false
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
			out = append(out, c)
		case 'A' <= c && c <= 'Z':
			out = append(out, c+'a'-'A')
		}
	}
	return string(out), len(out) > 0
}
