package wall_test

import (
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hall/wall"
)

// The wall and the bench count the same plates: what was lost waits for nobody and spoils for nobody.
func TestALostPlateWaitsForNobodyOnTheWall(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		out(t, g)
		lost := logged(t, g, 401, "inkcap")
		logged(t, g, 402, "inkcap")
		if _, err := tables.PlacePlate(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), tables.Place{Collection: lost, Where: foray.Lost}); err != nil {
			t.Fatal(err)
		}
		g.Pass(3 * time.Hour)
		w, err := wall.See(ctx, g.Hall, g.As[access.Steward], g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		queue, err := bench.Queue(ctx, g.Hall, g.As[access.Identifier], g.Scope, bench.ForAny)
		if err != nil {
			t.Fatal(err)
		}
		if w.Waiting != 1 || len(queue.Rows) != w.Waiting || len(w.Spoiling) != 1 || w.Spoiling[0].Number.Base != 402 {
			t.Errorf("%d wait on the wall, %d at the bench, spoiling %+v", w.Waiting, len(queue.Rows), w.Spoiling)
		}
	})
}
