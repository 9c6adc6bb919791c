package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestAListOfNamesIsImported: whole, with its refused rows and why; once; and a file that is none is refused.
func TestAListOfNamesIsImported(t *testing.T) {
	dir := t.TempDir()
	data, file := filepath.Join(dir, "data"), filepath.Join(dir, "own list.csv")
	list := "taxonID,scientificName,scientificNameAuthorship,taxonRank,taxonomicStatus,acceptedNameUsageID\n" +
		"1,Venenarius phalloides,Someone,species,accepted,\n2,Amanita phalloides,(Vaill. ex Fr.) Link,species,synonym,1\n3,?,,species,accepted,\n"
	if err := os.WriteFile(file, []byte(list), 0o600); err != nil {
		t.Fatal(err)
	}
	must(t, "", "migrate", "--data", data)
	out := must(t, "", "names", "import", file, "--data", data, "--json").out
	var got importedSummary
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err, out)
	}
	if got.Names < 1 || got.Synonyms != 1 || got.Rejected != 1 || len(got.Rows) != 1 || got.Rows[0].Row != 4 || got.Rows[0].Why == "" {
		t.Errorf("%+v", got)
	}
	if again := must(t, "", "names", "import", file, "--data", data).out; !strings.Contains(again, "rejected row,,own list.csv,4,") {
		t.Errorf("as a table: %s", again)
	}
	none := filepath.Join(dir, "none.zip")
	if err := os.WriteFile(none, []byte("PK no zip"), 0o600); err != nil {
		t.Fatal(err)
	}
	if c := call(t, "", "names", "import", none, "--data", data); c.code != exitWrong || !strings.Contains(c.err, "none.zip") {
		t.Errorf("what is no list: %d %s", c.code, c.err)
	}
}
