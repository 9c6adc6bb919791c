package store_test

import (
	"context"
	"crypto/rand"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

var now = time.Date(2026, 10, 24, 13, 40, 0, 123456789, time.UTC)

func id(t testing.TB) foray.ID {
	t.Helper()
	made, err := foray.NewID(now, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

// ground makes a society with one person and one event.
func ground(t testing.TB, s *store.Store, code string) (store.Person, store.Event) {
	t.Helper()
	society := store.Society{ID: id(t), Code: code, Name: "Society " + code, CreatedAt: store.At(now)}
	person := store.Person{SocietyID: society.ID, ID: id(t), Name: "Ines Halloway", Credit: "full", Kind: "person", CreatedAt: store.At(now)}
	event := store.Event{SocietyID: society.ID, ID: id(t), Code: "HB26", Name: "Autumn foray", StartsOn: "2026-10-24",
		EndsOn: "2026-10-25", TimeZone: "Europe/London", Region: "EU", State: "open", Home: "here", CreatedAt: store.At(now)}
	write(t, s, func(tx *store.Tx) error {
		return errors.Join(tx.AddSociety(society), tx.AddPerson(person), tx.AddEvent(event))
	})
	return person, event
}

func write(t testing.TB, s *store.Store, fn func(*store.Tx) error) {
	t.Helper()
	if err := s.Write(context.Background(), fn); err != nil {
		t.Fatal(err)
	}
}

func read(t testing.TB, s *store.Store, fn func(*store.Tx) error) {
	t.Helper()
	if err := s.Read(context.Background(), fn); err != nil {
		t.Fatal(err)
	}
}

func find(t testing.TB, p store.Person, e store.Event, base int) store.Collection {
	return store.Collection{SocietyID: e.SocietyID, EventID: e.ID, ID: id(t), NumberBase: base, FormGroup: "bolete", Fate: store.Live,
		Naming: foray.BroughtIn, Whereabouts: foray.AtDesk, LoggedBy: p.ID, HappenedAt: store.At(now), RecordedAt: store.At(now)}
}

func TestWhatIsWrittenIsReadBackAlikeOnBothDatabases(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		c := find(t, person, event, 417)
		c.Host, c.KeptCool, c.PickedAt = "Quercus – old, hollow", true, store.At(now)
		slip := foray.Slip{ID: id(t), CollectionID: c.ID, Seq: 1, Kind: foray.FieldName, Determiner: person.ID, Writer: person.ID,
			HappenedAt: now, RecordedAt: now, Remarks: "łęgi", CarriedFrom: id(t), Names: []foray.SlipName{
				{Rank: 1, Verbatim: "Amanita muscaria", Key: "amanita muscaria", Name: "Amanita muscaria", ChecklistRev: "r"},
				{Rank: 2, Verbatim: "A. regalis?", Reason: "brown cap", ChecklistRev: "r"}}}
		write(t, s, func(tx *store.Tx) error {
			return errors.Join(tx.AddCollection(c), tx.AddSlip(event.SocietyID, event.ID, slip))
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.CollectionByNumber(event.SocietyID, event.ID, foray.Number{Base: 417})
			if err != nil {
				return err
			}
			if got != c {
				t.Errorf("collection\n got %+v\nwant %+v", got, c)
			}
			slips, err := tx.Slips(event.SocietyID, event.ID, c.ID)
			if err != nil {
				return err
			}
			if len(slips) != 1 || len(slips[0].Names) != 2 || slips[0].Names[1].Reason != "brown cap" ||
				slips[0].Remarks != "łęgi" || slips[0].CarriedFrom != slip.CarriedFrom || !slips[0].HappenedAt.Equal(now.Truncate(time.Microsecond)) {
				t.Errorf("slips %+v", slips)
			}
			return tx.Dump("slip", store.Part{}, func(row map[string]any) error {
				if row["carried_from_id"] != slip.CarriedFrom.String() {
					t.Errorf("a dump says it was carried from %v", row["carried_from_id"])
				}
				return nil
			})
		})
	})
}

func TestReferencesAcrossSocietiesCannotBeStored(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		_, here := ground(t, s, "here")
		stranger, _ := ground(t, s, "there")
		err := s.Write(context.Background(), func(tx *store.Tx) error {
			return tx.AddCollection(find(t, stranger, here, 1))
		})
		if err == nil {
			t.Error("a collection logged by a person of another society was stored")
		}
		err = s.Write(context.Background(), func(tx *store.Tx) error {
			return tx.GiveRight(store.EventRight{SocietyID: here.SocietyID, EventID: here.ID, PersonID: stranger.ID,
				Held: access.Organiser, GivenBy: stranger.ID, GivenAt: store.At(now)})
		})
		if err == nil {
			t.Error("a right was given to a person of another society")
		}
	})
}

func TestHistoryCanOnlyGrow(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		c := find(t, person, event, 1)
		write(t, s, func(tx *store.Tx) error {
			p := store.Placement{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), CollectionID: c.ID,
				Whereabouts: foray.OnBackTable, PlacedBy: person.ID, HappenedAt: store.At(now), RecordedAt: store.At(now)}
			_, err := tx.AddChanges(event.SocietyID, event.ID, []store.Change{{SocietyID: event.SocietyID, EventID: event.ID,
				Kind: "collection", Subject: c.ID, RecordedAt: store.At(now)}})
			other := find(t, person, event, 2)
			return errors.Join(err, tx.AddCollection(c), tx.AddCollection(other), hallRows(t, tx, person, event, c, other), tx.Place(p), tx.SetStanding(c, foray.Provisional, false, 1, store.At(now)),
				tx.AddSlip(event.SocietyID, event.ID, foray.Slip{ID: id(t), CollectionID: c.ID, Seq: 1, Kind: foray.FieldName,
					Determiner: person.ID, Writer: person.ID, HappenedAt: now, RecordedAt: now,
					Names: []foray.SlipName{{Rank: 1, Verbatim: "Boletus", ChecklistRev: "r"}}}),
				tx.AddPoisonContact(store.PoisonContact{SocietyID: event.SocietyID, EventID: event.ID, Seq: 1, Name: "n", Phone: "p", TypedBy: person.ID, TypedAt: store.At(now)}),
				tx.AddCharacterNotes([]store.CharacterNote{{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), CollectionID: c.ID, Character: "odour", Words: "meal", NotedBy: person.ID, HappenedAt: store.At(now), RecordedAt: store.At(now)}}),
				tx.AddPublication(store.Publication{SocietyID: event.SocietyID, EventID: event.ID, Version: 1, Canonical: []byte("{}"), CSV: []byte("a"), SignedBy: person.ID, SignedAt: store.At(now)}),
				tx.AddAudit([]store.Audit{{SocietyID: event.SocietyID, ID: id(t), EventID: event.ID, PersonID: person.ID, Action: "x", RecordedAt: store.At(now)}}))
		})
		for _, table := range store.AppendOnly {
			for _, statement := range []string{"UPDATE " + table + " SET society_id = society_id", "DELETE FROM " + table} {
				err := s.Exec(context.Background(), statement)
				if err == nil || !strings.Contains(err.Error(), "append-only") {
					t.Errorf("%s: %v", statement, err)
				}
			}
		}
	})
}

func TestChangesAreNumberedWithoutGapsUnderManyWriters(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		const writers, each = 12, 10
		var wg sync.WaitGroup
		for w := range writers {
			wg.Go(func() {
				for i := range each {
					failing := i%3 == 2
					err := s.Write(context.Background(), func(tx *store.Tx) error {
						c := find(t, person, event, 1+w*each+i)
						if err := tx.AddCollection(c); err != nil {
							return err
						}
						_, err := tx.AddChanges(event.SocietyID, event.ID, []store.Change{{SocietyID: event.SocietyID,
							EventID: event.ID, Kind: "collection", Subject: c.ID, RecordedAt: store.At(now)}})
						if err == nil && failing {
							return fault.New(fault.Refused, "place.unknown")
						}
						return err
					})
					if failing != fault.Is(err, fault.Refused) || !failing && err != nil {
						t.Errorf("write: %v", err)
					}
				}
			})
		}
		wg.Wait()
		read(t, s, func(tx *store.Tx) error {
			changes, err := tx.ChangesSince(event.SocietyID, event.ID, 0, 1000)
			if err != nil {
				return err
			}
			collections, err := tx.Collections(event.SocietyID, event.ID)
			if err != nil {
				return err
			}
			if want := writers * (each - each/3); len(changes) != want || len(collections) != want {
				t.Errorf("%d changes, %d collections, want %d of each", len(changes), len(collections), want)
			}
			for i, c := range changes {
				if c.Seq != int64(i+1) {
					t.Fatalf("change %d has number %d", i+1, c.Seq)
				}
			}
			return nil
		})
	})
}

func TestAPanicInOneCommandTakesNothingOfTheOthers(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		var wg sync.WaitGroup
		for i := range 20 {
			wg.Go(func() {
				defer func() { _ = recover() }()
				err := s.Write(context.Background(), func(tx *store.Tx) error {
					if err := tx.AddCollection(find(t, person, event, i+1)); err != nil {
						return err
					}
					if i%4 == 0 {
						panic("a bug in one command")
					}
					return nil
				})
				if (err != nil) != (i%4 == 0) {
					t.Errorf("command %d: %v", i, err)
				}
			})
		}
		wg.Wait()
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.Collections(event.SocietyID, event.ID)
			if len(got) != 15 {
				t.Errorf("%d collections, want 15", len(got))
			}
			return err
		})
	})
}

func TestAnotherSchemaIsRefused(t *testing.T) {
	s, err := store.Open(context.Background(), store.Config{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.RequireSchema(context.Background()); !errors.Is(err, store.ErrSchema) {
		t.Errorf("an empty database: %v", err)
	}
}

func TestTogetherKeepsAllOrNothing(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		enough := errors.New("enough")
		count := func() (n int) {
			read(t, s, func(tx *store.Tx) error {
				all, err := tx.Collections(event.SocietyID, event.ID)
				n = len(all)
				return err
			})
			return n
		}
		fill := func(last error) error {
			return s.Together(context.Background(), func(ctx context.Context) error {
				for i := range 3 {
					if err := s.Write(ctx, func(tx *store.Tx) error { return tx.AddCollection(find(t, person, event, i+1)) }); err != nil {
						return err
					}
				}
				failing := s.Write(ctx, func(tx *store.Tx) error {
					return errors.Join(tx.AddCollection(find(t, person, event, 4)), enough)
				})
				if !errors.Is(failing, enough) {
					return failing
				}
				return errors.Join(s.Read(ctx, func(tx *store.Tx) error {
					all, err := tx.Collections(event.SocietyID, event.ID)
					if len(all) != 3 {
						t.Errorf("%d collections inside, want 3: a part that failed is taken back, the others are seen", len(all))
					}
					return err
				}), last)
			})
		}
		if err := fill(enough); !errors.Is(err, enough) || count() != 0 {
			t.Errorf("a filling that failed kept %d collections (%v)", count(), err)
		}
		if err := fill(nil); err != nil || count() != 3 {
			t.Errorf("a filling kept %d collections, want 3 (%v)", count(), err)
		}
	})
}

func TestABrokenSharedTransactionIsAnsweredAndTheNextOneWorks(t *testing.T) {
	s := storetest.New(t, store.SQLite)
	person, event := ground(t, s, "hollinbeck")
	if err := s.Exec(context.Background(), "ROLLBACK"); !fault.Is(err, fault.Unavailable) {
		t.Errorf("a command that ended the transaction of all: %v", err)
	}
	write(t, s, func(tx *store.Tx) error { return tx.AddCollection(find(t, person, event, 1)) })
}

func TestAReaderThatPanicsIsGivenBack(t *testing.T) {
	s, err := store.Open(context.Background(), store.Config{Dir: t.TempDir(), Readers: 1})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for range 3 {
		func() {
			defer func() { _ = recover() }()
			_ = s.Read(context.Background(), func(*store.Tx) error { panic("a bug in one page") })
		}()
	}
	if err := s.Ping(context.Background()); err != nil {
		t.Error(err)
	}
}

func TestAClosedStoreAnswersThatItIs(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if err := s.Ping(context.Background()); err == nil {
			t.Error("a closed database answers")
		}
		if err := s.Write(context.Background(), func(*store.Tx) error { return nil }); err == nil {
			t.Error("a closed database takes writes")
		}
	})
}
