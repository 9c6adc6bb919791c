package view

import (
	"strconv"

	"forayhall/internal/message"
)

// Forms of the paper for cards.
const (
	FormStock      = "stock"
	FormStockTaken = "stock-taken"
)

// SetupStocks is the paper that cards are printed on and the form that adds some.
type SetupStocks struct {
	Part
	Stocks []StockRow
	Edit   *StockForm
}

// StockRow is one paper; Take takes it away, where it is the society's own and one may.
type StockRow struct {
	ID    string // unique on the page
	Name  string
	Own   bool
	Lines []message.Text
	Page  StockPage
	Take  *ActForm
}

// StockPage is what is drawn of a paper, to scale: its measures in millimetres.
type StockPage struct {
	Title, About          message.Text
	W, H, CardW, CardH    float64
	Columns, Rows         int
	Left, Top, GapX, GapY float64
	Cut                   bool // plain paper: the edges are dashed
}

// StockForm posts name, page (a choice), page_w and page_h where it is another, and the measures of the cards.
type StockForm struct {
	Form                                                                           Form
	Name, PageW, PageH, CardW, CardH, Columns, Rows, Left, Top, GapX, GapY, Chosen string
	Pages                                                                          []Option
	Cut                                                                            bool
}

// stockScale is how wide a millimetre of paper is drawn, in CSS pixels: two A4 pages fit beside each other on a phone.
const stockScale = 0.6

func (p StockPage) viewBox() string { return "0 0 " + mm(p.W) + " " + mm(p.H) }

func (p StockPage) width() string { return mm(p.W * stockScale) }

func (p StockPage) height() string { return mm(p.H * stockScale) }

// corners are those of the cards, row by row.
func (p StockPage) corners() (at [][2]string) {
	for row := range p.Rows {
		for column := range p.Columns {
			at = append(at, [2]string{mm(p.Left + float64(column)*(p.CardW+p.GapX)), mm(p.Top + float64(row)*(p.CardH+p.GapY))})
		}
	}
	return at
}

// mm is a length to a hundredth, without zeros at its end.
func mm(length float64) string {
	return strconv.FormatFloat(float64(int64(length*100+0.5))/100, 'f', -1, 64)
}
