package pgtest_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"forayhall/internal/store/pgtest"
)

// printServer makes the test binary print a server's folder and wait to be killed.
const printServer = "PGTEST_PRINT_SERVER"

func migrate(address string) error {
	conn, err := pgx.Connect(context.Background(), address)
	if err != nil {
		return err
	}
	_, err = conn.Exec(context.Background(), `CREATE TABLE plate (number text PRIMARY KEY)`)
	return errors.Join(err, conn.Close(context.Background()))
}

func connect(t *testing.T, address string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(context.Background(), address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close(context.Background()) })
	return conn
}

func run(t *testing.T, conn *pgx.Conn, sql string) {
	t.Helper()
	if _, err := conn.Exec(context.Background(), sql); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
}

func one[T any](t *testing.T, conn *pgx.Conn, sql string) (value T) {
	t.Helper()
	if err := conn.QueryRow(context.Background(), sql).Scan(&value); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return value
}

func TestURL_gives_each_test_a_migrated_database_of_its_own(t *testing.T) {
	first, second := connect(t, pgtest.URL(t, migrate)), connect(t, pgtest.URL(t, migrate))
	run(t, first, `INSERT INTO plate VALUES ('0137')`)
	if n := one[int](t, second, `SELECT count(*) FROM plate`); n != 0 {
		t.Errorf("the second database has %d plates of the first", n)
	}
}

func TestURL_drops_the_database_at_the_end_of_the_test(t *testing.T) {
	var name string
	t.Run("a test", func(t *testing.T) {
		name = one[string](t, connect(t, pgtest.URL(t, migrate)), `SELECT current_database()`)
	})
	conn := connect(t, pgtest.URL(t, nil))
	if n := one[int](t, conn, `SELECT count(*) FROM pg_database WHERE datname = '`+name+`'`); n != 0 {
		t.Errorf("%s is still there", name)
	}
}

func TestURL_without_migrate_gives_an_empty_database(t *testing.T) {
	conn := connect(t, pgtest.URL(t, nil))
	if n := one[int](t, conn, `SELECT count(*) FROM pg_tables WHERE schemaname = 'public'`); n != 0 {
		t.Errorf("%d tables in an empty database", n)
	}
}

// Nothing but the cleaner's pipe keeps the shared server up, and nothing in a test refers to that.
func TestURL_outlives_the_garbage_collector(t *testing.T) {
	for range 3 {
		conn := connect(t, pgtest.URL(t, nil))
		runtime.GC()
		time.Sleep(300 * time.Millisecond) // long enough for a cleaner to act
		run(t, conn, `SELECT 1`)
	}
}

// A column that forgot COLLATE "C" must not pass by the luck of the server's default.
func TestServer_does_not_sort_in_byte_order_by_default(t *testing.T) {
	conn := connect(t, pgtest.URL(t, nil))
	if one[bool](t, conn, `SELECT 'B' < 'a'`) {
		t.Error(`'B' sorts before 'a': the default collation is that of bytes`)
	}
}

func TestServer_Kill_keeps_what_was_committed_and_drops_the_rest(t *testing.T) {
	server := pgtest.NewServer(t, pgtest.Options{})
	conn := connect(t, server.URL("postgres"))
	run(t, conn, `CREATE TABLE plate (number text)`)
	run(t, conn, `INSERT INTO plate VALUES ('committed')`)
	run(t, conn, `BEGIN`)
	run(t, conn, `INSERT INTO plate VALUES ('open')`)
	if err := server.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	after := connect(t, server.URL("postgres"))
	if got := one[string](t, after, `SELECT string_agg(number, ',') FROM plate`); got != "committed" {
		t.Errorf("plates after the crash: %q", got)
	}
	if fsync := one[string](t, after, `SHOW fsync`); fsync != "on" {
		t.Errorf("fsync is %s in a server for crash drills", fsync)
	}
}

func TestServer_Stop_and_Start_keep_the_data_and_the_address(t *testing.T) {
	server := pgtest.NewServer(t, pgtest.Options{NoSync: true})
	run(t, connect(t, server.URL("postgres")), `CREATE TABLE plate (number text)`)
	if err := errors.Join(server.Stop(), server.Start()); err != nil {
		t.Fatal(err)
	}
	if n := one[int](t, connect(t, server.URL("postgres")), `SELECT count(*) FROM plate`); n != 0 {
		t.Errorf("%d plates", n)
	}
}

func TestServer_ends_and_its_folder_goes_when_the_test_process_is_killed(t *testing.T) {
	if os.Getenv(printServer) != "" {
		fmt.Println("folder:" + folder(pgtest.NewServer(t, pgtest.Options{NoSync: true}).URL("postgres")))
		select {}
	}
	pgtest.URL(t, nil) // skips where there is no Postgres
	cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$")
	cmd.Env = append(os.Environ(), printServer+"=1")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	dir := ""
	for lines := bufio.NewScanner(out); dir == "" && lines.Scan(); {
		_, dir, _ = strings.Cut(lines.Text(), "folder:")
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // killed, as it should be
	if dir == "" {
		t.Fatal("the other process started no server")
	}
	awaitGone(t, dir)
}

func TestURL_sweeps_what_a_killed_test_process_left_on_a_shared_server(t *testing.T) {
	if os.Getenv(printServer) != "" {
		pgtest.URL(t, migrate)
		fmt.Println("made")
		select {}
	}
	server := pgtest.NewServer(t, pgtest.Options{NoSync: true})
	leave(t, server)
	if n := databases(t, server); n != 2 { // template and clone
		t.Fatalf("the killed process left %d databases; the test expected to find 2", n)
	}
	leave(t, server)
	if n := databases(t, server); n != 2 {
		t.Errorf("%d databases after the next process came; those of the first should be gone", n)
	}
}

func leave(t *testing.T, server *pgtest.Server) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$")
	cmd.Env = append(os.Environ(), printServer+"=1", "FORAYHALL_TEST_POSTGRES="+server.URL("postgres"))
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() && !strings.Contains(lines.Text(), "made") {
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // killed, as it should be
	conn := connect(t, server.URL("postgres"))
	for one[int](t, conn, `SELECT count(*) FROM pg_locks WHERE locktype = 'advisory'`) > 0 {
		time.Sleep(10 * time.Millisecond) // until the server has noticed
	}
}

func databases(t *testing.T, server *pgtest.Server) int {
	t.Helper()
	return one[int](t, connect(t, server.URL("postgres")),
		`SELECT count(*) FROM pg_database WHERE datname LIKE 'forayhall\_test\_%'`)
}

func folder(address string) string {
	parsed, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return parsed.Query().Get("host")
}

// awaitGone ends when the folder is gone, and by go test's own limit when it never goes.
func awaitGone(t *testing.T, dir string) {
	t.Helper()
	for {
		if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
}
