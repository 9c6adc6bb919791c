package records_test

import (
	"context"
	"crypto/rand"
	"os"
	"testing"

	"forayhall/internal/demo"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/media"
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
	blobs, err := media.OpenFolder(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	h.Blobs = blobs
	desk := &people.Desk{Hall: h, Cost: halltest.Cheap, Keys: []people.Key{{ID: "test", Secret: []byte("0123456789abcdef0123456789abcdef")}}}
	if _, err := demo.Fill(t.Context(), h, desk); err != nil {
		t.Fatal(err)
	}
	h.Now = demo.NewClock(h.Now)
	return played{h, desk}
}

// at finds an event of the demo, or of a society that was made beside it.
func (d played) at(t *testing.T, society, event string) hall.Address {
	t.Helper()
	a, err := d.FindEvent(context.Background(), society, event)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func (d played) command(t *testing.T) hall.Command {
	t.Helper()
	id, err := foray.NewID(d.Now(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return hall.Command{ID: id}
}
