package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"forayhall/migrations"
)

// ErrSchema means that the database's schema is not the one this program knows.
var ErrSchema = errors.New("the database's schema is not this program's")

func (s *Store) provider() (*goose.Provider, error) {
	files, err := fs.Sub(migrations.Files, string(s.dialect))
	if err != nil {
		return nil, err
	}
	if s.dialect == SQLite {
		return goose.NewProvider(goose.DialectSQLite3, s.pool, files)
	}
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectPostgres, s.pool, files, goose.WithSessionLocker(locker))
}

// Migrate brings the schema up to this program's. On Postgres several may call it at once; one works, the others wait.
func (s *Store) Migrate(ctx context.Context) error {
	p, err := s.provider()
	if err != nil {
		return fmt.Errorf("prepare migrations: %w", err)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	return nil
}

// SchemaVersions gives the version the database has and the one this program knows.
func (s *Store) SchemaVersions(ctx context.Context) (has, knows int64, err error) {
	p, err := s.provider()
	if err != nil {
		return 0, 0, fmt.Errorf("prepare migrations: %w", err)
	}
	for _, source := range p.ListSources() {
		knows = max(knows, source.Version)
	}
	has, err = p.GetDBVersion(ctx)
	if err != nil {
		return 0, 0, fmt.Errorf("read the schema version: %w", err)
	}
	return has, knows, nil
}

// RequireSchema refuses a schema that is older or newer than this program.
func (s *Store) RequireSchema(ctx context.Context) error {
	has, knows, err := s.SchemaVersions(ctx)
	if err != nil {
		return err
	}
	if has != knows {
		return fmt.Errorf("%w: it has version %d, this program knows %d; run `forayhall migrate` of the matching program", ErrSchema, has, knows)
	}
	return nil
}
