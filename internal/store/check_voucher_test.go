package store_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// Would catch an accession that two vouchers bear, a code put right by another kind's, and words of what nobody chose.
func TestCheckReportsVouchersThatDoNotAddUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		event := whole(t, s)
		at := store.At(now)
		var by store.Person
		var plates []store.Collection
		read(t, s, func(tx *store.Tx) error {
			people, err := tx.Persons(event.SocietyID)
			by = people[0]
			var err2 error
			plates, err2 = tx.Collections(event.SocietyID, event.ID)
			return errors.Join(err, err2)
		})
		code := func(of store.Collection, code string, replaces foray.ID) store.VoucherCode {
			return store.VoucherCode{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), CollectionID: of.ID, Kind: foray.Accession, Code: code, CodeKey: code,
				HeldAt: "DCM", Replaces: replaces, Words: "why", WrittenBy: by.ID, HappenedAt: at, RecordedAt: at}
		}
		word := func(of store.Collection, kind foray.VoucherAct) store.VoucherWord {
			return store.VoucherWord{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), CollectionID: of.ID, Kind: kind, Reason: foray.ForHazard, SaidBy: by.ID, HappenedAt: at, RecordedAt: at}
		}
		old := code(plates[0], "f1", foray.ID{})
		write(t, s, func(tx *store.Tx) error {
			return errors.Join(tx.AddVoucherWord(word(plates[0], foray.VoucherChosen)), tx.AddVoucherWord(word(plates[0], foray.VoucherPacked)),
				tx.AddVoucherCode(old), tx.AddVoucherCode(code(plates[0], "f2", old.ID)), tx.AddVoucherCode(code(plates[1], "f1", foray.ID{})))
		})
		if c := check(t, s); len(c.Broken) > 0 {
			t.Fatalf("good vouchers: %+v", c.Broken)
		}
		undo := errors.New("undo")
		for statement, rule := range map[string]string{
			"UPDATE voucher_code SET code = 'f2', code_key = 'f2' WHERE code = 'f1'": "accessions",
			"UPDATE voucher_code SET kind = 'tissue' WHERE code = 'f2'":              "codes",
			"UPDATE voucher_word SET kind = 'packed'":                                "vouchers",
			"UPDATE voucher_word SET seq = seq + 7":                                  "vouchers",
		} {
			err := s.Write(context.Background(), func(tx *store.Tx) error {
				if err := breakIt(tx, []string{statement}); err != nil {
					return err
				}
				c, err := tx.Check()
				if got := rulesOf(c); err == nil && !slices.Equal(got, []string{rule}) {
					t.Errorf("%s: reported %q, want %q", statement, got, rule)
				}
				return errors.Join(err, undo)
			})
			if !errors.Is(err, undo) {
				t.Errorf("%s: %v", statement, err)
			}
		}
		// What the tables refuse whatever a program says.
		for name, add := range map[string]func(*store.Tx) error{
			"dropped without why": func(tx *store.Tx) error { return tx.AddVoucherWord(word(plates[0], foray.VoucherDropped)) },
			"sent to nobody":      func(tx *store.Tx) error { return tx.AddVoucherWord(word(plates[0], foray.VoucherSent)) },
			"replaced twice":      func(tx *store.Tx) error { return tx.AddVoucherCode(code(plates[0], "f9", old.ID)) },
			"nothing of nothing":  func(tx *store.Tx) error { return tx.AddVoucherCode(code(plates[0], "", foray.ID{})) },
			"no places": func(tx *store.Tx) error {
				return tx.AddDryer(store.Dryer{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), Name: "A", Trays: "1", AddedBy: by.ID, AddedAt: at})
			},
		} {
			if err := s.Write(context.Background(), add); err == nil {
				t.Errorf("%s: taken", name)
			}
		}
	})
}
