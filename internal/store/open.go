package store

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"github.com/libtnb/sqlite"
	"gorm.io/driver/postgres"
	"gorm.io/gorm"
	"gorm.io/gorm/logger"
	"gorm.io/gorm/schema"
)

// Dialect is which database is behind a store.
type Dialect string

const (
	SQLite   Dialect = "sqlite"
	Postgres Dialect = "postgres"
)

// FileName is the name of the embedded database in a data folder.
const FileName = "forayhall.db"

// Config says where the database is.
type Config struct {
	Dir     string // data folder: the embedded database is a file in it
	URL     string // postgres://…; when given, Dir holds only photographs and keys
	Readers int    // how many readers at once; 0 for a sensible number
}

// Store is an open database. It is safe for use by many at once.
type Store struct {
	dialect Dialect
	url     string
	read    *gorm.DB
	write   *gorm.DB
	queue   *queue        // SQLite: one writer, waiting commands share a transaction
	slots   chan struct{} // Postgres: at most so many write transactions a process
}

// writeSlots is how many write transactions one process runs at once on Postgres.
const writeSlots = 8

// Open opens the database without touching its schema.
func Open(ctx context.Context, c Config) (*Store, error) {
	if c.Readers <= 0 {
		c.Readers = 8
	}
	if c.URL != "" {
		return openPostgres(ctx, c)
	}
	return openSQLite(ctx, c)
}

func openSQLite(ctx context.Context, c Config) (*Store, error) {
	if err := os.MkdirAll(c.Dir, 0o700); err != nil {
		return nil, fmt.Errorf("make the data folder: %w", err)
	}
	path := filepath.Join(c.Dir, FileName)
	write, err := open(sqlite.Open(sqliteDSN(path, false)), 1)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	if err := assertPragmas(ctx, write); err != nil {
		return nil, err
	}
	read, err := open(sqlite.Open(sqliteDSN(path, true)), c.Readers)
	if err != nil {
		return nil, fmt.Errorf("open %s for reading: %w", path, err)
	}
	return &Store{dialect: SQLite, read: read, write: write, queue: newQueue(write)}, nil
}

func sqliteDSN(path string, readOnly bool) string {
	q := url.Values{}
	for _, pragma := range []string{"busy_timeout(10000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)"} {
		q.Add("_pragma", pragma)
	}
	if readOnly {
		q.Add("_pragma", "query_only(1)")
	} else {
		q.Set("_txlock", "immediate")
	}
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + q.Encode()
}

// assertPragmas refuses to run on a connection that would lose a write or store a broken reference.
func assertPragmas(ctx context.Context, db *gorm.DB) error {
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1"} {
		var got string
		if err := db.WithContext(ctx).Raw("PRAGMA " + pragma).Scan(&got).Error; err != nil {
			return fmt.Errorf("read pragma %s: %w", pragma, err)
		}
		if got != want {
			return fmt.Errorf("pragma %s is %q, want %q", pragma, got, want)
		}
	}
	return nil
}

func openPostgres(ctx context.Context, c Config) (*Store, error) {
	db, err := open(postgres.Open(c.URL), c.Readers+writeSlots)
	if err != nil {
		return nil, fmt.Errorf("open the Postgres database: %w", err)
	}
	sqlDB, err := db.DB()
	if err != nil {
		return nil, err
	}
	if err := sqlDB.PingContext(ctx); err != nil {
		return nil, fmt.Errorf("reach the Postgres database: %w", err)
	}
	return &Store{dialect: Postgres, url: c.URL, read: db, write: db, slots: make(chan struct{}, writeSlots)}, nil
}

func open(d gorm.Dialector, conns int) (*gorm.DB, error) {
	db, err := gorm.Open(d, &gorm.Config{
		SkipDefaultTransaction: true,
		PrepareStmt:            true,
		TranslateError:         true,
		DisableAutomaticPing:   true,
		NamingStrategy:         schema.NamingStrategy{SingularTable: true},
		Logger:                 logger.Discard,
	})
	if err != nil {
		return nil, err
	}
	sqlDB, err := db.DB()
	if err != nil {
		return nil, err
	}
	sqlDB.SetMaxOpenConns(conns)
	sqlDB.SetMaxIdleConns(conns)
	return db, nil
}

// Dialect says which database this is.
func (s *Store) Dialect() Dialect { return s.dialect }

// URL is the Postgres address; empty on SQLite.
func (s *Store) URL() string { return s.url }

// Close waits for the writes under way and closes the database.
func (s *Store) Close() error {
	if s.queue != nil {
		s.queue.close()
	}
	var errs []string
	for _, db := range []*gorm.DB{s.read, s.write} {
		sqlDB, err := db.DB()
		if err == nil {
			err = sqlDB.Close()
		}
		if err != nil {
			errs = append(errs, err.Error())
		}
		if s.read == s.write {
			break
		}
	}
	if len(errs) > 0 {
		return fmt.Errorf("close the database: %s", strings.Join(errs, "; "))
	}
	return nil
}

// Ping reports whether the database answers.
func (s *Store) Ping(ctx context.Context) error {
	return s.read.WithContext(ctx).Exec("SELECT 1").Error
}
