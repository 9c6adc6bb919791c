package people_test

import (
	"strings"
	"sync"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// secretOf is what stands behind the last stroke of a link.
func secretOf(l people.Link) string { return l.Path[strings.LastIndexByte(l.Path, '/')+1:] }

func invite(t testing.TB, g *halltest.Ground, in people.Invitation) people.Link {
	t.Helper()
	link, err := people.MakeInvitation(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), in)
	if err != nil {
		t.Fatal(err)
	}
	return link
}

// everything is all text that the database holds in the tables that could hold a secret.
func everything(t testing.TB, g *halltest.Ground) string {
	t.Helper()
	var b strings.Builder
	if err := g.Store.Read(ctx, func(tx *store.Tx) error {
		for _, table := range []string{"invitation", "hall_pass", "command_log", "audit", "change", "account", "person"} {
			if err := tx.Dump(table, store.Part{}, func(row map[string]any) error {
				for _, v := range row {
					if text, ok := v.(string); ok {
						b.WriteString(text + "\n")
					}
				}
				return nil
			}); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestAnInvitationMakesOneSignInWithItsRights(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		link := invite(t, g, people.Invitation{Name: " Dora  Vale ", Rights: []access.Right{access.Steward, access.Desk}})
		secret := secretOf(link)
		if len(secret) < 22 { // 128 bits in base64
			t.Errorf("a secret of %d characters", len(secret))
		}
		o, err := g.Desk.OpenInvitation(ctx, "hollinbeck", secret)
		if err != nil || o.State != people.InvitationOpen || o.By != "Person organiser" || o.Name != "Dora Vale" || o.Event.Code != "HB26" || len(o.Rights) != 2 {
			t.Fatalf("%+v %v", o, err)
		}
		token, _, err := g.Desk.Accept(ctx, "hollinbeck", secret, g.Command(t), people.Chosen{Login: "Dora@Vale.example", Password: "spindle-and-cap"})
		if err != nil {
			t.Fatal(err)
		}
		dora := who(t, g, token)
		if held, err := g.HeldIn(ctx, dora, g.Scope); err != nil || !held.Has(access.Desk) || !held.Has(access.Steward) || held.Has(access.Organiser) {
			t.Errorf("holds %v, %v", held, err)
		}
		// The same form again signs in again; another one opens nothing.
		if again, _, err := g.Desk.Accept(ctx, "hollinbeck", secret, g.Command(t), people.Chosen{Login: "dora@vale.example", Password: "spindle-and-cap"}); err != nil || who(t, g, again).Person != dora.Person {
			t.Errorf("sent again: %v", err)
		}
		for _, other := range []people.Chosen{{"thief", "spindle-and-cap"}, {"desk", halltest.Password}, {"dora@vale.example", "a-wrong-password"}} {
			if _, _, err := g.Desk.Accept(ctx, "hollinbeck", secret, g.Command(t), other); !fault.Is(err, fault.Refused) {
				t.Errorf("%s by a used link: %v", other.Login, err)
			}
		}
		all := everything(t, g)
		for _, s := range []string{secret, "spindle-and-cap"} {
			if strings.Contains(all, s) {
				t.Errorf("the database holds %q in clear", s)
			}
		}
	})
}

func TestALinkIsInTheFirstAnswerOnly(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser, cmd := g.As[access.Organiser], g.Command(t)
		first, err := people.MakeInvitation(ctx, g.Hall, organiser, g.Scope, cmd, people.Invitation{Name: "Dora Vale"})
		again, err2 := people.MakeInvitation(ctx, g.Hall, organiser, g.Scope, cmd, people.Invitation{Name: "Dora Vale"})
		if err != nil || err2 != nil || first.Path == "" || again.Path != "" || again.ID != first.ID || !again.ExpiresAt.Equal(first.ExpiresAt) {
			t.Errorf("%+v, then %+v, %v %v", first, again, err, err2)
		}
		cmd = g.Command(t)
		pass, err := people.MakePass(ctx, g.Hall, organiser, g.Scope, cmd, people.Pass{Right: access.Desk})
		repeat, err2 := people.MakePass(ctx, g.Hall, organiser, g.Scope, cmd, people.Pass{Right: access.Desk})
		if err != nil || err2 != nil || pass.Path == "" || repeat.Path != "" || repeat.ID != pass.ID {
			t.Errorf("%+v, then %+v, %v %v", pass, repeat, err, err2)
		}
	})
}

func TestAnInvitationThatEndedWasTakenBackOrLostItsMakerOpensNothing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser := g.As[access.Organiser]
		state := func(l people.Link, want people.InvitationState) {
			t.Helper()
			o, err := g.Desk.OpenInvitation(ctx, "hollinbeck", secretOf(l))
			if err != nil || o.State != want {
				t.Errorf("is %s, %v; want %s", o.State, err, want)
			}
			if _, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(l), g.Command(t), people.Chosen{Login: "dora", Password: "spindle-and-cap"}); (err == nil) != (want == people.InvitationOpen) {
				t.Errorf("%s: accepted with %v", want, err)
			}
		}
		back, late, orphan := invite(t, g, people.Invitation{Name: "Dora Vale"}), invite(t, g, people.Invitation{Name: "Dora Vale", Days: 2}),
			invite(t, g, people.Invitation{Name: "Dora Vale", Rights: []access.Right{access.Organiser}, Days: 30})
		if _, err := people.TakeBackInvitation(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), people.Invited{Invitation: back.ID}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the desk takes it back: %v", err)
		}
		for range 2 { // twice is once
			if _, err := people.TakeBackInvitation(ctx, g.Hall, organiser, g.Scope, g.Command(t), people.Invited{Invitation: back.ID}); err != nil {
				t.Fatal(err)
			}
		}
		state(back, people.InvitationTakenBack)
		g.Pass(48 * time.Hour)
		state(late, people.InvitationExpired)
		if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Right{Person: g.Second.Person, Right: access.Organiser}); err != nil {
			t.Fatal(err)
		}
		if _, err := setup.TakeRight(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Right{Person: organiser.Person, Right: access.Organiser}); err != nil {
			t.Fatal(err)
		}
		state(orphan, people.InvitationTakenBack)
		for _, wrong := range []struct{ society, secret string }{{"otherwood", secretOf(orphan)}, {"hollinbeck", "no-such-secret"}, {"hollinbeck", ""}} {
			if _, err := g.Desk.OpenInvitation(ctx, wrong.society, wrong.secret); !fault.Is(err, fault.NotFound) {
				t.Errorf("%+v: %v", wrong, err)
			}
		}
	})
}

func TestADeterminerWithoutASignInIsInvitedAsWhoTheyAre(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		made, err := setup.GiveRight(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Right{Name: "Dora Vale", Right: access.Identifier})
		if err != nil {
			t.Fatal(err)
		}
		one, two := invite(t, g, people.Invitation{Person: made.ID}), invite(t, g, people.Invitation{Person: made.ID})
		token, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(one), g.Command(t), people.Chosen{Login: "dora", Password: "spindle-and-cap"})
		if err != nil || who(t, g, token).Person != made.ID {
			t.Errorf("%v", err)
		}
		if o, err := g.Desk.OpenInvitation(ctx, "hollinbeck", secretOf(two)); err != nil || o.State != people.InvitationUsed {
			t.Errorf("the second link is %s, %v", o.State, err)
		}
		for name, in := range map[string]people.Invitation{"who signs in": {Person: made.ID}, "nobody": {}, "a right that is none": {Name: "Ines Okafor", Rights: []access.Right{"king"}},
			"for ever": {Name: "Ines Okafor", Days: 31}, "for no day": {Name: "Ines Okafor", Days: -1}} {
			if _, err := people.MakeInvitation(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), in); !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
		_, _, stranger := g.Another(t, "otherwood", "Otherwood Fungus Group")
		if _, err := people.MakeInvitation(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), people.Invitation{Person: stranger.Person}); !fault.Is(err, fault.NotFound) {
			t.Errorf("somebody of another society: %v", err)
		}
	})
}

func TestTwoWhoUseOneInvitationAtOnceGetOneAccount(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		link := invite(t, g, people.Invitation{Name: "Dora Vale", Rights: []access.Right{access.Desk}})
		var wg sync.WaitGroup
		var mu sync.Mutex
		in := map[foray.ID]int{}
		for _, login := range []string{"dora", "thief", "dora2", "thief2", "dora3", "thief3"} {
			cmd := g.Command(t)
			wg.Go(func() {
				token, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), cmd, people.Chosen{Login: login, Password: "spindle-and-cap"})
				if err != nil {
					if !fault.Is(err, fault.Refused) {
						t.Error(err)
					}
					return
				}
				mu.Lock()
				defer mu.Unlock()
				in[who(t, g, token).Person]++
			})
		}
		wg.Wait()
		if len(in) != 1 {
			t.Errorf("%d people came in", len(in))
		}
	})
}

func TestASignInNameHasAFormAndIsTakenOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		link := invite(t, g, people.Invitation{Name: "Dora Vale"})
		for _, login := range []string{"", "d", "pass:0123456789abcdef", "dora vale", "desk", strings.Repeat("x", 101)} {
			if _, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), g.Command(t), people.Chosen{Login: login, Password: "spindle-and-cap"}); fault.From(err).Fields["login"].Key == "" {
				t.Errorf("%q: %v", login, err)
			}
		}
		if _, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), g.Command(t), people.Chosen{Login: "dora", Password: "short"}); fault.From(err).Fields["password"].Key == "" {
			t.Errorf("a short password: %v", err)
		}
		if _, _, err := g.Desk.Accept(ctx, "hollinbeck", secretOf(link), g.Command(t), people.Chosen{Login: "dora", Password: "spindle-and-cap"}); err != nil {
			t.Errorf("the link is spent by mistakes: %v", err)
		}
	})
}
