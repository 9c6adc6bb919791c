package earlier

import (
	"bytes"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/hall"
)

// FirstColumns are the columns of the first records as a table. They are added to, never changed.
var FirstColumns = []string{"name", "author", "determined_as", "family", "first_for", "place", "state", "missing", "compared_with", "society_before", "collections", "field_records"}

// What a first record is called as data.
const (
	Sure     = "first"
	Possible = "possible first"
)

// CSV is the first records as a table (RFC 4180), one row for each taxon and what it is new to.
func (r FirstRecords) CSV() ([]byte, error) {
	rows := [][]string{}
	for _, t := range r.Taxa {
		for _, f := range t.Firsts {
			rows = append(rows, row(t, f))
		}
	}
	var w bytes.Buffer
	err := archive.WriteCSV(&w, FirstColumns, rows, archive.Formulas)
	return w.Bytes(), err
}

func row(t hall.FirstTaxon, f hall.First) []string {
	name, author, family := t.Written, "", ""
	if t.Name != nil {
		name, author, family = t.Name.Name, t.Name.Author, t.Name.Family
	}
	return []string{name, author, t.Written, family, f.Scope, f.Place, State(f), strings.Join(f.Lacks, "; "), f.List, f.Before, strings.Join(t.Numbers, "; "), strconv.Itoa(t.Fields)}
}

// State is how sure a first record is, as data.
func State(f hall.First) string {
	if f.Sure {
		return Sure
	}
	return Possible
}
