package printing

import (
	"fmt"
	"io"
	"time"

	"forayhall/internal/message"
)

// NumberLabel is what a slip is numbered with before anybody has found anything.
type NumberLabel struct {
	Event  string // the event's code
	Number string // as it is read aloud: "0417"
	Check  string // its check character
	Code   string // what the printed code says
}

// LabelRun is what the labels of one printing have in common.
type LabelRun struct {
	Stock Stock
	Title string    // of the document
	Owner string    // the society
	At    time.Time // the PDF's date
	Skip  int       // places left empty on the first page, of labels that are used up already
	Say   message.Printer
}

// labelParts are where the two labels of a number go: on the slip that the recorder keeps, and on the stub that stays
// with the specimen through the dryer.
var labelParts = []string{"body", "stub"}

// LabelsEach is how many labels a number takes.
func LabelsEach() int { return len(labelParts) }

// Labels sets number labels on a stock, two a number side by side, and writes them as a PDF. It gives the number of pages.
func Labels(w io.Writer, labels []NumberLabel, run LabelRun) (int, error) {
	if err := run.Stock.Check(); err != nil {
		return 0, err
	}
	c, err := newCanvas(run.Stock.PageW, run.Stock.PageH)
	if err != nil {
		return 0, err
	}
	if err := drawLabels(c, labels, run); err != nil {
		return 0, fmt.Errorf("set %d labels: %w", len(labels), err)
	}
	return c.page, c.write(w)
}

func drawLabels(c *canvas, labels []NumberLabel, run LabelRun) error {
	c.describe(run.Title, run.Owner, run.At, run.Say)
	sheet := cells{c: c, stock: run.Stock, at: max(run.Skip, 0) % run.Stock.PerPage()}
	for _, label := range labels {
		q, err := newCode(label.Code)
		if err != nil {
			return err
		}
		for _, part := range labelParts {
			x, y := sheet.next()
			label.draw(c, run, q, run.Say.Say("printing.label."+part), x, y)
		}
	}
	if len(labels) == 0 {
		c.newPage()
	}
	return c.pdf.Error()
}

// cells hands out the places of a stock, page by page.
type cells struct {
	c     *canvas
	stock Stock
	at    int
	open  bool
}

func (s *cells) next() (x, y float64) {
	if !s.open || s.at == s.stock.PerPage() {
		s.at, s.open = s.at%s.stock.PerPage(), true
		s.c.newPage()
		s.stock.cutMarks(s.c)
	}
	x, y = s.stock.place(s.at)
	s.at++
	return x, y
}

// Of a number label, mm: what is kept free at its edges, and the bar beneath the number, without which 0686 and 9890 are
// one on a slip that lies the wrong way round.
const (
	labelPad  = 2.5
	labelBar  = 0.9
	labelCode = 34.0 // the largest code; nothing is read better by a larger one
)

// draw sets one label: the number as large as there is room, the code at its side.
func (l NumberLabel) draw(c *canvas, run LabelRun, q *code, part string, x, y float64) {
	w, h := run.Stock.CardW, run.Stock.CardH
	side := l.side(q, w, h)
	quiet := (q.whole(side) - side) / 2
	edge := max(quiet, labelPad) // between the code and the label's edge
	c.place(q, x+w-edge-side, y+(h-side)/2, side)
	room := w - edge - side - quiet - labelPad
	small := min(max(h*0.13/mmPerPoint, smallestPrint), 14)
	top := c.set([]span{{l.Event, style{number, small * 1.25, black}}}, 0, even(room), setting{display, 0})
	foot := c.set(l.foot(run, part, max(small*0.8, smallestPrint)), 0, even(room), setting{tight, 0})
	if len(foot) > 2 { // whose slip it is stands on the slip; the rest is what tells it from the next
		foot = c.set(l.foot(LabelRun{Say: run.Say}, part, max(small*0.8, smallestPrint)), 0, even(room), setting{tight, 0})
	}
	free := h - 2*labelPad - heightOf(top) - heightOf(foot) - 2*labelBar
	s := style{number, free / mmPerPoint / display, black}
	if wide := c.ruler.width(l.Number, s); wide > room {
		s = s.sized(s.size * room / wide)
	}
	figure := c.set([]span{{l.Number, s}}, 0, even(room+1), setting{display, 0})
	used := heightOf(top) + heightOf(figure) + heightOf(foot) + 2*labelBar
	y += (h - used) / 2
	x += labelPad
	y = c.lines(top, x, y)
	y = c.lines(figure, x, y)
	c.fill(black, x, y, widest(figure), labelBar)
	c.lines(foot, x, y+2*labelBar)
}

// foot says which part it is and the check character, and whose it is where that is given.
func (l NumberLabel) foot(run LabelRun, part string, size float64) []span {
	plain := style{upright, size, black}
	spans := []span{{part + " · ", plain}, {run.Say.Say("printing.label.check", "letter", l.Check), plain.bold()}}
	if run.Owner != "" {
		spans = append(spans, span{" · " + run.Owner, plain})
	}
	return spans
}

// side is of the code: as high as the label, at most two fifths of its width, and never so small that telephones do not
// read it.
func (l NumberLabel) side(q *code, w, h float64) float64 {
	whole := min(h-2, w*0.45)
	return min(max(whole*float64(q.modules)/float64(q.modules+2*quietZone), smallestCode), labelCode, h-2*labelPad)
}
