package records

import (
	"slices"
	"strconv"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// outings is which walk a team was on, and what the walk cost: people and hours.
type outings struct {
	walkOf map[foray.ID]foray.ID // by team
	effort map[foray.ID]string   // by walk; empty where nobody counted
	walks  int                   // that went
	teams  int
}

func readOutings(l *hall.Look, x *exporter) (o outings, err error) {
	society, event := l.Scope.Society, l.Scope.Event
	o.walkOf, o.effort = map[foray.ID]foray.ID{}, map[foray.ID]string{}
	walks, err := l.Tx.Walks(society, event)
	if err != nil {
		return o, err
	}
	o.walks = len(slices.DeleteFunc(walks, func(w store.Walk) bool { return !w.CalledOffAt.IsZero() }))
	teams, err := l.Tx.Teams(society, event)
	if err != nil {
		return o, err
	}
	o.teams = len(teams)
	plans, err := l.Tx.TeamPlans(society, event)
	if err != nil {
		return o, err
	}
	for _, p := range plans {
		if !p.WalkID.IsZero() {
			o.walkOf[p.TeamID] = p.WalkID
		}
	}
	counts, err := l.Tx.HeadCounts(society, event, foray.ID{})
	o.weigh(x, counts)
	return o, err
}

// weigh adds up observers and hours of each walk all of whose teams were counted out and back.
func (o outings) weigh(x *exporter, counts []store.HeadCount) {
	out, back := map[foray.ID]store.HeadCount{}, map[foray.ID]store.HeadCount{}
	for _, c := range counts {
		switch {
		case c.Kind == "out" && c.Heads != nil:
			out[c.TeamID] = c
		case c.Kind == "back":
			back[c.TeamID] = c
		}
	}
	people, spent, open := map[foray.ID]int{}, map[foray.ID]time.Duration{}, map[foray.ID]bool{}
	for team, walk := range o.walkOf {
		from, left := out[team]
		to, home := back[team]
		if !left || !home || to.HappenedAt.Before(from.HappenedAt.Time) {
			open[walk] = true
			continue
		}
		people[walk] += *from.Heads
		spent[walk] += time.Duration(*from.Heads) * to.HappenedAt.Sub(from.HappenedAt.Time)
	}
	for walk, n := range people {
		if !open[walk] && n > 0 {
			o.effort[walk] = x.say.Say("records.effort", "hours", strconv.FormatFloat(spent[walk].Hours(), 'f', 1, 64), "people", n)
		}
	}
}

// visit makes a row's event the walk on which it was found, under the foray. What lies in a coarser cell stays with the
// foray: the finds beside it on the walk have a place, which would be its own.
func (o outings) visit(f found) {
	team := foray.ID{}
	if f.plate != nil {
		team = f.plate.TeamID
	} else {
		team = f.seen.TeamID
	}
	f.record["eventType"] = "expedition"
	walk, known := o.walkOf[team]
	if !known || f.plate != nil && f.plate.Outside || f.place.GeneralisedM() > 0 {
		return
	}
	f.record["parentEventID"], f.record["eventID"], f.record["eventType"] = f.record["eventID"], walk.URN(), "siteVisit"
	f.record["samplingEffort"] = o.effort[walk]
}
