package house

import (
	"bufio"
	"bytes"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// topLevel is what stands beside dot-files at the top of the repository.
var topLevel = []string{"DEVELOPERS.md", "LICENSE", "README.md", "cmd", "deploy", "docker-compose.yml", "go.mod", "go.sum", "internal", "migrations",
	"seed", "web"}

func TestTop_level_holds_only_what_the_plan_names(t *testing.T) {
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	ignored, err := ignoredAtTop()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(topLevel, e.Name()) && !slices.Contains(ignored, e.Name()) {
			t.Errorf("%s stands at the top level", e.Name())
		}
	}
}

// ignoredAtTop are what builds leave there and .gitignore keeps out: its lines that begin with a slash.
func ignoredAtTop() (names []string, err error) {
	text, err := os.ReadFile(filepath.Join(root, ".gitignore"))
	for line := range strings.Lines(string(text)) {
		if name, ok := strings.CutPrefix(strings.TrimSpace(line), "/"); ok {
			names = append(names, strings.TrimSuffix(name, "/"))
		}
	}
	return names, err
}

// longest is where a file has long outgrown its room; most should stay under 300 lines.
const longest = 800

func TestGo_files_stay_short(t *testing.T) {
	for _, s := range tree(t) {
		if n := lines(s.text); n > longest && !s.isGenerated() {
			t.Errorf("%s has %d lines", s.name, n)
		}
	}
}

// unfinished is written so that it does not find itself.
var unfinished = regexp.MustCompile(`\b(TO` + `DO|FIX` + `ME|X` + `XX)\b`)

var written = []string{".conf", ".css", ".go", ".html", ".md", ".mjs", ".service", ".sh", ".sql", ".templ", ".ts",
	".txt", ".yml"}

func TestNothing_is_left_for_later(t *testing.T) {
	err := walk(func(name string) error {
		if strings.HasPrefix(name, "web/static/") || !slices.Contains(written, path.Ext(name)) && path.Base(name) != "Dockerfile" {
			return nil
		}
		text, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			return err
		}
		for i, line := range bytes.Split(text, []byte("\n")) {
			if found := unfinished.Find(line); found != nil {
				t.Errorf("%s:%d says %s", name, i+1, found)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestPackages_say_why_they_exist(t *testing.T) {
	told := map[string]bool{}
	for _, s := range tree(t) {
		if s.isTest() {
			continue
		}
		told[s.room()] = told[s.room()] || s.syntax.Doc != nil && !s.isGenerated()
	}
	for room, ok := range told {
		if !ok {
			t.Errorf("%s has no package comment", room)
		}
	}
}

func TestScripts_stop_at_the_first_error(t *testing.T) {
	err := walk(func(name string) error {
		if path.Ext(name) != ".sh" && name != ".ci/run" {
			return nil
		}
		file, err := os.Open(filepath.Join(root, name))
		if err != nil {
			return err
		}
		defer file.Close()
		for script := bufio.NewScanner(file); script.Scan(); {
			if script.Text() == "set -euo pipefail" {
				return nil
			}
		}
		t.Errorf("%s does not say set -euo pipefail", name)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
