package printing

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	"forayhall/internal/message"
)

// Card is what stands beside a plate.
type Card struct {
	Number     string // as it is read aloud: "HB26 0417"
	Names      []Name // in question, with authors; the first is set large; of a dispute the first two
	Group      string // what it is called while there is no name
	Common     string
	Current    Name // today's name of the first, where it is another
	Family     string
	State      State
	Hazard     *Hazard // nil: the names are known and none is hazardous
	Notice     string  // the deciding character
	Doubles    []CardDouble
	Collector  string
	Place      string
	Host       string
	Substrate  string
	Determiner string
	Link       string // address of the plate's page; empty: no code
}

// Hazard is what a card's band says. Severity 0 is no entry, which is drawn as a hazard.
type Hazard struct {
	Severity int
	Syndrome string // its short name
}

// CardDouble is a poisonous double of what people look for, and the table where it stands.
type CardDouble struct {
	Name  Name
	Table string // empty: it does not stand in the hall
}

// CardRun is what the cards of one printing have in common.
type CardRun struct {
	Stock Stock
	Title string    // of the document
	Owner string    // the society
	At    time.Time // of the content: the PDF's date
	Skip  int       // places left empty on the first page, of labels that are used up already
	Say   message.Printer
}

// Report says what a printing had to leave out. Nothing is ever cut off or left out without being told.
type Report struct {
	Pages int
	Cards []CardReport // those on which something is missing, in the order of the cards
}

// CardReport is one card that does not say everything.
type CardReport struct {
	Number  string
	Dropped []Line  // in the order in which they were left out
	Unfit   bool    // the card bears its number and hazard alone, and says that it has to be written by hand
	Size    float64 // of the smallest print on it, points
}

// Cards sets cards on a stock and writes them as a PDF.
func Cards(w io.Writer, cards []Card, run CardRun) (Report, error) {
	if err := run.Stock.Check(); err != nil {
		return Report{}, err
	}
	c, err := newCanvas(run.Stock.PageW, run.Stock.PageH)
	if err != nil {
		return Report{}, err
	}
	report, err := drawCards(c, cards, run)
	if err != nil {
		return Report{}, fmt.Errorf("set %d cards: %w", len(cards), err)
	}
	return report, c.write(w)
}

func drawCards(c *canvas, cards []Card, run CardRun) (Report, error) {
	c.describe(run.Title, run.Owner, run.At, run.Say)
	var report Report
	at := max(run.Skip, 0) % run.Stock.PerPage()
	for i, card := range cards {
		if i == 0 || at == run.Stock.PerPage() {
			at = at % run.Stock.PerPage()
			c.newPage()
			run.Stock.cutMarks(c)
		}
		x, y := run.Stock.place(at)
		fitted, err := fit(&c.ruler, card, run)
		if err != nil {
			return report, err
		}
		fitted.draw(c, x, y)
		if fitted.missing() {
			report.Cards = append(report.Cards, fitted.report())
		}
		at++
	}
	if len(cards) == 0 {
		c.newPage()
	}
	report.Pages = c.page
	return report, c.pdf.Error()
}

func millimetres(mm float64) string { return strconv.FormatFloat(math.Ceil(mm*10)/10, 'f', -1, 64) }
