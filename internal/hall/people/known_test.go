package people_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// ownEvent is an event that a member makes, whose organiser they are by that.
func ownEvent(t testing.TB, g *halltest.Ground, by access.Actor) access.Scope {
	t.Helper()
	made, err := setup.AddEvent(ctx, g.Hall, by, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "OW26", Name: "A walk of my own",
		Place: "Weir Bank", StartsOn: "2026-10-31", EndsOn: "2026-10-31", TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	return access.Scope{Society: g.Scope.Society, Event: made.ID}
}

func given(t testing.TB, g *halltest.Ground, name string, right access.Right) foray.ID {
	t.Helper()
	made, err := setup.GiveRight(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Right{Name: name, Right: right})
	if err != nil {
		t.Fatal(err)
	}
	return made.ID
}

// known finds a person by the name that the records have.
func known(t testing.TB, g *halltest.Ground, name string) (id foray.ID) {
	t.Helper()
	if err := g.Store.Read(ctx, func(tx *store.Tx) error {
		persons, err := tx.Persons(g.Scope.Society)
		for _, p := range persons {
			if p.Name == name {
				id = p.ID
			}
		}
		return err
	}); err != nil || id.IsZero() {
		t.Fatalf("%s: %v", name, err)
	}
	return id
}

func TestNobodyIsInvitedByWhoeverDoesNotOrganiseWhatTheirSignInOpens(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		own := ownEvent(t, g, g.As[access.Member])
		chief := given(t, g, "Dora Vale", access.ChiefIdentifier)
		ana, _ := enter(t, g, pass(t, g, people.Pass{Right: access.Desk}), "Ana Ferreira")
		found(t, g, "1", "Mei Adeyemi")
		found(t, g, "2", "Ines Okafor")
		mei, finder := known(t, g, "Mei Adeyemi"), known(t, g, "Ines Okafor")
		if _, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 1, Leader: "Person team_leader"}); err != nil {
			t.Fatal(err)
		}
		if _, err := outside.AddMember(ctx, g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(t), outside.Join{Team: "1", Person: mei, About: outside.About{Name: "Mei Adeyemi"}}); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			name     string
			by       access.Actor
			scope    access.Scope
			person   foray.ID
			answered bool
		}{
			{"a chief identifier elsewhere", g.As[access.Member], own, chief, false},
			{"a pass holder elsewhere", g.As[access.Member], own, ana.Person, false},
			{"who walks with a team elsewhere", g.As[access.Member], own, mei, false},
			{"who only found something elsewhere", g.As[access.Member], own, finder, true},
			{"a chief identifier here", g.As[access.Organiser], g.Scope, chief, true},
			{"a pass holder here", g.As[access.Organiser], g.Scope, ana.Person, true},
			{"who walks with a team here", g.As[access.Organiser], g.Scope, mei, true},
			{"a chief identifier, on the machine", g.Machine, own, chief, true},
		} {
			for _, rights := range [][]access.Right{nil, {access.Desk}} { // to the society only, and to the event
				_, err := people.MakeInvitation(ctx, g.Hall, c.by, c.scope, g.Command(t), people.Invitation{Person: c.person, Rights: rights})
				if c.answered && err != nil || !c.answered && fault.From(err).Fields["person"].Key != "people.known-elsewhere" {
					t.Errorf("%s, with rights %v: %v", c.name, rights, err)
				}
			}
		}
	})
}

// A link that was made before somebody was given a right elsewhere does not open that right.
func TestWhatAnInvitationOpensIsAskedAgainWhenItIsOpenedAndUsed(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g, "1", "Ines Okafor")
		ines := known(t, g, "Ines Okafor")
		link, err := people.MakeInvitation(ctx, g.Hall, g.As[access.Member], ownEvent(t, g, g.As[access.Member]), g.Command(t), people.Invitation{Person: ines})
		if err != nil {
			t.Fatal(err)
		}
		state := func(want people.InvitationState) {
			t.Helper()
			if o, err := g.Desk.OpenInvitation(ctx, "hollinbeck", secretOf(link)); err != nil || o.State != want {
				t.Errorf("is %s, %v; want %s", o.State, err, want)
			}
		}
		state(people.InvitationOpen)
		given(t, g, "Ines Okafor", access.Scribe)
		state(people.InvitationElsewhere)
		use := people.Chosen{Login: "ines", Password: "spindle-and-cap"}
		if _, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), g.Command(t), use); fault.From(err).Text.Key != "people.invitation-elsewhere" {
			t.Errorf("used: %v", err)
		}
		if _, _, err := g.Desk.SignIn(ctx, "ines", "spindle-and-cap"); !fault.Is(err, fault.Refused) {
			t.Errorf("signs in: %v", err)
		}
		if _, err := setup.TakeRight(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Right{Person: ines, Right: access.Scribe}); err != nil {
			t.Fatal(err)
		}
		state(people.InvitationOpen)
		if _, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), g.Command(t), use); err != nil {
			t.Errorf("with nothing elsewhere: %v", err)
		}
	})
}
