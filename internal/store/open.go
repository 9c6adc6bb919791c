package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"

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
	pool    *sql.DB          // Postgres: everything; SQLite: the writer's, also for migrations and copies
	gorm    *gorm.DB         // Postgres
	slots   chan struct{}    // Postgres: at most so many write transactions a process
	queue   *queue           // SQLite: one writer, waiting commands share a transaction
	reading *sql.DB          // SQLite
	readers chan *connection // SQLite
	closing chan struct{}    // SQLite: closed with the store, so that nobody waits for a reader that never comes
	once    sync.Once
	writes  atomic.Uint64
}

// writeSlots is how many write transactions one process runs at once on Postgres.
const writeSlots = 8

// Open opens the database without touching its schema.
func Open(ctx context.Context, c Config) (*Store, error) {
	if c.Readers <= 0 {
		c.Readers = max(4, 2*runtime.NumCPU())
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
	s := &Store{dialect: SQLite, readers: make(chan *connection, c.Readers), closing: make(chan struct{})}
	var err error
	if s.pool, err = sql.Open(sqlite.DriverName, sqliteDSN(path, false)); err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	if err := assertPragmas(ctx, s.pool); err != nil {
		return nil, errors.Join(fmt.Errorf("open %s: %w", path, err), s.pool.Close())
	}
	if s.queue, err = newQueue(s.pool); err != nil {
		return nil, errors.Join(fmt.Errorf("open %s for writing: %w", path, err), s.pool.Close())
	}
	if s.reading, err = sql.Open(sqlite.DriverName, sqliteDSN(path, true)); err != nil {
		return nil, fmt.Errorf("open %s for reading: %w", path, err)
	}
	for range c.Readers {
		s.readers <- nil // made when it is first needed
	}
	return s, nil
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
func assertPragmas(ctx context.Context, pool *sql.DB) error {
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1"} {
		var got string
		// Safety: the pragma is one of the three above.
		if err := pool.QueryRowContext(ctx, "PRAGMA "+pragma).Scan(&got); err != nil {
			return fmt.Errorf("read pragma %s: %w", pragma, err)
		}
		if got != want {
			return fmt.Errorf("pragma %s is %q, want %q", pragma, got, want)
		}
	}
	return nil
}

func openPostgres(ctx context.Context, c Config) (*Store, error) {
	db, err := gorm.Open(postgres.Open(c.URL), gormConfig())
	if err != nil {
		return nil, fmt.Errorf("open the Postgres database: %w", err)
	}
	pool, err := db.DB()
	if err != nil {
		return nil, err
	}
	pool.SetMaxOpenConns(c.Readers + writeSlots)
	pool.SetMaxIdleConns(c.Readers + writeSlots)
	if err := pool.PingContext(ctx); err != nil {
		return nil, fmt.Errorf("reach the Postgres database: %w", err)
	}
	return &Store{dialect: Postgres, url: c.URL, pool: pool, gorm: db, slots: make(chan struct{}, writeSlots)}, nil
}

// gormConfig leaves statements to the driver on Postgres and to the connection on SQLite, which keep them better.
func gormConfig() *gorm.Config {
	return &gorm.Config{
		SkipDefaultTransaction: true,
		TranslateError:         true,
		DisableAutomaticPing:   true,
		NamingStrategy:         schema.NamingStrategy{SingularTable: true},
		Logger:                 logger.Discard,
	}
}

// Dialect says which database this is.
func (s *Store) Dialect() Dialect { return s.dialect }

// URL is the Postgres address; empty on SQLite.
func (s *Store) URL() string { return s.url }

// Close waits for the writes and reads under way and closes the database.
func (s *Store) Close() error {
	if s.dialect == Postgres {
		return s.pool.Close()
	}
	var err error
	s.once.Do(func() { err = s.closeSQLite() })
	return err
}

func (s *Store) closeSQLite() error {
	close(s.closing)
	s.queue.close()
	for range cap(s.readers) {
		if c := <-s.readers; c != nil {
			_ = c.close()
		}
	}
	if err := errors.Join(s.reading.Close(), s.pool.Close()); err != nil {
		return fmt.Errorf("close the database: %w", err)
	}
	return nil
}

// Ping reports whether the database answers.
func (s *Store) Ping(ctx context.Context) error {
	return s.Read(ctx, func(t *Tx) error { return t.db.Exec("SELECT 1").Error })
}
