package desk

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// What a field slip may still lack, in the order in which people fill it (common practice: event, number, date, site,
// collector, substrate or nearby trees).
const (
	NoTeam      = "team"
	NoSite      = "site"
	NoCollector = "collector"
	NoPicked    = "picked"
	NoSubstrate = "substrate" // nor a host
	NoCount     = "count"     // which the permit of its site asks for
)

// Missing is what a field slip still lacks. What was brought from outside has no team of this event.
func Missing(c store.Collection, teams []store.Team, sites []store.Site) []string {
	counted := false
	for _, s := range sites {
		counted = counted || s.ID == c.SiteID && s.CountNeeded
	}
	var missing []string
	for _, m := range []struct {
		key  string
		lack bool
	}{
		{NoTeam, c.TeamID.IsZero() && !c.Outside && len(teams) > 0},
		{NoSite, c.SiteID.IsZero() && !c.Outside && len(sites) > 0},
		{NoCollector, c.CollectorID.IsZero()},
		{NoPicked, c.PickedAt.IsZero() && c.PickedText == "" && c.PickedFrom == ""},
		{NoSubstrate, c.Substrate == "" && c.Host == ""},
		{NoCount, counted && c.Fruitbodies == nil && c.WeightG == nil},
	} {
		if m.lack {
			missing = append(missing, m.key)
		}
	}
	return missing
}

// Lacking is one field slip that is not whole.
type Lacking struct {
	Plate   hall.Plate
	Missing []string
}

// Slips is the field slips of an event that are not whole, and how many there are in all.
type Slips struct {
	Lacking []Lacking
	All     int
	People  map[foray.ID]store.Person
	Teams   []store.Team
}

// Incomplete lists the field slips that still lack something, by number.
func Incomplete(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Slips, error) {
	var s Slips
	err := h.View(ctx, actor, access.LogCollection, scope, func(l *hall.Look) (err error) {
		if s.Teams, err = l.Tx.Teams(scope.Society, scope.Event); err != nil {
			return err
		}
		sites, err := l.Tx.Sites(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		if s.People, err = l.PeopleNames(); err != nil {
			return err
		}
		plates, err := l.Plates()
		s.All = len(plates)
		for _, p := range plates {
			if missing := Missing(p.Collection, s.Teams, sites); len(missing) > 0 {
				s.Lacking = append(s.Lacking, Lacking{Plate: p, Missing: missing})
			}
		}
		return err
	})
	return s, err
}
