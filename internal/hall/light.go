package hall

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/muster"
	"forayhall/internal/muster/sun"
	"forayhall/internal/store"
)

// dawnOfDay is the hour before which a moment belongs to the day before: a night walk that is due at two is held against
// the dusk it left in. From memory.
const dawnOfDay = 4

// lit puts sunset and civil dusk at the team's site into its plan, for the day on which it is out. A site without a
// point has no light to wait for; the plan then says nothing of it.
func (r *sheets) lit(p *muster.Plan, t store.Team, now time.Time) {
	site, ok := r.sites[t.SiteID]
	if !ok {
		site, ok = r.sites[r.walks[r.plans[t.ID].WalkID].SiteID]
	}
	if !ok || site.Latitude == nil || site.Longitude == nil {
		return
	}
	day := sun.Place{Latitude: *site.Latitude, Longitude: *site.Longitude, Zone: p.Zone}.On(r.dayOf(t.ID, *p, now).Date())
	p.Sunset, p.CivilDusk = day.Sunset, day.CivilDusk
}

// dayOf is the day on which a team is out: that of its walk's start, else that of its due time, else that on which it
// was last heard to go, else today.
func (r *sheets) dayOf(team foray.ID, p muster.Plan, now time.Time) time.Time {
	day := now
	switch starts := r.walks[r.plans[team].WalkID].StartsAt; {
	case !starts.IsZero():
		day = starts.Time
	case p.Due != nil:
		day = *p.Due
	default:
		if went := r.went(team); !went.IsZero() {
			day = went
		}
	}
	if day = day.In(p.Zone); day.Hour() < dawnOfDay {
		day = day.AddDate(0, 0, -1)
	}
	return day
}

func (r *sheets) went(team foray.ID) (at time.Time) {
	for _, c := range r.counted {
		if c.Team == team && c.Kind == muster.CountOut && c.HappenedAt.After(at) {
			at = c.HappenedAt
		}
	}
	for _, m := range r.marked {
		if m.Team == team && m.Kind == muster.Out && m.HappenedAt.After(at) {
			at = m.HappenedAt
		}
	}
	return at
}

// Turns is when a team's warnings will be others though nobody does anything; zero where the clock alone changes nothing.
func (m Muster) Turns(now time.Time, l muster.Ladder) (next time.Time) {
	soonest := func(at *time.Time) {
		if at != nil && at.After(now) && (next.IsZero() || at.Before(next)) {
			next = *at
		}
	}
	if !m.Awaited() {
		return next
	}
	alert := muster.Warnings(now, m.Plan, l, m.Standing)
	soonest(alert.NextAt)
	soonest(m.Plan.Due)
	soonest(m.Plan.CivilDusk)
	if m.Standing.LastHeard != nil {
		silent := m.Standing.LastHeard.Add(l.Silence)
		soonest(&silent)
	}
	return next
}

// AskAgain is after how long a page that shows teams is no longer right though nothing was written: when the next
// warning falls due. Zero: never by the clock alone.
func AskAgain(now time.Time, all []Muster, l muster.Ladder) time.Duration {
	var next time.Time
	for _, m := range all {
		if at := m.Turns(now, l); !at.IsZero() && (next.IsZero() || at.Before(next)) {
			next = at
		}
	}
	if next.IsZero() {
		return 0
	}
	return next.Sub(now)
}
