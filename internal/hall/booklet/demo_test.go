package booklet_test

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/demo"
	"forayhall/internal/hall"
	"forayhall/internal/hall/booklet"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/people"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// played is the demo: the event HB25 that is over and signed, and HB26 in full swing.
type played struct {
	*hall.Hall
	desk *people.Desk
}

// eachDemo runs fn on the demo in both databases, one after the other: filling costs seconds.
func eachDemo(t *testing.T, fn func(t *testing.T, d played)) {
	t.Helper()
	for _, dialect := range []store.Dialect{store.SQLite, store.Postgres} {
		if only := os.Getenv("FORAYHALL_TEST_DIALECT"); only != "" && only != string(dialect) {
			continue
		}
		t.Run(string(dialect), func(t *testing.T) { fn(t, play(t, dialect)) })
	}
}

func play(t *testing.T, dialect store.Dialect) played {
	t.Helper()
	h := hall.New(storetest.New(t, dialect), halltest.Knowledge(t))
	desk := &people.Desk{Hall: h, Cost: halltest.Cheap, Keys: []people.Key{{ID: "test", Secret: []byte("0123456789abcdef0123456789abcdef")}}}
	if _, err := demo.Fill(t.Context(), h, desk); err != nil {
		t.Fatal(err)
	}
	now := demo.NewClock(h.Now)()
	h.Now = func() time.Time { return now } // papers say of which minute they are
	return played{h, desk}
}

func (d played) at(t *testing.T, event string) hall.Address {
	t.Helper()
	a, err := d.FindEvent(context.Background(), demo.SocietyCode, event)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func (d played) machine(t *testing.T, a hall.Address) access.Actor {
	t.Helper()
	actor, err := d.desk.Installation(context.Background(), a.Society.ID)
	if err != nil {
		t.Fatal(err)
	}
	return actor
}

var english = message.For(message.English)

func (d played) chosen(t *testing.T, a hall.Address, size printing.Size) booklet.In {
	t.Helper()
	p, err := list.Chosen(t.Context(), d.Hall, access.Nobody, a.Scope, 0)
	if err != nil {
		t.Fatal(err)
	}
	return booklet.In{List: p, Paper: printing.Paper{Size: size, Say: english}, Link: "https://hall.example.org/" + a.Society.Code + "/" + a.Event.Code + "/list/1"}
}

func (d played) pdf(t *testing.T, a hall.Address, in booklet.In) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := booklet.WriteBooklet(t.Context(), d.Hall, access.Nobody, a.Scope, in, &b); err != nil {
		t.Fatal(err)
	}
	keep(t, a.Event.Code+"-"+string(in.Paper.Size)+".pdf", b.Bytes())
	return b.Bytes()
}

// keep puts what was made where somebody can look at it, if they asked.
func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv("FORAYHALL_SHOTS"); dir != "" {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			t.Error(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Error(err)
		}
	}
}

func (d played) read(t *testing.T, a hall.Address, fn func(*hall.Look) error) {
	t.Helper()
	if err := d.View(t.Context(), d.machine(t, a), access.ReadPublic, a.Scope, fn); err != nil {
		t.Fatal(err)
	}
}

func (d played) sites(t *testing.T, a hall.Address) (sites []hall.Site) {
	d.read(t, a, func(l *hall.Look) (err error) {
		sites, err = l.Tx.Sites(a.Scope.Society, a.Scope.Event)
		return err
	})
	return sites
}

func (d played) persons(t *testing.T, a hall.Address) (people []hall.Person) {
	d.read(t, a, func(l *hall.Look) (err error) {
		people, err = l.Tx.Persons(a.Scope.Society)
		return err
	})
	return people
}

func command(t *testing.T, name string, args ...string) (string, error) {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	return string(out), err
}
