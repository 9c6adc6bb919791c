package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
	"forayhall/internal/knowledge"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/seed"
)

// place is where an installation keeps things. The folder holds photographs and keys also where the database is
// somewhere else.
type place struct{ dir, url *string }

// place adds the flags of a command that uses a database. The address of a database holds its password, and arguments
// can be read by everybody on the machine, so that it may come from the environment.
func (f *flags) place() place {
	return place{dir: f.text("data", ""), url: f.text("database", os.Getenv("FORAYHALL_DATABASE"))}
}

// folder is the data folder: the one given, or one of the user's own.
func (p place) folder() (string, error) {
	if *p.dir != "" {
		return *p.dir, nil
	}
	base := os.Getenv("XDG_DATA_HOME")
	switch {
	case runtime.GOOS == "windows" || runtime.GOOS == "darwin":
		dir, err := os.UserConfigDir()
		if err != nil {
			return "", fault.New(fault.Invalid, "cli.no-home")
		}
		base = dir
	case !filepath.IsAbs(base): // the XDG Base Directory Specification ignores a relative one
		home, err := os.UserHomeDir()
		if err != nil {
			return "", fault.New(fault.Invalid, "cli.no-home")
		}
		base = filepath.Join(home, ".local", "share")
	}
	return filepath.Join(base, "forayhall"), nil
}

// installation is an open installation.
type installation struct {
	*hall.Hall
	Desk *people.Desk
	Dir  string
}

// open opens an installation that is there. A folder without a database is a slip of the key, not a new installation.
func (p place) open(ctx context.Context, e *env) (*installation, error) {
	dir, err := p.folder()
	if err != nil {
		return nil, err
	}
	if *p.url == "" {
		_, err := os.Stat(filepath.Join(dir, store.FileName))
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fault.New(fault.Invalid, "cli.no-database", "dir", dir)
		}
	}
	return p.openOrMake(ctx, e)
}

// openOrMake also makes an embedded database where there is none.
func (p place) openOrMake(ctx context.Context, e *env) (*installation, error) {
	dir, err := p.folder()
	if err != nil {
		return nil, err
	}
	s, err := store.Open(ctx, store.Config{Dir: dir, URL: *p.url})
	if err != nil {
		return nil, err
	}
	in, err := furnish(ctx, e, s, dir)
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return in, nil
}

func furnish(ctx context.Context, e *env, s *store.Store, dir string) (*installation, error) {
	if s.Dialect() == store.SQLite {
		if err := migrate(ctx, e, s, dir); err != nil {
			return nil, err
		}
	} else if err := s.RequireSchema(ctx); err != nil {
		return nil, err
	}
	k, err := knowledge.Load(seed.Files)
	if err != nil {
		return nil, err
	}
	keys, err := people.LoadKeys(os.Getenv("FORAYHALL_KEY"), dir, rand.Reader)
	if err != nil {
		return nil, err
	}
	h := hall.New(s, k)
	if h.Blobs, err = openBlobs(dir); err != nil {
		return nil, err
	}
	return &installation{Hall: h, Dir: dir, Desk: &people.Desk{Hall: h, Keys: keys, Cost: people.DefaultCost}}, nil
}

// migrate brings a schema up to this program's, keeping a copy of an embedded database as it was. A database that a
// newer program has migrated is left alone.
func migrate(ctx context.Context, e *env, s *store.Store, dir string) error {
	has, knows, err := s.SchemaVersions(ctx)
	if err != nil {
		return err
	}
	switch {
	case has == knows:
		return nil
	case has > knows:
		return s.RequireSchema(ctx)
	}
	if has > 0 && s.Dialect() == store.SQLite {
		copied := filepath.Join(dir, fmt.Sprintf("%s.version-%d.%s", store.FileName, has, time.Now().UTC().Format("20060102T150405")))
		if err := s.CopyTo(ctx, copied); err != nil {
			return err
		}
		e.note(message.T("cli.migrate-copy", "file", copied))
	}
	if err := s.Migrate(ctx); err != nil {
		return err
	}
	e.note(message.T("cli.migrated", "from", has, "to", knows))
	return nil
}

func (in *installation) close() error { return in.Store.Close() }

// society finds a society by its code; where there is only one it need not be named.
func (in *installation) society(ctx context.Context, code string) (found store.Society, err error) {
	err = in.Store.Read(ctx, func(tx *store.Tx) error {
		if code != "" {
			found, err = tx.SocietyByCode(code)
			return err
		}
		all, err := tx.Societies()
		if err != nil {
			return err
		}
		if len(all) != 1 {
			return fault.Wrong("society", "cli.society-which")
		}
		found = all[0]
		return nil
	})
	if fault.Is(err, fault.NotFound) {
		err = fault.Wrong("society", "cli.society-unknown", "society", code)
	}
	return found, err
}

// event finds an event and the actor behind a command on this machine.
func (in *installation) event(ctx context.Context, society, code string) (hall.Address, access.Actor, error) {
	if society != "" {
		if _, err := in.society(ctx, society); err != nil {
			return hall.Address{}, access.Actor{}, err
		}
	}
	a, err := in.FindEventAnywhere(ctx, society, code)
	if fault.Is(err, fault.NotFound) {
		err = fault.Wrong("event", "event.unknown", "event", code)
	}
	if err != nil {
		return a, access.Actor{}, err
	}
	if in.Hall, err = in.For(ctx, a.Society.ID); err != nil {
		return a, access.Actor{}, err
	}
	actor, err := in.Desk.Installation(ctx, a.Society.ID)
	return a, actor, err
}

// command is a command made now.
func (in *installation) command() (hall.Command, error) {
	id, err := in.NewID()
	return hall.Command{ID: id}, err
}

// with opens an installation, runs fn and closes it.
func (p place) with(ctx context.Context, e *env, fn func(*installation) error) error {
	in, err := p.open(ctx, e)
	if err != nil {
		return err
	}
	return errors.Join(fn(in), in.close())
}

// printID writes the id of what was made.
func (e *env) printID(id foray.ID) error {
	_, err := fmt.Fprintln(e.stdout, id)
	return err
}
