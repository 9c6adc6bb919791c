package people_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

func pass(t testing.TB, g *halltest.Ground, in people.Pass) people.Link {
	t.Helper()
	link, err := people.MakePass(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), in)
	if err != nil {
		t.Fatal(err)
	}
	return link
}

func enter(t testing.TB, g *halltest.Ground, l people.Link, name string) (access.Actor, string) {
	t.Helper()
	token, _, err := g.Desk.EnterByPass(ctx, g.Scope, secretOf(l), g.Command(t), name)
	if err != nil {
		t.Fatal(err)
	}
	return who(t, g, token), token
}

func room(t testing.TB, g *halltest.Ground, right access.Right) people.Room {
	t.Helper()
	r, err := people.See(ctx, g.Hall, g.As[right], g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestAWalkInWorksWithOneRightAndNothingElse(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		link := pass(t, g, people.Pass{Right: access.Desk, Label: "Saturday"})
		ana, token := enter(t, g, link, "Ana Ferreira")
		if _, err := desk.LogCollection(ctx, g.Hall, ana, g.Scope, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete", Outside: true}}); err != nil {
			t.Errorf("at the desk: %v", err)
		}
		if held, err := g.HeldIn(ctx, ana, g.Scope); err != nil || fmt.Sprint(held) != "[visitor desk]" {
			t.Errorf("holds %v, %v", held, err)
		}
		if _, err := setup.AddEvent(ctx, g.Hall, ana, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "HB27"}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("makes an event: %v", err)
		}
		// What is given to the person besides does not come into that session.
		if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Right{Person: ana.Person, Right: access.Organiser}); err != nil {
			t.Fatal(err)
		}
		if held, err := g.HeldIn(ctx, who(t, g, token), g.Scope); err != nil || held.Has(access.Organiser) {
			t.Errorf("holds %v, %v", held, err)
		}
		var account store.Account
		if err := g.Store.Read(ctx, func(tx *store.Tx) (err error) {
			account, err = tx.AccountOf(g.Scope.Society, ana.Person)
			return err
		}); err != nil {
			t.Fatal(err)
		}
		for _, password := range []string{"", halltest.Password} {
			if _, _, err := g.Desk.SignIn(ctx, account.Login, password); !fault.Is(err, fault.Refused) {
				t.Errorf("signs in otherwise: %v", err)
			}
		}
	})
}

func TestWhoCameInByWhichPassIsInViewOfTheStaff(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		link := pass(t, g, people.Pass{Right: access.Steward, Label: "Tables"})
		ana, _ := enter(t, g, link, "Ana Ferreira")
		r := room(t, g, access.Scribe)
		if len(r.Passes) != 1 || len(r.Passes[0].Uses) != 1 || r.Passes[0].Uses[0].Name != "Ana Ferreira" || r.Passes[0].MadeBy != "Person organiser" {
			t.Errorf("%+v", r.Passes)
		}
		i := slices.IndexFunc(r.Holders, func(h people.Holder) bool { return h.ID == ana.Person })
		if i < 0 || r.Holders[i].Pass != "Tables" || r.Holders[i].SignsIn {
			t.Errorf("%+v", r.Holders)
		}
		if len(r.Open) > 0 || len(r.Unsigned) > 0 {
			t.Error("a scribe sees who is invited")
		}
		seen := map[string]string{}
		for _, h := range r.History {
			seen[h.Kind+" "+h.Detail] = h.By
		}
		if seen["pass.make steward: Tables"] != "Person organiser" || seen["pass.use steward: Tables"] != "Ana Ferreira" {
			t.Errorf("%v", seen)
		}
		for _, right := range []access.Right{access.Member, access.Visitor} {
			if _, err := people.See(ctx, g.Hall, g.As[right], g.Scope); err == nil {
				t.Errorf("a %s sees it", right)
			}
		}
	})
}

func TestAPassEndsForOneForAllAndWithTheHall(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser := g.As[access.Organiser]
		link := pass(t, g, people.Pass{Right: access.Desk})
		ana, anas := enter(t, g, link, "Ana Ferreira")
		_, bens := enter(t, g, link, "Ben Osei")
		end := func(in people.PassEnd, want int) {
			t.Helper()
			if done, err := people.EndPass(ctx, g.Hall, organiser, g.Scope, g.Command(t), in); err != nil || done.People != want {
				t.Errorf("%d signed out, %v; want %d", done.People, err, want)
			}
		}
		end(people.PassEnd{Pass: link.ID, Person: ana.Person}, 1)
		end(people.PassEnd{Pass: link.ID, Person: ana.Person}, 0)
		if who(t, g, anas).SignedIn() || !who(t, g, bens).SignedIn() {
			t.Error("the wrong one is out")
		}
		end(people.PassEnd{Pass: link.ID}, 1)
		if who(t, g, bens).SignedIn() {
			t.Error("the pass ended and its holder is in")
		}
		if _, _, err := g.Desk.EnterByPass(ctx, g.Scope, secretOf(link), g.Command(t), "Cleo Brandt"); !fault.Is(err, fault.Refused) {
			t.Errorf("by a pass that ended: %v", err)
		}
		other := pass(t, g, people.Pass{Right: access.Steward})
		_, token := enter(t, g, other, "Cleo Brandt")
		if n, err := hall.Do(ctx, g.Hall, organiser, access.SetUp, g.Scope, hall.Command{ID: g.Command(t).ID, Type: "test.close.v1"}, hall.EndPasses); err != nil || n != 1 {
			t.Errorf("%d, %v", n, err)
		}
		if who(t, g, token).SignedIn() {
			t.Error("the hall closed and a pass holder is in")
		}
		if held, err := g.HeldIn(ctx, ana, g.Scope); err != nil || held.Has(access.Desk) {
			t.Errorf("still holds %v, %v", held, err)
		}
		end(people.PassEnd{}, 0)
	})
}

func TestNobodyComesInToAClosedHallByAFullPassOrUnderAnothersName(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		link := pass(t, g, people.Pass{Right: access.Desk, Uses: 2})
		try := func(name string) error {
			_, _, err := g.Desk.EnterByPass(ctx, g.Scope, secretOf(link), g.Command(t), name)
			return err
		}
		for _, name := range []string{"", "A", "person  ORGANISER", "Person chief_identifier"} {
			if err := try(name); fault.From(err).Fields["name"].Key == "" {
				t.Errorf("%q: %v", name, err)
			}
		}
		enter(t, g, link, "Ana Ferreira")
		cmd := g.Command(t)
		for range 2 { // a thumb that taps twice is one person
			if _, _, err := g.Desk.EnterByPass(ctx, g.Scope, secretOf(link), cmd, "Ben Osei"); err != nil {
				t.Fatal(err)
			}
		}
		if n := len(room(t, g, access.Desk).Passes[0].Uses); n != 2 {
			t.Errorf("%d came in", n)
		}
		if err := try("Cleo Brandt"); !fault.Is(err, fault.Refused) {
			t.Errorf("by a full pass: %v", err)
		}
		link = pass(t, g, people.Pass{Right: access.Desk})
		_, scope, _ := g.Another(t, "otherwood", "Otherwood Fungus Group")
		if _, err := g.Desk.OpenPass(ctx, scope, secretOf(link)); !fault.Is(err, fault.NotFound) {
			t.Errorf("at another event: %v", err)
		}
		if err := g.Store.Write(ctx, func(tx *store.Tx) error {
			e, err := tx.EventByID(g.Scope.Society, g.Scope.Event)
			if err != nil {
				return err
			}
			return tx.SetEventState(e, "hall_closed")
		}); err != nil {
			t.Fatal(err)
		}
		if err := try("Cleo Brandt"); !fault.Is(err, fault.Refused) {
			t.Errorf("into a closed hall: %v", err)
		}
	})
}

func TestAScriptThatScansAPassIsStopped(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		link := pass(t, g, people.Pass{Right: access.Desk, Uses: 100})
		in := 0
		for i := range 40 {
			if _, _, err := g.Desk.EnterByPass(ctx, g.Scope, secretOf(link), g.Command(t), fmt.Sprintf("Helper Number%c%c", 'a'+i/26, 'a'+i%26)); err == nil {
				in++
			} else if !fault.Is(err, fault.TooMany) {
				t.Fatal(err)
			}
		}
		if in != 30 {
			t.Errorf("%d came in within one moment", in)
		}
		g.Pass(16 * time.Minute)
		enter(t, g, link, "Ana Ferreira")
	})
}

func TestAPassGivesNoRightToGovernSignOrSettle(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for _, right := range append(append([]access.Right{}, access.Rights...), "king") {
			_, err := people.MakePass(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), people.Pass{Right: right})
			if may := slices.Contains(people.PassRights, right); (err == nil) != may || err != nil && !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", right, err)
			}
		}
		for in, good := range map[people.Pass]bool{{Right: access.Desk, Uses: 100}: true, {Right: access.Desk, Uses: 101}: false, {Right: access.Desk, Uses: -1}: false,
			{Right: access.Identifier, Uses: 5}: true, {Right: access.Identifier, Uses: 6}: false, {Right: access.Scribe, Uses: 6}: false} {
			if _, err := people.MakePass(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), in); (err == nil) != good {
				t.Errorf("%+v: %v", in, err)
			}
		}
		if _, err := people.MakePass(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), people.Pass{Right: access.Desk}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the desk makes a pass: %v", err)
		}
	})
}

// Whoever came in by a pass and stays can be invited, as the person they are.
func TestAWalkInWhoIsInvitedKeepsWhatTheyDid(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ana, _ := enter(t, g, pass(t, g, people.Pass{Right: access.Desk}), "Ana Ferreira")
		link := invite(t, g, people.Invitation{Person: ana.Person, Rights: []access.Right{access.Steward}})
		token, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), g.Command(t), people.Chosen{Login: "ana", Password: "spindle-and-cap"})
		if err != nil || who(t, g, token).Person != ana.Person {
			t.Fatalf("%v", err)
		}
		if _, err := people.EndPass(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), people.PassEnd{}); err != nil {
			t.Fatal(err)
		}
		if held, err := g.HeldIn(ctx, who(t, g, token), g.Scope); err != nil || fmt.Sprint(held) != "[visitor member steward]" {
			t.Errorf("holds %v, %v", held, err)
		}
	})
}
