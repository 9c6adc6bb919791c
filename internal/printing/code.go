package printing

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/qr"
)

// Of a printed code: modules of quiet around it (ISO/IEC 18004 asks for four), how far a row reaches into the next in
// millimetres, and the smallest size in millimetres that telephones read at arm's length (common practice).
const (
	quietZone    = 4
	seam         = 0.03
	smallestCode = 15.0
)

// code is an address as a QR code that is ready to be placed.
type code struct {
	address string
	modules int // a side, without the quiet zone
	matrix  barcode.Barcode
}

func newCode(address string) (*code, error) {
	matrix, err := qr.Encode(address, qr.M, qr.Auto)
	if err != nil {
		return nil, fmt.Errorf("make a code of %d characters: %w", len(address), err)
	}
	return &code{address, matrix.Bounds().Dx(), matrix}, nil
}

// whole is the side with the quiet zone, where the code itself has this side.
func (q *code) whole(side float64) float64 {
	return side * float64(q.modules+2*quietZone) / float64(q.modules)
}

// place draws the code so that it has this side; the quiet zone around it is left to the paper. All modules are one
// path with an overlap from row to row: as shapes of their own they would show seams on paper.
func (c *canvas) place(q *code, x, y, side float64) {
	c.pdf.SetFillColor(0, 0, 0)
	var b strings.Builder
	module := side / float64(q.modules)
	for row := range q.modules {
		for _, r := range q.runs(row) {
			height := module
			if row+1 < q.modules {
				height += seam
			}
			c.rectangle(&b, x+float64(r.from)*module, y+float64(row)*module, float64(r.length)*module, height)
		}
	}
	b.WriteString("f")
	c.pdf.RawWriteStr(b.String())
	c.tell("code", q.address, x, y, side, side)
}

// run is a stretch of dark modules in one row.
type run struct{ from, length int }

func (q *code) runs(row int) []run {
	var runs []run
	for at := 0; at < q.modules; at++ {
		from := at
		for at < q.modules && q.dark(at, row) {
			at++
		}
		if at > from {
			runs = append(runs, run{from, at - from})
		}
	}
	return runs
}

func (q *code) dark(x, y int) bool {
	r, _, _, _ := q.matrix.At(x, y).RGBA()
	return r == 0
}

// rectangle adds a rectangle to a path in the page's own measure: points from the lower left.
func (c *canvas) rectangle(b *strings.Builder, x, y, w, h float64) {
	for _, mm := range []float64{x, c.height - y - h, w, h} {
		b.WriteString(strconv.FormatFloat(mm/mmPerPoint, 'f', 3, 64))
		b.WriteByte(' ')
	}
	b.WriteString("re\n")
}
