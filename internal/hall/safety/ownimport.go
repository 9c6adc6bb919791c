package safety

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// mostImported is how many rows one import may have: what a society knows beyond what ships is a few hundred.
const mostImported = 2000

// Entries are what a spreadsheet says: hazards, or look-alike pairs.
type Entries struct {
	File    string          `json:"file"`
	Hazards []HazardLine    `json:"hazards,omitempty"`
	Pairs   []LookalikeLine `json:"pairs,omitempty"`
}

// HazardLine is one line of a table of hazards.
type HazardLine struct {
	Line   int    `json:"line"`
	Hazard Hazard `json:"hazard"`
}

// LookalikeLine is one line of a table of pairs.
type LookalikeLine struct {
	Line int       `json:"line"`
	Pair Lookalike `json:"pair"`
}

// Imported is what was taken: all of it.
type Imported struct {
	Added   int `json:"added"`
	Already int `json:"already"` // the society said the same before: nothing was added
}

// RefusedLine is a line that cannot be taken, and why.
type RefusedLine struct {
	Line   int    `json:"line"`
	Column string `json:"column"`
	Reason string `json:"reason"` // in the language of who imports
}

// The headings under which a column is known, the first as it is called in messages.
var (
	hazardHeadings = map[string][]string{"taxon": {"taxon", "scientific name", "name", "species"}, "scope": {"scope"}, "syndrome": {"syndrome"},
		"exposure": {"exposure"}, "region": {"region"}, "evidence": {"evidence"}, "source": {"source"}, "note": {"note", "notes", "remarks"}}
	pairHeadings = map[string][]string{"gathered": {"gathered", "collected for"}, "poisonous": {"poisonous", "toxic lookalike", "double"},
		"region": {"region"}, "differences": {"differences"}, "source": {"source"}}
	hazardNeeds = []string{"taxon", "syndrome", "source"}
	pairNeeds   = []string{"gathered", "poisonous", "differences", "source"}
)

// ReadEntries reads a spreadsheet, CSV or XLSX, whose header names the columns in any order: "taxon, syndrome, exposure,
// region, evidence, source, note" or "gathered, poisonous, region, differences, source". Other columns are passed over.
func ReadEntries(r io.Reader, name string) (Entries, error) {
	t, err := archive.ReadTable(r, name)
	if err != nil {
		return Entries{}, inFile(err)
	}
	if len(t.Rows) > mostImported {
		return Entries{}, fault.Wrong("file", "hazards.too-many", "most", mostImported)
	}
	e := Entries{File: name}
	if _, isPairs := t.Column(pairHeadings["gathered"]...); isPairs {
		err = eachLine(t, pairHeadings, pairNeeds, func(line int, cell func(string) string) {
			e.Pairs = append(e.Pairs, LookalikeLine{line, Lookalike{Gathered: cell("gathered"), Poisonous: cell("poisonous"), Region: cell("region"),
				Differences: cell("differences"), Source: cell("source")}})
		})
		return e, err
	}
	err = eachLine(t, hazardHeadings, hazardNeeds, func(line int, cell func(string) string) {
		e.Hazards = append(e.Hazards, HazardLine{line, Hazard{Taxon: cell("taxon"), Scope: cell("scope"), Syndrome: cell("syndrome"),
			Exposure: cell("exposure"), Region: cell("region"), Evidence: cell("evidence"), Source: cell("source"), Note: cell("note")}})
	})
	return e, err
}

// inFile puts what is wrong with a file at the field where it was chosen.
func inFile(err error) error {
	var f *fault.Error
	if errors.As(err, &f) && f.Kind == fault.Invalid {
		return &fault.Error{Kind: fault.Invalid, Text: message.T("fault.invalid"), Fields: map[string]message.Text{"file": f.Text}, Cause: f.Cause}
	}
	return err
}

func eachLine(t *archive.Table, headings map[string][]string, needs []string, take func(line int, cell func(string) string)) error {
	at := map[string]int{}
	for column, names := range headings {
		if i, ok := t.Column(names...); ok {
			at[column] = i
		}
	}
	for _, column := range needs {
		if _, ok := at[column]; !ok {
			return fault.Wrong("file", "hazards.column-missing", "column", column, "needs", strings.Join(needs, ", "))
		}
	}
	if len(t.Rows) == 0 {
		return fault.Wrong("file", "hazards.no-lines")
	}
	for _, row := range t.Rows {
		take(row.Line, func(column string) string {
			if i, ok := at[column]; ok {
				return row.Cells[i]
			}
			return ""
		})
	}
	return nil
}

// Import takes every line of a spreadsheet or none. Where a line cannot be taken, the error tells all that cannot, in
// RefusedLine. Importing the same again adds nothing.
func Import(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Entries) (Imported, error) {
	cmd.Type, cmd.Body = "hazard.import.v1", in
	return tend(ctx, h, actor, scope, cmd, func(d *lead) (Imported, error) {
		if n := len(in.Hazards) + len(in.Pairs); n == 0 || n > mostImported {
			return Imported{}, fault.Wrong("file", "hazards.too-many", "most", mostImported)
		}
		entries, refused := d.lines(ctx, in)
		if len(refused) > 0 {
			return Imported{}, &fault.Error{Kind: fault.Invalid, Text: message.T("hazards.import-refused", "n", len(refused)), Other: refused}
		}
		var done Imported
		for _, e := range entries {
			if d.there(e) {
				done.Already++
				continue
			}
			if _, err := d.add(e); err != nil {
				return Imported{}, err
			}
			done.Added++
		}
		d.Note("hazard.import", d.Scope.Society, fmt.Sprintf("%s: %d", in.File, done.Added))
		return done, nil
	})
}

// lines reads every line, and tells those that cannot be read.
func (d *lead) lines(ctx context.Context, in Entries) (entries []store.OwnEntry, refused []RefusedLine) {
	say := message.From(ctx)
	take := func(line int, e store.OwnEntry, err error) {
		if err == nil {
			entries = append(entries, e)
			return
		}
		f := fault.From(err)
		columns := make([]string, 0, len(f.Fields))
		for column := range f.Fields {
			columns = append(columns, column)
		}
		slices.Sort(columns)
		for _, column := range columns {
			refused = append(refused, RefusedLine{line, column, say.Text(f.Fields[column])})
		}
	}
	for _, l := range in.Hazards {
		e, err := d.hazard(l.Hazard)
		take(l.Line, e, err)
	}
	for _, l := range in.Pairs {
		e, err := d.pair(l.Pair)
		take(l.Line, e, err)
	}
	return entries, refused
}
