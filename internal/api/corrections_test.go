package api_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/corrections"
)

// request is one that somebody sent, mostly another member than the last, so that no limit is met.
func (s *served) request(t *testing.T) corrections.Asked {
	t.Helper()
	cmd := s.Command(t)
	by := s.As[access.Rights[1+int(cmd.ID[15])%(len(access.Rights)-1)]]
	asked, err := corrections.SendRequest(ctx, s.Hall, by, s.Scope, cmd, corrections.Ask{Kind: "other", Words: "the title", Reach: "01632 960099"})
	if err != nil {
		t.Fatal(err)
	}
	return asked
}

// wholeCorrection is a command about a request for a correction.
func (s *served) wholeCorrection(t *testing.T, kind, way string) object {
	t.Helper()
	switch kind {
	case "correction.ask.v1":
		return s.cmd(t, kind, object{"kind": "other", "words": "the title"})
	case "correction.ask-back.v1", "correction.answer.v1":
		return s.cmd(t, kind, object{"request": s.request(t).Request, "words": "looked at again"})
	case "correction.pass.v1", "correction.release.v1":
		return s.cmd(t, kind, object{"request": s.request(t).Request})
	case "correction.reopen.v1":
		asked := s.request(t).Request
		status(t, s.send(t, "list_keeper", s.cmd(t, "correction.answer.v1", object{"request": asked, "words": "stays"}))[0], "applied")
		return s.cmd(t, kind, object{"request": asked, "words": "a photograph came"})
	case "correction.reply.v1":
		return s.cmd(t, kind, object{"secret": secretOf(s.request(t)), "words": "it was a larch"})
	case "correction.forget.v1":
		if way == "keeper" {
			return s.cmd(t, kind, object{"request": s.request(t).Request})
		}
		return s.cmd(t, kind, object{"secret": secretOf(s.request(t))})
	}
	return nil
}

// secretOf is what the address of a sender's page ends with.
func secretOf(a corrections.Asked) string {
	for i := len(a.Path) - 1; i >= 0; i-- {
		if a.Path[i] == '/' {
			return a.Path[i+1:]
		}
	}
	return a.Path
}
