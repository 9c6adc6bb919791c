package message

import "strings"

var accents = strings.NewReplacer(
	"a", "à", "e", "ë", "i", "î", "o", "ö", "u", "ü", "c", "ç", "n", "ñ", "s", "š", "y", "ÿ",
	"A", "Å", "E", "É", "I", "Î", "O", "Ø", "U", "Ü", "C", "Ç", "N", "Ñ", "S", "Š",
)

// pseudo keeps {placeholders} as they are, changes the letters around them and adds a third to the length.
func pseudo(s string) string {
	var b strings.Builder
	b.WriteString("⟦")
	rest := s
	for {
		open := strings.IndexByte(rest, '{')
		if open < 0 {
			break
		}
		shut := strings.IndexByte(rest[open:], '}')
		if shut < 0 {
			break
		}
		b.WriteString(accents.Replace(rest[:open]))
		b.WriteString(rest[open : open+shut+1])
		rest = rest[open+shut+1:]
	}
	b.WriteString(accents.Replace(rest))
	for range len([]rune(s)) / 3 {
		b.WriteString("·")
	}
	b.WriteString("⟧")
	return b.String()
}
