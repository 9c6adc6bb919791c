package main

import (
	"context"
	"io"
	"strconv"

	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/booklet"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/worth"
	"forayhall/internal/message"
	"forayhall/internal/printing"
)

// chosen is the version of the list that was asked for, else the newest, else the draft.
func (x exportCall) chosen(ctx context.Context) (booklet.In, error) {
	p, err := list.Chosen(ctx, x.Hall, x.actor, x.at.Scope, x.version)
	if fault.Is(err, fault.NotFound) {
		return booklet.In{}, fault.New(fault.Invalid, "cli.version-unknown", "version", x.version, "event", x.at.Event.Code)
	}
	return x.made(p), err
}

// made is what a paper of the list is made from, with the address at which it stands.
func (x exportCall) made(p hall.Publication) booklet.In {
	in := booklet.In{List: p, Paper: printing.Paper{Size: x.size, Large: x.large, Say: x.env.say}, Link: x.eventPath("/list")}
	if p.Version > 0 {
		in.Link = x.eventPath("/list/" + strconv.Itoa(p.Version))
	}
	return in
}

// noteList says which list was written.
func (x exportCall) noteList(in booklet.In) {
	if in.List.Version == 0 {
		x.env.note(message.T("cli.export-draft", "event", x.at.Event.Code))
		return
	}
	x.env.note(message.T("cli.export-version", "version", in.List.Version, "event", x.at.Event.Code, "sha256", in.List.CanonicalSha256))
}

func exportListXLSX(ctx context.Context, x exportCall, w io.Writer) error {
	in, err := x.chosen(ctx)
	if err == nil {
		err = booklet.WriteWorkbook(ctx, x.Hall, x.actor, x.at.Scope, in, w)
	}
	if err == nil {
		x.noteList(in)
	}
	return err
}

func exportListPDF(ctx context.Context, x exportCall, w io.Writer) error {
	in, err := x.chosen(ctx)
	if err != nil {
		return err
	}
	day, err := worth.See(ctx, x.Hall, x.actor, x.at.Scope)
	if err == nil {
		printed := day.OnPaper(x.env.say)
		in.Worth = &printed
		err = booklet.WriteBooklet(ctx, x.Hall, x.actor, x.at.Scope, in, w)
	}
	if err == nil {
		x.noteList(in)
		x.noteCode()
	}
	return err
}

func exportNewsletter(ctx context.Context, x exportCall, w io.Writer) error {
	in, err := x.chosen(ctx)
	if err != nil {
		return err
	}
	text, err := booklet.Newsletter(ctx, x.Hall, x.actor, x.at.Scope, in)
	if err != nil {
		return err
	}
	x.noteList(in)
	_, err = io.WriteString(w, text)
	return err
}

// forSite is what a letter is made from; letters tell what is so now, and no version.
func (x exportCall) forSite(ctx context.Context) (booklet.ForSite, error) {
	if x.site == "" {
		return booklet.ForSite{}, fault.New(fault.Invalid, "cli.flag-missing", "flag", "site", "command", "export")
	}
	p, err := list.AtSite(ctx, x.Hall, x.actor, x.at.Scope, x.site)
	return booklet.ForSite{In: x.made(p), Site: x.site}, err
}

func exportLetterPDF(ctx context.Context, x exportCall, w io.Writer) error {
	in, err := x.forSite(ctx)
	if err != nil {
		return err
	}
	return booklet.WriteLetter(ctx, x.Hall, x.actor, x.at.Scope, in, w)
}

func exportLetterText(ctx context.Context, x exportCall, w io.Writer) error {
	in, err := x.forSite(ctx)
	if err != nil {
		return err
	}
	text, err := booklet.LetterText(ctx, x.Hall, x.actor, x.at.Scope, in)
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, text)
	return err
}
