package foray

import (
	"fmt"
	"regexp"
	"strings"
)

// mod37 is the characters of ISO 7064's MOD 37,36 in the order of their values: digits and capitals.
const mod37 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

// CheckCharacter is the check character of a label, by the hybrid system MOD 37,36 of ISO 7064:2003 over the event's code and
// the number as it is printed. It finds every single wrong character and nearly every two neighbours that change places;
// what is neither digit nor letter of the basic alphabet is passed over.
func CheckCharacter(event string, n Number) byte {
	const m = len(mod37)
	p := m
	for _, r := range strings.ToUpper(event + n.String()) {
		value := strings.IndexRune(mod37, r)
		if value < 0 {
			continue
		}
		s := (p + value) % m
		if s == 0 {
			s = m
		}
		p = s * 2 % (m + 1)
	}
	return mod37[(m+1-p)%m]
}

// LabelCode is what a label's code says: event, number and check character, "HB26-0417-K". Its capitals and digits make the
// smallest code, which is the largest print.
func LabelCode(event string, n Number) string {
	return strings.ToUpper(fmt.Sprintf("%s-%s-%c", event, n, CheckCharacter(event, n)))
}

// checkedForm is a number with its check character, behind the event's code.
var checkedForm = regexp.MustCompile(`^(\d{1,6}[a-z]{0,2})-([0-9a-z])$`)

// unchecked takes a right check character off a number that follows the event's code; ok is false where it is wrong.
func unchecked(number, event string) (rest string, ok bool) {
	m := checkedForm.FindStringSubmatch(number)
	if m == nil {
		return number, true
	}
	n, err := ParseNumber(m[1], "")
	if err != nil {
		return number, true
	}
	if m[1] != strings.ToLower(n.String()) {
		return m[1], false // not as a label bears it: a letter was read as a digit, or the other way round
	}
	return m[1], strings.EqualFold(string(CheckCharacter(event, n)), m[2])
}
