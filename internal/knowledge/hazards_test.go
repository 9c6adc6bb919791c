package knowledge_test

import (
	"io/fs"
	"maps"
	"strings"
	"testing"
	"testing/fstest"

	"forayhall/internal/knowledge"
	"forayhall/seed"
)

func shippedFiles(t *testing.T) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	for _, name := range []string{"names.csv", "common_names.csv", "syndromes.csv", "hazards.csv", "lookalikes.csv", "groups.csv", "signs.csv",
		"gathered.csv", "flags.csv", "glossary.csv"} {
		data, err := fs.ReadFile(seed.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = &fstest.MapFile{Data: data}
	}
	return files
}

func TestLoadJoinsWhatShips(t *testing.T) {
	s, err := knowledge.Load(shippedFiles(t))
	if err != nil {
		t.Fatal(err)
	}
	if s.Names == nil || len(s.Groups) < 16 || len(s.Revision) != 12 {
		t.Errorf("names %t, %d groups, revision %q", s.Names != nil, len(s.Groups), s.Revision)
	}
	if f := s.Hazards.Assess("Amanita phalloides")[0]; f.Severity != 5 {
		t.Errorf("Amanita phalloides: severity %d", f.Severity)
	}
}

func TestRevisionChangesWithTheHazardTablesAndOnlyThen(t *testing.T) {
	files := shippedFiles(t)
	first, err := knowledge.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	again, err := knowledge.Load(shippedFiles(t))
	if err != nil || again.Revision != first.Revision {
		t.Errorf("the same files: %q and %q, %v", first.Revision, again.Revision, err)
	}
	changed := maps.Clone(files)
	text := strings.Replace(string(files["hazards.csv"].Data), "from memory", "from memory of one person", 1)
	changed["hazards.csv"] = &fstest.MapFile{Data: []byte(text)}
	other, err := knowledge.Load(changed)
	if err != nil || other.Revision == first.Revision {
		t.Errorf("a changed row: revision %q stays, %v", first.Revision, err)
	}
}

func TestATableThatIsWrongNamesItsPlace(t *testing.T) {
	tests := map[string]struct{ file, old, new, want string }{
		"hours that are no number":   {"syndromes.csv", ",6,24,meal", ",six,24,meal", "syndromes.csv: line 2"},
		"severity that is no number": {"syndromes.csv", "gut; kidney,5,", "gut; kidney,high,", "syndromes.csv: line 2"},
		"a column that is missing":   {"hazards.csv", "taxon,rank,scope", "taxon,rank,reach", `hazards.csv: line 1: the column "scope"`},
		"an unknown syndrome":        {"hazards.csv", "species,all,amatoxin", "species,all,amatoxine", `hazard "Amanita phalloides" / "amatoxine"`},
		"a group without hours":      {"groups.csv", "bolete,Bolete,24", "bolete,Bolete,a day", "groups.csv: line 2"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			files := shippedFiles(t)
			text := strings.Replace(string(files[test.file].Data), test.old, test.new, 1)
			files[test.file] = &fstest.MapFile{Data: []byte(text)}
			_, err := knowledge.Load(files)
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want one with %q", err, test.want)
			}
		})
	}
	for _, file := range []string{"syndromes.csv", "hazards.csv", "lookalikes.csv", "groups.csv", "signs.csv", "gathered.csv", "flags.csv",
		"glossary.csv"} {
		files := shippedFiles(t)
		delete(files, file)
		if _, err := knowledge.Load(files); err == nil || !strings.Contains(err.Error(), file) {
			t.Errorf("without %s: error %v", file, err)
		}
	}
}
