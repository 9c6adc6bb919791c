// Package sun says when the sun rises and sets at a place, and when civil twilight begins and ends, so that a team's
// return can be held against the light it has. It knows the sky alone: hills and trees take light away earlier, and it
// must never be read as a promise of light.
package sun

import (
	"time"
)

// State is what the sun does against a horizon over a day.
type State string

const (
	Normal     State = "normal"
	AlwaysUp   State = "always_up"
	AlwaysDown State = "always_down"
)

// Heights of the sun's centre in degrees.
const (
	// horizon: 34' of refraction and 16' of the sun's radius, as NOAA takes them (Solar Calculation Details).
	horizon = -0.833
	// civil is the definition of civil twilight.
	civil = -6.0
)

// Place is where on earth, in decimal degrees WGS 84 with east and north positive, and which clock it keeps.
type Place struct {
	Latitude, Longitude float64
	Zone                *time.Location
}

// Day is one calendar day of a place, in UTC to the second. What does not happen is nil.
type Day struct {
	Sunrise, CivilDawn *time.Time // the first inside the calendar day
	Sunset, CivilDusk  *time.Time // the first within 24 hours after noon on the clock: in a northern June that is past midnight
	State, CivilState  State      // Normal as soon as the sun crosses the horizon on the day or the night after it
}

// On computes a calendar day of the place.
func (p Place) On(year int, month time.Month, day int) Day {
	w := window{
		midnight: time.Date(year, month, day, 0, 0, 0, 0, p.Zone),
		noon:     time.Date(year, month, day, 12, 0, 0, 0, p.Zone),
		tomorrow: time.Date(year, month, day+1, 0, 0, 0, 0, p.Zone),
	}
	var d Day
	d.Sunrise, d.Sunset, d.State = p.against(horizon, w)
	d.CivilDawn, d.CivilDusk, d.CivilState = p.against(civil, w)
	return d
}

// window is what a day spans; a change of clocks makes it 23 or 25 hours long.
type window struct{ midnight, noon, tomorrow time.Time }

func (w window) end() time.Time { return w.noon.Add(24 * time.Hour) }

// against gives the first rise of the calendar day and the first setting after noon, against a height.
func (p Place) against(height float64, w window) (rise, set *time.Time, state State) {
	crossings := p.crossings(height, w.midnight, w.end())
	for _, c := range crossings {
		at := c.at.UTC().Round(time.Second)
		switch {
		case c.up && rise == nil && c.at.Before(w.tomorrow):
			rise = &at
		case !c.up && set == nil && !c.at.Before(w.noon):
			set = &at
		}
	}
	switch {
	case len(crossings) > 0:
		state = Normal
	case p.height(w.noon) > height:
		state = AlwaysUp
	default:
		state = AlwaysDown
	}
	return rise, set, state
}
