package worth

import (
	"cmp"
	"slices"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/tally/richness"
)

// Kinds of sampling units.
const (
	ByTeam Word = "team"     // what a team handed in and saw on its walk
	BySite Word = "site-day" // where no team is written on any find: a site on a day
)

// Units is what the estimates are made of.
type Units struct {
	Kind  Word
	Units []Unit // in the order in which they went out
	Stray int    // finds that belong to none
	Lost  int    // taxa that were met with by none
}

// Unit is a sampling unit and what it met with.
type Unit struct {
	Team  int // its number; 0 of a site on a day
	Place Place
	Day   string
	Taxa  []string
	Step  richness.Step

	key   string
	at    time.Time
	finds []find
}

// units parts the finds. A team that handed in nothing is a unit that met with nothing; one that is not back and brought
// nothing is none yet.
func (g *ground) units() Units {
	u := Units{Kind: BySite}
	byKey := map[string]*Unit{}
	if slices.ContainsFunc(g.finds, func(f find) bool { return f.ours() && !f.team.IsZero() }) {
		u.Kind = ByTeam
		for _, t := range g.teams {
			if at, ok := g.handed[t.ID]; ok {
				byKey[t.ID.String()] = &Unit{Team: t.Number, key: t.ID.String(), at: g.wentOut(t.ID, at)}
			}
		}
	}
	for _, f := range g.finds {
		key, ok := f.unit(u.Kind)
		switch {
		case !f.ours():
			continue
		case !ok:
			u.Stray++
			continue
		case byKey[key] == nil:
			byKey[key] = &Unit{Team: g.number(f.team), Place: f.where(), Day: f.Day, key: key, at: g.wentOut(f.team, f.at)}
		}
		unit := byKey[key]
		unit.finds = append(unit.finds, f)
		if g.starts[f.team].IsZero() && f.at.Before(unit.at) {
			unit.at = f.at
		}
	}
	for _, unit := range byKey {
		unit.Taxa = union(unit.finds, g.keys)
		u.Units = append(u.Units, *unit)
	}
	slices.SortFunc(u.Units, func(a, b Unit) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.Team, b.Team), cmp.Compare(a.key, b.key))
	})
	steps := richness.Cumulate(u.sets())
	for i := range steps {
		u.Units[i].Step = steps[i]
		u.Lost = g.list.Total - steps[i].Total
	}
	return u
}

func (f find) unit(kind Word) (string, bool) {
	if kind == ByTeam {
		return f.team.String(), !f.team.IsZero()
	}
	return f.Day + " " + f.site.String(), true
}

func (g *ground) wentOut(team foray.ID, or time.Time) time.Time {
	if at := g.starts[team]; !at.IsZero() {
		return at
	}
	return or
}

func (g *ground) number(team foray.ID) int {
	for _, t := range g.teams {
		if t.ID == team {
			return t.Number
		}
	}
	return 0
}

func (u Units) sets() [][]string {
	sets := make([][]string, len(u.Units))
	for i, unit := range u.Units {
		sets[i] = unit.Taxa
	}
	return sets
}

// within is the units that have a find which fits, with what these met with.
func (u Units) within(keys map[string][]string, fits func(find) bool) [][]string {
	var sets [][]string
	for _, unit := range u.Units {
		var some []find
		for _, f := range unit.finds {
			if fits(f) {
				some = append(some, f)
			}
		}
		if len(some) > 0 {
			sets = append(sets, union(some, keys))
		}
	}
	return sets
}
