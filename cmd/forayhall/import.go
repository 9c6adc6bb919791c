package main

import (
	"context"
	"encoding/json"
	"io"

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
	t, err := e.input(words)
	if err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		at, actor, err := in.event(ctx, *society, *event)
		if err != nil {
			return err
		}
		out, err := records.Import(ctx, in.Hall, actor, at.Scope, hall.Command{}, t, opts)
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
