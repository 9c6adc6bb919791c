package foray

import "time"

// CoolFactor is how much longer material lasts at 4 to 8 °C than on a table of 18 to 22 °C (common practice). How long
// each form group lasts there is data: seed/groups.csv.
const CoolFactor = 2

// keepsFor is the window from which something keeps for weeks and no queue need hurry for it.
const keepsFor = 7 * 24 * time.Hour

// SpoilsAt is when a plate is past use, counted from picking, or from logging where nobody knows when it was picked.
// It is zero for what keeps for weeks and for a window that is not known.
func SpoilsAt(window time.Duration, picked, logged time.Time, cool bool) time.Time {
	if window <= 0 || window >= keepsFor {
		return time.Time{}
	}
	if cool {
		window *= CoolFactor
	}
	from := picked
	if from.IsZero() {
		from = logged
	}
	return from.Add(window)
}
