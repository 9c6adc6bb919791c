package taxon_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"forayhall/internal/knowledge"
	"forayhall/internal/taxon"
	"forayhall/seed"
)

var builtIn = sync.OnceValues(func() (*taxon.Index, error) { return knowledge.ReadNames(seed.Files) })

func listed(t *testing.T) *taxon.Index {
	t.Helper()
	ix, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	return ix
}

// rowsOf reads a table as one map a row.
func rowsOf(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// The examples of testdata/borrowed.csv were written down before the rules. Would catch rules that fit one list only.
func TestBorrowedNamesAreFoundWithTheirRelation(t *testing.T) {
	ix := listed(t)
	for _, row := range rowsOf(t, "testdata/borrowed.csv") {
		got := ix.Borrows(row["common"], row["scientific"])
		if got.Part != row["part"] || got.Taxon != row["taxon"] || string(got.Relation) != row["relation"] {
			t.Errorf("%s of %s: %+v, want %q of %q, %q", row["common"], row["scientific"], got, row["part"], row["taxon"], row["relation"])
		}
	}
}

// Would catch a marked name that is missed, and an ordinary word that is accused.
func TestBorrowedNamesOfThePublishedList(t *testing.T) {
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	ix := listed(t)
	marked, found, alarms := 0, 0, 0
	for _, row := range rowsOf(t, filepath.Join(folder, "flux", "names_in_flux.csv")) {
		got := ix.Borrows(row["common_name"], row["current_name"])
		if row["contains_scientific_name"] == "no" {
			if got.Relation != taxon.BorrowsNothing {
				alarms++
				t.Logf("%s of %s is accused: %+v", row["common_name"], row["current_name"], got)
			}
			continue
		}
		marked++
		if got.Part == row["token"] && got.Taxon == row["token_genus"] && string(got.Relation) == row["relation_to_current"] {
			found++
		} else {
			t.Logf("%s of %s: %+v, want %s of %s", row["common_name"], row["current_name"], got, row["relation_to_current"], row["token_genus"])
		}
	}
	t.Logf("%d of %d marked names, %d false alarms", found, marked, alarms)
	if found*100 < marked*97 || alarms > 1 {
		t.Errorf("%d of %d marked names and %d false alarms; at least 97 in 100 and at most one are asked for", found, marked, alarms)
	}
}
