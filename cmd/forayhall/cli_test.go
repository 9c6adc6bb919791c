package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/store/pgtest"
)

// called is what a command answered.
type called struct {
	code     int
	out, err string
}

func call(t *testing.T, stdin string, args ...string) called {
	t.Helper()
	var out, err bytes.Buffer
	code := run(context.Background(), args, strings.NewReader(stdin), &out, &err)
	return called{code, out.String(), err.String()}
}

// must is call for what a test only needs done.
func must(t *testing.T, stdin string, args ...string) called {
	t.Helper()
	c := call(t, stdin, args...)
	if c.code != exitDone {
		t.Fatalf("%v: exit %d: %s", args, c.code, c.err)
	}
	return c
}

func rows(t *testing.T, text string) []map[string]string {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(records) == 0 {
		t.Fatalf("%v in:\n%s", err, text)
	}
	var all []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		all = append(all, row)
	}
	return all
}

// eachPlace runs fn with the flags of an installation on each database that has a society and the event HB24.
func eachPlace(t *testing.T, fn func(t *testing.T, at []string)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) {
		at := []string{"--data", filepath.Join(t.TempDir(), "data")}
		begin(t, at)
		fn(t, at)
	})
	t.Run("postgres", func(t *testing.T) {
		url := pgtest.URL(t, func(url string) error {
			if c := call(t, "", "migrate", "--data", t.TempDir(), "--database", url); c.code != exitDone {
				t.Fatalf("migrate: %s", c.err)
			}
			return nil
		})
		at := []string{"--data", t.TempDir(), "--database", url}
		begin(t, at)
		fn(t, at)
	})
}

func begin(t *testing.T, at []string) {
	t.Helper()
	must(t, "", append([]string{"society", "add", "hollinbeck", "Hollinbeck Fungus Society"}, at...)...)
	must(t, "", append([]string{"event", "add", "--society", "hollinbeck", "--code", "HB24", "--name", "Autumn foray", "--from", "2024-10-12",
		"--to", "2024-10-13", "--zone", "Europe/London", "--region", "EU"}, at...)...)
}

func TestACallThatIsWrongExitsWithTwoAndSaysWhy(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		what string
		args []string
		says string
	}{
		{"no command", nil, "Say which command"},
		{"unknown command", []string{"frobnicate"}, `no command "frobnicate"`},
		{"half a command", []string{"names"}, "names match"},
		{"unknown flag", []string{"hazards", "--frobnicate"}, "-frobnicate"},
		{"a flag without its value", []string{"hazards", "--region"}, "region"},
		{"a region that is none", []string{"hazards", "--region", "Atlantis"}, "Atlantis"},
		{"too many arguments", []string{"hazards", "a.csv", "b.csv"}, `"b.csv"`},
		{"an argument missing", []string{"token"}, "LOGIN"},
		{"a flag missing", []string{"export", "--as", "list-csv"}, "--event"},
		{"a kind that is not there", []string{"export", "--event", "X", "--as", "papyrus", "--out", "-"}, "list-csv, list-xlsx"},
		{"a file that is not there", []string{"hazards", filepath.Join(dir, "nothing.csv")}, "nothing.csv"},
		{"an installation that is not there", []string{"export", "--event", "X", "--as", "list-csv", "--out", "-", "--data", dir}, "forayhall society add"},
		{"a right that is none", []string{"user", "add", "--name", "A", "--login", "a", "--right", "emperor", "--event", "X"}, "list_keeper"},
		{"a right without an event", []string{"user", "add", "--name", "A", "--login", "a", "--right", "desk"}, "--event"},
		{"a token for too long", []string{"token", "a", "--days", "4000"}, "366"},
		{"help for what is not there", []string{"help", "frobnicate"}, "frobnicate"},
	} {
		got := call(t, "", c.args...)
		if got.code != exitWrong || !strings.Contains(got.err, c.says) || got.out != "" {
			t.Errorf("%s: exit %d, %q, output %q; want %q", c.what, got.code, got.err, got.out, c.says)
		}
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("a wrong call left %v", left)
	}
}

func TestEveryCommandHasItsHelp(t *testing.T) {
	all := must(t, "", "help")
	for _, c := range commands() {
		if !strings.Contains(all.out, "forayhall "+c.name) || !message.Has(c.about()) {
			t.Errorf("%s is not in the help, or has no text %s", c.name, c.about())
		}
		own := must(t, "", append([]string{"help"}, strings.Fields(c.name)...)...)
		if strings.Contains(own.out+own.err, "⟪") {
			t.Errorf("help %s lacks a text:\n%s", c.name, own.out)
		}
	}
}

func TestFlagsStandBeforeOrAfterTheFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "names.csv")
	if err := os.WriteFile(file, []byte("name\nAmanita phalloides\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	before, after := must(t, "", "hazards", "--json", file), must(t, "", "hazards", file, "--json")
	stdin, dash := must(t, "name\nAmanita phalloides\n", "hazards", "--json"), must(t, "name\nAmanita phalloides\n", "hazards", "-", "--json")
	ended := must(t, "", "hazards", "--json", "--", file)
	for i, c := range []called{after, stdin, dash, ended} {
		if c.out != before.out || !strings.HasPrefix(c.out, "[") {
			t.Errorf("way %d answers otherwise: %s", i, c.out)
		}
	}
}

func TestPeopleAreAddedWithoutAPasswordInTheCall(t *testing.T) {
	eachPlace(t, func(t *testing.T, at []string) {
		add := append([]string{"user", "add", "--name", "Mair Pugh", "--login", "mair", "--right", "list_keeper", "--right", "desk", "--event", "HB24"}, at...)
		if c := call(t, "", add...); c.code != exitWrong || !strings.Contains(c.err, "--password-stdin") {
			t.Errorf("without a terminal: exit %d, %s", c.code, c.err)
		}
		if c := call(t, "short\n", append(add, "--password-stdin")...); c.code != exitWrong || !strings.Contains(c.err, "password") {
			t.Errorf("a short password: exit %d, %s", c.code, c.err)
		}
		must(t, "chanterelle-basket\n", append(add, "--password-stdin")...)
		if c := call(t, "chanterelle-basket\n", append(add, "--password-stdin")...); c.code != exitWrong || !strings.Contains(c.err, `"mair"`) {
			t.Errorf("a login that is taken: exit %d, %s", c.code, c.err)
		}
		must(t, "another-basket-now", append([]string{"user", "password", "mair", "--password-stdin"}, at...)...)
		if c := call(t, "another-basket-now", append([]string{"user", "password", "nobody", "--password-stdin"}, at...)...); c.code != exitWrong {
			t.Errorf("nobody's password: exit %d, %s", c.code, c.err)
		}
		token := must(t, "", append([]string{"token", "mair", "--days", "2", "--label", "script"}, at...)...)
		if parts := strings.Split(strings.TrimSpace(token.out), "."); len(parts) != 3 {
			t.Errorf("the token is %q", token.out)
		}
	})
}

func TestAnEventCodeOfTwoSocietiesNeedsTheSociety(t *testing.T) {
	at := []string{"--data", t.TempDir()}
	begin(t, at)
	must(t, "", append([]string{"society", "add", "skelder", "Skelder Moss Naturalists"}, at...)...)
	must(t, "", append([]string{"event", "add", "--society", "skelder", "--code", "hb24", "--name", "Other foray", "--from", "2024-10-12", "--zone", "UTC"}, at...)...)
	export := append([]string{"export", "--event", "HB24", "--as", "list-csv", "--out", "-"}, at...)
	if c := call(t, "", export...); c.code != exitWrong || !strings.Contains(c.err, "--society") {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
	must(t, "", append(export, "--society", "skelder")...)
	if c := call(t, "", append(export, "--society", "atlantis")...); c.code != exitWrong || !strings.Contains(c.err, "atlantis") {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
}

func TestOnlyMigrateTouchesTheSchemaOfPostgres(t *testing.T) {
	url := pgtest.URL(t, nil)
	add := []string{"society", "add", "hollinbeck", "Hollinbeck Fungus Society", "--data", t.TempDir(), "--database", url}
	if c := call(t, "", add...); c.code != exitFailed || !strings.Contains(c.err, "forayhall migrate") {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
	must(t, "", "migrate", "--data", t.TempDir(), "--database", url)
	must(t, "", add...)
}

func TestAnEmbeddedDatabaseIsCopiedBeforeItIsMigrated(t *testing.T) {
	dir := t.TempDir()
	at := []string{"--data", dir}
	begin(t, at)
	s, err := store.Open(context.Background(), store.Config{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(dir, "copy", store.FileName)
	if err := os.Mkdir(filepath.Dir(copied), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := s.CopyTo(context.Background(), copied); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	must(t, "", "export", "--event", "HB24", "--as", "list-csv", "--out", "-", "--data", filepath.Dir(copied))
}

func TestHealthAsksTheServer(t *testing.T) {
	status := http.StatusOK
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/readyz" {
			t.Errorf("asked for %s", r.URL.Path)
		}
		w.WriteHeader(status)
	}))
	defer server.Close()
	must(t, "", "health", "--url", server.URL+"/")
	status = http.StatusServiceUnavailable
	if c := call(t, "", "health", "--url", server.URL); c.code != exitFailed || !strings.Contains(c.err, "503") {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
}

func TestTheUsersOwnFolderIsTakenWithoutData(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_DATA_HOME", home)
	t.Setenv("FORAYHALL_DATABASE", "")
	must(t, "", "society", "add", "hollinbeck", "Hollinbeck Fungus Society")
	if _, err := os.Stat(filepath.Join(home, "forayhall", store.FileName)); err != nil {
		t.Error(err)
	}
	here, err := os.ReadDir(".")
	if err != nil || slices.ContainsFunc(here, func(e os.DirEntry) bool { return strings.HasSuffix(e.Name(), ".db") }) {
		t.Errorf("something stands in the checkout: %v", err)
	}
}
