// Package worth says what an event's day was worth beside its list: how much was found and where, how much of what was
// there the list is likely to hold, what each walk and year added, and what came before. It exists apart from the list
// because an estimate is no record. It must never rank or score anybody: a team is a number in the order of the teams,
// and no person is in it. Places that the public does not learn of are told together, without a name.
package worth

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/tally"
	"forayhall/internal/tally/richness"
)

// Level is the level of confidence of every interval.
const Level = 0.95

// Day is what an event was worth, as anybody may know it.
type Day struct {
	Event       store.Event
	Seq         int64 // the change it was made after
	Collections int   // with a number and a name or the hope of one
	Fields      int   // seen and left there
	Taxa        int   // that count by the list's rule
	Waiting     int   // finds whose name nobody stands behind yet, or some dispute
	Units       Units
	Sites       []Part
	Teams       []Part
	Groups      []Part
	Estimates   []Measure
	Abundance   []Measure // only where everything met with was recorded
	Counted     int       // encounters that they are made of
	Effective   []richness.Point
	Days        []Step
	Curve       []richness.Point
	Years       []Year
	SiteLess    Turnovers // between sites
	YearLess    Turnovers // between years
	Undated     int       // finds of the past that no one year or ten days can be told of
	Season      Season
	Hosts       []Host
	Rain        Rainfall
	After       AfterRain
}

// See makes it anew. What it gives is the same every time: what is drawn at random is drawn from the event's id.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Day, error) {
	var d Day
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		g, err := readGround(l)
		if err != nil {
			return err
		}
		d, err = g.day()
		return err
	})
	return d, err
}

func (g *ground) day() (Day, error) {
	d := Day{Event: g.event, Seq: g.seq, Taxa: g.list.Total, Waiting: g.waiting, Units: g.units()}
	for _, f := range g.finds {
		if f.Field {
			d.Fields++
		}
	}
	d.Collections = len(g.finds) - d.Fields + g.unnamed
	made := []func(*Day) error{g.parts, g.estimates, g.individuals, g.days, g.curve, g.years, g.lessAlike, g.season, g.hosts, g.rainfall}
	for _, part := range made {
		if err := part(&d); err != nil {
			return d, err
		}
	}
	return d, nil
}

// keysOf is what each find adds to the list, by the find's id: the lines that count.
func keysOf(list tally.List) map[string][]string {
	keys := map[string][]string{}
	for i := range list.Lines {
		if line := &list.Lines[i]; line.Counts {
			for _, f := range line.Finds {
				keys[f.ID] = append(keys[f.ID], lineKey(line))
			}
		}
	}
	return keys
}

// lineKey is one for each line that counts.
func lineKey(l *tally.Line) string {
	return string(l.Realm) + "|" + l.Key + "|" + l.Name + "|" + string(l.Qualifier)
}

// union is the keys of some finds, each once and in order.
func union(finds []find, keys map[string][]string) []string {
	var all []string
	for _, f := range finds {
		all = append(all, keys[f.ID]...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}
