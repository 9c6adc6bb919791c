package archive

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

var (
	dashes     = strings.NewReplacer("–", "-", "—", "-", "‑", "-", "−", "-", "‐", "-", "\u00a0", " ")
	numberWord = regexp.MustCompile(`(?i)^(?:number|num|no|nr|n[º°])?[.:#\s]*`)
	// A whole number out of a spreadsheet may come as 417.0.
	numberTail = regexp.MustCompile(`^(.*?)(\d+)(?:\.0+)?[\s\-/.]*([a-zA-Z]{0,2})$`)
)

// readNumber is for files, where foray.ParseNumber is for what is typed at the desk: it takes more ways of writing,
// and says apart why a number is not taken. It reads "HB26-0417", "HB26 0417", "417", "0417a" and " 417 ", and no
// number of another event.
func readNumber(written, code string) (foray.Number, message.Text) {
	s := strings.TrimSpace(dashes.Replace(written))
	if s == "" {
		return foray.Number{}, message.T("archive.number-missing")
	}
	m := numberTail.FindStringSubmatch(withoutWord(s, code))
	if m == nil {
		return foray.Number{}, message.T("archive.number-unreadable", "event", code)
	}
	prefix, digits, suffix := m[1], m[2], strings.ToLower(m[3])
	if prefix == "" {
		return newNumber(digits, suffix, code)
	}
	bare := strings.TrimRight(prefix, " -_/.")
	switch {
	case bare != prefix && fold(bare) == fold(code):
		return newNumber(digits, suffix, code)
	case joined(prefix+digits, code) != "":
		return newNumber(joined(prefix+digits, code), suffix, code)
	case bare != prefix && eventLike(bare):
		return foray.Number{}, message.T("archive.number-other-event", "prefix", bare, "event", code)
	}
	return foray.Number{}, message.T("archive.number-unreadable", "event", code)
}

// withoutWord drops "No." and "#", unless that is how the event's own code starts.
func withoutWord(s, code string) string {
	if code != "" && strings.HasPrefix(fold(s), fold(code)) {
		return s
	}
	return s[len(numberWord.FindString(s)):]
}

// joined is the four digits after the code where nothing stands between them: HB260417. With more or fewer digits
// it could be the number of another event.
func joined(s, code string) string {
	rest, ok := strings.CutPrefix(strings.ToUpper(s), strings.ToUpper(code))
	if !ok || code == "" || len(rest) != 4 || !allDigits(rest) {
		return ""
	}
	return rest
}

func eventLike(prefix string) bool { return strings.ContainsFunc(prefix, unicode.IsLetter) }

func newNumber(digits, suffix, code string) (foray.Number, message.Text) {
	base, err := strconv.Atoi(digits)
	if err != nil || base < 1 || base > foray.MaxNumber {
		return foray.Number{}, message.T("archive.number-unreadable", "event", code)
	}
	return foray.Number{Base: base, Suffix: suffix}, message.Text{}
}
