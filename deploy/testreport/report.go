package main

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
)

// event is one line of "go test -json"; see "go doc test2json".
type event struct {
	Action     string
	Package    string
	ImportPath string // of a build
	Test       string
	Output     string
	Elapsed    float64
}

type report struct {
	agreed  []string
	to      io.Writer
	output  map[string][]string // by test or package, kept until it ends
	failing map[string]bool     // packages with a failed test
	passed  []string
	skipped []string // test, tab, reason
	failed  int
	took    []taken
}

// taken is what a test as a whole took, with the tests within it.
type taken struct {
	test    string
	seconds float64
}

// longest is how many of them are listed, and aLongTime what one must have taken, in seconds.
const longest, aLongTime = 12, 8

// read takes events until the end; a line that is none is passed on, for it is go's own complaint.
func read(from io.Reader, to io.Writer, agreed []string) (*report, error) {
	r := &report{agreed: agreed, to: to, output: map[string][]string{}, failing: map[string]bool{}}
	lines := bufio.NewScanner(from)
	lines.Buffer(nil, 16<<20)
	seen := 0
	for lines.Scan() {
		var e event
		if err := json.Unmarshal(lines.Bytes(), &e); err != nil {
			fmt.Fprintln(to, lines.Text())
			continue
		}
		seen++
		r.take(e)
	}
	if seen == 0 {
		r.failed++
		fmt.Fprintln(to, "go test said nothing")
	}
	r.sayLongest()
	return r, lines.Err()
}

func (r *report) sayLongest() {
	slices.SortStableFunc(r.took, func(a, b taken) int { return cmp.Compare(b.seconds, a.seconds) })
	for i, t := range r.took {
		if i == longest || t.seconds < aLongTime {
			return
		}
		fmt.Fprintf(r.to, "took  %7.1fs %s\n", t.seconds, t.test)
	}
}

func (r *report) take(e event) {
	name := e.Package
	if e.Test != "" {
		name += "." + e.Test
	}
	switch e.Action {
	case "build-output":
		fmt.Fprint(r.to, e.Output)
	case "output":
		r.output[name] = append(r.output[name], e.Output)
		if isMeasured(e) {
			r.passed = append(r.passed, name)
		}
	case "pass", "fail", "skip":
		r.end(e, name)
		delete(r.output, name)
	}
}

// isMeasured tells that a benchmark ran to its end; go test has no event of its own for that.
func isMeasured(e event) bool {
	return strings.HasPrefix(e.Test, "Benchmark") && strings.Contains(e.Output, " ns/op")
}

func (r *report) end(e event, name string) {
	if e.Test != "" && !strings.Contains(e.Test, "/") {
		r.took = append(r.took, taken{name, e.Elapsed})
	}
	switch {
	case e.Test == "":
		r.endPackage(e)
	case e.Action == "pass":
		r.passed = append(r.passed, name)
	case e.Action == "skip":
		r.skip(e.Package, name)
	default:
		r.fail(e.Package, "FAIL "+name, r.output[name])
	}
}

func (r *report) fail(room, title string, output []string) {
	r.failed++
	r.failing[room] = true
	fmt.Fprintf(r.to, "%s\n%s", title, strings.Join(output, ""))
}

// endPackage counts a package's failure only when none of its tests explains it: a build that fails, a panic, an exit.
func (r *report) endPackage(e event) {
	if e.Action == "fail" && !r.failing[e.Package] {
		r.fail(e.Package, "FAIL "+e.Package, r.output[e.Package])
	}
	if e.Action != "skip" { // a package without tests
		fmt.Fprintf(r.to, "%-5s %7.1fs %s\n", e.Action, e.Elapsed, e.Package)
	}
}

func (r *report) skip(room, name string) {
	reason := r.reason(name)
	r.skipped = append(r.skipped, name+"\t"+reason)
	if !slices.Contains(r.agreed, reason) {
		r.fail(room, fmt.Sprintf("SKIP %s for a reason nobody agreed to: %q", name, reason), nil)
	}
}

// logged is a line that a test logs, such as "    hazard_test.go:12: FORAYHALL_REFERENCE is not set".
var logged = regexp.MustCompile(`^\s+[\w.-]+\.go:\d+: (.*)$`)

// reason is what the test logged last.
func (r *report) reason(name string) string {
	for _, line := range slices.Backward(r.output[name]) {
		if m := logged.FindStringSubmatch(strings.TrimRight(line, "\n")); m != nil {
			return m[1]
		}
	}
	return ""
}
