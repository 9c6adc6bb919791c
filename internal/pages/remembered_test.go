package pages_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// reader asks for a page within the process.
func (s *site) reader(t *testing.T, path string, headers ...string) *httptest.ResponseRecorder {
	t.Helper()
	req := httptest.NewRequest(http.MethodGet, path, nil)
	for i := 0; i < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	rec := httptest.NewRecorder()
	s.echo.ServeHTTP(rec, req)
	return rec
}

// plateWithName is a plate that somebody gave a first name.
func (s *site) plateWithName(t *testing.T) foray.ID {
	t.Helper()
	c, err := desk.LogCollection(t.Context(), s.Hall, s.As[access.Desk], s.Scope, s.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete"}})
	if err != nil {
		t.Fatal(err)
	}
	s.call(t, c.ID, "Boletus edulis")
	return c.ID
}

func (s *site) call(t *testing.T, plate foray.ID, name string) {
	t.Helper()
	if _, err := bench.GiveFieldName(t.Context(), s.Hall, s.As[access.TeamLeader], s.Scope, s.Command(t),
		bench.FieldName{Collection: plate, Names: []hall.NameInput{{Text: name}}}); err != nil {
		t.Fatal(err)
	}
}

// TestARememberedPageIsTheOneThatWouldBeMade would catch a page that outlives a change, that is handed to a reader of
// another language, or that comes without the headers that guard it.
func TestARememberedPageIsTheOneThatWouldBeMade(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		s := newSite(t, g)
		plate := s.plateWithName(t)
		path := event + "/list"
		made, kept := s.reader(t, path), s.reader(t, path)
		if made.Code != http.StatusOK || !bytes.Equal(made.Body.Bytes(), kept.Body.Bytes()) {
			t.Fatalf("made: %d, remembered: %d, the same: %v", made.Code, kept.Code, bytes.Equal(made.Body.Bytes(), kept.Body.Bytes()))
		}
		for _, name := range []string{"Content-Security-Policy", "X-Content-Type-Options", "X-Frame-Options", "Vary", "ETag", "Cache-Control", "Content-Type"} {
			if made.Header().Get(name) == "" || made.Header().Get(name) != kept.Header().Get(name) {
				t.Errorf("%s: %q, remembered %q", name, made.Header().Get(name), kept.Header().Get(name))
			}
		}
		if again := s.reader(t, path, "If-None-Match", made.Header().Get("ETag")); again.Code != http.StatusNotModified || again.Body.Len() > 0 {
			t.Errorf("who has the page already is answered %d", again.Code)
		}
		if pseudo := s.reader(t, path, "Accept-Language", message.Pseudo); bytes.Equal(pseudo.Body.Bytes(), made.Body.Bytes()) {
			t.Error("another language is answered with this one's page")
		}
		packed := s.reader(t, path, "Accept-Encoding", "gzip")
		unpack, err := gzip.NewReader(packed.Body)
		if err != nil {
			t.Fatal(err)
		}
		if plain, err := io.ReadAll(unpack); err != nil || !bytes.Equal(plain, made.Body.Bytes()) {
			t.Errorf("compressed it is another page: %v", err)
		}
		s.call(t, plate, "Imleria badia")
		if after := s.reader(t, path); !strings.Contains(after.Body.String(), "Imleria badia") {
			t.Error("what this process wrote is not on the page at once")
		}
		part := s.reader(t, path+"?find=zzz")
		if strings.Contains(part.Body.String(), "Imleria badia") {
			t.Error("another address is answered with the page of this one")
		}
	})
}

// TestWhatAnotherProcessWroteIsMetSoon: a second hall on the same folder stands for another process.
func TestWhatAnotherProcessWroteIsMetSoon(t *testing.T) {
	config := store.Config{Dir: t.TempDir()}
	open := func() *store.Store {
		db, err := store.Open(t.Context(), config)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = db.Close() })
		return db
	}
	here := open()
	if err := here.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	g := halltest.New(t, here)
	s := newSite(t, g)
	plate := s.plateWithName(t)
	path := event + "/list"
	s.reader(t, path)
	there := hall.New(open(), g.Hall.Knowledge)
	there.Now = g.Hall.Now
	if _, err := bench.GiveFieldName(t.Context(), there, s.As[access.TeamLeader], s.Scope, s.Command(t),
		bench.FieldName{Collection: plate, Names: []hall.NameInput{{Text: "Imleria badia"}}}); err != nil {
		t.Fatal(err)
	}
	if now := s.reader(t, path, "Cache-Control", "no-cache"); !strings.Contains(now.Body.String(), "Imleria badia") {
		t.Error("who asks for the newest state is not given it")
	}
	s.call(t, plate, "Russula emetica")
	s.reader(t, path)
	if _, err := bench.GiveFieldName(t.Context(), there, s.As[access.TeamLeader], s.Scope, s.Command(t),
		bench.FieldName{Collection: plate, Names: []hall.NameInput{{Text: "Peziza badia"}}}); err != nil {
		t.Fatal(err)
	}
	for begun := time.Now(); ; time.Sleep(20 * time.Millisecond) {
		if strings.Contains(s.reader(t, path).Body.String(), "Peziza badia") {
			break
		}
		if time.Since(begun) > 30*time.Second {
			t.Fatal("what another process wrote is never met")
		}
	}
}

// TestAListThatComesInMarksTheRunningListAtOnce would catch a page that is remembered as if its marks were of its own event
// alone: what is new is so beside everything that the society knows.
func TestAListThatComesInMarksTheRunningListAtOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		s := newSite(t, g)
		plate := s.plateWithName(t)
		word := bench.Word{Collection: plate, Name: hall.NameInput{Text: "Boletus edulis"}, Basis: "macroscopic"}
		if _, err := bench.SignOff(t.Context(), s.Hall, s.As[access.Identifier], s.Scope, s.On(t, 1), word); err != nil {
			t.Fatal(err)
		}
		mark := message.For(message.English).Say("earlier.first.society.possible")
		for range 2 { // made, then remembered
			if body := s.reader(t, event+"/list").Body.String(); strings.Contains(body, mark) {
				t.Fatal("something is new where there is nothing to compare with")
			}
		}
		if _, err := earlier.Add(t.Context(), s.Hall, s.As[access.ListKeeper], s.Scope, s.Command(t), earlier.NewList{Table: "name\nImleria badia\n",
			About: earlier.About{Title: "1998–2019", Scope: "society", Source: "card index", File: "list.csv"}}); err != nil {
			t.Fatal(err)
		}
		if body := s.reader(t, event+"/list").Body.String(); !strings.Contains(body, mark) {
			t.Error("the list does not say at once that Boletus edulis is new")
		}
	})
}
