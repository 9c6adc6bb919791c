package store_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// said is a slip with one name, a year of its own and a collection.
func said(t testing.TB, p store.Person, c store.Collection, seq int, kind foray.SlipKind, year int, n foray.SlipName) foray.Slip {
	n.Rank, n.Verbatim, n.ChecklistRev = 1, n.Name, "r"
	at := time.Date(year, 10, 3, 12, 0, 0, 0, time.UTC)
	return foray.Slip{ID: id(t), CollectionID: c.ID, Seq: seq, Kind: kind, Determiner: p.ID, Writer: p.ID, HappenedAt: at, RecordedAt: at, Names: []foray.SlipName{n}}
}

// Two events of one society, and one of another that has the same names.
func TestATaxonsFindsAreReadByTheKeysOfItsNamesOverAllEventsOfOneSociety(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		p, event := ground(t, s, "hollinbeck")
		other, elsewhere := ground(t, s, "fernhollow")
		later := event
		later.ID, later.Code = id(t), "HB27"
		write(t, s, func(tx *store.Tx) error { return tx.AddEvent(later) })
		now, then := foray.SlipName{Name: "Infundibulicybe gibba", Key: "infundibulicybe gibba"}, foray.SlipName{Name: "Clitocybe gibba", Key: "clitocybe gibba"}
		doubt := foray.SlipName{Name: "Clitocybe gibba", Key: "clitocybe gibba", Qualifier: "cf."}
		a, b, c, d, split := find(t, p, event, 1), find(t, p, event, 2), find(t, p, later, 1), find(t, other, elsewhere, 1), find(t, p, later, 2)
		split.Fate = "split"
		struck := said(t, p, a, 2, foray.SignOff, 1999, now)
		back := foray.Slip{ID: id(t), CollectionID: a.ID, Seq: 3, Kind: foray.Strike, Determiner: p.ID, Writer: p.ID, HappenedAt: struck.HappenedAt, RecordedAt: struck.RecordedAt, Strikes: struck.ID, Remarks: "slip of the pen"}
		write(t, s, func(tx *store.Tx) error {
			return errors.Join(tx.AddCollections([]store.Collection{a, b, c, d, split}),
				tx.AddSlips(event.SocietyID, event.ID, []foray.Slip{said(t, p, a, 1, foray.SignOff, 2004, then), struck, back,
					said(t, p, b, 1, foray.FieldName, 1990, now), said(t, p, b, 2, foray.SignOff, 2011, then)}),
				tx.AddSlips(later.SocietyID, later.ID, []foray.Slip{said(t, p, c, 1, foray.SignOff, 2027, doubt), said(t, p, split, 1, foray.SignOff, 1980, then)}),
				tx.AddSlips(elsewhere.SocietyID, elsewhere.ID, []foray.Slip{said(t, other, d, 1, foray.SignOff, 1970, then)}))
		})
		keys := []string{now.Key, then.Key}
		read(t, s, func(tx *store.Tx) error {
			found, err := tx.CollectionsNamed(event.SocietyID, keys)
			if err != nil || len(found) != 3 {
				t.Errorf("%d plates, %v", len(found), err)
			}
			for _, f := range found {
				if f.ID != a.ID && f.ID != b.ID && f.ID != c.ID {
					t.Errorf("found %s of %s", f.Number(), f.EventID)
				}
			}
			slips, err := tx.SlipsOf(event.SocietyID, event.ID, []foray.ID{a.ID})
			if err != nil || len(slips) != 3 || len(slips[0].Names) != 1 || slips[0].Names[0].Key != then.Key || slips[2].Strikes != struck.ID {
				t.Errorf("slips: %+v %v", slips, err)
			}
			used, err := tx.NamesUsed(event.SocietyID, keys)
			got := ""
			for _, u := range used {
				got += fmt.Sprintf("%s %s %d-%d %d; ", u.Qualifier, u.Name, u.FirstAt.Year(), u.LastAt.Year(), u.Plates)
			}
			if want := " Clitocybe gibba 2004-2011 2; cf. Clitocybe gibba 2027-2027 1; "; got != want || err != nil {
				t.Errorf("names used: %q, want %q, %v", got, want, err)
			}
			none, err := tx.CollectionsNamed(event.SocietyID, nil)
			if len(none) != 0 {
				t.Errorf("without a name: %+v", none)
			}
			return err
		})
	})
}

func TestAFieldRecordIsFoundByItsNameUntilItIsTakenBack(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		p, event := ground(t, s, "hollinbeck")
		record := func(name string) store.FieldRecord {
			return store.FieldRecord{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), ObserverID: p.ID, Verbatim: name, NameKey: name, CurrentKey: name, Name: name,
				Host: "Fagus", ChecklistRev: "r", EnteredBy: p.ID, HappenedAt: store.At(now), RecordedAt: store.At(now)}
		}
		word := func(r store.FieldRecord, kind string) store.FieldWord {
			return store.FieldWord{SocietyID: r.SocietyID, EventID: r.EventID, ID: id(t), RecordID: r.ID, Kind: kind, PersonID: p.ID, WriterID: p.ID, Remarks: "x", HappenedAt: store.At(now), RecordedAt: store.At(now)}
		}
		loose, stood, struck, another := record("fomes fomentarius"), record("fomes fomentarius"), record("fomes fomentarius"), record("daedalea quercina")
		write(t, s, func(tx *store.Tx) error {
			return errors.Join(tx.AddFieldRecord(loose), tx.AddFieldRecord(stood), tx.AddFieldRecord(struck), tx.AddFieldRecord(another),
				tx.AddFieldWord(word(stood, "stand")), tx.AddFieldWord(word(struck, "stand")), tx.AddFieldWord(word(struck, "strike")))
		})
		read(t, s, func(tx *store.Tx) error {
			found, err := tx.FieldFinds(event.SocietyID, []string{"fomes fomentarius"})
			got := map[foray.ID]bool{}
			for _, f := range found {
				got[f.ID] = f.Stood
				if f.Host != "Fagus" || f.EventID != event.ID || f.HappenedAt != store.At(now) {
					t.Errorf("read as %+v", f)
				}
			}
			if _, there := got[struck.ID]; len(got) != 2 || there || got[loose.ID] || !got[stood.ID] {
				t.Errorf("found %v", got)
			}
			return err
		})
	})
}

func TestTheCountersOfASocietyGrowWithAnyOfItsEvents(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		p, event := ground(t, s, "hollinbeck")
		_, elsewhere := ground(t, s, "fernhollow")
		later := event
		later.ID, later.Code = id(t), "HB27"
		write(t, s, func(tx *store.Tx) error { return tx.AddEvent(later) })
		sum := func() (n int64) {
			read(t, s, func(tx *store.Tx) (err error) { n, err = tx.ChangeSeqs(event.SocietyID); return err })
			return n
		}
		before := sum()
		change := func(e store.Event) {
			write(t, s, func(tx *store.Tx) error {
				_, err := tx.AddChanges(e.SocietyID, e.ID, []store.Change{{SocietyID: e.SocietyID, EventID: e.ID, Kind: "x", Subject: p.ID, RecordedAt: store.At(now)}})
				return err
			})
		}
		if change(elsewhere); sum() != before {
			t.Error("another society's change counts")
		}
		if change(later); sum() <= before {
			t.Errorf("%d after a change, %d before", sum(), before)
		}
	})
}
