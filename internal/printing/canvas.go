package printing

import (
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"forayhall/internal/message"
)

// canvas draws on the pages of one document. With seen set it tells what it draws and where.
type canvas struct {
	ruler
	width, height float64
	seen          func(mark)
	page          int
}

// mark is one thing that was drawn, in millimetres from the top left of its page.
type mark struct {
	page       int
	x, y, w, h float64
	kind       string // text, shape, code
	text       string
}

func newCanvas(width, height float64) (*canvas, error) {
	pdf, err := newDocument(width, height)
	if err != nil {
		return nil, err
	}
	return &canvas{ruler: ruler{pdf, map[measured]float64{}}, width: width, height: height}, nil
}

// describe gives the document what its readers' programs show, and fixed dates, so that equal papers are equal bytes.
func (c *canvas) describe(title, author string, at time.Time, say message.Printer) {
	c.pdf.SetTitle(title, true)
	c.pdf.SetAuthor(author, true)
	c.pdf.SetLang(say.Language())
	c.pdf.SetCreator("Foray Hall", true)
	c.pdf.SetProducer("Foray Hall", true)
	c.pdf.SetCreationDate(at.UTC())
	c.pdf.SetModificationDate(at.UTC())
}

func (c *canvas) newPage() {
	c.pdf.AddPageFormat("P", fpdf.SizeType{Wd: c.width, Ht: c.height})
	c.page++
}

func (c *canvas) write(w io.Writer) error { return c.pdf.Output(w) }

func (c *canvas) tell(kind, text string, x, y, w, h float64) {
	if c.seen != nil {
		c.seen(mark{c.page, x, y, w, h, kind, text})
	}
}

// draw sets a line with its top left at x, y.
func (c *canvas) draw(l line, x, y float64) {
	for _, f := range l.fragments {
		c.text(f.text, f.style, x+f.x, y+l.base)
		size := f.style.size * mmPerPoint
		c.tell("text", f.text, x+f.x, y+l.base-size*0.76, f.width, size*0.98)
	}
}

func (c *canvas) text(text string, s style, x, base float64) {
	c.pdf.SetFont(s.face.family, s.face.cut, s.size)
	c.pdf.SetTextColor(s.ink.r, s.ink.g, s.ink.b)
	c.pdf.Text(x, base, text)
}

func (c *canvas) lines(lines []line, x, y float64) float64 {
	for _, l := range lines {
		c.draw(l, x, y)
		y += l.height
	}
	return y
}

// pen is how an outline is drawn.
type pen struct {
	width float64 // mm
	ink   ink
	dash  []float64 // mm; nil: an unbroken line
}

func (c *canvas) take(p pen) {
	c.pdf.SetLineWidth(p.width)
	c.pdf.SetDrawColor(p.ink.r, p.ink.g, p.ink.b)
	c.pdf.SetDashPattern(append([]float64{}, p.dash...), 0)
}

func (c *canvas) fill(i ink, x, y, w, h float64) {
	c.pdf.SetFillColor(i.r, i.g, i.b)
	c.pdf.Rect(x, y, w, h, "F")
	c.tell("shape", "fill", x, y, w, h)
}

// frame draws a rectangle whose outer edge is x, y, w, h.
func (c *canvas) frame(p pen, x, y, w, h float64) {
	c.take(p)
	d := p.width / 2
	c.pdf.Rect(x+d, y+d, w-p.width, h-p.width, "D")
	kind := "frame"
	if p.dash != nil {
		kind = "broken frame"
	}
	c.tell("shape", kind, x, y, w, h)
}

func (c *canvas) rule(p pen, x1, y1, x2, y2 float64) {
	c.take(p)
	c.pdf.Line(x1, y1, x2, y2)
	c.tell("shape", "rule", min(x1, x2), min(y1, y2), max(x1, x2)-min(x1, x2), max(y1, y2)-min(y1, y2))
}

// polygon draws points given in the unit square of a box, filled where fill is set and outlined where p has a width.
func (c *canvas) polygon(p pen, fill *ink, x, y, size float64, points ...[2]float64) {
	var at []fpdf.PointType
	for _, q := range points {
		at = append(at, fpdf.PointType{X: x + q[0]*size, Y: y + q[1]*size})
	}
	how := ""
	if fill != nil {
		c.pdf.SetFillColor(fill.r, fill.g, fill.b)
		how = "F"
	}
	if p.width > 0 {
		c.take(p)
		how += "D"
	}
	c.pdf.Polygon(at, how)
}
