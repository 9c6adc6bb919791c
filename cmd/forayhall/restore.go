package main

import (
	"context"
	"errors"
	"io"
	"os"

	"forayhall/internal/hall/keeping"
	"forayhall/internal/message"
)

func runRestore(ctx context.Context, e *env, args []string) error {
	f := e.flags("restore")
	p := f.place()
	words, err := f.parse(args, 1, 1)
	if err != nil {
		return err
	}
	return p.fill(ctx, e, words[0], func(in *installation, file io.ReaderAt, size int64) error {
		done, err := keeping.Restore(ctx, in.Hall, file, size)
		if err == nil {
			e.note(message.T("keeping.restored", "n", done.Rows, "blobs", done.Blobs, "sha256", done.SHA256))
			e.tellDeleted(done.Deleted)
			e.note(counts(done.Checked))
		}
		return err
	})
}

// fill opens a package before the database, so that a wrong name makes no database, and closes both afterwards.
func (p place) fill(ctx context.Context, e *env, name string, fn func(in *installation, file io.ReaderAt, size int64) error) error {
	file, err := os.Open(name)
	if err != nil {
		return unreadable(name, err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return unreadable(name, err)
	}
	in, err := p.openOrMake(ctx, e)
	if err != nil {
		return err
	}
	return errors.Join(fn(in, file, info.Size()), in.close())
}
