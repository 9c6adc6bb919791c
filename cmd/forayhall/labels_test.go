package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Would catch a range that is not the one asked for, labels without a block or a range, and a file that is no PDF.
func TestLabelsAndPacketsAreExported(t *testing.T) {
	at := []string{"--data", t.TempDir()}
	begin(t, at)
	file := filepath.Join(t.TempDir(), "labels.pdf")
	export := func(more ...string) called {
		return call(t, "", append(append([]string{"export", "--event", "HB24", "--out", file}, more...), at...)...)
	}
	if got := export("--as", "labels-pdf"); got.code != exitWrong || !strings.Contains(got.err, "No block") {
		t.Errorf("without a block: exit %d, %s", got.code, got.err)
	}
	if got := export("--as", "labels-pdf", "--from", "9", "--to", "8"); got.code != exitWrong {
		t.Errorf("backwards: exit %d, %s", got.code, got.err)
	}
	if got := export("--as", "packets-pdf"); got.code != exitWrong || !strings.Contains(got.err, "chose a voucher") {
		t.Errorf("packets of nothing: exit %d, %s", got.code, got.err)
	}
	if got := export("--as", "labels-pdf", "--from", "1", "--to", "30", "--size", "Letter"); got.code != 0 || !strings.Contains(got.err, `30 numbers on "Letter, 2 × 5, 4 × 2 in", pages: 6`) {
		t.Errorf("exit %d, %s", got.code, got.err)
	}
	if pdf, err := os.ReadFile(file); err != nil || !strings.HasPrefix(string(pdf), "%PDF-") {
		t.Errorf("written was %.20q, %v", pdf, err)
	}
}
