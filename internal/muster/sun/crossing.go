package sun

import "time"

// crossing is a moment at which the sun goes through a height, upwards or downwards.
type crossing struct {
	at time.Time
	up bool
}

const (
	stride  = 20 * time.Minute
	sharply = 100 * time.Millisecond
)

// crossings walks from one moment to another. Near the polar circles the sun may dip for less than a stride, so each
// highest and lowest point between strides is looked at too.
func (p Place) crossings(height float64, from, to time.Time) (all []crossing) {
	above := func(t time.Time) float64 { return p.height(t) - height }
	add := func(a, b time.Time) {
		if above(a) > 0 != (above(b) > 0) {
			all = append(all, crossing{zero(above, a, b), above(b) > 0})
		}
	}
	for a := from; a.Before(to); a = a.Add(stride) {
		b := a.Add(stride)
		if b.After(to) {
			b = to
		}
		turn := turning(above, a, b)
		add(a, turn)
		add(turn, b)
	}
	return all
}

// zero halves the span in which f changes sign.
func zero(f func(time.Time) float64, a, b time.Time) time.Time {
	up := f(b) > 0
	for b.Sub(a) > sharply {
		middle := a.Add(b.Sub(a) / 2)
		if (f(middle) > 0) == up {
			b = middle
		} else {
			a = middle
		}
	}
	return b
}

// turning is where f is nearest to turning round inside a span; one of its ends where f only rises or falls.
func turning(f func(time.Time) float64, a, b time.Time) time.Time {
	rises := func(t time.Time) bool { return f(t.Add(sharply)) > f(t) }
	first, last := rises(a), rises(b)
	if first == last {
		return a
	}
	for b.Sub(a) > time.Second {
		middle := a.Add(b.Sub(a) / 2)
		if rises(middle) == first {
			a = middle
		} else {
			b = middle
		}
	}
	return a
}
