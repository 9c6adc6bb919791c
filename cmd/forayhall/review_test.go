package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestNamesReviewAnswersEachRowInOrder(t *testing.T) {
	got := rows(t, must(t, "part,scientific_name,common_name\n"+
		"1,Cortinarius sanguineus,Blood-red Cort\n2,Boletus edulis,King Bolete\n3,Gliophorus psittacinus,Parrot Hygrocybe\n"+
		"4,Armillaria mellea,Mock Amanita\n5,,\n6,Inventaria nova,New Inventaria\n", "names", "review").out)
	for i, want := range []map[string]string{
		{"common_name": "Blood-red Cort", "borrows": "yes", "part": "Cort", "genus": "Cortinarius", "relation": "current", "in_part": "1"},
		{"common_name": "King Bolete", "borrows": "no", "part": "", "genus": "", "relation": "", "in_part": "2"},
		{"scientific_name": "Gliophorus psittacinus", "borrows": "yes", "part": "Hygrocybe", "relation": "former"},
		{"borrows": "yes", "part": "Amanita", "genus": "Amanita", "relation": "unrelated"},
		{"common_name": "", "borrows": "no", "relation": ""},
		{"borrows": "yes", "part": "Inventaria", "relation": "current"},
	} {
		for column, cell := range want {
			if got[i][column] != cell {
				t.Errorf("row %d %s: %q, want %q", i, column, got[i][column], cell)
			}
		}
	}
	if c := call(t, "common_name\nx\n", "names", "review"); c.code != exitWrong || !strings.Contains(c.err, "scientific_name") {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
}

// Would catch a checklist that replaces the built-in names, one that is outvoted by them, and one that stops the command
// because the two classify differently.
func TestAChecklistIsAddedForTheReview(t *testing.T) {
	list := filepath.Join(t.TempDir(), "list.csv")
	text := "taxonID,scientificName,taxonRank,taxonomicStatus,acceptedNameUsageID,family\n" +
		"1,Inventaria nova,species,accepted,,Inventariaceae\n2,Looseria nova,species,synonym,1,\n" +
		"3,Inventaria mellea,species,accepted,,Inventariaceae\n4,Armillaria mellea,species,synonym,3,\n" +
		"5,Amanitaceae,family,synonym,6,\n6,Inventariaceae,family,accepted,,\n"
	if err := os.WriteFile(list, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	got := rows(t, must(t, "common_name,scientific_name\nOld Looseria,Inventaria nova\nHoney Armillaria,Armillaria mellea\n"+
		"Armillariella of Honey,Inventaria mellea\nBlood-red Cort,Cortinarius sanguineus\n", "names", "review", "--checklist", list).out)
	for i, relation := range []string{"former", "former", "former", "current"} {
		if got[i]["relation"] != relation {
			t.Errorf("%s: %q, want %q", got[i]["common_name"], got[i]["relation"], relation)
		}
	}
}

// At least 97 in 100 of the marked names are found with the right relation, and at most one is marked that should not be.
func TestBorrowedNamesOfTheReferenceAreFound(t *testing.T) {
	_, want := reference(t, "flux/names_in_flux.csv", "common_name")
	for _, column := range []string{"current_name", "former_name"} {
		var b strings.Builder
		b.WriteString("common_name,scientific_name\n")
		for _, row := range want {
			b.WriteString(row["common_name"] + "," + row[column] + "\n")
		}
		marked, found, alarms := 0, 0, 0
		for i, row := range rows(t, must(t, b.String(), "names", "review").out) {
			switch {
			case want[i]["contains_scientific_name"] == "no":
				if row["borrows"] != "no" {
					alarms++
				}
			case row["borrows"] == "yes" && row["relation"] == want[i]["relation_to_current"] && row["genus"] == want[i]["token_genus"]:
				marked, found = marked+1, found+1
			default:
				marked++
				t.Logf("%s: %+v", row["scientific_name"], row)
			}
		}
		t.Logf("%s: %d of %d, %d false alarms", column, found, marked, alarms)
		if marked == 0 || found*100 < marked*97 || alarms > 1 {
			t.Errorf("by the %s %d of %d are found, with %d false alarms", column, found, marked, alarms)
		}
	}
}
