package store_test

import (
	"context"
	"strings"
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

func earlierList(t *testing.T, society, by foray.ID) store.EarlierList {
	return store.EarlierList{SocietyID: society, ID: id(t), Title: "List", Scope: store.OfSite, Site: "Nether Holt", Source: "minutes", SHA256: id(t).String(), Lines: 1, AddedBy: by, AddedAt: store.At(now)}
}

// addEarlier stores a list of one line with everything in it.
func addEarlier(t *testing.T, tx *store.Tx, society, by foray.ID) error {
	l, n := earlierList(t, society, by), 3
	return tx.AddEarlierList(l, []store.EarlierRecord{{SocietyID: society, ListID: l.ID, Line: 2, Verbatim: "Boletus badius", NameKey: "boletus badius", Name: "Boletus badius",
		NameRank: "species", Place: "Nether Holt", DayText: "1998", DayFrom: "1998-01-01", DayTo: "1998-12-31", N: &n, NText: "3", AsItCame: "Boletus badius,1998,3"}})
}

func TestAnEarlierListIsNeverAlteredAndWithdrawnOnce(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		l := earlierList(t, event.SocietyID, person.ID)
		write(t, s, func(tx *store.Tx) error {
			return tx.AddEarlierList(l, []store.EarlierRecord{{SocietyID: l.SocietyID, ListID: l.ID, Line: 2, Verbatim: "Boletus badius", Name: "Boletus badius", AsItCame: "x"}})
		})
		refused := func(why, statement string) {
			t.Helper()
			if err := s.Exec(context.Background(), statement); err == nil {
				t.Errorf("%s: %s was done", why, statement)
			}
		}
		refused("a title stands", "UPDATE earlier_list SET title = 'another'")
		refused("a list stays", "DELETE FROM earlier_list")
		refused("a line stays", "UPDATE earlier_record SET name = 'x'")
		refused("a withdrawal has a reason", "UPDATE earlier_list SET withdrawn_by = added_by, withdrawn_at = added_at")
		for why, change := range map[string]func(*store.EarlierList){
			"no source": func(l *store.EarlierList) { l.Source = "" }, "no site": func(l *store.EarlierList) { l.Site = "" },
			"an area of a site": func(l *store.EarlierList) { l.Area = "Fellshire" }, "no lines": func(l *store.EarlierList) { l.Lines = 0 },
			"another scope": func(l *store.EarlierList) { l.Scope, l.Site = "county", "" },
		} {
			wrong := earlierList(t, event.SocietyID, person.ID)
			change(&wrong)
			if err := s.Write(context.Background(), func(tx *store.Tx) error { return tx.AddEarlierList(wrong, nil) }); err == nil {
				t.Errorf("%s: it was stored", why)
			}
		}
		same := l
		same.ID = id(t)
		if err := s.Write(context.Background(), func(tx *store.Tx) error { return tx.AddEarlierList(same, nil) }); err == nil {
			t.Error("one file is in force twice for one site")
		}
		withdraw := func(tx *store.Tx) error {
			return tx.WithdrawEarlierList(l.SocietyID, l.ID, person.ID, store.At(now), "another edition")
		}
		write(t, s, withdraw)
		if err := s.Write(context.Background(), withdraw); err == nil {
			t.Error("it was withdrawn twice")
		}
		refused("a withdrawal stands", "UPDATE earlier_list SET withdrawn_why = 'x'")
		write(t, s, func(tx *store.Tx) error {
			return tx.AddEarlierList(same, []store.EarlierRecord{{SocietyID: l.SocietyID, ListID: same.ID, Line: 2, Verbatim: "Boletus badius", Name: "Boletus badius", AsItCame: "x"}})
		})
	})
}

func TestCheckTellsOfAListThatLostLines(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		l := earlierList(t, event.SocietyID, person.ID)
		l.Lines = 2
		write(t, s, func(tx *store.Tx) error {
			return tx.AddEarlierList(l, []store.EarlierRecord{{SocietyID: l.SocietyID, ListID: l.ID, Line: 2, Verbatim: "Boletus badius", Name: "Boletus badius", AsItCame: "x"}})
		})
		read(t, s, func(tx *store.Tx) error {
			checked, err := tx.Check()
			found := false
			for _, b := range checked.Broken {
				found = found || b.Rule == "earlier lists" && strings.Contains(b.Text.Key, "earlier-lines")
			}
			if !found {
				t.Errorf("check says %v", checked.Broken)
			}
			return err
		})
	})
}

// The tag of pages that compare with the past must move with the lists too.
func TestTheSumOfChangesGrowsWithEarlierLists(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		person, event := ground(t, s, "hollinbeck")
		stranger, there := ground(t, s, "there")
		sum := func() (n int64) {
			read(t, s, func(tx *store.Tx) (err error) { n, err = tx.ChangeSeqs(event.SocietyID); return err })
			return n
		}
		l, before := earlierList(t, event.SocietyID, person.ID), sum()
		write(t, s, func(tx *store.Tx) error { return addEarlier(t, tx, there.SocietyID, stranger.ID) })
		if sum() != before {
			t.Error("another society's list counts")
		}
		write(t, s, func(tx *store.Tx) error { return tx.AddEarlierList(l, nil) })
		added := sum()
		write(t, s, func(tx *store.Tx) error {
			return tx.WithdrawEarlierList(l.SocietyID, l.ID, person.ID, store.At(now), "another")
		})
		if added <= before || sum() <= added {
			t.Errorf("%d, then %d, then %d", before, added, sum())
		}
	})
}
