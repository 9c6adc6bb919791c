package people_test

import (
	"encoding/json"
	"strings"
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

func seq(t testing.TB, g *halltest.Ground, scope access.Scope) int64 {
	t.Helper()
	n, err := g.ChangeSeq(ctx, scope)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// found logs a collection of somebody's.
func found(t testing.TB, g *halltest.Ground, number, collector string) {
	t.Helper()
	if _, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: number,
		Field: desk.Field{Group: "bolete", Outside: true, Collector: collector}}); err != nil {
		t.Fatal(err)
	}
}

func person(t testing.TB, g *halltest.Ground, by access.Actor) store.Person {
	t.Helper()
	var p store.Person
	if err := g.Store.Read(ctx, func(tx *store.Tx) (err error) {
		p, err = tx.PersonByID(by.Society, by.Person)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return p
}

// An event's number of changes is the tag of its public pages: where it stays, they go on showing the old name.
func TestChangingHowANameAppearsIsAChangeWhereverItStands(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g, "1", "Person member")
		elsewhere, err := setup.AddEvent(ctx, g.Hall, g.Second, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "HB27", Name: "Spring foray",
			StartsOn: "2027-04-10", TimeZone: "Europe/London", Region: "EU"})
		if err != nil {
			t.Fatal(err)
		}
		other := access.Scope{Society: g.Scope.Society, Event: elsewhere.ID}
		before, there := seq(t, g, g.Scope), seq(t, g, other)
		if _, err := people.SetCredit(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), people.Credit{Credit: "initials"}); err != nil {
			t.Fatal(err)
		}
		if seq(t, g, g.Scope) != before+1 || seq(t, g, other) != there {
			t.Errorf("%d changes here, %d where they are not named", seq(t, g, g.Scope)-before, seq(t, g, other)-there)
		}
		if p := person(t, g, g.As[access.Member]); hall.CreditedName(p) != "P.m." {
			t.Errorf("appears as %q", hall.CreditedName(p))
		}
		if _, err := people.SetCredit(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), people.Credit{Credit: "loud"}); !fault.Is(err, fault.Invalid) {
			t.Errorf("loud: %v", err)
		}
		if _, err := people.SetCredit(ctx, g.Hall, access.Nobody, g.Scope, g.Command(t), people.Credit{Credit: "none"}); !fault.Is(err, fault.NotSignedIn) {
			t.Errorf("nobody: %v", err)
		}
	})
}

func TestANewPasswordNeedsTheOldOneAndEndsOtherSessions(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		here, there := in(t, g, "desk"), in(t, g, "desk")
		change := func(old, new string) error {
			return g.Desk.ChangePassword(ctx, who(t, g, here), g.Command(t), people.Passwords{Old: old, New: new})
		}
		if err := change("wrong-password", "spindle-and-cap"); fault.From(err).Fields["old"].Key == "" {
			t.Errorf("a wrong old one: %v", err)
		}
		if err := change(halltest.Password, "short"); fault.From(err).Fields["password"].Key == "" {
			t.Errorf("a short new one: %v", err)
		}
		if err := change(halltest.Password, "spindle-and-cap"); err != nil {
			t.Fatal(err)
		}
		if err := change(halltest.Password, "spindle-and-cap"); err != nil {
			t.Errorf("sent twice: %v", err)
		}
		if !who(t, g, here).SignedIn() || who(t, g, there).SignedIn() {
			t.Error("the wrong sessions ended")
		}
		if _, _, err := g.Desk.SignIn(ctx, "desk", "spindle-and-cap"); err != nil {
			t.Error(err)
		}
		for range 8 {
			_ = change("wrong-password", "another-password")
		}
		if err := change("spindle-and-cap", "another-password"); !fault.Is(err, fault.TooMany) {
			t.Errorf("guessing the old one: %v", err)
		}
		if all := everything(t, g); strings.Contains(all, "spindle-and-cap") {
			t.Error("the database holds a password in clear")
		}
	})
}

func TestSessionsAreSeenAndEndedByTheirOwnerOnly(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		here, there, stranger := in(t, g, "desk"), in(t, g, "desk"), in(t, g, "steward")
		me, err := people.SeeMe(ctx, g.Hall, who(t, g, here))
		if err != nil || len(me.Sessions) != 2 || me.Login != "desk" {
			t.Fatalf("%+v %v", me, err)
		}
		marked := 0
		for _, s := range me.Sessions {
			if s.Here {
				marked++
			}
		}
		if marked != 1 {
			t.Errorf("%d of the sessions are this one", marked)
		}
		end := func(by string, session string) error {
			_, err := people.EndSession(ctx, g.Hall, who(t, g, by), g.Scope, g.Command(t), people.SessionEnd{Session: who(t, g, session).Session})
			return err
		}
		if err := end(stranger, there); !fault.Is(err, fault.NotFound) || !who(t, g, there).SignedIn() {
			t.Errorf("somebody else's: %v", err)
		}
		if err := end(here, there); err != nil || who(t, g, there).SignedIn() || !who(t, g, here).SignedIn() {
			t.Errorf("one's own: %v", err)
		}
		there = in(t, g, "desk")
		if _, err := people.EndSessions(ctx, g.Hall, who(t, g, here), g.Scope, g.Command(t), people.Nothing{}); err != nil {
			t.Fatal(err)
		}
		if who(t, g, here).SignedIn() || who(t, g, there).SignedIn() || !who(t, g, stranger).SignedIn() {
			t.Error("signing out everywhere left somebody in, or out")
		}
	})
}

func TestATokenOfOnesOwnIsNarrowEndsAndBreedsNone(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser, cmd := who(t, g, in(t, g, "organiser")), g.Command(t)
		ask := people.NewToken{Label: "label printer", Rights: []access.Right{access.Member}, Days: 2}
		token, until, err := g.Desk.MakeToken(ctx, organiser, cmd, ask)
		if err != nil || !until.Equal(halltest.Saturday.AddDate(0, 0, 2)) {
			t.Fatalf("%v %v", until, err)
		}
		if again, _, err := g.Desk.MakeToken(ctx, organiser, cmd, ask); err != nil || again != "" {
			t.Errorf("shown twice: %q %v", again, err)
		}
		by := func() access.Actor {
			actor, _, err := g.Desk.Who(ctx, token, "token")
			if err != nil {
				t.Fatal(err)
			}
			return actor
		}
		if held, err := g.HeldIn(ctx, by(), g.Scope); err != nil || held.Staff() {
			t.Errorf("holds %v, %v", held, err)
		}
		if _, _, err := g.Desk.MakeToken(ctx, by(), g.Command(t), ask); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("it makes another: %v", err)
		}
		if _, err := people.EndSessions(ctx, g.Hall, by(), g.Scope, g.Command(t), people.Nothing{}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("it signs its owner out: %v", err)
		}
		if strings.Contains(everything(t, g), token) {
			t.Error("the database holds the token")
		}
		for name, bad := range map[string]people.NewToken{"for nothing": {Rights: ask.Rights, Days: 2}, "of no right": {Label: "x", Days: 2}, "for ever": {Label: "x", Rights: ask.Rights, Days: 367},
			"of a visitor": {Label: "x", Rights: []access.Right{access.Visitor}, Days: 2}} {
			if _, _, err := g.Desk.MakeToken(ctx, organiser, g.Command(t), bad); !fault.Is(err, fault.Invalid) {
				t.Errorf("a token %s: %v", name, err)
			}
		}
		g.Pass(48 * time.Hour)
		if by().SignedIn() {
			t.Error("it never ends")
		}
	})
}

func TestSomebodyIsToldAllThatIsKeptOfThem(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g, "1", "Person member")
		found(t, g, "2", "Somebody Else")
		wish(t, g, g.As[access.Member])
		told, err := people.Tell(ctx, g.Hall, g.As[access.Member])
		if err != nil {
			t.Fatal(err)
		}
		for table, n := range map[string]int{"person": 1, "account": 1, "collection": 1, "walk_wish": 1, "team_member": 1, "member_private": 1} {
			if len(told.Rows[table]) != n {
				t.Errorf("%d rows of %s", len(told.Rows[table]), table)
			}
		}
		data, err := json.Marshal(told)
		if err != nil {
			t.Fatal(err)
		}
		for _, not := range []string{"argon2id", "Somebody Else", "password_hash"} {
			if strings.Contains(string(data), not) {
				t.Errorf("the file holds %q", not)
			}
		}
		if !strings.Contains(string(data), "wasps") {
			t.Error("the medical note is not told")
		}
	})
}

// wish puts somebody on a team with a medical note, and lets them wish for a walk.
func wish(t testing.TB, g *halltest.Ground, by access.Actor) {
	t.Helper()
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		now := store.At(g.Hall.Now())
		ids := [3]store.Walk{}
		for i := range ids {
			id, err := g.NewID()
			if err != nil {
				return err
			}
			ids[i].ID = id
		}
		society, event := g.Scope.Society, g.Scope.Event
		for _, err := range []error{
			tx.AddWalk(store.Walk{SocietyID: society, EventID: event, ID: ids[0].ID, Number: 1, StartsAt: now, DueAt: now, CreatedAt: now}),
			tx.AddWalkWishes([]store.WalkWish{{SocietyID: society, EventID: event, PersonID: by.Person, WalkID: ids[0].ID, Wish: 1, WishedAt: now}}),
			tx.AddTeam(store.Team{SocietyID: society, EventID: event, ID: ids[1].ID, Number: 1, CreatedAt: now}),
			tx.AddTeamMembers([]store.TeamMember{{SocietyID: society, EventID: event, ID: ids[2].ID, TeamID: ids[1].ID, PersonID: by.Person, Name: "Person member", AddedBy: by.Person, AddedAt: now}}),
			tx.SetMemberPrivate(store.MemberPrivate{SocietyID: society, EventID: event, MemberID: ids[2].ID, Medical: "wasps", UpdatedAt: now}),
		} {
			if err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}
