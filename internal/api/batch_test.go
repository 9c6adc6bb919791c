package api_test

import (
	"crypto/rand"
	"errors"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

func edulis(c foray.ID) object {
	return object{"collection": c, "name": object{"text": "Boletus edulis"}, "basis": "macroscopic"}
}

func TestABatchIsAnsweredInItsOrderAndOneRefusalStopsNothing(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		got := s.send(t, "desk",
			s.cmd(t, "collection.log.v1", object{"id": s.Command(t).ID, "number": "HB26 0417", "field": object{"group": "bolete"}}),
			s.cmd(t, "collection.log.v1", object{"id": s.Command(t).ID, "number": "0418", "field": object{"group": "no such group"}}),
			s.cmd(t, "slip.sign-off.v1", object{"collection": s.Command(t).ID}),
			s.cmd(t, "slip.guess.v1", object{}),
			s.cmd(t, "collection.log.v1", object{"id": s.Command(t).ID, "number": "0419", "field": object{"group": "bolete"}}))
		for i, want := range []struct {
			status  string
			problem int
		}{{"applied", 0}, {"refused", 422}, {"refused", 403}, {"refused", 422}, {"applied", 0}} {
			status(t, got[i], want.status)
			if p := got[i].Problem; (p == nil) != (want.problem == 0) || p != nil && p.Status != want.problem {
				t.Errorf("command %d: problem %+v, want status %d", i, p, want.problem)
			}
		}
		if got[0].Result["number"] != "0417" || got[4].Result["number"] != "0419" {
			t.Errorf("results %v and %v", got[0].Result, got[4].Result)
		}
		if got[1].Problem.Errors["group"] == "" || got[3].Problem.Errors["type"] == "" {
			t.Errorf("fields are not named: %v, %v", got[1].Problem.Errors, got[3].Problem.Errors)
		}
		if page := see[struct{ Collections []object }](t, s, "desk", "/hollinbeck/HB26/collections"); len(page.Collections) != 2 {
			t.Errorf("%d collections, want 2", len(page.Collections))
		}
	})
}

func TestACommandSentAgainIsAnsweredAlreadyWithWhatItAnsweredThen(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		c, _ := s.logged(t)
		sign := on(0, s.cmd(t, "slip.sign-off.v1", edulis(c)))
		first := s.send(t, "identifier", sign)[0]
		status(t, first, "applied")
		again := s.send(t, "identifier", sign, sign)
		for _, a := range again {
			status(t, a, "already")
			if a.Result["slip"] != first.Result["slip"] || a.Result["version"] != 1.0 {
				t.Errorf("again %v, first %v", a.Result, first.Result)
			}
		}
		sign["body"] = object{"collection": c, "name": object{"text": "Imleria badia"}, "basis": "macroscopic"}
		other := s.send(t, "identifier", sign)[0]
		status(t, other, "refused")
		if other.Problem.Status != 422 || !strings.HasSuffix(other.Problem.Type, "/mismatch") {
			t.Errorf("same id, other body: %+v", other.Problem)
		}
	})
}

func TestABatchSentByManyAtOnceIsAppliedOnce(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		var commands []object
		for n := range 10 {
			commands = append(commands, s.cmd(t, "collection.log.v1", object{"id": s.Command(t).ID,
				"number": foray.Number{Base: n + 1}.String(), "field": object{"group": "bolete"}}))
		}
		var mu sync.Mutex
		count := map[string]int{}
		var wg sync.WaitGroup
		for range 6 {
			wg.Go(func() {
				for _, a := range s.send(t, "desk", commands...) {
					mu.Lock()
					if count[a.Status]++; a.Problem != nil {
						t.Errorf("%s: %+v", a.Status, *a.Problem)
					}
					mu.Unlock()
				}
			})
		}
		wg.Wait()
		if count["applied"] != 10 || count["already"] != 50 {
			t.Errorf("%v, want 10 applied and 50 already", count)
		}
	})
}

func TestOneNumberGoesToOneOfManyAndTheOthersAreTold(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		var mu sync.Mutex
		count := map[string]int{}
		var wg sync.WaitGroup
		for range 8 {
			wg.Go(func() {
				a := s.send(t, "desk", s.cmd(t, "collection.log.v1", object{"id": s.Command(t).ID, "number": "417", "field": object{"group": "bolete"}}))[0]
				mu.Lock()
				defer mu.Unlock()
				if count[a.Status]++; a.Status == "refused" {
					t.Errorf("%+v", *a.Problem)
				}
			})
		}
		wg.Wait()
		if count["applied"] != 1 || count["conflict"] != 7 {
			t.Errorf("%v, want 1 applied and 7 told who has it", count)
		}
		if strings.Contains(s.errors.String(), "level=ERROR") {
			t.Errorf("log: %s", s.errors)
		}
	})
}

func TestWhoComesSecondIsShownTheFirst(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		c, _ := s.logged(t)
		status(t, s.send(t, "identifier", on(0, s.cmd(t, "slip.sign-off.v1", edulis(c))))[0], "applied")
		late := s.send(t, "second", on(0, s.cmd(t, "slip.sign-off.v1", edulis(c))))[0]
		status(t, late, "conflict")
		if late.Problem.Status != 409 || late.Problem.Other != nil {
			t.Errorf("problem %+v", late.Problem)
		}
		if late.Other["version"] != 1.0 || late.Other["by"] != "Person identifier" || late.Other["slip"] == "" {
			t.Errorf("other %v", late.Other)
		}
		taken := s.send(t, "desk", s.cmd(t, "collection.log.v1", object{"number": "1", "field": object{"group": "bolete"}}))[0]
		status(t, taken, "conflict")
		if taken.Other["by"] != "Person desk" || taken.Problem.Errors["number"] == "" {
			t.Errorf("taken number: %v %+v", taken.Other, taken.Problem)
		}
	})
}

func TestWhatCannotBeReadIsRefusedAndSaysWhere(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		id := s.Command(t).ID.String()
		for name, c := range map[string]struct{ command, at string }{
			"an unknown field around a body": {`{"id":"` + id + `","type":"table.add.v1","body":{},"basis":1}`, "/basis"},
			"an unknown field in a body":     {`{"id":"` + id + `","type":"table.add.v1","body":{"number":1,"colour":"red"}}`, "/body/colour"},
			"another case of a field":        {`{"id":"` + id + `","type":"table.add.v1","body":{"Number":1}}`, "/body/Number"},
			"a field twice":                  {`{"id":"` + id + `","type":"table.add.v1","body":{"number":1,"number":2}}`, ""},
			"a value of another kind":        {`{"id":"` + id + `","type":"slip.field-name.v1","body":{"names":[{"text":"a"},{"text":7}]}}`, "/body/names/1/text"},
			"an id that is none":             {`{"id":"7","type":"table.add.v1","body":{}}`, "/id"},
			"no id":                          {`{"type":"table.add.v1","body":{}}`, "id"},
			"no body":                        {`{"id":"` + id + `","type":"table.add.v1"}`, "body"},
			"a clock that was never set":     {`{"id":"` + id + `","type":"table.add.v1","body":{"number":1},"happened_at":"0001-06-01T00:00:00Z"}`, "happened_at"},
			"a zero byte in the device":      {`{"id":"` + id + `","type":"table.add.v1","body":{"number":1},"device":"a\u0000"}`, "device"},
			"a zero byte in a text":          {`{"id":"` + id + `","type":"table.add.v1","body":{"number":1,"title":"a\u0000"}}`, "text"},
		} {
			resp := s.call(t, "organiser", http.MethodPost, "/commands",
				[]byte(`{"society":"hollinbeck","event":"HB26","commands":[`+c.command+`]}`))
			data := all(t, resp)
			if c.at == "" { // the whole body is no JSON that can be trusted
				if p := read[problem](t, data); resp.StatusCode != 422 || len(p.Errors) != 1 {
					t.Errorf("%s: %d %s", name, resp.StatusCode, data)
				}
				continue
			}
			if resp.StatusCode != 200 {
				t.Errorf("%s: %d %s", name, resp.StatusCode, data)
				continue
			}
			got := read[struct{ Answers []answer }](t, data).Answers[0]
			if got.Status != "refused" || got.Problem.Status != 422 || got.Problem.Errors[c.at] == "" {
				t.Errorf("%s: %+v %+v, want an error at %q", name, got, got.Problem, c.at)
			}
		}
	})
}

func TestABatchThatIsNoneIsRefusedWhole(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		long := strings.Repeat(`{"a":1},`, 100) + `{"a":1}`
		for name, c := range map[string]struct {
			as, body, media string
			status          int
		}{
			"nobody":                 {"visitor", `{}`, "application/json", 401},
			"no JSON":                {"desk", `{"society":`, "application/json", 422},
			"another media type":     {"desk", `{"society":"hollinbeck"}`, "text/plain", 415},
			"a form":                 {"desk", `society=hollinbeck`, "application/x-www-form-urlencoded", 415},
			"an unknown field":       {"desk", `{"society":"hollinbeck","who":1}`, "application/json", 422},
			"no commands":            {"desk", `{"society":"hollinbeck","event":"HB26","commands":[]}`, "application/json", 422},
			"more than 100 commands": {"desk", `{"society":"hollinbeck","event":"HB26","commands":[` + long + `]}`, "application/json", 422},
			"more than a mebibyte":   {"desk", `{"society":"` + strings.Repeat("h", 1<<20) + `"}`, "application/json", 413},
			"an event there is not":  {"desk", `{"society":"hollinbeck","event":"HB99","commands":[{}]}`, "application/json", 404},
			"a society there is not": {"desk", `{"society":"nowhere","event":"HB26","commands":[{}]}`, "application/json", 404},
			"a zero byte in a code":  {"desk", `{"society":"a\u0000","event":"HB26","commands":[{}]}`, "application/json", 404},
			"another society's":      {stranger, `{"society":"hollinbeck","event":"HB26","commands":[{}]}`, "application/json", 404},
		} {
			resp := s.call(t, c.as, http.MethodPost, "/commands", []byte(c.body), "Content-Type", c.media)
			p := read[problem](t, all(t, resp))
			if resp.StatusCode != c.status || p.Status != c.status || p.Title == "" || p.Detail == "" || p.Type == "" ||
				resp.Header.Get("Content-Type") != "application/problem+json" {
				t.Errorf("%s: %d %+v, want %d", name, resp.StatusCode, p, c.status)
			}
		}
	})
}

func TestACommandOfTheSocietyNeedsNoEvent(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		resp := s.batch(t, "member", object{"society": "hollinbeck", "commands": []object{
			s.cmd(t, "event.add.v1", object{"code": "HB27", "name": "Next year", "starts_on": "2027-10-23", "time_zone": "Europe/London", "region": "EU"}),
			s.cmd(t, "table.add.v1", object{"number": 1})}})
		got := read[struct{ Answers []answer }](t, all(t, resp)).Answers
		status(t, got[0], "applied")
		status(t, got[1], "refused")
		if got[1].Problem.Errors["event"] == "" {
			t.Errorf("problem %+v", got[1].Problem)
		}
		if summary := see[struct{ Rights []string }](t, s, "member", "/hollinbeck/HB27"); len(summary.Rights) != 3 {
			t.Errorf("whoever adds an event holds %v", summary.Rights)
		}
	})
}

func TestAFailureOfTheDatabaseIsLoggedAndNotShown(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		if err := s.Store.Close(); err != nil {
			t.Fatal(err)
		}
		resp := s.call(t, "desk", http.MethodGet, "/events", nil)
		p := read[problem](t, all(t, resp))
		if resp.StatusCode < 500 || strings.Contains(p.Detail, "sql") {
			t.Errorf("%d %+v", resp.StatusCode, p)
		}
		if !strings.Contains(s.errors.String(), "closed") {
			t.Errorf("the cause is not in the log: %s", s.errors)
		}
	})
}

// failing is randomness that is not to be had, once.
type failing struct {
	err  error
	then io.Reader
}

func (f *failing) Read(p []byte) (int, error) {
	if err := f.err; err != nil {
		f.err = nil
		return 0, err
	}
	return f.then.Read(p)
}

func TestAFailureNobodyForesawIsKeptForLaterAndTheOthersAreTried(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		one, two := s.cmd(t, "table.add.v1", object{"number": 1}), s.cmd(t, "table.add.v1", object{"number": 2})
		s.Hall.Random = &failing{errors.New("the well is dry"), rand.Reader}
		got := s.send(t, "organiser", one, two)
		status(t, got[0], "refused")
		status(t, got[1], "applied")
		if p := got[0].Problem; p.Status != 500 || strings.Contains(p.Detail, "dry") || !strings.Contains(s.errors.String(), "the well is dry") {
			t.Errorf("problem %+v, log %s", p, s.errors)
		}
		status(t, s.send(t, "organiser", one)[0], "applied")
	})
}

func TestABusyHallFailsTheBatchWhichIsThenSentAgain(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		one, two := s.cmd(t, "table.add.v1", object{"number": 1}), s.cmd(t, "table.add.v1", object{"number": 2})
		status(t, s.send(t, "organiser", one)[0], "applied")
		s.Hall.Random = &failing{fault.New(fault.Unavailable, "fault.unavailable"), rand.Reader}
		resp := s.batch(t, "organiser", object{"society": "hollinbeck", "event": "HB26", "commands": []object{one, two}})
		if resp.StatusCode != 503 || resp.Header.Get("Retry-After") == "" {
			t.Fatalf("%d %s", resp.StatusCode, all(t, resp))
		}
		got := s.send(t, "organiser", one, two)
		status(t, got[0], "already")
		status(t, got[1], "applied")
	})
}

func TestEveryKindOfErrorHasItsStatusAndIsInTheDocument(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		_, data := s.get(t, "visitor", "/openapi.json")
		doc := read[struct {
			Problems map[string]struct {
				Status int
				Title  string
			} `json:"x-problems"`
		}](t, data)
		want := map[fault.Kind]int{fault.Internal: 500, fault.NotFound: 404, fault.NotSignedIn: 401, fault.NotAllowed: 403, fault.Conflict: 409,
			fault.Invalid: 422, fault.Refused: 422, fault.Mismatch: 422, fault.TooMany: 429, fault.Unavailable: 503}
		if len(doc.Problems) != len(want) {
			t.Errorf("%d kinds in the document, want %d", len(doc.Problems), len(want))
		}
		for kind, status := range want {
			if got := doc.Problems[kind.String()]; got.Status != status || strings.Contains(got.Title, "⟪") {
				t.Errorf("%s: %+v, want %d", kind, got, status)
			}
		}
	})
}
