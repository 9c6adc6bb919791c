package api_test

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/api"
)

func TestPagesFollowEachOtherWithoutGapWhileMoreIsLogged(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		for range 23 {
			s.logged(t)
		}
		status(t, s.send(t, "desk", s.cmd(t, "collection.log.v1", object{"number": "7a", "field": object{"group": "bolete"}}))[0], "applied")
		var got []string
		for path, next := "/hollinbeck/HB26/collections?limit=5", "start"; next != ""; {
			page := see[api.Page](t, s, "desk", path)
			for _, c := range page.Collections {
				got = append(got, c.Number)
			}
			s.logged(t) // behind the cursor at first, then before it: the end moves, no page shifts
			if len(got) > 40 {
				break
			}
			next = page.Next
			path = "/hollinbeck/HB26/collections?limit=5&cursor=" + url.QueryEscape(next)
		}
		want := "0001 0002 0003 0004 0005 0006 0007 0007a 0008"
		if !strings.HasPrefix(strings.Join(got, " "), want) {
			t.Errorf("got %v", got)
		}
		for i := range got[1:] {
			if got[i] >= got[i+1] {
				t.Errorf("%s before %s", got[i], got[i+1])
			}
		}
		for query, field := range map[string]string{"cursor=eA": "cursor", "cursor=%21": "cursor", "limit=0": "limit", "limit=501": "limit", "limit=x": "limit"} {
			code, data := s.get(t, "desk", "/hollinbeck/HB26/collections?"+query)
			if p := read[problem](t, data); code != 422 || p.Errors[field] == "" {
				t.Errorf("%s: %d %+v", query, code, p)
			}
		}
	})
}

func TestAnAnswerIsNotSentAgainUntilSomethingChanged(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		paths := []string{"", "/collections", "/collections/0001", "/queue", "/list", "/tables", "/tables/1", "/finds/0001", "/taxa/Boletus_edulis", "/warnings", "/changes"}
		tags := map[string]string{}
		for _, p := range paths {
			resp := s.call(t, "desk", http.MethodGet, "/hollinbeck/HB26"+p, nil)
			tags[p] = resp.Header.Get("ETag")
			if !strings.HasPrefix(tags[p], `W/"HB26-`) || !strings.Contains(resp.Header.Get("Vary"), "Authorization") {
				t.Errorf("%s: tag %q", p, tags[p])
			}
			if got, body := s.get(t, "desk", "/hollinbeck/HB26"+p, "If-None-Match", `"x", `+tags[p]); got != 304 || len(body) != 0 {
				t.Errorf("%s again: %d", p, got)
			}
		}
		for as, want := range map[string]int{"visitor": 401, "member": 403, stranger: 404} {
			resp := s.call(t, as, http.MethodGet, "/hollinbeck/HB26/queue", nil, "If-None-Match", tags["/queue"])
			if resp.StatusCode != want || resp.Header.Get("ETag") != "" {
				t.Errorf("a tag let %s through: %d", as, resp.StatusCode)
			}
		}
		s.logged(t)
		for _, p := range paths {
			if got, _ := s.get(t, "desk", "/hollinbeck/HB26"+p, "If-None-Match", tags[p]); got != 200 {
				t.Errorf("%s after a change: %d", p, got)
			}
		}
	})
}

func TestWhatTheClockAloneChangesIsAlwaysSentAnew(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		tag := s.call(t, "organiser", http.MethodGet, "/hollinbeck/HB26/queue", nil).Header.Get("ETag")
		for _, p := range []string{"/wall", "/teams", "/teams/1", "/own-teams", "/walks"} {
			resp := s.call(t, "organiser", http.MethodGet, "/hollinbeck/HB26"+p, nil, "If-None-Match", tag)
			if resp.StatusCode != 200 || resp.Header.Get("ETag") != "" {
				t.Errorf("%s: %d, tag %q", p, resp.StatusCode, resp.Header.Get("ETag"))
			}
		}
	})
}

func TestASignedVersionIsServedAsTheBytesThatWereFrozen(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		resp := s.call(t, "visitor", http.MethodGet, "/hollinbeck/HB26/list/1", nil)
		data := all(t, resp)
		sum := sha256.Sum256(data)
		if tag := fmt.Sprintf(`"%x"`, sum); resp.Header.Get("ETag") != tag {
			t.Errorf("tag %s, sum %s", resp.Header.Get("ETag"), tag)
		}
		if want := "sha-256=:" + base64.StdEncoding.EncodeToString(sum[:]) + ":"; resp.Header.Get("Repr-Digest") != want {
			t.Errorf("digest %s, want %s", resp.Header.Get("Repr-Digest"), want)
		}
		summary := see[api.Summary](t, s, "visitor", "/hollinbeck/HB26")
		if len(summary.Versions) != 1 || summary.Versions[0].SHA256 != fmt.Sprintf("%x", sum) {
			t.Errorf("versions %+v", summary.Versions)
		}
		if got, _ := s.get(t, "visitor", "/hollinbeck/HB26/list/1", "If-None-Match", resp.Header.Get("ETag")); got != 304 {
			t.Errorf("again: %d", got)
		}
		for _, n := range []string{"2", "0", "one"} {
			if got, _ := s.get(t, "visitor", "/hollinbeck/HB26/list/"+n); got != 404 {
				t.Errorf("version %s: %d", n, got)
			}
		}
	})
}

func TestWarningsNameThePlateFromItsFirstSlipOn(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		c, number := s.logged(t)
		status(t, s.send(t, "team_leader", s.cmd(t, "slip.field-name.v1", object{"collection": c, "names": []object{{"text": "Amanita phalloides"}}}))[0], "applied")
		w := see[api.Warnings](t, s, "visitor", "/hollinbeck/HB26/warnings")
		found := false
		for _, l := range w.Here {
			for _, p := range l.Plates {
				found = found || l.Finding.Severity == 5 && p.Number == number
			}
		}
		if !found || w.Final || len(w.Lacks) == 0 || w.Caution == "" || len(w.Eaten) == 0 {
			t.Errorf("sheet %+v", w)
		}
		detail := see[api.Detail](t, s, "desk", "/hollinbeck/HB26/collections/"+number)
		if detail.Severity != 5 || len(detail.Slips) != 1 || detail.Slips[0].Names[0].Current != "Amanita phalloides" || len(detail.Findings) == 0 {
			t.Errorf("detail %+v", detail)
		}
	})
}

func TestTypingIsSuggestedNamesWithWhatTheyAreCalledNow(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		got := see[api.Suggestions](t, s, "visitor", "/names?q=am+phal&limit=3")
		if len(got.Names) == 0 || len(got.Names) > 3 || got.Names[0].Name != "Amanita phalloides" || got.Names[0].Author == "" ||
			got.Names[0].Family != "Amanitaceae" || got.Names[0].Accepted != "Amanita phalloides" {
			t.Errorf("am phal: %+v", got)
		}
		if got := see[api.Suggestions](t, s, "visitor", "/names"); got.Names == nil || len(got.Names) != 0 {
			t.Errorf("nothing typed: %+v", got)
		}
		if code, _ := s.get(t, "visitor", "/names?q="+strings.Repeat("a", 201)); code != 422 {
			t.Errorf("a long text: %d", code)
		}
	})
}

func TestWhatIsNotThereIsAProblemToo(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		for path, c := range map[string]struct {
			method string
			status int
		}{"/nowhere/at/all/of/it": {"GET", 404}, "/hollinbeck/HB99": {"GET", 404}, "/nobody/HB26/list": {"GET", 404},
			"/events": {"DELETE", 405}, "/hollinbeck/HB26/list": {"POST", 405}, "/hollinbeck/HB26%00/list": {"GET", 404},
			"/hollinbeck/%ff/list": {"GET", 404}, "": {"GET", 404}, "/hollinbeck/hb26": {"GET", 200}} {
			resp := s.call(t, "organiser", c.method, path, nil)
			if resp.StatusCode != c.status || c.status >= 400 && resp.Header.Get("Content-Type") != "application/problem+json" {
				t.Errorf("%s %s: %d %s, want %d", c.method, path, resp.StatusCode, resp.Header.Get("Content-Type"), c.status)
			}
			if (c.status == 405) != (resp.Header.Get("Allow") == "GET") {
				t.Errorf("%s %s: allowed are %q", c.method, path, resp.Header.Get("Allow"))
			}
		}
		if strings.Contains(s.errors.String(), "level=ERROR") {
			t.Errorf("logged as failures: %s", s.errors)
		}
	})
}
