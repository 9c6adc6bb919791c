package store_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// TestCheckReportsFieldRecordsThatDoNotAddUp would catch a record taken back twice, and a count below nought.
func TestCheckReportsFieldRecordsThatDoNotAddUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		event := whole(t, s)
		at := store.At(now)
		var by store.Person
		read(t, s, func(tx *store.Tx) error {
			people, err := tx.Persons(event.SocietyID)
			by = people[0]
			return err
		})
		r := store.FieldRecord{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), ObserverID: by.ID, Verbatim: "Panellus stipticus",
			NameKey: "panellus stipticus", Name: "Panellus stipticus", EnteredBy: by.ID, HappenedAt: at, RecordedAt: at}
		strike := store.FieldWord{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), RecordID: r.ID, Kind: "strike", PersonID: by.ID, WriterID: by.ID, HappenedAt: at, RecordedAt: at}
		stand := strike
		stand.ID, stand.Kind = id(t), "stand"
		more := store.FieldTally{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), RecordID: r.ID, N: 3, CountedBy: by.ID, HappenedAt: at, RecordedAt: at}
		write(t, s, func(tx *store.Tx) error {
			return errors.Join(tx.AddFieldRecord(r), tx.AddFieldWord(strike), tx.AddFieldWord(stand), tx.AddFieldTally(more))
		})
		if c := check(t, s); len(c.Broken) > 0 {
			t.Fatalf("a good record: %+v", c.Broken)
		}
		undo := errors.New("undo")
		for statement, rule := range map[string]string{
			"UPDATE field_word SET kind = 'strike'": "field",
			"UPDATE field_tally SET n = -1":         "seen",
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
	})
}
