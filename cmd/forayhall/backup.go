package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"forayhall/internal/hall/keeping"
	"forayhall/internal/message"
)

func runBackup(ctx context.Context, e *env, args []string) error {
	f := e.flags("backup")
	p := f.place()
	words, err := f.parse(args, 1, 1)
	if err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		var packed keeping.Packed
		err := writeWhole(words[0], func(w io.Writer) (err error) {
			packed, err = keeping.Backup(ctx, in.Hall, w)
			return err
		})
		if err == nil {
			e.note(message.T("keeping.packed", "file", words[0], "n", packed.Rows, "blobs", packed.Blobs, "sha256", packed.SHA256))
			e.lost(packed)
		}
		return err
	})
}

// lost says that pictures were gone before the package was written.
func (e *env) lost(packed keeping.Packed) {
	if packed.Lost > 0 {
		e.note(message.T("keeping.lost", "n", packed.Lost))
	}
}

// writeWhole gives a file its name only once it is whole and on the disk, so that a crash leaves the one that was there
// before, and never half of one. What it holds is private, so only its owner may read it.
func writeWhole(name string, fill func(io.Writer) error) (err error) {
	temporary, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".part-*")
	if err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(temporary.Name()))
		}
	}()
	err = fill(temporary)
	if err == nil {
		err = temporary.Sync()
	}
	if err = errors.Join(err, temporary.Close()); err != nil {
		return err
	}
	if err = os.Rename(temporary.Name(), name); err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	return syncFolder(filepath.Dir(name))
}

// syncFolder puts a new name on the disk. Some systems cannot sync a folder; there the rename is as good as it gets.
func syncFolder(name string) error {
	folder, err := os.Open(name)
	if err != nil {
		return nil
	}
	_ = folder.Sync()
	return folder.Close()
}
