// Package display is where tables stand and what room they have. It computes and knows nothing of who stands before
// them; a new plate never moves another.
package display

import "sort"

// Table is a table as it stands in the hall. X and Y are of its corner, in millimetres; both 0: nobody said where.
type Table struct {
	Number   int
	X, Y     int
	LengthMM int
	DepthMM  int
	Turned   bool // its length runs along Y
}

// Box is a table on the plan, in millimetres.
type Box struct {
	Number        int
	X, Y          int
	Width, Height int
}

// Plan is the hall from above.
type Plan struct {
	Width, Height int // millimetres, with a gangway all round
	Boxes         []Box
}

const (
	gangway = 1500 // mm between tables, so that two people pass: common practice
	across  = 4    // tables in a row where nobody said where they stand
	// plateSide is the room of a paper plate of 23 cm with its label: 183 cm hold 7 in a row, 244 cm hold 9 (common
	// practice).
	plateSide = 260
)

// Lay gives each table its box: where it was said to stand, else in rows of four below the others, by number.
func Lay(tables []Table) Plan {
	ordered := append([]Table(nil), tables...)
	sort.SliceStable(ordered, func(i, j int) bool { return ordered[i].Number < ordered[j].Number })
	var p Plan
	bottom := 0
	var loose []Table
	for _, t := range ordered {
		if t.X == 0 && t.Y == 0 {
			loose = append(loose, t)
			continue
		}
		b := box(t, t.X, t.Y)
		p.Boxes = append(p.Boxes, b)
		bottom = max(bottom, b.Y+b.Height)
	}
	p.Boxes = append(p.Boxes, rows(loose, bottom)...)
	sort.SliceStable(p.Boxes, func(i, j int) bool { return p.Boxes[i].Number < p.Boxes[j].Number })
	for _, b := range p.Boxes {
		p.Width, p.Height = max(p.Width, b.X+b.Width+gangway), max(p.Height, b.Y+b.Height+gangway)
	}
	return p
}

func rows(tables []Table, below int) []Box {
	var boxes []Box
	x, y, deepest := gangway, below+gangway, 0
	for i, t := range tables {
		if i > 0 && i%across == 0 {
			x, y, deepest = gangway, y+deepest+gangway, 0
		}
		b := box(t, x, y)
		boxes = append(boxes, b)
		x, deepest = x+b.Width+gangway, max(deepest, b.Height)
	}
	return boxes
}

func box(t Table, x, y int) Box {
	b := Box{Number: t.Number, X: x, Y: y, Width: t.LengthMM, Height: t.DepthMM}
	if t.Turned {
		b.Width, b.Height = b.Height, b.Width
	}
	return b
}

// Slots is how many paper plates a table holds in two rows with a strip for labels: common practice.
func Slots(lengthMM, depthMM int) int {
	deep := min(depthMM/plateSide, 2)
	return lengthMM / plateSide * deep
}
