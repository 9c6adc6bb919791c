package hall_test

import (
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// What is lost may still be met in the hall, but nobody can be sent to look at it.
func TestAPlateWaitsWhileItHasNoNameAndCanBeLookedAt(t *testing.T) {
	unnamed := map[foray.Naming]bool{foray.BroughtIn: true, foray.Provisional: true}
	gone := map[foray.Whereabouts]bool{foray.Lost: true, foray.Discarded: true, foray.SentTo: true, foray.InDryer: true}
	for _, naming := range foray.Namings {
		for _, where := range foray.AllWhereabouts {
			p := hall.Plate{Collection: store.Collection{Naming: naming, Whereabouts: where}}
			if want := unnamed[naming] && !gone[where]; p.Waits() != want {
				t.Errorf("%s at %s: waits %v, want %v", naming, where, !want, want)
			}
		}
	}
}
