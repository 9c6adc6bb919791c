package drill

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/store"
)

// An event is here as it was packed, or not at all, wherever the program was killed while it brought it in.
func TestKillingAnImportLeavesAllOfTheEventOrNothing(t *testing.T) {
	drillsOnly(t)
	name, packed, o := packedEvent(t)
	undisturbed := start(t, orders{Store: fresh(t), Package: name})
	begun := time.Now()
	if err := undisturbed.cmd.Wait(); err != nil {
		t.Fatalf("%v: %s", err, undisturbed.complaint(t))
	}
	takes := time.Since(begun)
	whole := 0
	const kills = 8 // from the beginning to well after the end
	for round := range kills {
		config := fresh(t)
		p := start(t, orders{Store: config, Package: name})
		time.Sleep(takes * time.Duration(round) / (kills - 3))
		_ = p.cmd.Process.Kill() // it may have ended by itself
		_ = p.cmd.Wait()
		if allOrNothing(t, config, o, name, packed, fmt.Sprint("round ", round)) {
			whole++
		}
	}
	t.Logf("%d kills: the event was all there after %d, and not at all after the others", kills, whole)
}

// fresh is a database with nothing in it.
func fresh(t *testing.T) store.Config {
	t.Helper()
	config := store.Config{Dir: t.TempDir()}
	s, err := store.Open(context.Background(), config)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Migrate(context.Background()); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return config
}

func packedEvent(t *testing.T) (name string, packed []byte, o orders) {
	t.Helper()
	o = ordersFor(t, store.Config{Dir: t.TempDir()})
	o.Most = 100
	p := start(t, o)
	p.heard(t, func() {})
	if err := p.cmd.Wait(); err != nil {
		t.Fatalf("%v: %s", err, p.complaint(t))
	}
	h, err := openHall(o.Store)
	if err != nil {
		t.Fatal(err)
	}
	defer h.Store.Close()
	packed = packageOf(t, h, o)
	name = filepath.Join(t.TempDir(), "event.zip")
	if err := os.WriteFile(name, packed, 0o600); err != nil {
		t.Fatal(err)
	}
	return name, packed, o
}

func packageOf(t *testing.T, h *hall.Hall, o orders) []byte {
	t.Helper()
	var b bytes.Buffer
	if _, err := keeping.ExportEvent(context.Background(), h, access.Actor{Society: o.Scope.Society, Installation: true}, o.Scope, &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// allOrNothing reports whether the event was there, and brings it in where it was not.
func allOrNothing(t *testing.T, config store.Config, o orders, name string, packed []byte, when string) bool {
	t.Helper()
	h, err := openHall(config)
	if err != nil {
		t.Fatal(err)
	}
	defer h.Store.Close()
	before := healthy(t, h, when)
	again, err := bringIn(h, name)
	if err != nil {
		t.Fatalf("%s: %v", when, err)
	}
	if again.Already != (before.Events == 1) || !again.Already && before.Societies != 0 {
		t.Errorf("%s: there was %+v, and then %+v", when, before, again)
	}
	if !bytes.Equal(packageOf(t, h, o), packed) {
		t.Errorf("%s: the event is not what was packed", when)
	}
	return again.Already
}
