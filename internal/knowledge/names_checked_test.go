package knowledge

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/taxon"
	"forayhall/seed"
)

// remark is one thing in which another list and the names that ship differ.
type remark struct{ name, question, theirs, ours string }

// comparison holds the names that ship against a checklist and a list of names in flux.
type comparison struct {
	ix      *taxon.Index
	rows    []taxon.Row
	lists   [][]map[string]string // the checklist, the names in flux
	byName  map[string][]map[string]string
	inGenus map[string][]string // the checklist's epithets
	genera  []string
	found   map[remark]bool
}

// A name that ships agrees with the reference lists, or names_checked.csv says why it does not; a line there that
// nothing disagrees with any more has to go.
func TestTheNamesThatShipAgreeWithTheListsOrSayWhyNot(t *testing.T) {
	c := compare(t)
	explained := readRemarks(t)
	for r := range c.found {
		if !explained[r] {
			t.Errorf("%s: %s: theirs %q, ours %q, and names_checked.csv does not say why", r.name, r.question, r.theirs, r.ours)
		}
	}
	for r := range explained {
		if !c.found[r] {
			t.Errorf("names_checked.csv: %s: %s: theirs %q, ours %q: nothing disagrees any more", r.name, r.question, r.theirs, r.ours)
		}
	}
	t.Logf("%d disagreements", len(c.found))
}

// The file is checked without the reference lists too: its order, its questions, and that each line says why.
func TestEveryLineOfTheCheckSaysWhy(t *testing.T) {
	var names []string
	err := eachRow(seed.Files, "names_checked.csv", remarkColumns, func(line int, cell func(string) string) {
		names = append(names, cell("name"))
		if !slices.Contains([]string{"author", "spelling", "family", "accepted"}, cell("question")) {
			t.Errorf("line %d: unknown question %q", line, cell("question"))
		}
		if cell("why") == "" || cell("source") == "" {
			t.Errorf("line %d: %s: no reason or no source", line, cell("name"))
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.IsSorted(names) {
		t.Error("the lines are not sorted by name")
	}
}

var remarkColumns = []string{"name", "question", "theirs", "ours", "why", "source"}

func readRemarks(t *testing.T) map[remark]bool {
	t.Helper()
	remarks := map[remark]bool{}
	err := eachRow(seed.Files, "names_checked.csv", remarkColumns, func(_ int, cell func(string) string) {
		remarks[remark{cell("name"), cell("question"), cell("theirs"), cell("ours")}] = true
	})
	if err != nil {
		t.Fatal(err)
	}
	return remarks
}

func compare(t *testing.T) *comparison {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	ix, err := ReadNames(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := readNameRows(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	c := &comparison{ix: ix, rows: rows, byName: map[string][]map[string]string{}, inGenus: map[string][]string{}, found: map[remark]bool{}}
	c.lists = [][]map[string]string{
		readList(t, filepath.Join(folder, "names", "fungi_medium.csv")),
		readList(t, filepath.Join(folder, "flux", "names_in_flux.csv")),
	}
	c.index(c.lists[0])
	for _, row := range rows {
		c.againstChecklist(row)
	}
	for _, line := range c.lists[1] {
		c.againstFlux(line)
	}
	return c
}

func readList(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var lines []map[string]string
	for _, record := range records[1:] {
		line := map[string]string{}
		for i, column := range records[0] {
			line[column] = record[i]
		}
		lines = append(lines, line)
	}
	return lines
}

func (c *comparison) index(list []map[string]string) {
	byID := map[string]string{}
	for _, line := range list {
		byID[line["taxonID"]] = line["scientificName"]
	}
	for _, line := range list {
		name := line["scientificName"]
		line["accepted"] = byID[line["acceptedNameUsageID"]]
		c.byName[name] = append(c.byName[name], line)
		switch genus, epithet, two := strings.Cut(name, " "); {
		case !two:
			c.genera = append(c.genera, name)
		case !strings.Contains(epithet, " "):
			c.inGenus[genus] = append(c.inGenus[genus], epithet)
		}
	}
}

func (c *comparison) differ(name, question, theirs, ours string) {
	c.found[remark{name, question, theirs, ours}] = true
}

func (c *comparison) againstChecklist(row taxon.Row) {
	for _, line := range c.byName[row.Name] {
		author := line["scientificNameAuthorship"]
		if author != "" && row.Author != "" && citation(author) != citation(row.Author) {
			c.differ(row.Name, "author", author, row.Author)
		}
		if line["accepted"] != "" && line["accepted"] != c.current(row.Name) {
			c.differ(row.Name, "accepted", line["accepted"], c.current(row.Name))
		}
		if row.Rank == taxon.Genus && row.Status == "accepted" {
			c.compareFamily(row.Name, line["family"])
		}
	}
	if len(c.byName[row.Name]) == 0 {
		c.compareSpelling(row)
	}
}

// againstFlux: a family that the list calls uncertain is no opinion.
func (c *comparison) againstFlux(line map[string]string) {
	current := line["current_name"]
	for _, name := range []string{line["former_name"], current} {
		if name != "" && c.ships(name) && c.current(name) != current {
			c.differ(name, "accepted", current, c.current(name))
		}
	}
	if c.ships(current) && line["current_family"] != "uncertain" {
		c.compareFamily(current, line["current_family"])
	}
}

func (c *comparison) compareFamily(name, theirs string) {
	n, ok := c.ix.Lookup(taxon.Key(name))
	if !ok || theirs == "" {
		return
	}
	if ours := n.Current().Family; ours != "" && ours != theirs {
		c.differ(name, "family", theirs, ours)
	}
}

// compareSpelling looks for the checklist's spelling of a name that it does not have: another gender, a hyphen or
// one letter. What ships under both spellings is no disagreement.
func (c *comparison) compareSpelling(row taxon.Row) {
	genus, epithet, _ := strings.Cut(row.Name, " ")
	switch row.Rank {
	case taxon.Genus:
		for _, theirs := range c.genera {
			if near(genus, theirs) && !c.ships(theirs) {
				c.differ(row.Name, "spelling", theirs, row.Name)
			}
		}
	case taxon.Species:
		for _, theirs := range c.inGenus[genus] {
			if (near(epithet, theirs) || stem(epithet) == stem(theirs)) && !c.ships(genus+" "+theirs) {
				c.differ(row.Name, "spelling", genus+" "+theirs, row.Name)
			}
		}
	}
}

func near(a, b string) bool { return a != b && taxon.Edits(a, b, 1) == 1 }

var genderEnding = regexp.MustCompile(`(us|a|um|is|e|er|ra|rum|or)$`)

func stem(epithet string) string {
	return genderEnding.ReplaceAllString(strings.ReplaceAll(epithet, "-", ""), "")
}

func (c *comparison) ships(name string) bool {
	n, ok := c.ix.Lookup(taxon.Key(name))
	return ok && n.Name == name
}

func (c *comparison) current(name string) string {
	n, ok := c.ix.Lookup(taxon.Key(name))
	if !ok {
		return name
	}
	return n.Current().Name
}

// The sanctioning author may be given or left out (ICN, Shenzhen Code 2018, Art. F.3 and Rec. 50F).
var sanctioned = regexp.MustCompile(`\s*:\s*(Fr|Pers)\.`)

func citation(author string) string {
	return strings.ToLower(strings.Join(strings.Fields(sanctioned.ReplaceAllString(author, "")), ""))
}
