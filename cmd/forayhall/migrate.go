package main

import (
	"context"
	"errors"

	"forayhall/internal/message"
	"forayhall/internal/store"
)

// runMigrate is the only way in which a Postgres database is migrated, so that of several instances none surprises
// the others.
func runMigrate(ctx context.Context, e *env, args []string) error {
	f := e.flags("migrate")
	p := f.place()
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	dir, err := p.folder()
	if err != nil {
		return err
	}
	s, err := store.Open(ctx, store.Config{Dir: dir, URL: *p.url})
	if err != nil {
		return err
	}
	err = migrate(ctx, e, s, dir)
	if err == nil {
		_, knows, again := s.SchemaVersions(ctx)
		err = again
		e.note(message.T("cli.migrate-done", "version", knows))
	}
	return errors.Join(err, s.Close())
}
