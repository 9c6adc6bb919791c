package foray

import (
	"cmp"
	"time"
)

// Urgency is what decides whose turn a plate has, in this order: time left before it spoils, hazard, first-record
// interest, waiting (common practice: the perishable first, then the dangerous, then the rare).
type Urgency struct {
	SpoilsAt time.Time // zero: keeps for weeks
	Hazard   int       // weight of the worst name in question
	New      bool      // its first name in question stands on no earlier list of the society
	Since    time.Time // when it was brought in
}

// bands are the steps of time left that a bench tells apart; within one, hazard decides. A plate past its time is
// still in the first: it is looked at now or never.
var bands = []time.Duration{time.Hour, 2 * time.Hour, 4 * time.Hour, 8 * time.Hour, 24 * time.Hour}

// Band is the step that a plate is in: 0 within the hour, and up to what keeps for weeks.
func (u Urgency) Band(now time.Time) int {
	if u.SpoilsAt.IsZero() {
		return len(bands) + 1
	}
	left := u.SpoilsAt.Sub(now)
	for i, most := range bands {
		if left <= most {
			return i
		}
	}
	return len(bands)
}

// Compare orders the more urgent first.
func (u Urgency) Compare(v Urgency, now time.Time) int {
	return cmp.Or(
		cmp.Compare(u.Band(now), v.Band(now)),
		cmp.Compare(v.Hazard, u.Hazard),
		cmp.Compare(truth(v.New), truth(u.New)),
		u.Since.Compare(v.Since),
	)
}

func truth(b bool) int {
	if b {
		return 1
	}
	return 0
}
