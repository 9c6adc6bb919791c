// Package storetest runs a test on both databases: on SQLite in a folder of its own, and on a real Postgres. It is
// for tests only.
package storetest

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"forayhall/internal/store"
	"forayhall/internal/store/pgtest"
)

// Each runs fn once for each database, both at once, with a migrated store that is closed afterwards, and returns when
// both are done: fn must share nothing that it changes. The environment variable
// FORAYHALL_TEST_DIALECT, when set to sqlite or postgres, keeps it to that one.
func Each(t *testing.T, fn func(*testing.T, *store.Store)) {
	t.Helper()
	t.Run("on", func(t *testing.T) { // ends when both have
		for _, dialect := range []store.Dialect{store.SQLite, store.Postgres} {
			if only := os.Getenv("FORAYHALL_TEST_DIALECT"); only != "" && only != string(dialect) {
				continue
			}
			t.Run(string(dialect), func(t *testing.T) {
				t.Parallel()
				fn(t, New(t, dialect))
			})
		}
	})
}

// New gives a migrated store on one database.
func New(t testing.TB, dialect store.Dialect) *store.Store {
	t.Helper()
	config := store.Config{Dir: t.TempDir()}
	if dialect == store.Postgres {
		config = store.Config{URL: pgtest.URL(t, migrate)}
	} else if err := copyMigrated(config.Dir); err != nil {
		t.Fatalf("make a database: %v", err)
	}
	s, err := store.Open(context.Background(), config)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// migrated is an empty SQLite database with its schema, which is made once for all tests of a package.
var migrated = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "forayhall-empty-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	if err := migrateAt(store.Config{Dir: dir}); err != nil {
		return nil, err
	}
	return os.ReadFile(filepath.Join(dir, store.FileName))
})

func copyMigrated(dir string) error {
	empty, err := migrated()
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, store.FileName), empty, 0o600)
}

func migrate(url string) error { return migrateAt(store.Config{URL: url}) }

func migrateAt(c store.Config) error {
	s, err := store.Open(context.Background(), c)
	if err != nil {
		return err
	}
	if err := s.Migrate(context.Background()); err != nil {
		return err
	}
	return s.Close()
}
