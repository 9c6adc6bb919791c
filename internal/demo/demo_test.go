package demo_test

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/demo"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// laid is a filled installation.
type laid struct {
	*hall.Hall
	desk  *people.Desk
	signs demo.Signs
}

func fill(t *testing.T, s *store.Store) laid {
	t.Helper()
	h := hall.New(s, halltest.Knowledge(t))
	h.Now = func() time.Time { return demo.Present }
	desk := &people.Desk{Hall: h, Cost: halltest.Cheap, Keys: []people.Key{{ID: "test", Secret: []byte("0123456789abcdef0123456789abcdef")}}}
	began := time.Now()
	signs, err := demo.Fill(context.Background(), h, desk)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("filled in %v", time.Since(began))
	return laid{h, desk, signs}
}

// scope finds an event of the demo by its code.
func (l laid) scope(t *testing.T, code string) access.Scope {
	t.Helper()
	var scope access.Scope
	err := l.Store.Read(context.Background(), func(tx *store.Tx) error {
		society, err := tx.SocietyByCode(demo.SocietyCode)
		if err != nil {
			return err
		}
		event, err := tx.EventByCode(society.ID, code)
		scope = access.Scope{Society: society.ID, Event: event.ID}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return scope
}

// plates reads an event's plates as anybody in the hall sees them.
func (l laid) plates(t *testing.T, code string) []hall.Plate {
	t.Helper()
	var plates []hall.Plate
	err := l.View(context.Background(), access.Nobody, access.ReadPublic, l.scope(t, code), func(look *hall.Look) (err error) {
		plates, err = look.Plates()
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return plates
}

// everything is the rows of every table in one form for both databases; the installation's own id is not the demo's.
func (l laid) everything(t *testing.T) map[string]string {
	t.Helper()
	sums := map[string]string{}
	err := l.Store.Read(context.Background(), func(tx *store.Tx) error {
		for _, table := range (store.Part{}).Tables() {
			if table == "installation" {
				continue
			}
			sum := sha256.New()
			err := tx.Dump(table, store.Part{}, func(row map[string]any) error { return json.NewEncoder(sum).Encode(row) })
			if err != nil {
				return err
			}
			sums[table] = hex.EncodeToString(sum.Sum(nil))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return sums
}

// What is only read is filled in once.
func TestScenario(t *testing.T) {
	l := fill(t, storetest.New(t, store.SQLite))
	for rule, holds := range map[string]func(*testing.T, laid){
		"This year is in full swing":                            this_year_is_in_full_swing,
		"Disputes stand between two determiners":                disputes_stand_between_two_determiners,
		"Warning sheet has the deadly ones and is final":        warning_sheet_has_the_deadly_ones_and_is_final,
		"Hazards stand on their own table":                      hazards_stand_on_their_own_table,
		"People are many and some determine without an account": people_are_many_and_some_determine_without_an_account,
		"Former names and qualifiers are among what is written": former_names_and_qualifiers_are_among_what_is_written,
		"Some plates will not last":                             some_plates_will_not_last,
		"Signs let one person a role in":                        signs_let_one_person_a_role_in,
		"Lists have the totals that were reviewed":              lists_have_the_totals_that_were_reviewed,
		"Last year is published signed and closed":              last_year_is_published_signed_and_closed,
	} {
		t.Run(rule, func(t *testing.T) { holds(t, l) })
	}
}

func TestFill_breaks_no_rule_of_the_database(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		l := fill(t, s)
		err := l.Store.Read(context.Background(), func(tx *store.Tx) error {
			checked, err := tx.Check()
			for _, b := range checked.Broken {
				t.Errorf("%s: %v", b.Rule, b.Text)
			}
			if checked.Events != 2 || checked.Collections != 681 {
				t.Errorf("%d events and %d collections", checked.Events, checked.Collections)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	})
}

func TestFill_gives_the_same_bytes_every_time_and_on_both_databases(t *testing.T) {
	first := fill(t, storetest.New(t, store.SQLite)).everything(t)
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		for table, sum := range fill(t, s).everything(t) {
			if sum != first[table] {
				t.Errorf("%s differs", table)
			}
		}
	})
}

func TestFill_touches_nothing_but_an_empty_installation(t *testing.T) {
	s := storetest.New(t, store.SQLite)
	h := hall.New(s, halltest.Knowledge(t))
	if found, err := demo.Inspect(t.Context(), h); err != nil || found != demo.Empty {
		t.Errorf("a new installation: %v %v", found, err)
	}
	if _, err := setup.AddSociety(t.Context(), h, demo.SocietyCode, "Another of that code"); err != nil {
		t.Fatal(err)
	}
	before := laid{Hall: h}.everything(t)
	if _, err := demo.Fill(t.Context(), h, &people.Desk{Hall: h, Cost: halltest.Cheap}); !fault.Is(err, fault.Refused) {
		t.Errorf("another society: %v", err)
	}
	if found, err := demo.Inspect(t.Context(), h); err != nil || found != demo.Anything {
		t.Errorf("another society: %v %v", found, err)
	}
	for table, sum := range (laid{Hall: h}).everything(t) {
		if sum != before[table] {
			t.Errorf("%s was written to", table)
		}
	}
}

func TestFill_knows_itself_and_fills_once(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		l := fill(t, s)
		if found, err := demo.Inspect(t.Context(), l.Hall); err != nil || found != demo.Whole {
			t.Errorf("found %v: %v", found, err)
		}
		if _, err := demo.Fill(t.Context(), l.Hall, l.desk); !fault.Is(err, fault.Refused) {
			t.Errorf("a second fill: %v", err)
		}
	})
}

func TestClock_stands_at_the_present_and_runs_on(t *testing.T) {
	real := time.Date(2031, 3, 1, 8, 0, 0, 0, time.UTC)
	now := demo.NewClock(func() time.Time { return real })
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	if got := now().In(zone).Format("Monday 2 January 2006 15:04 MST"); got != "Saturday 24 October 2026 15:40 BST" {
		t.Errorf("the demo is at %s", got)
	}
	real = real.Add(95 * time.Second)
	if got := now().Sub(demo.Present); got != 95*time.Second {
		t.Errorf("after 95 seconds the clock ran %v", got)
	}
}

// Whoever is handed a sign-in gets in, and holds what the role says.
func signs_let_one_person_a_role_in(t *testing.T, l laid) {
	said, err := demo.SignIns()
	if err != nil || !slices.Equal(said, l.signs) {
		t.Errorf("the sign-ins listed are not those made: %v", err)
	}
	have := map[access.Right]int{}
	for _, sign := range l.signs {
		token, _, err := l.desk.SignIn(t.Context(), sign.Login, sign.Password)
		if err != nil {
			t.Fatalf("%s: %v", sign.Login, err)
		}
		actor, person, err := l.desk.Who(t.Context(), token, "browser")
		if err != nil || person.Name != sign.Name {
			t.Errorf("%s is %q: %v", sign.Login, person.Name, err)
		}
		held, err := l.HeldIn(t.Context(), actor, l.scope(t, "HB26"))
		if err != nil {
			t.Fatal(err)
		}
		for _, right := range held {
			have[right]++
		}
	}
	for _, right := range access.Rights {
		if have[right] == 0 {
			t.Errorf("nobody signs in as %s", right)
		}
	}
}

// The totals were counted a second time, by the rule, from the tables of slips alone.
func lists_have_the_totals_that_were_reviewed(t *testing.T, l laid) {
	for code, want := range map[string]struct{ total, finds int }{"HB25": {247, 414}, "HB26": {99, 217}} {
		draft, err := list.Draft(t.Context(), l.Hall, access.Nobody, l.scope(t, code))
		if err != nil {
			t.Fatal(err)
		}
		if draft.Total != want.total || draft.Finds != want.finds {
			t.Errorf("%s: %d taxa of %d finds, want %v", code, draft.Total, draft.Finds, want)
		}
	}
}

func last_year_is_published_signed_and_closed(t *testing.T, l laid) {
	p, c, err := list.Version(t.Context(), l.Hall, access.Nobody, l.scope(t, "HB25"), 1)
	if err != nil {
		t.Fatal(err)
	}
	if c.SignedBy != "Lena Fairweather" || p.SignedAt.Format("2006-01") != "2025-11" {
		t.Errorf("signed by %q at %v", c.SignedBy, p.SignedAt)
	}
	running, err := list.See(t.Context(), l.Hall, access.Nobody, l.scope(t, "HB25"))
	if err != nil || running.Event.State != "closed" || len(running.Versions) != 1 {
		t.Errorf("%s, %d versions: %v", running.Event.State, len(running.Versions), err)
	}
	asked, err := corrections.SeeAsked(t.Context(), l.Hall, access.Nobody, l.scope(t, "HB25"))
	if err != nil || len(asked) != 3 || asked[0].State != "open" || asked[1].State != "unchanged" || asked[2].State != "done" {
		t.Errorf("requests for corrections: %+v %v", asked, err)
	}
	named := map[foray.Naming]int{}
	for _, plate := range l.plates(t, "HB25") {
		named[plate.Naming]++
		if plate.Whereabouts.InHall() {
			t.Errorf("%s is still in the hall", plate.Number())
		}
	}
	if named[foray.Confirmed] < 380 || named[foray.Provisional] != 14 || named[foray.BroughtIn] > 0 {
		t.Errorf("states: %v", named)
	}
	if strings.Contains(string(p.Canonical), "Wethergill") {
		t.Error("the sensitive site is named in the published list")
	}
}
