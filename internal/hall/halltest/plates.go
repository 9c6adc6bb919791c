package halltest

import (
	"context"
	"reflect"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// holdPlates begins to remember an event's plates, and when the test is over compares what the hall's memory makes of
// the change log with what the database holds: a write that does not say which plate it changed is found by every test
// that makes one.
func (g *Ground) holdPlates(scope access.Scope) {
	t := g.t
	g.plates(t, scope, g.Hall)
	t.Cleanup(func() {
		if g.Ready(context.Background()) != nil {
			return // a test of what happens when the database is gone
		}
		fresh := *g.Hall
		fresh.Plates = nil
		kept, there := g.plates(t, scope, g.Hall), g.plates(t, scope, &fresh)
		if len(kept) != len(there) {
			t.Errorf("%d plates are remembered of %d", len(kept), len(there))
			return
		}
		for i := range there {
			if !reflect.DeepEqual(kept[i], there[i]) {
				t.Errorf("plate %s is remembered as\n%+v\nand is\n%+v", there[i].Number(), kept[i], there[i])
			}
		}
	})
}

func (g *Ground) plates(t testing.TB, scope access.Scope, h *hall.Hall) (plates []hall.Plate) {
	t.Helper()
	err := g.Store.Read(context.Background(), func(tx *store.Tx) (err error) {
		plates, err = (&hall.Look{Tx: tx, Hall: h, Scope: scope, Held: access.For(access.Nobody, scope, nil)}).AllNumbered()
		return err
	})
	if err != nil {
		t.Errorf("read the plates of %s: %v", scope.Event, err)
	}
	return plates
}
