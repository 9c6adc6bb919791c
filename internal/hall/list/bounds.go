package list

import "forayhall/internal/foray"

// Bounds is the smallest box around public points, in decimal degrees. A place that is kept back takes part with the
// middle of its cell.
type Bounds struct{ South, West, North, East float64 }

// with is the box with one more place in it.
func (b *Bounds) with(p foray.PublicPlace) *Bounds {
	lat, lon, _, ok := p.Point()
	if !ok {
		return b
	}
	return b.and(&Bounds{lat, lon, lat, lon})
}

// and is the box around both.
func (b *Bounds) and(other *Bounds) *Bounds {
	switch {
	case b == nil:
		return other
	case other == nil:
		return b
	}
	return &Bounds{min(b.South, other.South), min(b.West, other.West), max(b.North, other.North), max(b.East, other.East)}
}
