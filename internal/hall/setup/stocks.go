package setup

import (
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/printing"
	"forayhall/internal/store"
)

// Stock is paper on which cards are printed: one of the society's own, or one that ships, which has no id.
type Stock struct {
	ID foray.ID
	printing.Stock
}

// Own reports whether the society added it.
func (s Stock) Own() bool { return !s.ID.IsZero() }

// NewStock is a stock to be added. Lengths are in millimetres; the fields are those of printing.Stock.
type NewStock struct {
	Name     string  `json:"name"`
	PageW    float64 `json:"page_w"`
	PageH    float64 `json:"page_h"`
	CardW    float64 `json:"card_w"`
	CardH    float64 `json:"card_h"`
	Columns  int     `json:"columns"`
	Rows     int     `json:"rows"`
	Left     float64 `json:"left"` // from the page's corner to the first card's
	Top      float64 `json:"top"`
	GapX     float64 `json:"gap_x,omitempty"` // between cards
	GapY     float64 `json:"gap_y,omitempty"`
	CutMarks bool    `json:"cut_marks,omitempty"` // plain paper that is cut
}

// StockTaken is a stock to be taken away.
type StockTaken struct {
	ID foray.ID `json:"id"`
}

// Stocks lists what cards may be printed on, for the event's staff: the society's own first, then those that ship.
func Stocks(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]Stock, error) {
	var stocks []Stock
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.PlacePlates)
		}
		stocks, err = stocksOf(l)
		return err
	})
	return stocks, err
}

func stocksOf(l *hall.Look) ([]Stock, error) {
	rows, err := l.Tx.CardStocks(l.Scope.Society)
	if err != nil {
		return nil, err
	}
	var stocks []Stock
	for _, r := range rows {
		stocks = append(stocks, Stock{r.ID, printing.Stock{Name: r.Name, PageW: r.PageWMM, PageH: r.PageHMM, CardW: r.CardWMM, CardH: r.CardHMM,
			Columns: r.Columns, Rows: r.Rows, Left: r.LeftMM, Top: r.TopMM, GapX: r.GapXMM, GapY: r.GapYMM, CutMarks: r.CutMarks}})
	}
	for _, s := range printing.Stocks() {
		stocks = append(stocks, Stock{Stock: s})
	}
	return stocks, nil
}

// AddStock adds paper for the whole society. Who prints cards may, since a society has no rights of its own.
func AddStock(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in NewStock) (Made, error) {
	cmd.Type, cmd.Body = "card-stock.add.v1", in
	return hall.Do(ctx, h, actor, access.PlacePlates, scope, cmd, func(w *hall.Write) (Made, error) {
		s := in.stock()
		if err := checkStock(&w.Look, s); err != nil {
			return Made{}, err
		}
		id, err := w.NewID()
		if err != nil {
			return Made{}, err
		}
		w.Note("card-stock.add", id, s.Name)
		w.Changed("card-stock", id)
		return Made{ID: id}, w.Tx.AddCardStock(store.CardStock{SocietyID: w.Scope.Society, ID: id, Name: s.Name, PageWMM: s.PageW, PageHMM: s.PageH,
			CardWMM: s.CardW, CardHMM: s.CardH, Columns: s.Columns, Rows: s.Rows, LeftMM: s.Left, TopMM: s.Top, GapXMM: s.GapX, GapYMM: s.GapY,
			CutMarks: s.CutMarks, AddedBy: w.Actor.Person, AddedAt: w.Stamp()})
	})
}

func (in NewStock) stock() printing.Stock {
	return printing.Stock{Name: tidy(in.Name), PageW: in.PageW, PageH: in.PageH, CardW: in.CardW, CardH: in.CardH, Columns: in.Columns, Rows: in.Rows,
		Left: in.Left, Top: in.Top, GapX: in.GapX, GapY: in.GapY, CutMarks: in.CutMarks}
}

// checkStock refuses what cannot be printed, and a name that another stock has: the name alone says which is meant.
func checkStock(l *hall.Look, s printing.Stock) error {
	if err := s.Check(); err != nil {
		return err
	}
	if len(s.Name) > mostName {
		return fault.Wrong("name", "setup.name-missing")
	}
	stocks, err := stocksOf(l)
	for _, other := range stocks {
		if strings.EqualFold(other.Name, s.Name) {
			return fault.Wrong("name", "stocks.taken", "name", other.Name)
		}
	}
	return err
}

// TakeStock takes paper of the society's own away; what was printed on it stays as it is.
func TakeStock(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in StockTaken) (Made, error) {
	cmd.Type, cmd.Body = "card-stock.take.v1", in
	return hall.Do(ctx, h, actor, access.PlacePlates, scope, cmd, func(w *hall.Write) (Made, error) {
		stocks, err := stocksOf(&w.Look)
		for _, s := range stocks {
			if s.Own() && s.ID == in.ID {
				w.Note("card-stock.take", in.ID, s.Name)
				w.Changed("card-stock", in.ID)
				return Made(in), w.Tx.TakeCardStock(w.Scope.Society, in.ID, w.Actor.Person, w.Stamp())
			}
		}
		return Made{}, missing(err)
	})
}
