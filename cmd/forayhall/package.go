package main

import (
	"context"
	"io"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/message"
)

func runImportEvent(ctx context.Context, e *env, args []string) error {
	f := e.flags("import event")
	p := f.place()
	words, err := f.parse(args, 1, 1)
	if err != nil {
		return err
	}
	return p.fill(ctx, e, words[0], func(in *installation, file io.ReaderAt, size int64) error {
		done, err := keeping.ImportEvent(ctx, in.Hall, file, size)
		switch {
		case err != nil:
			return err
		case done.Already:
			e.note(message.T("keeping.already", "event", done.Event, "society", done.Society))
		default:
			e.note(message.T("keeping.imported", "event", done.Event, "society", done.Society, "n", done.Rows))
		}
		return nil
	})
}

// exportEvent writes an event's package: the kind "event" of the command export.
func (in *installation) exportEvent(ctx context.Context, e *env, actor access.Actor, a hall.Address, name string) error {
	var packed keeping.Packed
	err := writeWhole(name, func(w io.Writer) (err error) {
		packed, err = keeping.ExportEvent(ctx, in.Hall, actor, a.Scope, w)
		return err
	})
	if err == nil {
		e.note(message.T("keeping.packed", "file", name, "n", packed.Rows, "sha256", packed.SHA256))
	}
	return err
}
