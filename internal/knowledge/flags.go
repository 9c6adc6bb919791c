package knowledge

import (
	"cmp"
	"fmt"
	"io/fs"
	"slices"

	"forayhall/internal/taxon"
)

const flagsFile = "flags.csv"

// LawFlag is that the law somewhere protects a taxon or controls it as a substance, as far as the tables know. The law in
// force comes first.
type LawFlag struct {
	Taxon        string
	Flag         string // protected, controlled
	Jurisdiction string
	Source       string
	Note         string
}

var flagColumns = []string{"taxon", "flag", "jurisdiction", "source", "note"}

// ReadFlags reads flags.csv.
func ReadFlags(files fs.FS) ([]LawFlag, error) {
	var flags []LawFlag
	var wrong error
	seen := map[[3]string]bool{}
	err := eachRow(files, flagsFile, flagColumns, func(line int, cell func(string) string) {
		f := LawFlag{Taxon: cell("taxon"), Flag: cell("flag"), Jurisdiction: cell("jurisdiction"), Source: cell("source"), Note: cell("note")}
		id := [3]string{f.Taxon, f.Flag, f.Jurisdiction}
		problem := f.problem()
		if seen[id] {
			problem = "is there twice"
		}
		if problem != "" && wrong == nil {
			wrong = fmt.Errorf("%s: line %d: %s: %s", flagsFile, line, f.Taxon, problem)
		}
		seen[id] = true
		flags = append(flags, f)
	})
	return flags, cmp.Or(err, wrong)
}

func (f LawFlag) problem() string {
	switch {
	case taxon.Read(f.Taxon).Rank == "":
		return "does not read as a name"
	case !slices.Contains([]string{"protected", "controlled"}, f.Flag):
		return "the flag is neither protected nor controlled"
	case f.Jurisdiction == "":
		return "the jurisdiction is missing"
	case f.Source == "":
		return "the source is missing"
	}
	return ""
}
