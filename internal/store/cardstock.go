package store

import "forayhall/internal/foray"

// CardStock is paper on which a society prints its display cards; lengths in millimetres.
type CardStock struct {
	SocietyID foray.ID
	ID        foray.ID
	Name      string  // one of those that stand has it
	PageWMM   float64 `gorm:"column:page_w_mm"`
	PageHMM   float64 `gorm:"column:page_h_mm"`
	CardWMM   float64 `gorm:"column:card_w_mm"`
	CardHMM   float64 `gorm:"column:card_h_mm"`
	Columns   int
	Rows      int
	LeftMM    float64
	TopMM     float64
	GapXMM    float64 `gorm:"column:gap_x_mm"`
	GapYMM    float64 `gorm:"column:gap_y_mm"`
	CutMarks  bool
	AddedBy   foray.ID
	AddedAt   Stamp
	TakenBy   foray.ID // zero: it stands
	TakenAt   Stamp
}

// TableName is the table of card stocks.
func (CardStock) TableName() string { return "card_stock" }

// AddCardStock stores a stock.
func (t *Tx) AddCardStock(s CardStock) error { return add(t, s) }

// CardStocks lists the stocks that stand in a society, the oldest first.
func (t *Tx) CardStocks(society foray.ID) ([]CardStock, error) {
	return many[CardStock](t.db.Where("society_id = ? AND taken_at IS NULL", society).Order("added_at, id"))
}

// TakeCardStock takes a stock away; the row stays.
func (t *Tx) TakeCardStock(society, id, by foray.ID, at Stamp) error {
	return changed(t.db.Exec("UPDATE card_stock SET taken_by = ?, taken_at = ? WHERE society_id = ? AND id = ? AND taken_at IS NULL",
		by, at, society, id), "take a card stock away")
}
