package foray

import (
	"cmp"
	"slices"
	"strings"
)

// Round is somebody's way along a table, plate by plate: what was seen is behind them, what was passed over comes back
// at the end.
type Round struct {
	Order   []Number // as they stand
	Seen    []Number
	Skipped []Number
}

// Next is the plate to look at now; ok is false when all were seen.
func (r Round) Next() (n Number, ok bool) {
	for _, n := range r.Order {
		if !slices.Contains(r.Seen, n) && !slices.Contains(r.Skipped, n) {
			return n, true
		}
	}
	for _, n := range r.Skipped { // in the order in which they were passed over
		if slices.Contains(r.Order, n) && !slices.Contains(r.Seen, n) {
			return n, true
		}
	}
	return Number{}, false
}

// Done is how many of the plates that stand there were seen.
func (r Round) Done() (done int) {
	for _, n := range r.Order {
		if slices.Contains(r.Seen, n) {
			done++
		}
	}
	return done
}

// Look is the round after a plate was looked at.
func (r Round) Look(n Number) Round {
	r.Seen, r.Skipped = append(without(r.Seen, n), n), without(r.Skipped, n)
	return r
}

// Skip is the round after a plate was passed over: it goes behind all others.
func (r Round) Skip(n Number) Round {
	r.Seen, r.Skipped = without(r.Seen, n), append(without(r.Skipped, n), n)
	return r
}

func without(all []Number, n Number) []Number {
	return slices.DeleteFunc(slices.Clone(all), func(m Number) bool { return m == n })
}

// ComparePositions orders places on a table as people read them: A2 before A10. A plate without one stands last.
func ComparePositions(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(truth(a == ""), truth(b == ""))
	}
	for a != "" && b != "" {
		x, y := leading(a), leading(b)
		a, b = a[len(x):], b[len(y):]
		if order := compareParts(x, y); order != 0 {
			return order
		}
	}
	return cmp.Compare(len(a), len(b))
}

// leading is the run of digits, or of anything else, that a text begins with.
func leading(s string) string {
	digit := isDigit(s[0])
	for i := range len(s) {
		if isDigit(s[i]) != digit {
			return s[:i]
		}
	}
	return s
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

func compareParts(x, y string) int {
	if isDigit(x[0]) && isDigit(y[0]) {
		x, y = strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
		return cmp.Or(cmp.Compare(len(x), len(y)), strings.Compare(x, y))
	}
	return strings.Compare(strings.ToUpper(x), strings.ToUpper(y))
}
