// Package pgtest gives tests a real Postgres, so that what holds on SQLite is shown to hold there too. It starts
// a private server on a Unix socket, or uses the one whose address a test run put into the environment, and gives
// each test a database of its own. It must never listen on a network, outlive the test process that started it,
// or be imported by anything but tests.
package pgtest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// Options of a private server.
type Options struct {
	// NoSync turns fsync off: right for tests of rules, wrong for tests of what survives a crash.
	NoSync bool
}

// Server is a private Postgres that can be stopped, killed and started again on the same data.
type Server struct {
	options Options
	bin     string // folder of initdb and postgres
	dir     string // holds data/, the socket and the log
	owner   *syscall.Credential
	process *exec.Cmd
	exited  chan struct{}
	cleaner io.Closer
}

// NewServer makes a cluster and starts it; the test's end removes it. Where Postgres is not installed the test is
// skipped, or failed when FORAYHALL_TEST_ALL is 1.
func NewServer(t testing.TB, options Options) *Server {
	t.Helper()
	s, err := newServer(options)
	if errors.Is(err, errNotInstalled) {
		skip(t, err)
	}
	if err != nil {
		t.Fatalf("start Postgres: %v", err)
	}
	t.Cleanup(func() {
		if err := s.close(); err != nil {
			t.Errorf("remove Postgres: %v", err)
		}
	})
	return s
}

// URL is the address of a database on this server, for its superuser.
func (s *Server) URL(database string) string {
	return (&url.URL{
		Scheme:   "postgres",
		User:     url.User("postgres"),
		Path:     "/" + database,
		RawQuery: url.Values{"host": {s.dir}, "sslmode": {"disable"}}.Encode(),
	}).String()
}

// Start starts a stopped or killed server and waits until it has recovered and answers.
func (s *Server) Start() error {
	log, err := os.OpenFile(s.logFile(), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer log.Close()
	cmd := s.command("postgres", s.arguments()...)
	cmd.Stdout, cmd.Stderr = log, log
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("start postgres: %w", err)
	}
	s.process, s.exited = cmd, make(chan struct{})
	go func(exited chan struct{}) {
		_ = cmd.Wait() // how it ended is in the log
		close(exited)
	}(s.exited)
	return s.awaitReady()
}

// Stop shuts the server down in order ("fast": open sessions are cut, everything is written).
func (s *Server) Stop() error { return s.end(syscall.SIGINT) }

// Kill ends the server and every backend at once, with no chance to write anything, as a power cut would.
func (s *Server) Kill() error {
	backends := children(s.process.Process.Pid)
	err := s.end(syscall.SIGKILL)
	for _, pid := range backends {
		for s.isOurs(pid) {
			_ = syscall.Kill(pid, syscall.SIGKILL) // it may have gone by itself
			time.Sleep(time.Millisecond)
		}
	}
	return err
}

func (s *Server) end(signal os.Signal) error {
	err := s.process.Process.Signal(signal)
	if errors.Is(err, os.ErrProcessDone) {
		return nil
	}
	if err != nil {
		return err
	}
	<-s.exited
	return nil
}

// arguments choose a collation and a zone that nothing in production should rely on, so that a column which
// forgot its COLLATE "C" and a time which forgot its zone are noticed (the collation is set by initdb).
func (s *Server) arguments() []string {
	settings := []string{"listen_addresses=", "unix_socket_directories=" + s.dir, "max_connections=200",
		"timezone=Pacific/Auckland", "log_timezone=UTC"}
	if s.options.NoSync {
		settings = append(settings, "fsync=off", "synchronous_commit=off", "full_page_writes=off")
	}
	arguments := []string{"-D", s.dataDir()}
	for _, setting := range settings {
		arguments = append(arguments, "-c", setting)
	}
	return arguments
}

func (s *Server) awaitReady() error {
	for {
		err := ping(s.URL("postgres"))
		if err == nil {
			return nil
		}
		select {
		case <-s.exited:
			return fmt.Errorf("postgres ended: %w\n%s", err, s.logTail())
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func ping(address string) error {
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return err
	}
	return conn.Close(ctx)
}

func newServer(options Options) (*Server, error) {
	bin, err := findBinaries()
	if err != nil {
		return nil, err
	}
	s := &Server{options: options, bin: bin}
	if s.owner, err = serverUser(); err != nil {
		return nil, err
	}
	if err := s.makeFolder(); err != nil {
		return nil, err
	}
	if s.cleaner, err = startCleaner(s.dir); err != nil {
		return nil, errors.Join(err, os.RemoveAll(s.dir))
	}
	if err := s.initialise(); err != nil {
		return nil, errors.Join(err, s.close())
	}
	if err := s.Start(); err != nil {
		return nil, errors.Join(err, s.close())
	}
	return s, nil
}

func (s *Server) makeFolder() (err error) {
	// A socket's path holds 107 bytes; a long TMPDIR leaves too few.
	parent := os.TempDir()
	if len(parent) > 60 {
		parent = "/tmp"
	}
	if s.dir, err = os.MkdirTemp(parent, "forayhall-pg-"); err != nil || s.owner == nil {
		return err
	}
	return os.Chown(s.dir, int(s.owner.Uid), int(s.owner.Gid))
}

func (s *Server) initialise() error {
	out, err := s.command("initdb", "--pgdata", s.dataDir(), "--username", "postgres", "--auth", "trust",
		"--encoding", "UTF8", "--locale", "C.UTF-8", "--locale-provider", "icu", "--icu-locale", "en",
		"--no-sync", "--no-instructions").CombinedOutput()
	if err != nil {
		return fmt.Errorf("initdb: %w\n%s", err, out)
	}
	return nil
}

// command runs in a session of its own, so that an interrupt at the keyboard reaches the test and not the server.
func (s *Server) command(name string, arguments ...string) *exec.Cmd {
	cmd := exec.Command(filepath.Join(s.bin, name), arguments...)
	cmd.Dir = s.dir
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: s.owner, Setsid: true}
	return cmd
}

func (s *Server) close() error {
	if s.process != nil {
		if err := s.end(syscall.SIGQUIT); err != nil {
			return err
		}
	}
	err := s.cleaner.Close()
	s.cleaner = nil
	return err
}

func (s *Server) dataDir() string { return filepath.Join(s.dir, "data") }
func (s *Server) logFile() string { return filepath.Join(s.dir, "log") }

func (s *Server) logTail() string {
	log, err := os.ReadFile(s.logFile())
	if err != nil {
		return err.Error()
	}
	lines := strings.Split(string(log), "\n")
	return strings.Join(lines[max(0, len(lines)-20):], "\n")
}

// isOurs tells a backend from a process that was given the same number since.
func (s *Server) isOurs(pid int) bool {
	cwd, err := os.Readlink(fmt.Sprintf("/proc/%d/cwd", pid))
	return err == nil && cwd == s.dataDir()
}

func children(pid int) (pids []int) {
	list, err := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", pid, pid))
	if err != nil {
		return nil // the backends then end by themselves when they miss their parent
	}
	for _, field := range strings.Fields(string(list)) {
		if child, err := strconv.Atoi(field); err == nil {
			pids = append(pids, child)
		}
	}
	return pids
}

var errNotInstalled = errors.New("no Postgres here: initdb and postgres are neither in PATH nor in /usr/lib/postgresql")

// findBinaries prefers Debian's folders to PATH, newest version first: Debian keeps the servers out of PATH.
func findBinaries() (string, error) {
	folders, err := filepath.Glob("/usr/lib/postgresql/*/bin")
	if err != nil {
		return "", err
	}
	slices.SortFunc(folders, func(a, b string) int { return version(b) - version(a) })
	for _, folder := range append(folders, filepath.SplitList(os.Getenv("PATH"))...) {
		if isProgram(filepath.Join(folder, "initdb")) && isProgram(filepath.Join(folder, "postgres")) {
			return folder, nil
		}
	}
	return "", errNotInstalled
}

func version(folder string) int {
	n, err := strconv.Atoi(filepath.Base(filepath.Dir(folder)))
	if err != nil {
		return 0
	}
	return n
}

func isProgram(file string) bool {
	info, err := os.Stat(file)
	return err == nil && info.Mode().IsRegular() && info.Mode()&0o111 != 0
}
