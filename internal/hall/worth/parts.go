package worth

import (
	"slices"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/tally"
	"forayhall/internal/tally/richness"
)

// Part is a site, a team or a group in numbers.
type Part struct {
	Place       Place
	Team        int
	Group       tally.Realm
	Collections int
	Fields      int
	Taxa        int // that count by the list's rule, within this part
	Units       int
	Chao2       Measure // of a site or group: a lower bound for the taxa that were there
}

// parts counts by site, by team in the order of their numbers, and by group. A site's list is counted for itself, so that
// a genus may add one there that adds none to the whole.
func (g *ground) parts(d *Day) error {
	places := map[Place][]find{}
	teams := map[foray.ID][]find{}
	for _, f := range g.finds {
		if f.ours() {
			places[f.where()] = append(places[f.where()], f)
			teams[f.team] = append(teams[f.team], f)
		}
	}
	for place, finds := range places {
		p := partOf(finds)
		p.Place = place
		sets := d.Units.within(g.keys, func(f find) bool { return f.where() == place })
		if err := p.estimate(sets); err != nil {
			return err
		}
		d.Sites = append(d.Sites, p)
	}
	slices.SortFunc(d.Sites, func(a, b Part) int { return a.Place.compare(b.Place) })
	for _, t := range g.teams {
		_, handed := g.handed[t.ID]
		if finds := teams[t.ID]; handed || len(finds) > 0 {
			p := partOf(finds)
			p.Team = t.Number
			d.Teams = append(d.Teams, p)
		}
	}
	return g.groups(d)
}

func partOf(finds []find) (p Part) {
	plain := make([]tally.Find, len(finds))
	for i, f := range finds {
		plain[i] = f.Find
		if f.Field {
			p.Fields++
		} else {
			p.Collections++
		}
	}
	p.Taxa = tally.Make(plain).Total
	return p
}

func (p *Part) estimate(sets [][]string) error {
	x, err := richness.IncidenceOfSets(sets)
	p.Units, p.Chao2 = x.Units(), chao2(x)
	return err
}

// groups counts what stands on the list under each group.
func (g *ground) groups(d *Day) error {
	for _, realm := range tally.Realms {
		p := Part{Group: realm, Taxa: g.list.Totals[realm]}
		for i := range g.list.Lines {
			if line := &g.list.Lines[i]; line.Realm == realm && line.Apart == tally.Counted {
				p.Collections, p.Fields = p.Collections+line.Plates(), p.Fields+line.Fields()
			}
		}
		if p.Collections+p.Fields == 0 {
			continue
		}
		sets := d.Units.sets()
		for i, set := range sets {
			sets[i] = slices.DeleteFunc(slices.Clone(set), func(key string) bool { return !strings.HasPrefix(key, string(realm)+"|") })
		}
		if err := p.estimate(sets); err != nil {
			return err
		}
		d.Groups = append(d.Groups, p)
	}
	return nil
}
