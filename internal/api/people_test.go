package api_test

import (
	"net/http"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/people"
)

// invited is an invitation that nobody has used.
func (s *served) invited(t *testing.T) foray.ID {
	t.Helper()
	link, err := people.MakeInvitation(ctx, s.Hall, s.As[access.Organiser], s.Scope, s.Command(t), people.Invitation{Name: "Dora Vale"})
	if err != nil {
		t.Fatal(err)
	}
	return link.ID
}

func TestALinkIsToldOnceOverTheAPIToo(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		for kind, body := range map[string]object{"invitation.make.v1": {"name": "Dora Vale"}, "pass.make.v1": {"right": "desk"}} {
			sent := s.cmd(t, kind, body)
			first, again := s.send(t, "organiser", sent)[0], s.send(t, "organiser", sent)[0]
			status(t, first, "applied")
			status(t, again, "already")
			if path, _ := first.Result["path"].(string); len(path) < 30 || again.Result["path"] != nil || again.Result["id"] != first.Result["id"] {
				t.Errorf("%s: %v, then %v", kind, first.Result, again.Result)
			}
		}
		if room := see[people.Room](t, s, "scribe", "/hollinbeck/HB26/people"); len(room.Passes) != 1 || len(room.Open) != 0 {
			t.Errorf("a scribe sees %+v", room)
		}
		if room := see[people.Room](t, s, "organiser", "/hollinbeck/HB26/people"); len(room.Open) != 1 {
			t.Errorf("an organiser sees %+v", room.Open)
		}
	})
}

func TestATokenEndsWhatIsItsOwnersAndNothingElse(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		other := s.token(t, "desk")
		actor, _, err := s.Desk.Who(ctx, other, "token")
		if err != nil {
			t.Fatal(err)
		}
		end := s.cmd(t, "token.end.v1", object{"session": actor.Session})
		if got := s.send(t, "steward", end)[0]; got.Problem == nil || got.Problem.Status != http.StatusNotFound {
			t.Errorf("the steward ends the desk's: %+v", got)
		}
		status(t, s.send(t, "desk", end)[0], "applied")
		if actor, _, err := s.Desk.Who(ctx, other, "token"); err != nil || actor.SignedIn() {
			t.Errorf("it is not ended, %v", err)
		}
		narrow, err := s.Desk.Token(ctx, "desk", "printer", []access.Right{access.Member}, time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		s.tokens["printer"] = narrow
		if got := s.send(t, "printer", s.cmd(t, "session.end-all.v1", object{}))[0]; got.Problem == nil || got.Problem.Status != http.StatusForbidden {
			t.Errorf("a narrow token signs its owner out: %+v", got)
		}
		status(t, s.send(t, "desk", s.cmd(t, "session.end-all.v1", object{}))[0], "applied")
		if code, _ := s.get(t, "desk", "/hollinbeck/HB26/queue"); code != http.StatusUnauthorized {
			t.Errorf("signed out everywhere: %d", code)
		}
	})
}
