package pages

import (
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
)

// Compared as texts, 10000 would come before 9999 and the last page would be lost.
func TestPagesGoOnAfterANumberAndNotAfterAText(t *testing.T) {
	var all []bench.Waiting
	for n := 9950; n < 9950+2*pageOf+20; n++ {
		all = append(all, bench.Waiting{Plate: hall.Plate{Collection: hall.Collection{NumberBase: n}}})
	}
	seen := map[foray.Number]int{}
	after, pages := "", 0
	for {
		shown, more := page(all, after)
		for _, w := range shown {
			seen[w.Plate.Number()]++
		}
		pages++
		if more == "" {
			break
		}
		after = more
	}
	if pages != 3 || len(seen) != len(all) {
		t.Errorf("%d pages showed %d of %d collections", pages, len(seen), len(all))
	}
	for n, times := range seen {
		if times != 1 {
			t.Errorf("%s was shown %d times", n, times)
		}
	}
}
