package media

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"forayhall/internal/fault"
)

// Folder keeps blobs as files, ab/cd/abcd…: two levels keep a folder of a million photographs at some fifteen files.
type Folder struct{ dir string }

var _ Blobs = (*Folder)(nil)

// unfinished begins the names of files that are still being written; no blob is named so.
const unfinished = "unfinished-"

// OpenFolder makes the folder when there is none. Nobody but the program's own user may read it: photographs of slips
// are private.
func OpenFolder(dir string) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, unavailable("make the folder", err)
	}
	return &Folder{dir}, nil
}

// folderOf is where a blob stands; the name has been checked.
func (f *Folder) folderOf(sha string) string { return filepath.Join(f.dir, sha[:2], sha[2:4]) }

func (f *Folder) file(sha string) string { return filepath.Join(f.folderOf(sha), sha) }

func (f *Folder) Put(ctx context.Context, sha string, data []byte) error {
	if err := hashes(sha, data); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := f.put(sha, data); err != nil {
		return unavailable("put "+sha, err)
	}
	return nil
}

func (f *Folder) put(sha string, data []byte) error {
	if err := os.MkdirAll(f.folderOf(sha), 0o700); err != nil {
		return err
	}
	written, err := f.write(data)
	if err != nil {
		return err
	}
	if err := os.Rename(written, f.file(sha)); err != nil {
		return errors.Join(err, os.Remove(written))
	}
	return f.settle(sha)
}

// write leaves a whole file under a name of its own, on the disk.
func (f *Folder) write(data []byte) (name string, err error) {
	file, err := os.CreateTemp(f.dir, unfinished+"*")
	if err != nil {
		return "", err
	}
	_, err = file.Write(data)
	if err == nil {
		err = file.Sync()
	}
	if err = errors.Join(err, file.Close()); err != nil {
		return "", errors.Join(err, os.Remove(file.Name()))
	}
	return file.Name(), nil
}

// settle brings the names on the way to a blob to the disk. All three, also where somebody else made them a moment
// ago: that one may not have come so far.
func (f *Folder) settle(sha string) error {
	inner := f.folderOf(sha)
	for _, dir := range []string{inner, filepath.Dir(inner), f.dir} {
		if err := syncFolder(dir); err != nil {
			return err
		}
	}
	return nil
}

// syncFolder does nothing on Windows, which cannot sync a folder and keeps its names in a journal.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

func (f *Folder) Get(ctx context.Context, sha string) (io.ReadCloser, int64, error) {
	if err := ctx.Err(); err != nil {
		return nil, 0, err
	}
	if !shaHex.MatchString(sha) {
		return nil, 0, fault.Missing()
	}
	file, err := os.Open(f.file(sha))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, fault.Missing()
	}
	if err != nil {
		return nil, 0, unavailable("get "+sha, err)
	}
	info, err := file.Stat()
	if err != nil {
		return nil, 0, unavailable("get "+sha, errors.Join(err, file.Close()))
	}
	return file, info.Size(), nil
}

func (f *Folder) Has(ctx context.Context, sha string) (bool, error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	if !shaHex.MatchString(sha) {
		return false, nil
	}
	_, err := os.Stat(f.file(sha))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, unavailable("look for "+sha, err)
	}
	return true, nil
}

func (f *Folder) Delete(ctx context.Context, sha string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if !shaHex.MatchString(sha) {
		return nil
	}
	err := os.Remove(f.file(sha))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil {
		err = syncFolder(f.folderOf(sha))
	}
	if err != nil {
		return unavailable("delete "+sha, err)
	}
	return nil
}

func (f *Folder) Walk(ctx context.Context, visit func(Blob) error) error {
	return f.walk(ctx, func(name string, info fs.FileInfo) error {
		if !shaHex.MatchString(info.Name()) || name != f.file(info.Name()) {
			return nil // not one of ours, or still being written
		}
		return visit(Blob{SHA256: info.Name(), Size: info.Size(), PutAt: info.ModTime()})
	})
}

// Sweep removes what a killed process left half written before a time, and says how many files that were.
func (f *Folder) Sweep(ctx context.Context, before time.Time) (n int, err error) {
	err = f.walk(ctx, func(name string, info fs.FileInfo) error {
		if !strings.HasPrefix(info.Name(), unfinished) || filepath.Dir(name) != filepath.Clean(f.dir) ||
			!info.ModTime().Before(before) {
			return nil
		}
		n++
		return os.Remove(name)
	})
	return n, err
}

// walk calls with every plain file. What vanishes meanwhile was deleted, or renamed to what it was to be.
func (f *Folder) walk(ctx context.Context, visit func(name string, info fs.FileInfo) error) error {
	return filepath.WalkDir(f.dir, func(name string, entry fs.DirEntry, err error) error {
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.Is(err, fs.ErrNotExist) && name != f.dir:
			return nil
		case err != nil:
			return unavailable("walk", err)
		case !entry.Type().IsRegular():
			return nil
		}
		info, err := entry.Info()
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return unavailable("walk", err)
		}
		return visit(name, info)
	})
}
