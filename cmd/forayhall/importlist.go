package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/message"
)

// runImportList takes in a society's list of what was found before.
func runImportList(ctx context.Context, e *env, args []string) error {
	f := e.flags("import list")
	p, society, json, dry := f.place(), f.text("society", ""), f.yes("json"), f.yes("dry-run")
	var about earlier.About
	for name, at := range map[string]*string{"title": &about.Title, "scope": &about.Scope, "site": &about.Site, "area": &about.Area, "source": &about.Source, "period": &about.Period} {
		f.StringVar(at, name, "", f.about(name))
	}
	var opts earlier.Options
	for name, at := range map[string]*bool{"month-first": &opts.MonthFirst, "take-spellings": &opts.TakeAll, "as-written": &opts.AsWritten, "leave-out": &opts.LeaveOut} {
		f.BoolVar(at, name, false, f.about(name))
	}
	words, err := f.parse(args, 0, 1)
	if err != nil {
		return err
	}
	if err := f.need("title", "scope", "source"); err != nil {
		return err
	}
	t, err := e.list(ctx, words, &about)
	if err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		found, err := in.society(ctx, *society)
		if err != nil {
			return err
		}
		if in.Hall, err = in.For(ctx, found.ID); err != nil {
			return err
		}
		actor, err := in.Desk.Installation(ctx, found.ID)
		if err != nil {
			return err
		}
		out, err := in.list(ctx, actor, access.Scope{Society: found.ID}, about, t, opts, *dry)
		if out.Rows > 0 {
			if err := e.listOutcome(out, *json); err != nil {
				return err
			}
		}
		if err != nil {
			return err
		}
		e.note(message.T(takenKey(*dry), "n", out.Lines, "title", about.Title, "current", out.Matched, "former", out.Synonyms))
		return nil
	})
}

func takenKey(dry bool) string {
	if dry {
		return "cli.list-would"
	}
	return "cli.list-done"
}

func (in *installation) list(ctx context.Context, actor access.Actor, scope access.Scope, about earlier.About, t *archive.Table, opts earlier.Options, dry bool) (earlier.Outcome, error) {
	if dry {
		return earlier.DryRun(ctx, in.Hall, actor, scope, about, t, opts)
	}
	return earlier.Import(ctx, in.Hall, actor, scope, hall.Command{}, about, t, opts)
}

// list reads the file among the arguments, or standard input.
func (e *env) list(ctx context.Context, words []string, about *earlier.About) (*archive.Table, error) {
	if len(words) == 0 || words[0] == "-" {
		return archive.ReadListTable(ctx, e.stdin, e.say.Say("cli.stdin"))
	}
	data, err := os.ReadFile(words[0])
	if err != nil {
		return nil, unreadable(words[0], err)
	}
	about.File = words[0][strings.LastIndexAny(words[0], `/\`)+1:]
	return archive.ReadListTable(ctx, bytes.NewReader(data), words[0])
}

// What a row of the outcome is about.
const (
	rowFormer  = "former name"
	rowSpelt   = "misspelt, read"
	rowAsked   = "asked"
	rowUnknown = "unknown, kept"
	rowRefused = "refused"
)

type listRow struct {
	What    string   `json:"what"`
	Line    int      `json:"line"`
	Lines   int      `json:"lines,omitempty"`
	Written string   `json:"written"`
	Read    string   `json:"read,omitempty"`
	Now     string   `json:"now,omitempty"`
	MayBe   []string `json:"may_be,omitempty"`
	Reason  string   `json:"reason,omitempty"`
}

type spokenList struct {
	ID      string    `json:"id,omitempty"`
	Rows    int       `json:"rows"`
	Lines   int       `json:"lines"`
	Current int       `json:"lines_with_current_names"`
	Former  int       `json:"lines_with_former_names"`
	Told    []listRow `json:"told"`
	Notes   []string  `json:"notes"`
}

// listOutcome writes a row for each name that is no current one, and for each row that cannot be taken.
func (e *env) listOutcome(out earlier.Outcome, asJSON bool) error {
	told := e.listRows(out)
	if asJSON {
		s := spokenList{Rows: out.Rows, Lines: out.Lines, Current: out.Matched, Former: out.Synonyms, Told: told, Notes: []string{}}
		if !out.List.IsZero() {
			s.ID = out.List.String()
		}
		for _, n := range out.Notes {
			s.Notes = append(s.Notes, e.say.Text(n))
		}
		return writeJSON(e.stdout, s)
	}
	e.notes(out.Notes)
	return writeListRows(e.stdout, told)
}

func writeListRows(w io.Writer, told []listRow) error {
	rows := make([][]string, len(told))
	for i, r := range told {
		rows[i] = []string{r.What, strconv.Itoa(r.Line), strconv.Itoa(r.Lines), r.Written, r.Read, r.Now, strings.Join(r.MayBe, "; "), r.Reason}
	}
	return archive.WriteCSV(w, []string{"what", "line", "lines", "written", "read", "now", "may_be", "reason"}, rows, archive.Formulas)
}

func (e *env) listRows(out earlier.Outcome) []listRow {
	told := []listRow{}
	for _, kind := range []struct {
		what  string
		names []earlier.ReadName
	}{{rowAsked, out.Asked}, {rowSpelt, out.Spelt}, {rowFormer, out.Former}, {rowUnknown, out.Unknown}} {
		for _, n := range kind.names {
			told = append(told, listRow{What: kind.what, Line: n.First, Lines: n.Lines, Written: n.Written, Read: n.Read, Now: n.Now, MayBe: n.May})
		}
	}
	for _, r := range out.Refused {
		told = append(told, listRow{What: rowRefused, Line: r.Line, Lines: 1, Written: r.Field + ": " + r.Value, Reason: e.say.Text(r.Reason)})
	}
	return told
}
