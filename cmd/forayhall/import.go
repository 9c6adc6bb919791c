package main

import (
	"context"
	"encoding/json"
	"io"
	"os"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/records"
	"forayhall/internal/message"
)

func runImportCollections(ctx context.Context, e *env, args []string) error {
	f := e.flags("import collections")
	p, society, event, json := f.place(), f.text("society", ""), f.text("event", ""), f.yes("json")
	var opts records.Options
	for name, at := range map[string]*bool{"month-first": &opts.MonthFirst, "auto-numbers": &opts.AutoNumbers,
		"known-determiners": &opts.KnownDeterminers, "sensitive-sites": &opts.SensitiveSites,
		"all-or-nothing": &opts.AllOrNothing, "dry-run": &opts.DryRun} {
		f.BoolVar(at, name, false, f.about(name))
	}
	words, err := f.parse(args, 0, 1)
	if err != nil {
		return err
	}
	if err := f.need("event"); err != nil {
		return err
	}
	bring, err := e.finds(ctx, words)
	if err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		at, actor, err := in.event(ctx, *society, *event)
		if err != nil {
			return err
		}
		out, err := bring(ctx, in.Hall, actor, at.Scope, hall.Command{}, opts)
		if err != nil {
			return err
		}
		if err := e.outcome(out, *json); err != nil {
			return err
		}
		e.note(message.T(counted(opts), "n", out.Taken, "refused", len(out.Refused), "event", at.Event.Code))
		if opts.AllOrNothing && len(out.Refused) > 0 {
			return fault.New(fault.Invalid, "records.note-all-or-nothing")
		}
		return nil
	})
}

// bringing brings a file that was read into an event.
type bringing func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, records.Options) (records.Outcome, error)

// finds reads what is to be brought: a table, an archive, or the folder into which one was unpacked.
func (e *env) finds(ctx context.Context, words []string) (bringing, error) {
	if len(words) == 1 && words[0] != "-" {
		head, folder, err := beginning(words[0])
		if err != nil {
			return nil, err
		}
		if folder || archive.IsArchive(head) {
			return e.archived(ctx, words[0])
		}
	}
	t, err := e.input(words)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, h *hall.Hall, by access.Actor, at access.Scope, cmd hall.Command, opts records.Options) (records.Outcome, error) {
		return records.Import(ctx, h, by, at, cmd, t, opts)
	}, nil
}

// beginning is enough of a file to tell what it is; a spreadsheet is told by what is in it.
func beginning(name string) (data []byte, folder bool, err error) {
	about, err := os.Stat(name)
	if err == nil && !about.IsDir() {
		data, err = os.ReadFile(name)
	}
	if err != nil {
		return nil, false, unreadable(name, err)
	}
	return data, about.IsDir(), nil
}

func (e *env) archived(ctx context.Context, name string) (bringing, error) {
	src, done, err := openChecklist(name)
	if err != nil {
		return nil, err
	}
	defer done()
	f, err := archive.ReadFinds(ctx, src)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, h *hall.Hall, by access.Actor, at access.Scope, cmd hall.Command, opts records.Options) (records.Outcome, error) {
		return records.ImportArchive(ctx, h, by, at, cmd, f, opts)
	}, nil
}

func counted(opts records.Options) string {
	if opts.DryRun {
		return "cli.import-would"
	}
	return "cli.import-done"
}

// outcome writes the rows that were not taken; with JSON also what was, and the notes.
func (e *env) outcome(out records.Outcome, asJSON bool) error {
	if !asJSON {
		e.notes(out.Notes)
		return archive.WriteOutcome(e.stdout, out.Refused, e.say)
	}
	return writeJSON(e.stdout, e.spoken(out))
}

type spokenRow struct {
	Line   int    `json:"line"`
	Column string `json:"column"`
	Value  string `json:"value"`
	Reason string `json:"reason"`
}

type spokenOutcome struct {
	Taken   int         `json:"taken"`
	Refused []spokenRow `json:"refused"`
	Notes   []string    `json:"notes"`
}

func (e *env) spoken(out records.Outcome) spokenOutcome {
	spoken := spokenOutcome{Taken: out.Taken, Refused: []spokenRow{}, Notes: []string{}}
	for _, r := range out.Refused {
		spoken.Refused = append(spoken.Refused, spokenRow{Line: r.Line, Column: r.Field, Value: r.Value, Reason: e.say.Text(r.Reason)})
	}
	for _, n := range out.Notes {
		spoken.Notes = append(spoken.Notes, e.say.Text(n))
	}
	return spoken
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}
