package printing

import (
	"slices"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Stock is a page of cards, all lengths in millimetres: plain paper that is cut, or labels that are cut already.
type Stock struct {
	Name          string
	PageW, PageH  float64
	CardW, CardH  float64
	Columns, Rows int
	Left, Top     float64 // from the page's corner to the first card's
	GapX, GapY    float64 // between cards
	CutMarks      bool
}

// The stocks that come with the hall, named by their measures; a society adds its own.
var stocks = []Stock{
	{"A4, 2 × 4, 95 × 67 mm, to cut", 210, 297, 95, 67, 2, 4, 10, 14.5, 0, 0, true},
	{"Letter, 2 × 4, 96 × 63 mm, to cut", 215.9, 279.4, 96, 63, 2, 4, 11.95, 13.7, 0, 0, true},
	{"A4, 2 × 4, 99.1 × 67.7 mm", 210, 297, 99.1, 67.7, 2, 4, 4.65, 13.1, 2.5, 0, false},
	{"A4, 3 × 8, 63.5 × 33.9 mm", 210, 297, 63.5, 33.9, 3, 8, 7.25, 12.9, 2.5, 0, false},
	{"A4, 2 × 2, 105 × 148.5 mm", 210, 297, 105, 148.5, 2, 2, 0, 0, 0, 0, false},
	{"Letter, 2 × 3, 4 × 3⅓ in", 215.9, 279.4, 101.6, 84.67, 2, 3, 3.97, 12.7, 4.76, 0, false},
	{"Letter, 2 × 5, 4 × 2 in", 215.9, 279.4, 101.6, 50.8, 2, 5, 3.97, 12.7, 4.76, 0, false},
}

// Stocks lists the stocks that come with the hall, plain paper first.
func Stocks() []Stock { return slices.Clone(stocks) }

// StockNamed finds one of them.
func StockNamed(name string) (Stock, bool) {
	i := slices.IndexFunc(stocks, func(s Stock) bool { return s.Name == name })
	if i < 0 {
		return Stock{}, false
	}
	return stocks[i], true
}

// Bounds of what can be printed: a card smaller than this cannot bear a code and a name, and no printer of a hall
// takes paper larger than A3.
const (
	smallestW, smallestH = 40.0, 25.0
	largestSide          = 420.0
	mostCards            = 200  // a page
	hair                 = 0.05 // what rounding of inches to millimetres may add up to
)

// Check says what is wrong with a stock, by field.
func (s Stock) Check() error {
	wrong := map[string]message.Text{}
	s.checkSigns(wrong)
	if s.CardW < smallestW {
		wrong["card_w"] = message.T("printing.stock.narrow", "least", smallestW)
	}
	if s.CardH < smallestH {
		wrong["card_h"] = message.T("printing.stock.low", "least", smallestH)
	}
	if len(wrong) == 0 {
		s.checkRoom(wrong)
	}
	if len(wrong) > 0 {
		return fault.Many(wrong)
	}
	return nil
}

func (s Stock) checkSigns(wrong map[string]message.Text) {
	lengths := map[string]float64{"page_w": s.PageW, "page_h": s.PageH, "left": s.Left, "top": s.Top, "gap_x": s.GapX, "gap_y": s.GapY}
	for field, mm := range lengths {
		if !(mm >= 0) {
			wrong[field] = message.T("printing.stock.negative")
		}
		if mm > largestSide {
			wrong[field] = message.T("printing.stock.huge", "most", largestSide)
		}
	}
	for field, n := range map[string]int{"columns": s.Columns, "rows": s.Rows} {
		if n < 1 || n > mostCards {
			wrong[field] = message.T("printing.stock.count", "most", mostCards)
		}
	}
	if s.Name == "" {
		wrong["name"] = message.T("printing.stock.unnamed")
	}
}

func (s Stock) checkRoom(wrong map[string]message.Text) {
	if over := s.Left + float64(s.Columns)*s.CardW + float64(s.Columns-1)*s.GapX - s.PageW; !(over <= hair) {
		wrong["columns"] = message.T("printing.stock.wide", "over", millimetres(over))
	}
	if over := s.Top + float64(s.Rows)*s.CardH + float64(s.Rows-1)*s.GapY - s.PageH; !(over <= hair) {
		wrong["rows"] = message.T("printing.stock.tall", "over", millimetres(over))
	}
}

// PerPage is how many cards a page bears.
func (s Stock) PerPage() int { return s.Columns * s.Rows }

// place is the corner of the card at a place on its page, row by row.
func (s Stock) place(at int) (x, y float64) {
	column, row := at%s.Columns, at/s.Columns
	return s.Left + float64(column)*(s.CardW+s.GapX), s.Top + float64(row)*(s.CardH+s.GapY)
}
