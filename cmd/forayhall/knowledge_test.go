package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// reference reads one column of a reference table and gives it the heading that every command reads.
func reference(t *testing.T, file, column string) (input string, list []map[string]string) {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	data, err := os.ReadFile(filepath.Join(folder, file))
	if err != nil {
		t.Fatal(err)
	}
	list = rows(t, string(data))
	var b strings.Builder
	w := csv.NewWriter(&b)
	lines := [][]string{{"name"}}
	for _, row := range list {
		lines = append(lines, []string{row[column]})
	}
	if err := w.WriteAll(lines); err != nil {
		t.Fatal(err)
	}
	return b.String(), list
}

// Of the 72 misspellings at least 70 find the name meant in the reference checklist, and none is taken for another.
func TestMisspellingsFindTheNameMeantInAChecklist(t *testing.T) {
	input, want := reference(t, "names/misspelled.csv", "typed")
	list := filepath.Join(os.Getenv("FORAYHALL_REFERENCE"), "names", "fungi_medium.csv")
	got := rows(t, must(t, input, "names", "match", "--checklist", list).out)
	intended, _ := reference(t, "names/misspelled.csv", "intended")
	meant := rows(t, must(t, intended, "names", "match", "--checklist", list).out)
	right := 0
	for i, row := range got {
		switch {
		case row["name"] != want[i]["typed"]:
			t.Fatalf("row %d is %q, want %q", i, row["name"], want[i]["typed"])
		case row["accepted"] == meant[i]["accepted"] && row["accepted"] != "":
			right++
		case row["matched"] != "" && row["how"] != "genus only":
			t.Errorf("%s is taken for %s", row["name"], row["matched"])
		}
	}
	t.Logf("%d of %d", right, len(got))
	if right < 70 {
		t.Errorf("%d of %d find the name meant", right, len(got))
	}
}

func TestNamesMatchAnswersEachRowInOrder(t *testing.T) {
	got := rows(t, must(t, "note,name,rank\n"+
		"a,Boletus badius,x\nb,Amanita phaloides,\nc,Inventaria nova,\nd,Amanita inventata,\ne,A. fulva,\nf,,\n", "names", "match").out)
	for i, want := range []map[string]string{
		{"matched": "Boletus badius", "how": "same", "accepted": "Imleria badia", "family": "Boletaceae", "kingdom": "Fungi", "note": "a", "in_rank": "x"},
		{"matched": "Amanita phalloides", "how": "spelling", "accepted": "Amanita phalloides", "order": "Agaricales"},
		{"matched": "", "how": "nothing", "accepted": "", "candidates": "", "note": "c"},
		{"matched": "Amanita", "how": "genus only", "rank": "genus"},
		{"matched": "Amanita fulva", "how": "short"},
		{"name": "", "how": "nothing", "note": "f"},
	} {
		for column, cell := range want {
			if got[i][column] != cell {
				t.Errorf("row %d %s: %q, want %q", i, column, got[i][column], cell)
			}
		}
	}
	var all []map[string]any
	if err := json.Unmarshal([]byte(must(t, "name\nBoletus badius\n", "names", "match", "--json").out), &all); err != nil || all[0]["score"] != 1.0 {
		t.Errorf("%v %v", err, all)
	}
}

func TestAChecklistReplacesTheBuiltInNames(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	one := write("one.csv", "taxonID,scientificName,taxonRank,taxonomicStatus,acceptedNameUsageID,kingdom,order,family\n"+
		"1,Inventaria nova Kerr,species,accepted,,Fungi,Inventales,Inventariaceae\n"+
		"2,Agaricus novus Lund,species,synonym,1,,,\n3,Looseria lost,species,synonym,99,,,\n4,Fomes sp,species,accepted,,,,\n")
	two := write("two.csv", "scientificName,scientificNameAuthorship\nInventaria altera,Ly\nInventaria nova,Wrong\n")
	c := must(t, "name\nAgaricus novus\nInventaria altera\nAmanita muscaria\nInventaria nova\nLooseria lost\n", "names", "match", "--checklist", one, "--checklist", two)
	got := rows(t, c.out)
	for i, want := range []map[string]string{
		{"matched": "Agaricus novus", "author": "Lund", "accepted": "Inventaria nova", "accepted_author": "Kerr", "family": "Inventariaceae", "order": "Inventales", "kingdom": "Fungi"},
		{"matched": "Inventaria altera", "author": "Ly", "family": "Inventariaceae"},
		{"matched": "", "how": "nothing"},
		{"matched": "Inventaria nova", "author": "Kerr"}, // the file given first decides
		{"matched": "", "how": "nothing"},
	} {
		for column, cell := range want {
			if got[i][column] != cell {
				t.Errorf("row %d %s: %q, want %q", i, column, got[i][column], cell)
			}
		}
	}
	if !strings.Contains(c.err, "2 rows of the checklists could not be used") {
		t.Error(c.err)
	}
	if c := call(t, "name\nx\n", "names", "match", "--checklist", write("bad.csv", "a,b\n1,2\n")); c.code != exitWrong || !strings.Contains(c.err, "scientificName") {
		t.Errorf("exit %d, %s", c.code, c.err)
	}
}

// Would catch a hazardous name of the published list that answers "no entry", also by its former names.
func TestEveryNameOfTheReferenceHazardsHasAnEntry(t *testing.T) {
	input, want := reference(t, "hazards/hazards.csv", "taxon")
	got := rows(t, must(t, input, "hazards").out)
	by := map[string][]map[string]string{}
	for _, row := range got {
		by[row["name"]] = append(by[row["name"]], row)
	}
	for _, w := range want {
		found := by[w["taxon"]]
		if len(found) == 0 || found[0]["via"] == "no entry" || found[0]["severity"] == "" || found[0]["entry"] == "" || found[0]["source"] == "" {
			t.Errorf("%s: %v", w["taxon"], found)
		}
		for i := 1; i < len(found); i++ {
			if found[i]["severity"] > found[i-1]["severity"] {
				t.Errorf("%s: severity %s stands after %s", w["taxon"], found[i]["severity"], found[i-1]["severity"])
			}
		}
	}
}

func TestHazardsNeverSpeakOfSafety(t *testing.T) {
	c := must(t, "name\nInventaria nova\nBoletus edulis\nAmanita ocreatta\nGalerina\n", "hazards", "--region", "Australasia")
	got := rows(t, c.out)
	if got[0]["via"] != "no entry" || got[0]["severity"] != "" || strings.Contains(strings.ToLower(c.out), "safe") {
		t.Errorf("%v", got[0])
	}
	via := map[string]string{}
	for _, row := range got {
		if via[row["name"]] == "" {
			via[row["name"]] = row["via"] + " " + row["severity"] + " " + row["out_of_region"]
		}
	}
	if via["Amanita ocreatta"] != "spelling 5 yes" || !strings.HasPrefix(via["Galerina"], "genus 5") {
		t.Errorf("%v", via)
	}
}

func TestLookalikesAnswerFromBothSides(t *testing.T) {
	got := rows(t, must(t, "name\nCantharellus cibarius\nInventaria nova\nAmanita phalloides\n", "lookalikes").out)
	roles := map[string]string{}
	for _, row := range got {
		roles[row["name"]] = row["role"]
		if row["role"] != "" && (row["other"] == "" || row["severity"] == "" || row["differences"] == "" || row["source"] == "") {
			t.Errorf("a pair is not whole: %v", row)
		}
	}
	if roles["Cantharellus cibarius"] != "gathered" || roles["Amanita phalloides"] != "poisonous" || roles["Inventaria nova"] != "" {
		t.Errorf("%v", roles)
	}
}

func TestAWrongTableNamesRowAndColumnAndWritesNothing(t *testing.T) {
	for text, says := range map[string]string{"taxon\nAmanita\n": `"name"`, "name,x\na,b,c\n": "line 2", "": "nothing in it"} {
		if c := call(t, text, "hazards"); c.code != exitWrong || c.out != "" || !strings.Contains(c.err, says) {
			t.Errorf("%q: exit %d, output %q, %s", text, c.code, c.out, c.err)
		}
	}
}
