package demo_test

import (
	"fmt"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// Would catch an earlier list whose names no longer meet today's, which would make dozens of first records of nothing but
// synonyms, and a demo that has none to show.
func TestThisYearHasAHandfulOfFirstRecordsAndNoSynonymIsOne(t *testing.T) {
	l := fill(t, storetest.New(t, store.SQLite))
	f, err := earlier.Firsts(t.Context(), l.Hall, access.Nobody, l.scope(t, "HB26"))
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]int{}
	for _, x := range f.Taxa {
		var marks []string
		for _, m := range x.Firsts {
			by[m.Scope]++
			marks = append(marks, fmt.Sprintf("%s %s sure=%v (%s)", m.Scope, m.Place, m.Sure, m.List))
		}
		t.Logf("%s %v: %s", x.Written, x.Numbers, strings.Join(marks, "; "))
	}
	for _, c := range f.Compared {
		t.Logf("%+v", c)
	}
	if n := len(f.Taxa); n < 3 || n > 12 {
		t.Errorf("%d taxa are new", n)
	}
	for _, scope := range []string{store.OfRecord, store.OfSociety, store.OfSite} {
		if by[scope] == 0 {
			t.Errorf("nothing is new to the %s", scope)
		}
	}
	room, err := earlier.See(t.Context(), l.Hall, l.keeper(t), l.scope(t, "HB26"))
	if err != nil || len(room.Lists) != 3 {
		t.Fatal(len(room.Lists), err)
	}
	for _, list := range room.Lists {
		if len(list.Unknown) > 0 || list.Species < list.Lines*9/10 && list.Scope != store.OfSociety {
			t.Errorf("%s: %d lines, %d species, unknown %v", list.Title, list.Lines, list.Species, list.Unknown)
		}
	}
}

// keeper is whoever keeps the list.
func (l laid) keeper(t *testing.T) access.Actor {
	t.Helper()
	for _, s := range l.signs {
		if s.Role == "list keeper" {
			token, _, err := l.desk.SignIn(t.Context(), s.Login, s.Password)
			if err != nil {
				t.Fatal(err)
			}
			actor, _, err := l.desk.Who(t.Context(), token, "browser")
			if err != nil {
				t.Fatal(err)
			}
			return actor
		}
	}
	t.Fatal("nobody keeps the list")
	return access.Actor{}
}
