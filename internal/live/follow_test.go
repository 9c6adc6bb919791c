package live_test

import (
	"context"
	"log/slog"
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
