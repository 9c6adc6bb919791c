package store_test

import (
	"context"
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// What the table refuses whatever a program says: an entry without a source, one that lacks what its kind needs, one that
// is taken back twice or by another society, and a kind that there is not.
func TestAnEntryOfASocietyIsWholeOrNotThere(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		stranger, _ := ground(t, s, "fernhollow")
		entry := func(kind string, change func(*store.OwnEntry)) store.OwnEntry {
			e := store.OwnEntry{SocietyID: event.SocietyID, ID: id(t), Kind: kind, Source: "minutes", WrittenBy: person.ID, HappenedAt: store.At(now), RecordedAt: store.At(now)}
			change(&e)
			return e
		}
		hazard := entry(store.OwnHazard, func(e *store.OwnEntry) {
			e.Name, e.Scope, e.Syndrome, e.Exposure, e.Evidence = "Suillus luteus", "all", "gut", "meal", "reported"
		})
		taken := entry(store.OwnWithdrawal, func(e *store.OwnEntry) { e.Source, e.Reason, e.Withdraws = "", "another was meant", hazard.ID })
		write(t, s, func(tx *store.Tx) error { return tx.AddOwnEntries([]store.OwnEntry{hazard, taken}) })
		wrong := map[string]store.OwnEntry{
			"no source":         entry(store.OwnHazard, func(e *store.OwnEntry) { *e = hazard; e.ID, e.Source = id(t), "" }),
			"no syndrome":       entry(store.OwnHazard, func(e *store.OwnEntry) { *e = hazard; e.ID, e.Syndrome = id(t), "" }),
			"no differences":    entry(store.OwnPair, func(e *store.OwnEntry) { e.Name, e.Other = "Boletus edulis", "Suillus luteus" }),
			"no reason":         entry(store.OwnContest, func(e *store.OwnEntry) { e.About = "Suillus luteus / gut" }),
			"taken back twice":  entry(store.OwnWithdrawal, func(e *store.OwnEntry) { e.Reason, e.Withdraws = "again", hazard.ID }),
			"nothing is taken":  entry(store.OwnWithdrawal, func(e *store.OwnEntry) { e.Reason = "nothing" }),
			"not there":         entry(store.OwnWithdrawal, func(e *store.OwnEntry) { e.Reason, e.Withdraws = "not there", id(t) }),
			"a kind of its own": entry("leave", func(e *store.OwnEntry) { e.Name = "Suillus luteus" }),
			"another society": entry(store.OwnWithdrawal, func(e *store.OwnEntry) {
				e.SocietyID, e.WrittenBy, e.Reason, e.Withdraws = stranger.SocietyID, stranger.ID, "not ours", hazard.ID
			}),
			"by a stranger": entry(store.OwnHazard, func(e *store.OwnEntry) { *e = hazard; e.ID, e.WrittenBy = id(t), stranger.ID }),
		}
		for name, e := range wrong {
			if err := s.Write(context.Background(), func(tx *store.Tx) error { return tx.AddOwnEntries([]store.OwnEntry{e}) }); err == nil {
				t.Errorf("%s: taken", name)
			}
		}
		read(t, s, func(tx *store.Tx) error {
			rows, err := tx.OwnEntries(event.SocietyID)
			if err != nil || len(rows) != 2 {
				t.Fatalf("%d rows, %v", len(rows), err)
			}
			for _, r := range rows {
				if r != hazard && r != taken {
					t.Errorf("came back as %+v", r)
				}
			}
			for society, want := range map[foray.ID]int{event.SocietyID: 2, stranger.SocietyID: 0} {
				if n, err := tx.CountOwnEntries(society); err != nil || n != want {
					t.Errorf("%d counted, want %d, %v", n, want, err)
				}
			}
			return nil
		})
	})
}
