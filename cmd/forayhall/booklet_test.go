package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Would catch a kind that is not written, a version that is not there and taken for another, and a letter about nothing.
func TestTheListIsExportedOnPapers(t *testing.T) {
	at := []string{"--data", t.TempDir()}
	begin(t, at)
	file := filepath.Join(t.TempDir(), "paper")
	export := func(kind string, more ...string) called {
		return call(t, "", append(append([]string{"export", "--event", "HB24", "--out", file, "--as", kind}, more...), at...)...)
	}
	for kind, begins := range map[string]string{"list-xlsx": "PK", "list-pdf": "%PDF-", "newsletter": "AUTUMN FORAY (HB24)"} {
		got := export(kind, "--size", "Letter", "--public", "https://hall.example.org")
		data, err := os.ReadFile(file)
		if got.code != exitDone || err != nil || !strings.HasPrefix(string(data), begins) || !strings.Contains(got.err, "HB24") {
			t.Errorf("%s: exit %d, %s, %.20q, %v", kind, got.code, got.err, data, err)
		}
		if got := export(kind, "--version", "3"); got.code != exitWrong || !strings.Contains(got.err, "3") {
			t.Errorf("%s of a version that is not there: exit %d, %s", kind, got.code, got.err)
		}
	}
	for _, kind := range []string{"letter-pdf", "letter-txt"} {
		if got := export(kind); got.code != exitWrong || !strings.Contains(got.err, "--site") {
			t.Errorf("%s without a site: exit %d, %s", kind, got.code, got.err)
		}
		if got := export(kind, "--site", "XX"); got.code != exitWrong || !strings.Contains(got.err, "XX") {
			t.Errorf("%s of no site: exit %d, %s", kind, got.code, got.err)
		}
	}
}
