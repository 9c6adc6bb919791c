// Package halltest opens halls for tests, on both databases, with the knowledge that ships, a clock that the test
// sets and people in every role. It is for tests only.
package halltest

import (
	"context"
	"crypto/rand"
	"sync"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/knowledge"
	"forayhall/internal/media"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
	"forayhall/seed"
)

// Saturday is when the tests' events happen.
var Saturday = time.Date(2026, 10, 24, 13, 40, 0, 0, time.UTC)

var load = sync.OnceValues(func() (*knowledge.Snapshot, error) { return knowledge.Load(seed.Files) })

// Knowledge is the knowledge that ships, read once.
func Knowledge(t testing.TB) *knowledge.Snapshot {
	t.Helper()
	k, err := load()
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// Cheap is what a password hash costs in tests.
var Cheap = people.Cost{TimePasses: 1, MemoryKiB: 8, Lanes: 1}

// Ground is a hall with one society, one event, and a person for each right. Passwords are Password.
type Ground struct {
	*hall.Hall
	Desk    *people.Desk
	Scope   access.Scope
	Machine access.Actor                  // a command on the machine
	As      map[access.Right]access.Actor // one person a right; member has no other
	Second  access.Actor                  // another identifier
	Third   access.Actor                  // and a third
	Society store.Society

	t     testing.TB // whose end is the ground's
	clock *clock
}

type clock struct {
	mu  sync.Mutex
	now time.Time
}

// Password is everybody's in tests.
const Password = "chanterelle-basket"

// Each runs fn on both databases.
func Each(t *testing.T, fn func(*testing.T, *Ground)) {
	t.Helper()
	storetest.Each(t, func(t *testing.T, s *store.Store) { fn(t, New(t, s)) })
}

// New lays the ground in a store.
func New(t testing.TB, s *store.Store) *Ground {
	t.Helper()
	g := &Ground{Hall: hall.New(s, Knowledge(t)), clock: &clock{now: Saturday}, t: t}
	blobs, err := media.OpenFolder(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	g.Hall.Blobs = blobs
	g.Hall.Now = func() time.Time { g.clock.mu.Lock(); defer g.clock.mu.Unlock(); return g.clock.now }
	g.Desk = &people.Desk{Hall: g.Hall, Cost: Cheap, Keys: []people.Key{{ID: "test", Secret: []byte("0123456789abcdef0123456789abcdef")}}}
	g.Society, g.Scope, g.Machine = g.Another(t, "hollinbeck", "Hollinbeck Fungus Society")
	g.As = map[access.Right]access.Actor{access.Visitor: access.Nobody}
	for _, right := range access.Rights[1:] {
		g.As[right] = g.person(t, string(right), right)
	}
	g.Second = g.person(t, "second", access.Identifier)
	g.Third = g.person(t, "third", access.Identifier)
	return g
}

// Another makes a further society with an event HB26 of its own.
func (g *Ground) Another(t testing.TB, code, name string) (store.Society, access.Scope, access.Actor) {
	t.Helper()
	ctx := context.Background()
	id, err := setup.AddSociety(ctx, g.Hall, code, name)
	if err != nil {
		t.Fatal(err)
	}
	machine, err := g.Desk.Installation(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	made, err := setup.AddEvent(ctx, g.Hall, machine, access.Scope{Society: id}, g.Command(t), setup.Event{Code: "HB26", Name: "Autumn foray",
		Place: "Hollinbeck Hall", StartsOn: "2026-10-24", EndsOn: "2026-10-25", TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	scope := access.Scope{Society: id, Event: made.ID}
	g.holdPlates(scope)
	return store.Society{ID: id, Code: code, Name: name}, scope, machine
}

// person makes somebody with an account "login" and one right for the event.
func (g *Ground) person(t testing.TB, login string, right access.Right) access.Actor {
	t.Helper()
	ctx := context.Background()
	id, err := g.Desk.AddAccount(ctx, people.Account{Society: g.Society.Code, Name: "Person " + login, Login: login, Password: Password})
	if err != nil {
		t.Fatal(err)
	}
	if right != access.Member {
		if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Right{Person: id, Right: right}); err != nil {
			t.Fatal(err)
		}
	}
	return access.Actor{Society: g.Scope.Society, Person: id}
}

// Command makes a command with a fresh id.
func (g *Ground) Command(t testing.TB) hall.Command {
	t.Helper()
	id, err := foray.NewID(g.Hall.Now(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return hall.Command{ID: id}
}

// On is Command for a decision made on a version.
func (g *Ground) On(t testing.TB, version int) hall.Command {
	t.Helper()
	c := g.Command(t)
	c.BaseVersion = &version
	return c
}

// Pass lets time pass.
func (g *Ground) Pass(d time.Duration) {
	g.clock.mu.Lock()
	defer g.clock.mu.Unlock()
	g.clock.now = g.clock.now.Add(d)
}

// CloseEvent closes the event of the ground as it stands: what must be accounted for first is for the tests of closing.
func (g *Ground) CloseEvent(t testing.TB) {
	t.Helper()
	if err := g.Store.Write(context.Background(), func(tx *store.Tx) error {
		e, err := tx.EventByID(g.Scope.Society, g.Scope.Event)
		if err != nil {
			return err
		}
		return tx.SetEventState(e, hall.EventClosed)
	}); err != nil {
		t.Fatal(err)
	}
}
