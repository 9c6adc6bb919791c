package taxon

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

// table reads a reference table as one map a row; without the folder the test is skipped.
func table(t testing.TB, file string) []map[string]string {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	f, err := os.Open(filepath.Join(folder, "names", file))
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

// checklistRows brings the reference checklist (Darwin Core columns) to rows. Its families are not listed as rows
// of their own, so the chain is left out; 58 names that stand there twice, with and without a hyphen, are taken once,
// and four rows such as "Fomes sp" are no names.
func checklistRows(t testing.TB) []Row {
	list := table(t, "fungi_medium.csv")
	byID := map[string]string{}
	for _, r := range list {
		byID[r["taxonID"]] = r["scientificName"]
	}
	var rows []Row
	seen := map[string]bool{}
	for _, r := range list {
		key := Key(r["scientificName"])
		if seen[key] || strings.HasSuffix(key, " sp") {
			continue
		}
		seen[key] = true
		row := Row{Name: r["scientificName"], Author: r["scientificNameAuthorship"], Rank: ranksOf[r["taxonRank"]],
			Status: "accepted", Source: r["source"]}
		if r["taxonomicStatus"] == "synonym" {
			row.Status, row.Accepted, row.Reason = "former", byID[r["acceptedNameUsageID"]], "moved"
		}
		rows = append(rows, row)
	}
	return rows
}

var ranksOf = map[string]Rank{"species": Species, "genus": Genus, "variety": Variety, "form": FormaRank, "subspecies": Subspecies}

var checklist = sync.OnceValues(func() (*Index, error) { return NewIndex(checklistOnce, nil) })

var checklistOnce []Row

func reference(t testing.TB) *Index {
	t.Helper()
	if checklistOnce == nil {
		checklistOnce = checklistRows(t)
	}
	ix, err := checklist()
	if err != nil {
		t.Fatal(err)
	}
	return ix
}

// Of the 72 misspellings at least 70 find the name meant, and none is taken for another name.
func TestMisspellingsOfTheReferenceListFindTheNameMeant(t *testing.T) {
	ix, right, rows := reference(t), 0, table(t, "misspelled.csv")
	for _, row := range rows {
		m := ix.Match(row["typed"])
		want := ix.at(ix.find(Key(row["intended"]))).Current()
		switch {
		case m.Found != nil && m.Found.Current() == want:
			right++
		case m.Found != nil && m.How != GenusOnly:
			t.Errorf("%s is taken for %s, meant was %s", row["typed"], m.Found.Name, want.Name)
		default:
			t.Logf("not found: %s (%s): %s, candidates %d", row["typed"], want.Name, m.How, len(m.Candidates))
		}
	}
	t.Logf("%d of %d", right, len(rows))
	if right < 70 {
		t.Errorf("only %d of %d find the name meant", right, len(rows))
	}
}

func TestEveryReferenceNameMatchesItself(t *testing.T) {
	ix := reference(t)
	for n := range ix.All() {
		if m := ix.Match(n.Name + " " + n.Author); m.How != Same || m.Found != n {
			t.Errorf("%s %s is matched as %s %v", n.Name, n.Author, m.How, m.Found)
		}
	}
}

func TestNamesThatAreNotThereAreNotFound(t *testing.T) {
	ix := reference(t)
	for _, s := range []string{"Amanita inventata", "Russula forayensis", "Mycena hallensis", "Inventaria nova",
		"Cortinarius tabularum", "Boletus scribae", "Agaricus basketicola", "Notafungus notus", "Quercus robur", "Parus major",
		"Homo sapiens", "Rosa canina", "Vulpes vulpes", "Pinus sylvestris", "brown mushroom", "mushroom", "unknown", "none", "tbc"} {
		if m := ix.Match(s); m.How != Nothing && m.How != GenusOnly {
			t.Errorf("%s is taken for %s %v %v", s, m.How, m.Found, m.Candidates)
		}
	}
}

// Every fifth species is taken out of the list, a few at a time, and asked for. A list that lacks a name must not give
// its neighbour; what is left are neighbours that nobody could tell from slips, and variants of one name.
func TestANameTakenOutOfTheListIsRarelyTakenForANeighbour(t *testing.T) {
	rarelyTaken(t, 40, func(n int, row Row) int {
		if n%5 != 0 || row.Rank != Species || row.Status != "accepted" {
			return -1
		}
		return n / 5 % 40
	})
}

// The same with whole genera: neither the genus nor its species may turn into those of a genus that looks alike.
func TestAGenusTakenOutOfTheListIsRarelyTakenForANeighbour(t *testing.T) {
	genera := map[string]int{}
	rarelyTaken(t, 6, func(_ int, row Row) int {
		word, _, _ := strings.Cut(Key(row.Name), " ")
		if _, ok := genera[word]; !ok {
			genera[word] = len(genera)
		}
		if genera[word]%40 != 0 {
			return -1
		}
		return genera[word] / 40 % 6
	})
}

// rarelyTaken makes the list without each part in turn, as part says for a row (-1: it stays always), and asks for what
// is not there.
func rarelyTaken(t *testing.T, parts int, part func(n int, row Row) int) {
	t.Helper()
	if testing.Short() {
		t.Skip("takes a while")
	}
	rows := slices.DeleteFunc(checklistRows(t), func(r Row) bool { return r.Status != "accepted" })
	of := make([]int, len(rows))
	for n, row := range rows {
		of[n] = part(n, row)
	}
	asked, taken := 0, 0
	for p := range parts {
		var out, less []Row
		for n, row := range rows {
			if of[n] == p {
				out = append(out, row)
			} else {
				less = append(less, row)
			}
		}
		ix, err := NewIndex(less, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range out {
			asked++
			if m := ix.Match(row.Name); m.How == Spelling {
				taken++
				t.Logf("%s -> %s (%.2f)", row.Name, m.Found.Name, m.Score)
			}
		}
	}
	t.Logf("%d of %d", taken, asked)
	if asked < 500 || taken*100 > asked*3 {
		t.Errorf("%d of %d names that are not there are taken for another", taken, asked)
	}
}

func BenchmarkMatch(b *testing.B) {
	ix := reference(b)
	key := "galerina marginata"
	b.Run("bare map", func(b *testing.B) {
		for b.Loop() {
			ix.Lookup(key)
		}
	})
	for name, s := range map[string]string{"exact": "Galerina marginata", "author": "Galerina cf. marginata (Batsch) Kühner",
		"short": "G. marginata", "epithet slip": "Galerina marginatta", "genus slip": "Gallerina marginata", "nothing": "Notafungus notus",
		"genus alone": "Amanitta"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				ix.Match(s)
			}
		})
	}
}

func BenchmarkSuggest(b *testing.B) {
	ix := reference(b)
	for _, s := range []string{"a", "am", "am ph", "phallo", "cortinarius vi"} {
		b.Run(s, func(b *testing.B) {
			for b.Loop() {
				ix.Suggest(s, 10)
			}
		})
	}
}

func BenchmarkWithin(b *testing.B) {
	ix := reference(b)
	for b.Loop() {
		ix.Within("amanita phaloidis", 2)
	}
}

func BenchmarkNewIndex(b *testing.B) {
	rows := checklistRows(b)
	for b.Loop() {
		if _, err := NewIndex(rows, nil); err != nil {
			b.Fatal(err)
		}
	}
}
