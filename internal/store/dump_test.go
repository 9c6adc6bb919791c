package store_test

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"sync"
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// A table or column of a later migration that a dump would forget, or write differently from the two databases, fails
// here.
func TestEveryTableIsDumpedOrLeftBehindOnPurposeAndColumnsAreAlikeOnBothDatabases(t *testing.T) {
	alike := map[store.Dialect][]string{}
	var mu sync.Mutex
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		read(t, s, func(tx *store.Tx) error {
			columns, tables, err := tx.Catalogue()
			want := append(store.Part{}.Tables(), store.NotDumped...)
			slices.Sort(want)
			if !slices.Equal(tables, want) {
				t.Errorf("the database has tables %q, a dump knows %q", tables, want)
			}
			slices.Sort(columns)
			mu.Lock()
			defer mu.Unlock()
			alike[s.Dialect()] = columns
			return err
		})
	})
	one, other := alike[store.SQLite], alike[store.Postgres]
	if len(alike) == 2 && !slices.Equal(one, other) {
		for _, c := range one {
			if !slices.Contains(other, c) {
				t.Errorf("only on SQLite: %s", c)
			}
		}
		for _, c := range other {
			if !slices.Contains(one, c) {
				t.Errorf("only on Postgres: %s", c)
			}
		}
	}
}

func TestTablesAreLoadedAfterThoseTheyReferToAndPeopleAreFollowed(t *testing.T) {
	s := storetest.New(t, store.SQLite)
	read(t, s, func(tx *store.Tx) error {
		references, err := tx.References()
		order := store.Part{}.Tables()
		people := 0
		for _, r := range references {
			if slices.Contains(store.NotDumped, r.Child) {
				continue
			}
			if slices.Index(order, r.Child) <= slices.Index(order, r.Parent) && r.Child != r.Parent {
				t.Errorf("%s comes before %s, to which it refers", r.Child, r.Parent)
			}
			if r.Parent == "person" {
				people++
				if !slices.Contains(store.PeopleOf(r.Child), r.Column) {
					t.Errorf("an event's package forgets the people in %s.%s", r.Child, r.Column)
				}
			}
		}
		if people == 0 {
			t.Error("no reference to a person was found: the test looks in the wrong place")
		}
		return err
	})
}

const society = `"id":"0192f0c0-0000-7000-8000-000000000001","name":"Hollinbeck Fungus Society"`

func TestOnlyRowsInTheFormOfADumpAreLoaded(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		for name, row := range map[string]string{
			"a column is missing":      `{` + society + `,"code":"hollinbeck"}`,
			"a column too many":        `{` + society + `,"code":"hollinbeck","created_at":"2026-10-24T13:40:00.123456Z","x":1}`,
			"a time of another form":   `{` + society + `,"code":"hollinbeck","created_at":"2026-10-24 13:40:00Z"}`,
			"a time of another zone":   `{` + society + `,"code":"hollinbeck","created_at":"2026-10-24T13:40:00.123456+01:00"}`,
			"a number for a text":      `{` + society + `,"code":7,"created_at":"2026-10-24T13:40:00.123456Z"}`,
			"an id in capitals":        `{"id":"0192F0C0-0000-7000-8000-000000000001","name":"n","code":"c","created_at":"2026-10-24T13:40:00.123456Z"}`,
			"a zero byte":              `{` + society + `,"code":"a\u0000b","created_at":"2026-10-24T13:40:00.123456Z"}`,
			"no object at all":         `[1,2,3,4]`,
			"another name in its case": `{` + society + `,"Code":"hollinbeck","created_at":"2026-10-24T13:40:00.123456Z"}`,
		} {
			err := s.Write(context.Background(), func(tx *store.Tx) error {
				l, err := tx.Load("society", false)
				if err != nil {
					return err
				}
				return l.Add(json.RawMessage(row))
			})
			if !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
	})
}

func TestMaintenanceLetsHistoryBeWrittenOverAndIsOffAfterwards(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		change := func(tx *store.Tx) error {
			_, err := tx.AddChanges(event.SocietyID, event.ID, []store.Change{{SocietyID: event.SocietyID, EventID: event.ID,
				Kind: "person", Subject: person.ID, RecordedAt: store.At(now)}})
			return err
		}
		write(t, s, change)
		remove := func(tx *store.Tx) error { return tx.Raw("DELETE FROM change") }
		if err := s.Write(context.Background(), remove); err == nil {
			t.Error("history was removed without maintenance")
		}
		failed := errors.New("half way")
		err := s.Write(context.Background(), func(tx *store.Tx) error {
			return tx.Maintain("test", store.At(now), func() error { return failed })
		})
		if !errors.Is(err, failed) {
			t.Errorf("got %v", err)
		}
		if err := s.Write(context.Background(), remove); err == nil {
			t.Error("maintenance stayed on after a failure")
		}
		write(t, s, func(tx *store.Tx) error {
			return tx.Maintain("test", store.At(now), func() error { return remove(tx) })
		})
		if err := s.Write(context.Background(), func(tx *store.Tx) error { return errors.Join(change(tx), remove(tx)) }); err == nil {
			t.Error("maintenance stayed on after it was done")
		}
	})
}
