package hall

import (
	"time"

	"forayhall/internal/foray"
)

// SpoilsAt is when a plate will be past naming, by its form group; zero where it keeps for weeks, or the group is not
// known.
func (h *Hall) SpoilsAt(p Plate) time.Time {
	for _, g := range h.Knowledge.Groups {
		if g.Key == p.FormGroup && g.SpoilsH > 0 {
			return foray.SpoilsAt(time.Duration(g.SpoilsH)*time.Hour, p.PickedAt.Time, p.HappenedAt.Time, p.KeptCool)
		}
	}
	return time.Time{}
}
