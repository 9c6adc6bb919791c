package api_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/store"
)

// What no visitor may read, and what stands in a sensitive site's finds.
const (
	secretName      = "Larkspinney dell"
	secretLatitude  = 51.734519
	secretLongitude = -1.284637
	secretCollector = "Tobias Fenwright"
	secretRemark    = "behind the keeper's cottage"
)

// private are keys that no public view has.
var private = []string{"latitude", "longitude", "decimallatitude", "decimallongitude", "lat", "lon", "login", "password", "password_hash",
	"collector", "logged_by", "writer", "reason", "site", "subject", "account", "session", "token"}

func TestPublicViewsHoldNothingPrivate(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		if err := s.Store.Write(ctx, func(tx *store.Tx) error { return tx.SetCredit(s.Scope.Society, s.Second.Person, "none") }); err != nil {
			t.Fatal(err)
		}
		furnish(t, s)
		unnamed(t, s, secretCollector)
		for _, path := range []string{"/hollinbeck", "/hollinbeck/HB26/tables/1", "/hollinbeck/HB26/finds/0001", "/hollinbeck/HB26/finds/0002",
			"/hollinbeck/HB26/taxa/Amanita_phalloides", "/events", "/names?q=bol", "/hollinbeck/HB26", "/hollinbeck/HB26/list", "/hollinbeck/HB26/list/1", "/hollinbeck/HB26/list/1/changes",
			"/hollinbeck/HB26/tables", "/hollinbeck/HB26/warnings", "/hollinbeck/HB26/changes"} {
			for _, as := range []string{"visitor", stranger} {
				scan(t, path+" as "+as, see[any](t, s, as, path), true)
			}
		}
		for _, path := range []string{"/hollinbeck/HB26/collections", "/hollinbeck/HB26/collections/0001", "/hollinbeck/HB26/queue"} {
			scan(t, path, see[any](t, s, "organiser", path), false)
		}
	})
}

// unnamed makes somebody one who chose not to be named.
func unnamed(t *testing.T, s *served, name string) {
	t.Helper()
	if err := s.Store.Write(ctx, func(tx *store.Tx) error {
		persons, err := tx.Persons(s.Scope.Society)
		for _, p := range persons {
			if err == nil && p.Name == name {
				err = tx.SetCredit(p.SocietyID, p.ID, "none")
			}
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
}

// The scan must find what it looks for, or it proves nothing.
func TestTheScanFindsWhatIsPrivate(t *testing.T) {
	found := &testing.T{}
	scan(found, "", object{"a": []any{object{"b": secretLatitude}}}, false)
	if !found.Failed() {
		t.Error("a point was not found")
	}
	for _, o := range []object{{"Logged_By": "x"}, {"a": "by " + secretCollector}, {"a": []any{"at " + secretName}}} {
		found := &testing.T{}
		if scan(found, "", o, true); !found.Failed() {
			t.Errorf("%v was let through", o)
		}
	}
}

// scan looks through a view: for points everywhere, for names and keys only where everybody may read it.
func scan(t *testing.T, where string, v any, public bool) {
	switch v := v.(type) {
	case map[string]any:
		for key, inner := range v {
			for _, p := range private {
				if public && strings.EqualFold(key, p) {
					t.Errorf("%s has the key %s", where, key)
				}
			}
			scan(t, where+"/"+key, inner, public)
		}
	case []any:
		for i, inner := range v {
			scan(t, fmt.Sprint(where, "/", i), inner, public)
		}
	case float64:
		if math.Abs(v-secretLatitude) < 0.01 || math.Abs(v-secretLongitude) < 0.01 {
			t.Errorf("%s is the point %v", where, v)
		}
	case string:
		for _, secret := range []string{secretName, secretCollector, secretRemark, "Person second", "51.73", "1.28"} {
			if public && strings.Contains(v, secret) {
				t.Errorf("%s says %q", where, v)
			}
		}
	}
}

func TestWhichRowChangedIsToldToStaffOnly(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		s.logged(t)
		for as, told := range map[string]bool{"visitor": false, "member": false, stranger: false, "desk": true} {
			got := see[api.Changes](t, s, as, "/hollinbeck/HB26/changes")
			n := len(got.Changes)
			if n == 0 || got.Last != int64(n) || got.Changes[n-1].Seq != got.Last || got.Changes[n-1].Kind != "collection" {
				t.Fatalf("%s: %+v", as, got)
			}
			if !got.Changes[n-1].Subject.IsZero() != told {
				t.Errorf("%s is told %v", as, got.Changes[n-1])
			}
		}
	})
}

func TestAMemberSeesTheirOwnCollectionsOnly(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		own := s.send(t, "desk", s.cmd(t, "collection.log.v1", object{"number": "900", "field": object{"group": "bolete", "team": "1", "collector": "Person " + string(access.Member)}}))[0]
		status(t, own, "applied")
		page := see[api.Page](t, s, "member", "/hollinbeck/HB26/collections")
		if len(page.Collections) != 1 || page.Collections[0].Number != "0900" {
			t.Errorf("a member sees %+v", page)
		}
		if got, _ := s.get(t, "member", "/hollinbeck/HB26/collections/900"); got != 200 {
			t.Errorf("their own: %d", got)
		}
	})
}
