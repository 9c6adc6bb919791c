package foray

import (
	"cmp"
	"regexp"
	"strconv"
	"strings"

	"forayhall/internal/fault"
)

// Number is what is written on the label of a collection: a running number, with a letter only where a mixed
// collection was split.
type Number struct {
	Base   int
	Suffix string // "" or lower-case letters
}

// MaxNumber is the largest number a label can bear.
const MaxNumber = 999999

var numberForm = regexp.MustCompile(`^(\d{1,6})\s*([a-z]{0,2})$`)

var joinedForm = regexp.MustCompile(`^\d{4}[a-z]{0,2}$`)

// ParseNumber reads a number as people write it at an event: "417", "0417a", "HB26 0417", "HB26-0417", and
// as a label's code has it: "HB26-0417-K". A number with the prefix of another event is Invalid, and one with
// a wrong check character.
func ParseNumber(written, event string) (Number, error) {
	s := strings.ToLower(strings.TrimSpace(written))
	if rest, ok := strings.CutPrefix(s, strings.ToLower(event)); ok && event != "" {
		s = strings.TrimLeft(rest, " -–·#")
		// Without a gap the four digits of a label are read, and nothing else: HB260417 is no number of an event HB2.
		if s == rest && !joinedForm.MatchString(s) {
			s = ""
		}
		if s, ok = unchecked(s, event); !ok {
			return Number{}, fault.Wrong("number", "number.check-wrong", "written", written)
		}
	}
	m := numberForm.FindStringSubmatch(s)
	if m == nil {
		return Number{}, fault.Wrong("number", "number.unreadable", "written", written, "event", event)
	}
	base, err := strconv.Atoi(m[1])
	if err != nil || base < 1 {
		return Number{}, fault.Wrong("number", "number.unreadable", "written", written, "event", event)
	}
	return Number{Base: base, Suffix: m[2]}, nil
}

// String is at least four digits and the suffix: 0137a.
func (n Number) String() string {
	if n.Base == 0 {
		return ""
	}
	digits := strconv.Itoa(n.Base)
	if len(digits) < 4 {
		digits = "0000"[len(digits):] + digits
	}
	return digits + n.Suffix
}

// Compare orders numbers as people read them: 0137, 0137a, 0137b, … 0137z, 0137aa, 0138.
func (n Number) Compare(m Number) int {
	return cmp.Or(cmp.Compare(n.Base, m.Base), cmp.Compare(len(n.Suffix), len(m.Suffix)), cmp.Compare(n.Suffix, m.Suffix))
}

// Less is Compare for sorting.
func (n Number) Less(m Number) bool { return n.Compare(m) < 0 }
