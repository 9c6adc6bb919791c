package pages

import (
	"math"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// otherPage is the choice of a page whose measures are written.
const otherPage = "other"

// pageSizes are the pages that need not be measured: ISO 216 A4 and US Letter (ANSI/ASME Y14.1, 8½ × 11 in).
var pageSizes = []struct {
	key  string
	w, h float64
}{{"a4", 210, 297}, {"letter", 215.9, 279.4}}

func setupStocks(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartStocks)
	if err != nil {
		return nil, err
	}
	p, may := view.SetupStocks{Part: part}, r.held.Can(access.PlacePlates)
	for i, s := range room.Stocks {
		row := stockRow(s, "stock-"+strconv.Itoa(i+1))
		if may && s.Own() {
			row.Take = &view.ActForm{ID: s.ID.String(), Send: "stocks.take"}
			if row.Take.Form, err = r.setupForm(view.FormStockTaken, 0, typedAct{}); err != nil {
				return nil, err
			}
		}
		p.Stocks = append(p.Stocks, row)
	}
	if may {
		p.Edit, err = r.stockForm(typed)
	}
	return view.SetupStocksPage(p), err
}

func stockRow(s setup.Stock, id string) view.StockRow {
	size := view.T("stocks.page", "w", lengthText(s.PageW), "h", lengthText(s.PageH))
	cards := view.T("stocks.cards", "n", s.PerPage(), "columns", s.Columns, "rows", s.Rows, "w", lengthText(s.CardW), "h", lengthText(s.CardH))
	place := view.T("stocks.place", "left", lengthText(s.Left), "top", lengthText(s.Top), "x", lengthText(s.GapX), "y", lengthText(s.GapY))
	row := view.StockRow{ID: id, Name: s.Name, Own: s.Own(), Lines: []message.Text{size, cards, place}, Page: view.StockPage{
		Title: view.T("stocks.drawn", "name", s.Name), About: view.T("stocks.drawn.about", "page", size, "cards", cards, "place", place), W: s.PageW, H: s.PageH,
		CardW: s.CardW, CardH: s.CardH, Columns: s.Columns, Rows: s.Rows, Left: s.Left, Top: s.Top, GapX: s.GapX, GapY: s.GapY, Cut: s.CutMarks}}
	if s.CutMarks {
		row.Lines = append(row.Lines, view.T("stocks.cut"))
	}
	return row
}

// lengthText is a length as one reads it: to a hundredth of a millimetre.
func lengthText(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*100)/100, 'f', -1, 64)
}

func (r *request) stockForm(typed typedAct) (*view.StockForm, error) {
	f, err := r.setupForm(view.FormStock, 0, typed)
	of := func(name string) string { return typed.of(view.FormStock, name) }
	v := &view.StockForm{Form: f, Name: of("name"), PageW: of("page_w"), PageH: of("page_h"), CardW: of("card_w"), CardH: of("card_h"), Columns: of("columns"),
		Rows: of("rows"), Left: of("left"), Top: of("top"), GapX: of("gap_x"), GapY: of("gap_y"), Cut: typed.ticked(view.FormStock, "cut_marks", false)}
	chosen := typed.or(view.FormStock, "page", pageSizes[0].key)
	for _, size := range pageSizes {
		v.Pages = append(v.Pages, view.Option{Value: size.key, Text: view.T("stocks.size." + size.key), Chosen: size.key == chosen})
	}
	v.Pages = append(v.Pages, view.Option{Value: otherPage, Text: view.T("stocks.size.other"), Chosen: chosen == otherPage})
	return v, err
}

func sendStock(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartStocks, setupStocks, view.FormStock, func(cmd hall.Command) error {
		w := r.reading()
		in := setup.NewStock{Name: r.value("name"), CardW: w.length("card_w"), CardH: w.length("card_h"), Columns: w.number("columns"), Rows: w.number("rows"),
			Left: w.length("left"), Top: w.length("top"), GapX: w.length("gap_x"), GapY: w.length("gap_y"), CutMarks: r.ticked("cut_marks")}
		in.PageW, in.PageH = w.page()
		if err := w.err(); err != nil {
			return err
		}
		_, err := setup.AddStock(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

func takeStock(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartStocks, setupStocks, view.FormStockTaken, func(cmd hall.Command) error {
		w := r.reading()
		in := setup.StockTaken{ID: w.id()}
		if err := w.err(); err != nil {
			return err
		}
		_, err := setup.TakeStock(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

// length is in millimetres and takes the comma of other countries too; nothing written is 0.
func (w *reading) length(name string) float64 {
	text := strings.Replace(w.r.value(name), ",", ".", 1)
	if text == "" {
		return 0
	}
	mm, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(mm) || math.IsInf(mm, 0) {
		w.wrong[name] = message.T("stocks.number")
		return 0
	}
	return mm
}

// page is the size that was chosen; only another one is measured.
func (w *reading) page() (width, height float64) {
	chosen := w.r.value("page")
	for _, size := range pageSizes {
		if size.key == chosen {
			return size.w, size.h
		}
	}
	if chosen != otherPage {
		w.wrong["page"] = message.T("stocks.page")
	}
	for _, name := range []string{"page_w", "page_h"} {
		if chosen == otherPage && w.r.value(name) == "" {
			w.wrong[name] = message.T("stocks.number")
		}
	}
	return w.length("page_w"), w.length("page_h")
}
