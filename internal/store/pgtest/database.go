package pgtest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"
)

// prefix starts the name of every database made here; the owner's number follows.
const prefix = "forayhall_test_"

// URL gives the test a database of its own and drops it at the test's end. With a migrate function the database is
// a clone of a template that the first migrate of the test binary filled, once; with nil it is empty.
//
// The server is the one of FORAYHALL_TEST_POSTGRES, the URL of a superuser, or a private one for this test binary.
// Where neither is to be had the test is skipped, or failed when FORAYHALL_TEST_ALL is 1. It is also skipped when
// FORAYHALL_TEST_DIALECT is sqlite, which the race detector's run uses.
func URL(t testing.TB, migrate func(url string) error) string {
	t.Helper()
	if os.Getenv("FORAYHALL_TEST_DIALECT") == "sqlite" {
		t.Skip("FORAYHALL_TEST_DIALECT is sqlite")
	}
	h, err := sharedHost()
	if errors.Is(err, errNotInstalled) {
		skip(t, err)
	}
	if err != nil {
		t.Fatalf("reach Postgres: %v", err)
	}
	name, err := h.create(migrate)
	if err != nil {
		t.Fatalf("make a database: %v", err)
	}
	t.Cleanup(func() {
		if err := h.drop(name); err != nil {
			t.Errorf("drop %s: %v", name, err)
		}
	})
	return h.url(name)
}

func skip(t testing.TB, why error) {
	t.Helper()
	if os.Getenv("FORAYHALL_TEST_ALL") == "1" {
		t.Fatal(why)
	}
	t.Skip(why)
}

// host makes and drops databases on one server. It holds an advisory lock under its owner number for as long as
// the test process lives; databases whose owner's lock is free were left by a process that was killed.
type host struct {
	strategy string // of cloning
	address  url.URL
	owner    int32
	made     atomic.Int64

	mu       sync.Mutex // guards admin, which serves one statement at a time
	admin    *pgx.Conn
	template func(migrate func(string) error) error
}

var sharedHost = sync.OnceValues(func() (*host, error) {
	address := os.Getenv("FORAYHALL_TEST_POSTGRES")
	if address == "" {
		// Its cleaner ends it with the test process.
		s, err := newServer(Options{NoSync: true})
		if err != nil {
			return nil, err
		}
		address = s.URL("postgres")
	}
	return newHost(address)
})

func newHost(address string) (*host, error) {
	parsed, err := url.Parse(address)
	if err != nil {
		return nil, err
	}
	h := &host{address: *parsed, owner: rand.Int32()}
	var once sync.Once
	var failed error
	h.template = func(migrate func(string) error) error {
		once.Do(func() { failed = h.makeTemplate(migrate) })
		return failed
	}
	if h.admin, err = pgx.Connect(context.Background(), address); err != nil {
		return nil, err
	}
	if err := h.exec(`SELECT pg_advisory_lock($1)`, int64(h.owner)); err != nil {
		return nil, err
	}
	if h.strategy, err = h.fastest(); err != nil {
		return nil, err
	}
	return h, h.sweep()
}

func (h *host) url(database string) string {
	address := h.address
	address.Path = "/" + database
	return address.String()
}

func (h *host) create(migrate func(string) error) (string, error) {
	name := fmt.Sprintf("%s%d_%d", prefix, h.owner, h.made.Add(1))
	if migrate == nil {
		return name, h.exec("CREATE DATABASE " + quote(name) + " TEMPLATE template0")
	}
	if err := h.template(migrate); err != nil {
		return "", fmt.Errorf("fill the template: %w", err)
	}
	return name, h.exec("CREATE DATABASE " + quote(name) + " TEMPLATE " + quote(h.templateName()) + h.strategy)
}

// fastest is how a server clones a database soonest: where it waits for no disk, file by file (known from version 15 on).
func (h *host) fastest() (strategy string, err error) {
	err = h.admin.QueryRow(context.Background(), `SELECT CASE WHEN current_setting('server_version_num')::int >= 150000
		AND current_setting('fsync') = 'off' THEN ' STRATEGY file_copy' ELSE '' END`).Scan(&strategy)
	return strategy, err
}

func (h *host) drop(name string) error {
	return h.exec("DROP DATABASE IF EXISTS " + quote(name) + " WITH (FORCE)")
}

func (h *host) templateName() string { return fmt.Sprintf("%s%d_template", prefix, h.owner) }

// makeTemplate shuts the door behind migrate: a database with a session in it cannot be cloned.
func (h *host) makeTemplate(migrate func(string) error) error {
	name := h.templateName()
	if err := h.exec("CREATE DATABASE " + quote(name) + " TEMPLATE template0"); err != nil {
		return err
	}
	if err := migrate(h.url(name)); err != nil {
		return err
	}
	if err := h.exec("ALTER DATABASE " + quote(name) + " WITH ALLOW_CONNECTIONS false"); err != nil {
		return err
	}
	return h.exec(`SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = $1`, name)
}

// sweep drops what killed test processes left on a shared server.
func (h *host) sweep() error {
	h.mu.Lock()
	rows, err := h.admin.Query(context.Background(),
		`SELECT datname FROM pg_database WHERE starts_with(datname, $1)`, prefix)
	if err != nil {
		h.mu.Unlock()
		return err
	}
	names, err := pgx.CollectRows(rows, pgx.RowTo[string])
	h.mu.Unlock()
	if err != nil {
		return err
	}
	for _, name := range names {
		if err := h.dropIfAbandoned(name); err != nil {
			return err
		}
	}
	return nil
}

func (h *host) dropIfAbandoned(name string) error {
	number, _, _ := strings.Cut(strings.TrimPrefix(name, prefix), "_")
	owner, err := strconv.ParseInt(number, 10, 32)
	if err != nil || int32(owner) == h.owner {
		return nil
	}
	free, err := h.tryLock(owner)
	if err != nil || !free {
		return err
	}
	return errors.Join(h.drop(name), h.exec(`SELECT pg_advisory_unlock($1)`, owner))
}

func (h *host) tryLock(owner int64) (free bool, err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	err = h.admin.QueryRow(context.Background(), `SELECT pg_try_advisory_lock($1)`, owner).Scan(&free)
	return free, err
}

func (h *host) exec(sql string, arguments ...any) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	_, err := h.admin.Exec(context.Background(), sql, arguments...)
	return err
}

func quote(name string) string { return pgx.Identifier{name}.Sanitize() }
