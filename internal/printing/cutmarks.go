package printing

import (
	"math"
	"slices"
)

// Of cut marks, in millimetres: how far they stand off the cards, how long they are, and what printers leave white.
const (
	markOff    = 1.0
	markLength = 5.0
	markEdge   = 3.0
	markCross  = 1.2
)

// cutMarks shows where to cut: strokes outside the block of cards, and small crosses where four corners meet.
func (s Stock) cutMarks(c *canvas) {
	if !s.CutMarks {
		return
	}
	xs := edges(s.Left, s.CardW, s.GapX, s.Columns)
	ys := edges(s.Top, s.CardH, s.GapY, s.Rows)
	line := pen{0.15, black, nil}
	for _, x := range xs {
		c.cut(line, x, max(ys[0]-markOff-markLength, markEdge), x, ys[0]-markOff)
		c.cut(line, x, ys[len(ys)-1]+markOff, x, min(ys[len(ys)-1]+markOff+markLength, s.PageH-markEdge))
	}
	for _, y := range ys {
		c.cut(line, max(xs[0]-markOff-markLength, markEdge), y, xs[0]-markOff, y)
		c.cut(line, xs[len(xs)-1]+markOff, y, min(xs[len(xs)-1]+markOff+markLength, s.PageW-markEdge), y)
	}
	for _, x := range xs[1 : len(xs)-1] {
		for _, y := range ys[1 : len(ys)-1] {
			c.cut(line, x-markCross, y, x+markCross, y)
			c.cut(line, x, y-markCross, x, y+markCross)
		}
	}
}

// cut draws a mark where the margin has room for one.
func (c *canvas) cut(p pen, x1, y1, x2, y2 float64) {
	if x1 <= x2 && y1 <= y2 {
		c.rule(p, x1, y1, x2, y2)
	}
}

// edges are where cards begin and end in one direction.
func edges(start, card, gap float64, n int) []float64 {
	var at []float64
	for i := range n {
		from := start + float64(i)*(card+gap)
		at = append(at, from, from+card)
	}
	return slices.CompactFunc(at, func(a, b float64) bool { return math.Abs(b-a) < hair })
}
