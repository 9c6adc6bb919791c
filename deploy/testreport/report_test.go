package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const unset = "FORAYHALL_REFERENCE is not set"

func TestRead(t *testing.T) {
	for name, c := range map[string]struct {
		events  string
		passed  []string
		failed  int
		skipped []string
		says    string
	}{
		"a passed test is counted by its package and name": {
			events: `{"Action":"pass","Package":"p","Test":"TestA"}
{"Action":"pass","Package":"p"}`,
			passed: []string{"p.TestA"}, says: "pass",
		},
		"what takes long is told as a whole": {
			events: `{"Action":"pass","Package":"p","Test":"TestA/sub","Elapsed":41}
{"Action":"pass","Package":"p","Test":"TestA","Elapsed":42.5}
{"Action":"pass","Package":"p"}`,
			passed: []string{"p.TestA/sub", "p.TestA"}, says: "took     42.5s p.TestA\n",
		},
		"a failed test shows its output, and its package is not counted again": {
			events: `{"Action":"output","Package":"p","Test":"TestA","Output":"    a_test.go:1: wrong\n"}
{"Action":"fail","Package":"p","Test":"TestA"}
{"Action":"fail","Package":"p"}`,
			failed: 1, says: "wrong",
		},
		"a package that fails without a failed test is a failure": {
			events: `{"Action":"output","Package":"p","Output":"panic: no\n"}
{"Action":"fail","Package":"p"}`,
			failed: 1, says: "panic: no",
		},
		"a build that fails is a failure and shows why": {
			events: `{"ImportPath":"p","Action":"build-output","Output":"p.go:1:1: undefined: x\n"}
{"ImportPath":"p","Action":"build-fail"}
{"Action":"fail","Package":"p"}`,
			failed: 1, says: "undefined: x",
		},
		"a test skipped for an agreed reason is told and no failure": {
			events: `{"Action":"output","Package":"p","Test":"TestA","Output":"    a_test.go:1: ` + unset + `\n"}
{"Action":"output","Package":"p","Test":"TestA","Output":"--- SKIP: TestA (0.00s)\n"}
{"Action":"skip","Package":"p","Test":"TestA"}`,
			skipped: []string{"p.TestA\t" + unset},
		},
		"a test skipped for another reason is a failure": {
			events: `{"Action":"output","Package":"p","Test":"TestA","Output":"    a_test.go:1: not today\n"}
{"Action":"skip","Package":"p","Test":"TestA"}`,
			failed: 1, skipped: []string{"p.TestA\tnot today"}, says: "not today",
		},
		"a test skipped without a reason is a failure": {
			events: `{"Action":"skip","Package":"p","Test":"TestA"}`,
			failed: 1, skipped: []string{"p.TestA\t"},
		},
		"a package without tests is neither":       {events: `{"Action":"skip","Package":"p"}`},
		"a benchmark that ran is counted":          {events: `{"Action":"output","Package":"p","Test":"BenchmarkA","Output":"BenchmarkA-2   \\t 1\\t 601.0 ns/op\\n"}`, passed: []string{"p.BenchmarkA"}},
		"what is not JSON is passed on, and fails": {events: "go: no such module", failed: 1, says: "no such module"},
		"silence is a failure":                     {events: "", failed: 1},
	} {
		t.Run(name, func(t *testing.T) {
			var said strings.Builder
			r, err := read(strings.NewReader(c.events), &said, []string{unset})
			if err != nil {
				t.Fatal(err)
			}
			if !slices.Equal(r.passed, c.passed) || r.failed != c.failed || !slices.Equal(r.skipped, c.skipped) {
				t.Errorf("passed %q, failed %d, skipped %q", r.passed, r.failed, r.skipped)
			}
			if !strings.Contains(said.String(), c.says) {
				t.Errorf("said %q", said.String())
			}
		})
	}
}

func TestWrite_adds_to_what_earlier_parts_wrote(t *testing.T) {
	dir := t.TempDir()
	for _, part := range []string{"tests", "race"} {
		r := &report{passed: []string{"p.TestA"}, failed: 2}
		if err := r.write(dir, part); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(filepath.Join(dir, "counts"))
	if err != nil {
		t.Fatal(err)
	}
	if want := "tests 1 2\nrace 1 2\n"; string(got) != want {
		t.Errorf("counts %q, want %q", got, want)
	}
}
