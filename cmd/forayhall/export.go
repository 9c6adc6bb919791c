package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/list"
	"forayhall/internal/message"
	"forayhall/internal/printing"
)

// export is one kind of file that an event goes out as.
type export struct {
	kind  string
	write func(ctx context.Context, x exportCall, w io.Writer) error
}

// exports lists the kinds in the order in which they are named to whoever asks for another.
func exports() []export {
	return []export{
		{"list-csv", exportListCSV},
		{"list-xlsx", exportListXLSX},
		{"list-pdf", exportListPDF},
		{"newsletter", exportNewsletter},
		{"letter-pdf", exportLetterPDF},
		{"letter-txt", exportLetterText},
		{"records-csv", exportRecordsCSV},
		{"dwca", exportArchive},
		{"geojson", exportGeoJSON},
		{"event", exportEvent},
		{"warnings-pdf", exportWarningsPDF},
		{"warnings-csv", exportWarningsCSV},
		{"cards-pdf", exportCardsPDF},
		{"labels-pdf", exportLabelsPDF},
		{"packets-pdf", exportPacketsPDF},
	}
}

// exportCall is what was asked for.
type exportCall struct {
	*installation
	env     *env
	at      hall.Address
	actor   access.Actor
	version int    // of the list; 0: the newest
	public  string // the address of the installation; empty: papers bear no code
	size    printing.Size
	large   bool
	stock   string // of the cards; empty: plain paper of the size
	licence string // of an archive; empty: the society's
	site    string // of a letter
	labels  labelFlags
}

func runExport(ctx context.Context, e *env, args []string) error {
	f := e.flags("export")
	p, society, event := f.place(), f.text("society", ""), f.text("event", "")
	kind, out, version := f.text("as", ""), f.text("out", ""), f.number("version", 0)
	public, size, large, stock := f.public(), f.text("size", string(printing.A4)), f.yes("large"), f.text("stock", "")
	licence, site := f.text("licence", ""), f.String("site", "", f.about("letter-site"))
	labels := f.labels()
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	if err := f.need("event", "as", "out"); err != nil {
		return err
	}
	chosen, err := findExport(f, *kind)
	if err != nil {
		return err
	}
	reached, err := public()
	if err != nil {
		return err
	}
	paper, err := printing.ReadSize(*size)
	if err != nil {
		return err
	}
	if *version < 0 {
		return f.fault("cli.version-unknown", "version", *version, "event", *event)
	}
	return p.with(ctx, e, func(in *installation) error {
		at, actor, err := in.event(ctx, *society, *event)
		if err != nil {
			return err
		}
		x := exportCall{installation: in, env: e, at: at, actor: actor, version: *version, public: reached, size: paper, large: *large, stock: *stock, licence: *licence, site: *site, labels: labels}
		return e.writeOut(*out, func(w io.Writer) error { return chosen.write(ctx, x, w) })
	})
}

func findExport(f *flags, kind string) (export, error) {
	var kinds []string
	for _, x := range exports() {
		if x.kind == kind {
			return x, nil
		}
		kinds = append(kinds, x.kind)
	}
	return export{}, f.fault("cli.kind-unknown", "kind", kind, "kinds", strings.Join(kinds, ", "))
}

// writeOut writes a file that is there whole or not at all; "-" is standard output, and gets nothing where writing fails
// half way.
func (e *env) writeOut(name string, write func(io.Writer) error) error {
	if name == "-" {
		var whole bytes.Buffer
		if err := write(&whole); err != nil {
			return err
		}
		_, err := whole.WriteTo(e.stdout)
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return unwritable(name, err)
	}
	err = write(f)
	if err == nil {
		err = errors.Join(f.Chmod(0o644), f.Sync())
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}

func unwritable(name string, err error) error {
	return &fault.Error{Kind: fault.Invalid, Cause: err,
		Text: message.T("cli.file-unwritable", "file", name, "problem", err.Error())}
}

// exportListCSV gives the bytes of a version as they were signed, or a draft where nothing was signed yet.
func exportListCSV(ctx context.Context, x exportCall, w io.Writer) error {
	running, err := list.See(ctx, x.Hall, x.actor, x.at.Scope)
	if err != nil {
		return err
	}
	version := x.version
	if version == 0 && len(running.Versions) > 0 {
		version = running.Versions[0].Version
	}
	if version == 0 {
		return exportDraft(ctx, x, w)
	}
	published, _, err := list.Version(ctx, x.Hall, x.actor, x.at.Scope, version)
	if fault.Is(err, fault.NotFound) {
		return fault.New(fault.Invalid, "cli.version-unknown", "version", version, "event", x.at.Event.Code)
	}
	if err != nil {
		return err
	}
	x.env.note(message.T("cli.export-version", "version", version, "event", x.at.Event.Code, "sha256", published.CSVSha256))
	_, err = w.Write(published.CSV)
	return err
}

func exportDraft(ctx context.Context, x exportCall, w io.Writer) error {
	draft, err := list.Draft(ctx, x.Hall, x.actor, x.at.Scope)
	if err != nil {
		return err
	}
	x.env.note(message.T("cli.export-draft", "event", x.at.Event.Code))
	sheet, err := list.CSV(draft)
	if err != nil {
		return err
	}
	_, err = w.Write(sheet)
	return err
}
