package live_test

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"forayhall/internal/access"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/live"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// soon is how long a loaded machine may take.
const soon = 20 * time.Second

// follows starts what another instance runs: a hub of its own that follows the database. It waits until it does.
func follows(t *testing.T, url string, scope access.Scope) *live.Listener {
	t.Helper()
	ctx, end := context.WithCancel(context.Background())
	hub, ended := live.NewHub(), make(chan struct{})
	listener := hub.Listen(scope.Event)
	go func() {
		defer close(ended)
		live.Follow(ctx, hub, url, slog.New(slog.DiscardHandler))
	}()
	t.Cleanup(func() {
		end()
		select {
		case <-ended:
		case <-time.After(soon):
			t.Error("following does not end with its context")
		}
	})
	if !woken(listener, soon) {
		t.Fatal("an instance that begins to follow wakes everybody once")
	}
	return listener
}

func logs(t *testing.T, g *halltest.Ground, scope access.Scope, actor access.Actor, number string) {
	t.Helper()
	in := desk.Log{Number: number, Field: desk.Field{Group: "bolete"}}
	if _, err := desk.LogCollection(context.Background(), g.Hall, actor, scope, g.Command(t), in); err != nil {
		t.Fatal(err)
	}
}

func TestACommitWakesTheOtherInstancesAlsoAfterACutConnection(t *testing.T) {
	s := storetest.New(t, store.Postgres)
	g := halltest.New(t, s)
	_, elsewhere, machine := g.Another(t, "otherwood", "Otherwood Fungus Group")
	other := follows(t, s.URL(), g.Scope)
	logs(t, g, g.Scope, g.As[access.Desk], "1")
	if !woken(other, soon) {
		t.Fatal("a change here does not wake the other instance")
	}
	logs(t, g, elsewhere, machine, "1")
	if woken(other, 200*time.Millisecond) {
		t.Error("another event's change wakes")
	}
	cut(t, s.URL())
	if !woken(other, soon) {
		t.Fatal("after a cut connection nobody is woken, though something may have been missed")
	}
	logs(t, g, g.Scope, g.As[access.Desk], "2")
	if !woken(other, soon) {
		t.Error("after a cut connection a change wakes nobody")
	}
}

// A command that fails is rolled back, and with it its wake-up.
func TestWhatWasNotCommittedWakesNobody(t *testing.T) {
	s := storetest.New(t, store.Postgres)
	g := halltest.New(t, s)
	other := follows(t, s.URL(), g.Scope)
	in := desk.Log{Number: "1", Field: desk.Field{Group: "blob"}}
	if _, err := desk.LogCollection(context.Background(), g.Hall, g.As[access.Desk], g.Scope, g.Command(t), in); err == nil {
		t.Fatal("a group that is none was logged")
	}
	if woken(other, 200*time.Millisecond) {
		t.Error("a refused command wakes")
	}
}

func TestTheEmbeddedDatabaseHasNoOtherInstances(t *testing.T) {
	ended := make(chan struct{})
	go func() { defer close(ended); live.Follow(context.Background(), live.NewHub(), "", slog.Default()) }()
	select {
	case <-ended:
	case <-time.After(soon):
		t.Error("following nothing does not end")
	}
}

// mute stands between an instance and its database, and can begin to swallow everything without hanging up, as a
// switch without power does.
type mute struct {
	net.Listener
	silent atomic.Bool
}

func newMute(t *testing.T, to string) *mute {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	m := &mute{Listener: l}
	t.Cleanup(func() { _ = l.Close() })
	go func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("unix", to)
			if err != nil {
				_ = near.Close()
				continue
			}
			go m.pass(near, far)
			go m.pass(far, near)
		}
	}()
	return m
}

// pass copies what comes; what is swallowed once stays swallowed on that connection.
func (m *mute) pass(to, from net.Conn) {
	defer to.Close()
	buffer, swallows := make([]byte, 32<<10), false
	for {
		n, err := from.Read(buffer)
		if swallows = swallows || m.silent.Load(); !swallows {
			_, _ = to.Write(buffer[:n])
		}
		if err != nil {
			return
		}
	}
}

func TestAConnectionThatFallsSilentIsNoticedWithinSeconds(t *testing.T) {
	s := storetest.New(t, store.Postgres)
	g := halltest.New(t, s)
	direct, err := pgx.ParseConfig(s.URL())
	if err != nil {
		t.Fatal(err)
	}
	m := newMute(t, fmt.Sprintf("%s/.s.PGSQL.%d", direct.Host, direct.Port))
	other := follows(t, fmt.Sprintf("postgres://%s@%s/%s?sslmode=disable", direct.User, m.Addr(), direct.Database), g.Scope)
	m.silent.Store(true)
	logs(t, g, g.Scope, g.As[access.Desk], "1")
	if woken(other, 200*time.Millisecond) {
		t.Fatal("the connection is not silent, so that this tests nothing")
	}
	m.silent.Store(false)
	begun := time.Now()
	if !woken(other, soon) {
		t.Fatal("a silent connection is taken for a quiet day")
	}
	t.Logf("noticed after %s", time.Since(begun).Round(10*time.Millisecond))
	logs(t, g, g.Scope, g.As[access.Desk], "2")
	if !woken(other, soon) {
		t.Error("after a silent connection a change wakes nobody")
	}
}

// cut ends the connections that listen.
func cut(t *testing.T, url string) {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close(ctx) }()
	var n int
	if err := conn.QueryRow(ctx, `SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity
		WHERE datname = current_database() AND query LIKE 'LISTEN%' AND pid <> pg_backend_pid()`).Scan(&n); err != nil || n != 1 {
		t.Fatalf("cut %d connections: %v", n, err)
	}
}
