package store_test

import (
	"context"
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// What the table refuses whatever a program says: a measure that is less than nothing, a page without a card, two that
// stand under one name, somebody of another society, and any change but that a stock is taken away, once.
func TestACardStockIsAddedAndTakenAwayAndNeverChanged(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		stranger, there := ground(t, s, "fernhollow")
		stock := func(change func(*store.CardStock)) store.CardStock {
			c := store.CardStock{SocietyID: event.SocietyID, ID: id(t), Name: "A4, 2 × 2", PageWMM: 210, PageHMM: 297, CardWMM: 99.1, CardHMM: 67.7,
				Columns: 2, Rows: 4, LeftMM: 4.65, TopMM: 13.1, GapXMM: 2.5, GapYMM: 0.125, CutMarks: true, AddedBy: person.ID, AddedAt: store.At(now)}
			change(&c)
			return c
		}
		good := stock(func(*store.CardStock) {})
		write(t, s, func(tx *store.Tx) error { return tx.AddCardStock(good) })
		for name, change := range map[string]func(*store.CardStock){
			"no name":             func(c *store.CardStock) { c.Name = "" },
			"the name of another": func(*store.CardStock) {},
			"a page below zero":   func(c *store.CardStock) { c.Name, c.PageWMM = "x", -1 },
			"a gap below zero":    func(c *store.CardStock) { c.Name, c.GapYMM = "x", -0.1 },
			"no card":             func(c *store.CardStock) { c.Name, c.Rows = "x", 0 },
			"by a stranger":       func(c *store.CardStock) { c.Name, c.AddedBy = "x", stranger.ID },
			"taken by nobody":     func(c *store.CardStock) { c.Name, c.TakenAt = "x", store.At(now) },
		} {
			if err := s.Write(context.Background(), func(tx *store.Tx) error { return tx.AddCardStock(stock(change)) }); err == nil {
				t.Errorf("%s: taken", name)
			}
		}
		for _, statement := range []string{"UPDATE card_stock SET page_w_mm = 200", "UPDATE card_stock SET name = 'y'", "UPDATE card_stock SET cut_marks = cut_marks", "DELETE FROM card_stock"} {
			if err := s.Exec(context.Background(), statement); err == nil {
				t.Errorf("%s: done", statement)
			}
		}
		stands := func(society foray.ID, want ...store.CardStock) {
			t.Helper()
			read(t, s, func(tx *store.Tx) error {
				got, err := tx.CardStocks(society)
				if err != nil || len(got) != len(want) || len(got) > 0 && got[0] != want[0] {
					t.Errorf("there stand %+v, want %+v, %v", got, want, err)
				}
				return err
			})
		}
		stands(event.SocietyID, good)
		stands(there.SocietyID)
		take := func(by foray.ID) error {
			return s.Write(context.Background(), func(tx *store.Tx) error { return tx.TakeCardStock(event.SocietyID, good.ID, by, store.At(now)) })
		}
		if err := take(person.ID); err != nil {
			t.Fatal(err)
		}
		if take(person.ID) == nil || s.Exec(context.Background(), "UPDATE card_stock SET taken_by = NULL, taken_at = NULL") == nil {
			t.Error("what was taken away is taken away again, or put back")
		}
		stands(event.SocietyID)
		again := stock(func(*store.CardStock) {})
		write(t, s, func(tx *store.Tx) error { return tx.AddCardStock(again) })
		stands(event.SocietyID, again)
	})
}
