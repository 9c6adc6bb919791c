package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Would catch an archive that goes out without a licence, one that the command does not know from a table, and records that
// change on their way to another event.
func TestAnArchiveGoesOutWithALicenceAndComesIn(t *testing.T) {
	eachPlace(t, func(t *testing.T, at []string) {
		must(t, "", append([]string{"import", "collections", recorderFile, "--event", "HB24"}, at...)...)
		file := filepath.Join(t.TempDir(), "hb24.zip")
		out := append([]string{"export", "--event", "HB24", "--as", "dwca", "--out", file}, at...)
		if c := call(t, "", out...); c.code != exitFailed || !strings.Contains(c.err, "--licence") {
			t.Errorf("without a licence: exit %d, %s", c.code, c.err)
		}
		if _, err := os.Stat(file); err == nil {
			t.Error("what was refused left a file")
		}
		if c := call(t, "", append(out, "--licence", "mine")...); c.code != exitWrong || !strings.Contains(c.err, "CC-BY-NC-4.0") {
			t.Errorf("a licence that is none: exit %d, %s", c.code, c.err)
		}
		if c := must(t, "", append(out, "--licence", "CC0-1.0")...); !strings.Contains(c.err, "146 records were written under CC0-1.0") || !strings.Contains(c.err, "draft, not final") {
			t.Error(c.err)
		}
		said := must(t, "", append([]string{"society", "publisher", "--licence", "CC-BY-4.0", "--contact", "Recorder"}, at...)...)
		if !strings.Contains(said.out, `"licence": "CC-BY-4.0"`) {
			t.Error(said.out)
		}
		must(t, "", append([]string{"society", "publisher", "--mail", "records@hollinbeck.example"}, at...)...)
		if shown := must(t, "", append([]string{"society", "publisher"}, at...)...); !strings.Contains(shown.out, "CC-BY-4.0") || !strings.Contains(shown.out, "Recorder") || !strings.Contains(shown.out, "records@") {
			t.Errorf("what was said before is gone: %s", shown.out)
		}
		must(t, "", out...)
		before := must(t, "", append([]string{"export", "--event", "HB24", "--as", "records-csv", "--out", "-"}, at...)...)
		must(t, "", append([]string{"society", "add", "skelder", "Skelder Moss Naturalists"}, at...)...)
		must(t, "", append([]string{"event", "add", "--society", "skelder", "--code", "HB24", "--name", "Autumn foray", "--from", "2024-10-12", "--to", "2024-10-13", "--zone", "Europe/London", "--region", "EU"}, at...)...)
		there := append([]string{"--society", "skelder"}, at...)
		if c := must(t, "", append([]string{"import", "collections", file, "--event", "HB24"}, there...)...); !strings.Contains(c.err, "146 rows were taken into HB24") {
			t.Error(c.err)
		}
		must(t, "", append([]string{"society", "publisher", "--licence", "CC-BY-4.0", "--publisher", "Hollinbeck Fungus Society"}, there...)...)
		after := must(t, "", append([]string{"export", "--event", "HB24", "--as", "records-csv", "--out", "-"}, there...)...)
		sameRecords(t, rows(t, before.out), rows(t, after.out))
		geo := must(t, "", append([]string{"export", "--event", "HB24", "--as", "geojson", "--out", "-"}, there...)...)
		var made struct{ Features []json.RawMessage }
		if err := json.Unmarshal([]byte(geo.out), &made); err != nil || len(made.Features) != len(rows(t, after.out)) {
			t.Errorf("%d features of %d records, %v", len(made.Features), len(rows(t, after.out)), err)
		}
		must(t, "", append([]string{"check"}, at...)...)
	})
}

func sameRecords(t *testing.T, before, after []map[string]string) {
	t.Helper()
	if len(before) != len(after) {
		t.Fatalf("%d records, then %d", len(before), len(after))
	}
	for i, row := range before {
		for term, value := range row {
			if value != after[i][term] && term != "eventID" && term != "datasetID" {
				t.Errorf("%s %s: %q, then %q", row["recordNumber"], term, value, after[i][term])
			}
		}
	}
}
