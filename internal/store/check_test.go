package store_test

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// whole makes an event that keeps every rule: two collections, one of them disputed, struck and placed.
func whole(t testing.TB, s *store.Store) store.Event {
	t.Helper()
	person, event := ground(t, s, "hollinbeck")
	second := store.Person{SocietyID: person.SocietyID, ID: id(t), Name: "Second", Credit: "full", Kind: "person", CreatedAt: store.At(now)}
	table := store.HallTable{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), Number: 4, CreatedAt: store.At(now)}
	one, other := find(t, person, event, 417), find(t, person, event, 418)
	write(t, s, func(tx *store.Tx) error {
		return errors.Join(tx.AddPerson(second), tx.AddHallTable(table), tx.AddCollections([]store.Collection{one, other}),
			tx.GiveRight(store.EventRight{SocietyID: event.SocietyID, EventID: event.ID, PersonID: person.ID, Held: access.Identifier, GivenBy: person.ID, GivenAt: store.At(now)}),
			// The second identifier's right was taken away since; the audit knows that it was there.
			tx.AddAudit([]store.Audit{{SocietyID: event.SocietyID, ID: id(t), EventID: event.ID, PersonID: person.ID, Action: "set_up",
				Kind: "right.give", Subject: second.ID, Detail: "identifier", RecordedAt: store.At(now)}}),
			tx.AddPublication(publication(event, person)))
	})
	name := func(n string) foray.SlipName {
		return foray.SlipName{Verbatim: n, Key: n, CurrentKey: n, Name: n, ChecklistRev: "r"}
	}
	add := func(slip foray.Slip, names ...string) foray.ID {
		slip.ID, slip.CollectionID, slip.Writer, slip.HappenedAt, slip.RecordedAt = id(t), one.ID, slip.Determiner, now, now
		for i, n := range names {
			slip.Names = append(slip.Names, name(n))
			slip.Names[i].Rank = i + 1
		}
		write(t, s, func(tx *store.Tx) error { return addSlip(tx, event, one.ID, slip) })
		return slip.ID
	}
	add(foray.Slip{Kind: foray.FieldName, Determiner: person.ID}, "boletus edulis", "imleria badia")
	add(foray.Slip{Kind: foray.SignOff, Determiner: person.ID, Basis: "macroscopic"}, "boletus edulis")
	dissent := add(foray.Slip{Kind: foray.SignOff, Determiner: second.ID, Basis: "microscopy", Remarks: "spores"}, "imleria badia")
	add(foray.Slip{Kind: foray.Strike, Determiner: second.ID, Strikes: dissent, Remarks: "wrong plate"})
	for _, where := range []foray.Whereabouts{foray.AtBench, foray.OnTable} {
		p := store.Placement{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), CollectionID: one.ID, Whereabouts: where,
			PlacedBy: person.ID, HappenedAt: store.At(now), RecordedAt: store.At(now)}
		if where == foray.OnTable {
			p.TableID, p.Position = table.ID, "b2"
		}
		write(t, s, func(tx *store.Tx) error { return tx.Place(p) })
	}
	return event
}

func publication(e store.Event, p store.Person) store.Publication {
	sum := sha256.Sum256([]byte("list"))
	hash := hex.EncodeToString(sum[:])
	return store.Publication{SocietyID: e.SocietyID, EventID: e.ID, Version: 1, Canonical: []byte("list"), CanonicalSha256: hash,
		CSV: []byte("list"), CSVSha256: hash, ChecklistRev: "r", KnowledgeRev: "r", SignedBy: p.ID, SignedAt: store.At(now)}
}

// addSlip adds a slip as the hall does: slip, standing and change in one transaction.
func addSlip(tx *store.Tx, event store.Event, collection foray.ID, slip foray.Slip) error {
	c, err := tx.LockCollection(event.SocietyID, event.ID, collection)
	if err != nil {
		return err
	}
	slips, err := tx.Slips(event.SocietyID, event.ID, collection)
	if err != nil {
		return err
	}
	slip.Seq = c.Version + 1
	st := foray.Replay(append(slips, slip))
	_, err = tx.AddChanges(event.SocietyID, event.ID, []store.Change{{SocietyID: event.SocietyID, EventID: event.ID, Kind: "collection",
		Subject: collection, RecordedAt: store.At(now)}})
	return errors.Join(err, tx.AddSlip(event.SocietyID, event.ID, slip), tx.SetStanding(c, st.Naming, st.Disputed, st.Version, store.At(now)))
}

func check(t testing.TB, s *store.Store) store.Checked {
	t.Helper()
	var c store.Checked
	read(t, s, func(tx *store.Tx) (err error) {
		c, err = tx.Check()
		return err
	})
	return c
}

func TestCheckFindsNothingInAWholeEventAndCountsIt(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		whole(t, s)
		c := check(t, s)
		if len(c.Broken) > 0 || c.Societies != 1 || c.Events != 1 || c.Collections != 2 || c.Slips != 4 || c.Changes != 4 {
			t.Errorf("checked %+v", c)
		}
	})
}

func TestCheckReportsEveryBrokenRule(t *testing.T) {
	const one = " WHERE number_base = 417"
	broken := []struct {
		name       string
		statements []string
		rules      []string
	}{
		{"a number that reads like another", []string{"UPDATE collection SET number_base = 417, number_suffix = 'A' WHERE number_base = 418"}, []string{"numbers"}},
		{"a slip lost", []string{"DELETE FROM slip_name WHERE slip_id IN (SELECT id FROM slip WHERE seq = 1)", "DELETE FROM slip WHERE seq = 1"}, []string{"slips", "history"}},
		{"a version too high", []string{"UPDATE collection SET version = 9" + one}, []string{"slips", "naming"}},
		{"a strike of nothing", []string{"UPDATE slip SET strikes = NULL WHERE kind = 'strike'"}, []string{"strikes", "naming", "history"}},
		{"a strike that is none", []string{"UPDATE slip SET kind = 'field_name', strikes = NULL WHERE kind = 'strike'"}, []string{"names", "naming", "history"}},
		{"a first name lost", []string{"DELETE FROM slip_name WHERE rank = 1 AND slip_id IN (SELECT id FROM slip WHERE seq = 1)"}, []string{"names"}},
		{"a sign-off without its name", []string{"DELETE FROM slip_name WHERE slip_id IN (SELECT id FROM slip WHERE seq = 2)"}, []string{"names"}},
		{"a name written over", []string{"UPDATE slip_name SET current_key = 'boletus edulis' WHERE slip_id IN (SELECT id FROM slip WHERE seq = 3)"}, []string{"history"}},
		{"a state no slip gives", []string{"UPDATE collection SET naming = 'provisional'" + one}, []string{"naming"}},
		{"a dispute forgotten", []string{"UPDATE collection SET disputed = NOT disputed" + one}, []string{"naming"}},
		{"history lost", []string{"DELETE FROM naming_history WHERE seq = 2"}, []string{"history"}},
		{"history made up", []string{"UPDATE naming_history SET naming = 'not_fungus' WHERE seq = 2"}, []string{"history"}},
		{"a place lost", []string{"DELETE FROM placement WHERE seq = 1"}, []string{"placements"}},
		{"the newest place lost", []string{"DELETE FROM placement WHERE seq = 2"}, []string{"whereabouts"}},
		{"a plate moved in silence", []string{"UPDATE collection SET position = 'c1'" + one}, []string{"whereabouts"}},
		{"a plate never placed", []string{"UPDATE collection SET whereabouts = 'lost' WHERE number_base = 418"}, []string{"whereabouts"}},
		{"a right that nobody gave", []string{"DELETE FROM event_right"}, []string{"determiners"}},
		{"a right that the audit forgot", []string{"DELETE FROM audit"}, []string{"determiners"}},
		{"a right that does not cover it", []string{"UPDATE event_right SET held = 'scribe'"}, []string{"determiners"}},
		{"no counter", []string{"DELETE FROM event_counter"}, []string{"counters"}},
		{"a change lost", []string{"DELETE FROM change WHERE seq = 2"}, []string{"changes"}},
		{"the first change lost", []string{"DELETE FROM change WHERE seq = 1"}, []string{"changes"}},
		{"the counter behind", []string{"UPDATE event_counter SET change_seq = 3"}, []string{"changes"}},
		{"a list changed", []string{"UPDATE publication SET csv = CAST('x' AS bytea)"}, []string{"publications"}},
		{"a list's hash changed", []string{"UPDATE publication SET canonical_sha256 = 'x'"}, []string{"publications"}},
		{"split into nothing", []string{"UPDATE collection SET fate = 'split' WHERE number_base = 418"}, []string{"parts"}},
		{"a part of itself", []string{`INSERT INTO collection_link (society_id, event_id, id, kind, from_id, into_id, linked_by, recorded_at)
			SELECT society_id, event_id, id, 'split', id, id, logged_by, recorded_at FROM collection WHERE number_base = 418`}, []string{"parts", "circles"}},
		{"merged into nothing", []string{"UPDATE collection SET fate = 'merged' WHERE number_base = 418"}, []string{"merged"}},
		{"merged and still a plate", []string{`INSERT INTO collection_link (society_id, event_id, id, kind, from_id, into_id, linked_by, recorded_at)
			SELECT a.society_id, a.event_id, a.id, 'merge', a.id, b.id, a.logged_by, a.recorded_at FROM collection a, collection b
			WHERE a.number_base = 418 AND b.number_base = 417`}, []string{"merged"}},
		{"spoilt though it is named", []string{"UPDATE collection SET fate = 'spoilt'" + one}, []string{"spoilt"}},
		{"maintenance left on", []string{"INSERT INTO maintenance (id, reason, begun_at) VALUES (2 - 1, 'forgotten', '2026-10-24T13:40:00.000000Z')"}, []string{"maintenance"}},
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		whole(t, s)
		undo := errors.New("undo")
		for _, b := range broken {
			err := s.Write(context.Background(), func(tx *store.Tx) error {
				if err := breakIt(tx, b.statements); err != nil {
					return err
				}
				c, err := tx.Check()
				if err != nil {
					return err
				}
				if got := rulesOf(c); !slices.Equal(got, b.rules) {
					t.Errorf("%s: reported %q, want %q", b.name, got, b.rules)
				}
				return undo
			})
			if !errors.Is(err, undo) {
				t.Errorf("%s: %v", b.name, err)
			}
		}
		if c := check(t, s); len(c.Broken) > 0 {
			t.Errorf("something stayed broken: %+v", c.Broken)
		}
	})
}

// breakIt runs statements that nothing in the hall would run, under maintenance where that is not itself the break.
func breakIt(tx *store.Tx, statements []string) error {
	all := func() error {
		for _, statement := range statements {
			if err := tx.Raw(statement); err != nil {
				return err
			}
		}
		return nil
	}
	if strings.HasPrefix(statements[0], "INSERT INTO maintenance") {
		return all()
	}
	return tx.Maintain("test", store.At(now), all)
}

// rulesOf lists the broken rules, each once, and fails for one without a text.
func rulesOf(c store.Checked) []string {
	var rules []string
	for _, b := range c.Broken {
		if !message.Has(b.Text.Key) {
			rules = append(rules, "no text for "+b.Text.Key)
		}
		if !slices.Contains(rules, b.Rule) {
			rules = append(rules, b.Rule)
		}
	}
	return rules
}

func TestCheckReportsAMissingGuardOfHistory(t *testing.T) {
	for dialect, statement := range map[store.Dialect]string{
		store.SQLite:   "DROP TRIGGER slip_no_delete",
		store.Postgres: "ALTER TABLE audit DISABLE TRIGGER audit_append_only",
	} {
		t.Run(string(dialect), func(t *testing.T) {
			s := storetest.New(t, dialect)
			if c := check(t, s); len(c.Broken) > 0 {
				t.Errorf("an empty database: %+v", c.Broken)
			}
			if err := s.Exec(context.Background(), statement); err != nil {
				t.Fatal(err)
			}
			if got := rulesOf(check(t, s)); !slices.Equal(got, []string{"triggers"}) {
				t.Errorf("reported %q", got)
			}
		})
	}
}

// Only a connection that another program opens carelessly can do these; the store's own asserts its settings.
func TestCheckReportsWhatACarelessConnectionDidToTheFile(t *testing.T) {
	for rule, statements := range map[string][]string{
		"references": {"PRAGMA foreign_keys = OFF", "DELETE FROM hall_table"},
		"file":       {"PRAGMA ignore_check_constraints = ON", "UPDATE person SET credit = 'loud'"},
	} {
		t.Run(rule, func(t *testing.T) {
			dir := t.TempDir()
			s, err := store.Open(context.Background(), store.Config{Dir: dir})
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			if err := s.Migrate(context.Background()); err != nil {
				t.Fatal(err)
			}
			whole(t, s)
			careless, err := sql.Open("sqlite", filepath.Join(dir, store.FileName))
			if err != nil {
				t.Fatal(err)
			}
			defer careless.Close()
			careless.SetMaxOpenConns(1)
			for _, statement := range statements {
				if _, err := careless.Exec(statement); err != nil {
					t.Fatal(err)
				}
			}
			if got := rulesOf(check(t, s)); !slices.Equal(got, []string{rule}) {
				t.Errorf("reported %q", got)
			}
		})
	}
}
