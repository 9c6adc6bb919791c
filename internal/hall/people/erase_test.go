package people_test

import (
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

func kept(t testing.TB, g *halltest.Ground, table string) int {
	t.Helper()
	n := 0
	if err := g.Store.Read(ctx, func(tx *store.Tx) (err error) {
		n, err = tx.CountRows(table)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestWhoeverLeavesTakesTheirDataAndLeavesTheRecord(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g, "1", "Person member")
		member := who(t, g, in(t, g, "member"))
		wish(t, g, member)
		token := in(t, g, "member")
		accounts, before := kept(t, g, "account"), seq(t, g, g.Scope)
		if err := people.EraseMe(ctx, g.Hall, member, g.Command(t), people.Leave{Credit: "initials"}); err != nil {
			t.Fatal(err)
		}
		if who(t, g, token).SignedIn() || kept(t, g, "account") != accounts-1 || kept(t, g, "walk_wish") != 0 || kept(t, g, "member_private") != 0 {
			t.Error("something is left of how they signed in, what they wished for or told")
		}
		if p := person(t, g, member); p.Name != "Person member" || p.Credit != "initials" || kept(t, g, "collection") != 1 || kept(t, g, "team_member") != 1 {
			t.Errorf("the record is not as it was: %+v", p)
		}
		if seq(t, g, g.Scope) == before {
			t.Error("no change was numbered")
		}
		if _, _, err := g.Desk.SignIn(ctx, "member", halltest.Password); !fault.Is(err, fault.Refused) {
			t.Errorf("signs in: %v", err)
		}
		checked := store.Checked{}
		if err := g.Store.Read(ctx, func(tx *store.Tx) (err error) {
			checked, err = tx.Check()
			return err
		}); err != nil || len(checked.Broken) > 0 {
			t.Errorf("%+v %v", checked, err)
		}
	})
}

func TestWhomNoRecordNamesIsForgottenAlsoByTheHistory(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		made, err := setup.GiveRight(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Right{Name: "Dora Vale", Right: access.Scribe})
		if err != nil {
			t.Fatal(err)
		}
		link := invite(t, g, people.Invitation{Person: made.ID})
		token, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), g.Command(t), people.Chosen{Login: "dora", Password: "spindle-and-cap"})
		if err != nil {
			t.Fatal(err)
		}
		if err := people.EraseMe(ctx, g.Hall, who(t, g, token), g.Command(t), people.Leave{Credit: "full"}); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(everything(t, g), "Dora Vale") {
			t.Error("the name is still there")
		}
		if err := g.Store.Write(ctx, func(tx *store.Tx) error {
			return tx.Maintain("a look", store.At(g.Hall.Now()), func() error { return nil })
		}); err != nil {
			t.Errorf("the maintenance switch was left on: %v", err)
		}
	})
}

func TestTheLastOrganiserOfAnOpenEventStays(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser := g.As[access.Organiser]
		leave := func() error {
			return people.EraseMe(ctx, g.Hall, organiser, g.Command(t), people.Leave{Credit: "full"})
		}
		if err := leave(); !fault.Is(err, fault.Refused) {
			t.Errorf("goes: %v", err)
		}
		if me, err := people.SeeMe(ctx, g.Hall, organiser); err != nil || len(me.LastIn) != 1 || me.LastIn[0].Code != "HB26" {
			t.Errorf("%+v %v", me.LastIn, err)
		}
		if _, err := setup.GiveRight(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Right{Person: g.Second.Person, Right: access.Organiser}); err != nil {
			t.Fatal(err)
		}
		if err := leave(); err != nil {
			t.Errorf("with another organiser there: %v", err)
		}
	})
}

// deleted is how many rows of events were met.
func deleted(t testing.TB, g *halltest.Ground) (rows int) {
	t.Helper()
	done, err := keeping.DeleteDue(ctx, g.Hall)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range done.Events {
		rows += e.Rows
	}
	return rows
}

func TestPersonalDataGoesOnItsDateAndNotBefore(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		wish(t, g, g.As[access.Member])
		on := func(date string) {
			t.Helper()
			if err := g.Store.Write(ctx, func(tx *store.Tx) error {
				e, err := tx.EventByID(g.Scope.Society, g.Scope.Event)
				if err != nil {
					return err
				}
				e.DeletePersonalOn = date
				return tx.SetEvent(e)
			}); err != nil {
				t.Fatal(err)
			}
		}
		run := func(want int) {
			t.Helper()
			if n := deleted(t, g); n != want {
				t.Errorf("%d rows; want %d", n, want)
			}
		}
		run(0) // no date was set
		on("2026-10-24")
		run(0) // people are out in the wood
		on("2026-11-30")
		g.Pass(36 * 24 * time.Hour) // 29 November
		run(0)
		g.Pass(24 * time.Hour)
		before := seq(t, g, g.Scope)
		run(3) // a wish, a private note, a name
		if seq(t, g, g.Scope) != before+1 {
			t.Error("no change was numbered")
		}
		run(0)
		if seq(t, g, g.Scope) != before+1 {
			t.Error("a deletion that met nothing is on record")
		}
		last := room(t, g, access.Desk).History[0]
		if last.Kind != "personal.delete" || last.By != "Installation" {
			t.Errorf("%+v", last)
		}
		if kept(t, g, "team_member") != 1 {
			t.Error("what was marked is gone")
		}
	})
}
