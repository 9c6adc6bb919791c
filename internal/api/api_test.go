package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/foray"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/live"
)

var ctx = context.Background()

// served is a ground with its API on a real server.
type served struct {
	barred bool // the next command is one that its sender may not give, so that nothing need be ready for it
	*halltest.Ground
	api     *api.API
	echo    *echo.Echo
	url     string
	tokens  map[string]string // by persona
	errors  *bytes.Buffer     // what was logged
	number  int               // the last that a find was given
	planned int               // walks and teams: their numbers are short
}

const stranger = "stranger" // organiser of another society

func each(t *testing.T, fn func(*testing.T, *served)) {
	t.Helper()
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) { fn(t, serve(t, g)) })
}

func serve(t *testing.T, g *halltest.Ground) *served {
	t.Helper()
	s := &served{Ground: g, echo: echo.New(), tokens: map[string]string{}, errors: &bytes.Buffer{}}
	g.Hall.Log = slog.New(slog.NewTextHandler(s.errors, nil))
	closing := make(chan struct{})
	s.api = &api.API{Hall: g.Hall, Desk: g.Desk, Cookie: "forayhall", Closing: closing, Pace: live.Pace{Beat: 50 * time.Millisecond}}
	s.api.Register(s.echo.Group(api.Prefix))
	s.echo.HTTPErrorHandler = func(err error, c echo.Context) {
		if err := s.api.Problem(c, err); err != nil {
			t.Error(err)
		}
	}
	server := httptest.NewServer(s.echo)
	t.Cleanup(server.Close)
	t.Cleanup(func() { close(closing) })
	s.url = server.URL
	s.issue(t)
	return s
}

// issue gives a token to everybody: "visitor" has none.
func (s *served) issue(t *testing.T) {
	t.Helper()
	for _, right := range access.Rights[1:] {
		s.tokens[string(right)] = s.token(t, string(right))
	}
	s.tokens["second"] = s.token(t, "second")
	_, scope, machine := s.Another(t, "elmgate", "Elmgate Field Club")
	id, err := s.Desk.AddAccount(ctx, people.Account{Society: "elmgate", Name: "Person stranger", Login: stranger, Password: halltest.Password})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := setup.GiveRight(ctx, s.Hall, machine, scope, s.Command(t), setup.Right{Person: id, Right: access.Organiser}); err != nil {
		t.Fatal(err)
	}
	s.tokens[stranger] = s.token(t, stranger)
}

func (s *served) token(t *testing.T, login string) string {
	t.Helper()
	token, err := s.Desk.Token(ctx, login, "test", nil, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	return token
}

// call makes a request as a persona; headers are pairs.
func (s *served) call(t *testing.T, as, method, path string, body []byte, headers ...string) *http.Response {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), method, s.url+api.Prefix+path, bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if token := s.tokens[as]; token != "" {
		req.Header.Set("Authorization", "Bearer "+token)
	}
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { resp.Body.Close() })
	return resp
}

func (s *served) get(t *testing.T, as, path string, headers ...string) (int, []byte) {
	t.Helper()
	resp := s.call(t, as, http.MethodGet, path, nil, headers...)
	return resp.StatusCode, all(t, resp)
}

func all(t *testing.T, resp *http.Response) []byte {
	t.Helper()
	data, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// see reads a view as JSON.
func see[T any](t *testing.T, s *served, as, path string) T {
	t.Helper()
	status, data := s.get(t, as, path)
	if status != http.StatusOK {
		t.Fatalf("%s as %s: %d %s", path, as, status, data)
	}
	return read[T](t, data)
}

func read[T any](t *testing.T, data []byte) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatalf("%v in %s", err, data)
	}
	return v
}

type object = map[string]any

// cmd is a command with a fresh id.
func (s *served) cmd(t *testing.T, kind string, body any) object {
	t.Helper()
	return object{"id": s.Command(t).ID, "type": kind, "body": body}
}

func on(version int, o object) object {
	o["base_version"] = version
	return o
}

type answer struct {
	ID      string
	Status  string
	Result  object
	Problem *problem
	Other   object
}

type problem struct {
	Type, Title, Detail, Instance string
	Status                        int
	Errors                        map[string]string
	Other                         object
}

// send sends a batch for HB26 of Hollinbeck and demands that it was taken.
func (s *served) send(t *testing.T, as string, commands ...object) []answer {
	t.Helper()
	resp := s.batch(t, as, object{"society": "hollinbeck", "event": "HB26", "commands": commands})
	data := all(t, resp)
	if resp.StatusCode != http.StatusOK {
		t.Fatalf("batch as %s: %d %s", as, resp.StatusCode, data)
	}
	answers := read[struct{ Answers []answer }](t, data).Answers
	if len(answers) != len(commands) {
		t.Fatalf("%d answers to %d commands", len(answers), len(commands))
	}
	return answers
}

func (s *served) batch(t *testing.T, as string, batch object) *http.Response {
	t.Helper()
	data, err := json.Marshal(batch)
	if err != nil {
		t.Fatal(err)
	}
	return s.call(t, as, http.MethodPost, "/commands", data)
}

// logged logs a collection as the desk; one from outside needs no team.
func (s *served) logged(t *testing.T) (foray.ID, string) {
	t.Helper()
	s.number++
	c, err := desk.LogCollection(ctx, s.Hall, s.As[access.Desk], s.Scope, s.Command(t),
		desk.Log{Number: foray.Number{Base: s.number}.String(), Field: desk.Field{Group: "bolete", Outside: true}})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID, c.Number
}

func status(t *testing.T, got answer, want string) {
	t.Helper()
	if got.Status != want {
		t.Fatalf("%s: got %s, want %s; problem %+v", got.ID, got.Status, want, got.Problem)
	}
}
