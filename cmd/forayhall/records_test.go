package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const recorderFile = "../../internal/archive/testdata/recorder.csv"

func TestARecordersSpreadsheetGoesInAndComesOut(t *testing.T) {
	eachPlace(t, func(t *testing.T, at []string) {
		bring := append([]string{"import", "collections", recorderFile, "--event", "HB24"}, at...)
		if c := must(t, "", append(bring, "--dry-run")...); !strings.Contains(c.err, "146 rows would be taken") {
			t.Error(c.err)
		}
		c := must(t, "", bring...)
		refused := rows(t, c.out)
		if len(refused) != 4 || refused[0]["line"] != "60" || refused[1]["column"] != "Date found" || refused[1]["value"] != "31/09/2024" || refused[3]["reason"] == "" {
			t.Errorf("refused: %v", refused)
		}
		if !strings.Contains(c.err, "146 rows were taken into HB24") {
			t.Error(c.err)
		}
		checkListCSV(t, at)
		checkRecordsCSV(t, at)
		before := must(t, "", append([]string{"export", "--event", "HB24", "--as", "records-csv", "--out", "-"}, at...)...)
		again := must(t, "", append(bring, "--json")...)
		var out struct {
			Taken   int
			Refused []struct{ Line int }
			Notes   []string
		}
		if err := json.Unmarshal([]byte(again.out), &out); err != nil || out.Taken != 0 || len(out.Refused) != 4 || len(out.Notes) == 0 {
			t.Errorf("brought again: %v %s", err, again.out)
		}
		if after := must(t, "", append([]string{"export", "--event", "HB24", "--as", "records-csv", "--out", "-"}, at...)...); after.out != before.out {
			t.Error("bringing it again changed the records")
		}
	})
}

func checkListCSV(t *testing.T, at []string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "list.csv")
	c := must(t, "", append([]string{"export", "--event", "hb24", "--as", "list-csv", "--out", file}, at...)...)
	if !strings.Contains(c.err, "draft, not final") || c.out != "" {
		t.Errorf("a list that nobody signed is called %q, output %q", c.err, c.out)
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	lines := map[string]map[string]string{}
	for _, row := range rows(t, string(data)) {
		if row["apart"] == "" {
			lines[row["current_name"]] = row
		}
	}
	for name, want := range map[string]string{
		"Imleria badia": "Boletus badius 0017; 0128; 0157 yes", "Apioperdon pyriforme": "Lycoperdon pyriforme 0077; 0148 yes",
		"Collybia nuda": "Lepista nuda 0013; 0136 yes", "Fomitopsis betulina": "Piptoporus betulinus 0036 yes",
		"Mucidula mucida": "Oudemansiella mucida 0034 yes", "Rhodocollybia butyracea": "Collybia butyracea 0050; 0135 yes",
		"Xerocomellus chrysenteron": "Boletus chrysenteron 0087; 0170 yes", "Amanita muscaria": " 0018; 0166 yes",
		"Amanita fulva": " 0053; 0076 yes", "Amanita phalloides": " 0027; 0090; 0140 yes", "Galerina": " 0071; 0167 no",
		"Cortinarius": " 0044; 0079; 0108 no", "Fuligo septica": " 0161 yes",
	} {
		l := lines[name]
		if got := l["determined_as"] + " " + l["numbers"] + " " + l["counts"]; got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

func checkRecordsCSV(t *testing.T, at []string) {
	t.Helper()
	out := must(t, "", append([]string{"export", "--event", "HB24", "--as", "records-csv", "--out", "-"}, at...)...)
	all := rows(t, out.out)
	if len(all) != 146 {
		t.Errorf("%d records", len(all))
	}
	for _, r := range all {
		if r["recordNumber"] == "HB24 0018" && (r["scientificName"] != "Amanita muscaria" || r["verbatimIdentification"] != "Amanita muscara" || r["identifiedBy"] != "M. Pugh") {
			t.Errorf("%v", r)
		}
	}
}

func TestAnImportThatCannotGoAheadWritesNothing(t *testing.T) {
	eachPlace(t, func(t *testing.T, at []string) {
		bring := append([]string{"import", "collections", "--event", "HB24"}, at...)
		for _, c := range []struct {
			what, text, says string
			more             []string
		}{
			{"no column for the number", "name\nAmanita citrina\n", `no column "number"`, nil},
			{"a quotation mark that stays open", "number,name\n1,\"Amanita citrina\n", "Line 2", nil},
			{"one bad row where all are wanted", "number,name\n1,Amanita citrina\nx,Amanita rubescens\n", "Nothing was brought in", []string{"--all-or-nothing"}},
			{"an event that is not there", "number,name\n1,Amanita citrina\n", "XX9", []string{"--event", "XX9"}},
		} {
			if got := call(t, c.text, append(bring, c.more...)...); got.code != exitWrong || !strings.Contains(got.err, c.says) {
				t.Errorf("%s: exit %d, %s", c.what, got.code, got.err)
			}
		}
		records := must(t, "", append([]string{"export", "--event", "HB24", "--as", "records-csv", "--out", "-"}, at...)...)
		if got := rows(t, records.out); len(got) != 0 {
			t.Errorf("%d records are there", len(got))
		}
	})
}

func TestAFileIsWrittenWholeOrNotAtAll(t *testing.T) {
	at := []string{"--data", t.TempDir()}
	begin(t, at)
	dir := t.TempDir()
	kept := filepath.Join(dir, "list.csv")
	if err := os.WriteFile(kept, []byte("what was there"), 0o600); err != nil {
		t.Fatal(err)
	}
	if c := call(t, "", append([]string{"export", "--event", "HB24", "--as", "list-csv", "--version", "7", "--out", kept}, at...)...); c.code != exitWrong {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
	if c := call(t, "", append([]string{"export", "--event", "HB24", "--as", "list-csv", "--out", filepath.Join(dir, "no", "list.csv")}, at...)...); c.code != exitWrong {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
	data, err := os.ReadFile(kept)
	left, err2 := os.ReadDir(dir)
	if string(data) != "what was there" || len(left) != 1 || err != nil || err2 != nil {
		t.Errorf("%q, %v", data, left)
	}
}

// Would catch a cell that a spreadsheet runs as a formula in the list, and one that is changed in the records.
func TestFormulasAreEscapedInListsAndRawInRecords(t *testing.T) {
	at := []string{"--data", t.TempDir()}
	begin(t, at)
	must(t, "number,name,det,notes\n1,=Amanita nova,=A. Kerr,=1+1\n", append([]string{"import", "collections", "--event", "HB24"}, at...)...)
	list := must(t, "", append([]string{"export", "--event", "HB24", "--as", "list-csv", "--out", "-"}, at...)...)
	if strings.Contains(list.out, ",=") || !strings.Contains(list.out, "'=A. Kerr") {
		t.Errorf("the list: %s", list.out)
	}
	records := rows(t, must(t, "", append([]string{"export", "--event", "HB24", "--as", "records-csv", "--out", "-"}, at...)...).out)
	if records[0]["occurrenceRemarks"] != "=1+1" || records[0]["verbatimIdentification"] != "=Amanita nova" {
		t.Errorf("the records: %v", records[0])
	}
}
