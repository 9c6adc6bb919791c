package main

import (
	"context"
	"encoding/json"
	"path/filepath"
	"strconv"
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/hall/checklist"
	"forayhall/internal/message"
)

// runNamesImport takes a list of names in: all of it or nothing. Ended with Ctrl-C nothing was taken.
func runNamesImport(ctx context.Context, e *env, args []string) error {
	f := e.flags("names import")
	p, asJSON := f.place(), f.yes("json")
	words, err := f.parse(args, 1, 1)
	if err != nil {
		return err
	}
	src, done, err := openChecklist(words[0])
	if err != nil {
		return err
	}
	defer done()
	return p.with(ctx, e, func(in *installation) error {
		out, err := checklist.Import(ctx, in.Hall, src, filepath.Base(words[0]), e.progress())
		if err != nil {
			return err
		}
		e.notes(out.Report.Notes)
		if err := e.imported(out, *asJSON); err != nil {
			return err
		}
		key := "cli.names-imported"
		if out.Already {
			key = "cli.names-there"
		}
		e.note(message.T(key, "title", out.Title, "edition", out.Edition, "accepted", out.Accepted, "former", out.Former))
		return nil
	})
}

// progress says how far a long reading has come, now and then, on standard error.
func (e *env) progress() func(done, total int64) {
	said := time.Now()
	return func(done, total int64) {
		if total > 0 && time.Since(said) > time.Second {
			said = time.Now()
			e.note(message.T("cli.progress", "percent", 100*done/total))
		}
	}
}

// importedSummary is what became of a list's rows.
type importedSummary struct {
	Title    string       `json:"title"`
	Edition  string       `json:"edition"`
	Kind     string       `json:"kind"`
	Names    int          `json:"names"`    // accepted
	Synonyms int          `json:"synonyms"` // and other former names
	Common   int          `json:"common_names"`
	Rejected int          `json:"rejected"`
	Rows     []refusedRow `json:"rejected_rows"` // the first of them
}

type refusedRow struct {
	File string `json:"file"`
	Row  int    `json:"row"`
	Name string `json:"name"`
	Why  string `json:"why"`
}

func (e *env) imported(out checklist.Imported, asJSON bool) error {
	s := importedSummary{Title: out.Title, Edition: out.Edition, Kind: out.Report.Kind, Names: out.Accepted, Synonyms: out.Former,
		Common: out.Report.Common, Rejected: out.Refused, Rows: []refusedRow{}}
	for _, r := range out.Report.Refused {
		s.Rows = append(s.Rows, refusedRow{r.File, r.Line, r.Name, e.say.Text(r.Why)})
	}
	for _, r := range out.Twice {
		s.Rows = append(s.Rows, refusedRow{"", r.Line, r.Name, r.Problem})
	}
	if asJSON {
		enc := json.NewEncoder(e.stdout)
		enc.SetIndent("", "  ")
		return enc.Encode(s)
	}
	count := func(what string, n int) []string { return []string{what, strconv.Itoa(n), "", "", "", ""} }
	rows := [][]string{count("names", s.Names), count("synonyms", s.Synonyms), count("common names", s.Common), count("rejected", s.Rejected)}
	for _, r := range s.Rows {
		rows = append(rows, []string{"rejected row", "", r.File, strconv.Itoa(r.Row), r.Name, r.Why})
	}
	return archive.WriteCSV(e.stdout, []string{"what", "n", "file", "row", "name", "why"}, rows, archive.Formulas)
}
