package taxon

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// plainLetters are letters that compatibility decomposition leaves whole.
var plainLetters = map[rune]string{
	'ł': "l", 'ß': "ss", 'æ': "ae", 'œ': "oe", 'þ': "th", 'ð': "d", 'ø': "o", 'đ': "d", 'ħ': "h", 'ı': "i",
	'’': "'", '‘': "'", 'ʼ': "'",
}

// Fold is the one folding by which names are compared and searched: lower case, no accents, no hyphens, no
// control characters, single blanks. Hyphens go because the code deletes most of them (ICN Art. 60.12).
func Fold(s string) string {
	if folded, ok := foldASCII(s); ok {
		return folded
	}
	b := make([]byte, 0, len(s))
	for _, r := range norm.NFKD.String(strings.ToValidUTF8(s, " ")) {
		b = foldRune(b, r)
	}
	return strings.TrimSuffix(string(b), " ")
}

// foldASCII spares plain text the decomposition; false means that the text is not plain.
func foldASCII(s string) (string, bool) {
	b := make([]byte, 0, len(s))
	for i := 0; i < len(s); i++ {
		if s[i] >= 0x80 {
			return "", false
		}
		b = foldRune(b, rune(s[i]))
	}
	return strings.TrimSuffix(string(b), " "), true
}

func foldRune(b []byte, r rune) []byte {
	switch {
	case r >= 'a' && r <= 'z':
		return append(b, byte(r))
	case r == '-' || unicode.In(r, unicode.Mn, unicode.Pd, unicode.Cf) || r == '\u2212':
		return b
	case unicode.IsSpace(r) || unicode.IsControl(r):
		if len(b) == 0 || b[len(b)-1] == ' ' {
			return b
		}
		return append(b, ' ')
	}
	r = unicode.ToLower(r)
	if plain, ok := plainLetters[r]; ok {
		return append(b, plain...)
	}
	return append(b, string(r)...)
}

// Key is the name_key of a canonical name. The hybrid sign is left out, as it is when names are compared
// (ICN Art. H.3.3).
func Key(canonical string) string {
	folded := Fold(canonical)
	if !strings.ContainsRune(folded, '×') {
		return folded
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(folded, "×", " ")), " ")
}

// letters is a common name's key: "Death-Cap", "death cap" and "Deathcap" are one name.
func letters(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, Fold(s))
}
