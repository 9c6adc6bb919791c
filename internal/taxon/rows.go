package taxon

import (
	"errors"
	"fmt"
	"strings"
)

// Row is one line of a list of names.
type Row struct {
	Line     int // of the file, for messages; 0 where there is none
	Name     string
	Author   string
	Rank     Rank
	Status   string // accepted or former
	Accepted string // the current name of a former one
	// The author of the accepted name, where that has homonyms; may be empty.
	AcceptedAuthor string
	Parent         string // of a genus and above: the next wider name that is known
	Section        string
	Reason         string // why a former name is former
	Disputed       string
	Source         string
}

// CommonRow is one line of a list of common names.
type CommonRow struct {
	Line     int
	Name     string // the scientific name
	Common   string
	Language string
	Source   string
}

// RowError says which row is wrong and how.
type RowError struct {
	Common  bool // a row of the common names
	Line    int
	Name    string
	Problem string
}

func (e *RowError) Error() string {
	return fmt.Sprintf("line %d: %s: %s", e.Line, e.Name, e.Problem)
}

// depth orders ranks from wide to narrow; a parent is always wider.
var depth = map[Rank]int{
	Kingdom: 1, Phylum: 2, Class: 3, Order: 4, Family: 5, Genus: 6, Section: 7,
	Species: 8, Subspecies: 9, Variety: 10, FormaRank: 11,
}

var reasons = map[string]bool{
	"moved": true, "merged": true, "split": true, "misapplied": true, "spelling": true, "alternative": true,
}

// Check says what is wrong with a row by itself, for a reader of foreign lists that leaves out what it cannot use.
func (r Row) Check() error {
	if problem := r.fault(); problem != "" {
		return &RowError{Line: r.Line, Name: r.Name, Problem: problem}
	}
	return nil
}

// fault says what is wrong with a row by itself, "" when nothing is.
func (r Row) fault() string {
	switch {
	case strings.TrimSpace(r.Name) == "":
		return "the name is missing"
	case depth[r.Rank] == 0:
		return fmt.Sprintf("unknown rank %q", r.Rank)
	case strings.TrimSpace(r.Source) == "":
		return "the source is missing"
	case r.Status != "accepted" && r.Status != "former":
		return fmt.Sprintf("unknown status %q", r.Status)
	}
	if r.Status == "former" {
		return r.formerFault()
	}
	if r.Accepted != "" && Key(r.Accepted) != Key(r.Name) {
		return "an accepted name cannot point to another"
	}
	return r.shapeFault()
}

func (r Row) formerFault() string {
	switch {
	case r.Accepted == "":
		return "the accepted name is missing"
	case !reasons[r.Reason]:
		return fmt.Sprintf("unknown reason %q", r.Reason)
	}
	return r.shapeFault()
}

// shapeFault finds an author or a doubt left in the name, and a rank that the name does not have.
func (r Row) shapeFault() string {
	w := Read(r.Name)
	lowest, read := depth[r.Rank], depth[w.Rank]
	fits := r.Rank == w.Rank || lowest <= depth[Genus] && read >= 1 && read <= depth[Genus]
	if !fits || Key(w.Canonical) != Key(r.Name) || w.Qualifier != None {
		return fmt.Sprintf("does not read as a name of the rank %s", r.Rank)
	}
	return ""
}

// atMost keeps a broken file from filling the screen.
const atMost = 20

// faults gathers what is wrong with rows.
type faults []error

func (f *faults) note(err error) {
	if err != nil {
		*f = append(*f, err)
	}
}

func (f faults) err() error {
	if len(f) > atMost {
		rest := fmt.Errorf("and %d more", len(f)-atMost)
		return errors.Join(append(f[:atMost:atMost], rest)...)
	}
	return errors.Join(f...)
}
