package main

import (
	"context"
	"io"

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
			e.note(message.T("keeping.imported", "event", done.Event, "society", done.Society, "n", done.Rows, "blobs", done.Blobs))
			e.tellDeleted(done.Deleted)
		}
		return nil
	})
}

// exportEvent writes an event's package.
func exportEvent(ctx context.Context, x exportCall, w io.Writer) error {
	packed, err := keeping.ExportEvent(ctx, x.Hall, x.actor, x.at.Scope, w)
	if err == nil {
		x.env.note(message.T("keeping.packed-event", "event", x.at.Event.Code, "n", packed.Rows, "blobs", packed.Blobs, "sha256", packed.SHA256))
		x.env.lost(packed)
	}
	return err
}
