// Command testreport reads what "go test -json" prints and says what matters: each package as it ends, every failure
// with its output, which tests took longest, and every test that was skipped for a reason nobody agreed to, which counts as a failure. It must
// never let a run pass of which it understood too little.
//
//	go test -json ./... | testreport -out DIR -part NAME [-skip REASON ...]
//
// Into DIR it appends to the files counts (part, passed, failed), passed (one test a line) and skipped (test, tab,
// reason), from which deploy/test.sh makes the summary of all parts.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

func main() {
	var agreed reasons
	out := flag.String("out", "", "`folder` for counts, passed and skipped")
	part := flag.String("part", "", "`name` of this part of the run")
	flag.Var(&agreed, "skip", "a `reason` to skip a test that is agreed to; may be repeated")
	flag.Parse()
	r, err := read(os.Stdin, os.Stdout, agreed)
	if err == nil {
		err = r.write(*out, *part)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "testreport:", err)
		os.Exit(1)
	}
	if r.failed > 0 {
		os.Exit(1)
	}
}

type reasons []string

func (r *reasons) String() string     { return strings.Join(*r, ", ") }
func (r *reasons) Set(s string) error { *r = append(*r, s); return nil }

func (r *report) write(dir, part string) error {
	for name, text := range map[string]string{
		"counts":  fmt.Sprintf("%s %d %d\n", part, len(r.passed), r.failed),
		"passed":  joined(r.passed),
		"skipped": joined(r.skipped),
	} {
		if err := appendTo(filepath.Join(dir, name), text); err != nil {
			return err
		}
	}
	return nil
}

func joined(lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	return strings.Join(lines, "\n") + "\n"
}

func appendTo(name, text string) error {
	file, err := os.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	if _, err := io.WriteString(file, text); err != nil {
		file.Close()
		return err
	}
	return file.Close()
}
