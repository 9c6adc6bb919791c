package worth

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/store"
	"forayhall/internal/tally"
	"forayhall/internal/tally/richness"
)

// Step is a day of the event and what it added.
type Step struct {
	Day   string
	Finds int
	richness.Step
}

func (g *ground) days(d *Day) error {
	byDay := map[string][]find{}
	for _, f := range g.finds {
		if f.ours() {
			byDay[f.Day] = append(byDay[f.Day], f)
		}
	}
	days := sortedKeys(byDay)
	sets := make([][]string, len(days))
	for i, day := range days {
		sets[i] = union(byDay[day], g.keys)
	}
	for i, s := range richness.Cumulate(sets) {
		d.Days = append(d.Days, Step{Day: days[i], Finds: len(byDay[days[i]]), Step: s})
	}
	return nil
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// Year is what a year of the society's finds added, as species: genera count for nothing here.
type Year struct {
	Year  int
	Finds int
	Here  bool // this event's finds are in it
	richness.Step
	species []string
}

// years takes the dated finds of earlier lists of the society and its sites, of earlier events, and of this event. A list
// of record has what others found.
func (g *ground) years(d *Day) error {
	species, finds := map[string][]string{}, map[string]int{}
	for _, r := range g.past {
		switch {
		case r.Scope == store.OfRecord:
			continue
		case yearOf(r.From) != yearOf(r.To):
			d.Undated++
			continue
		}
		species[yearOf(r.From)] = append(species[yearOf(r.From)], r.Key)
		finds[yearOf(r.From)]++
	}
	here := map[string]bool{}
	for _, f := range g.finds {
		if year := yearOf(f.Day); f.species != "" && year != "" {
			species[year], here[year] = append(species[year], f.species), true
			finds[year]++
		}
	}
	years := sortedKeys(species)
	sets := make([][]string, len(years))
	for i, y := range years {
		sets[i] = species[y]
	}
	for i, s := range richness.Cumulate(sets) {
		year, err := strconv.Atoi(years[i])
		if err != nil {
			return err
		}
		d.Years = append(d.Years, Year{Year: year, Finds: finds[years[i]], Here: here[years[i]], Step: s, species: sets[i]})
	}
	return nil
}

// yearOf is the year of an ISO date.
func yearOf(day string) string {
	year, _, _ := strings.Cut(day, "-")
	return year
}

// Turnovers compares sites, or years, each with each.
type Turnovers struct {
	Labels []Label
	Pairs  []Pair // the first before the second
	Older  int    // years that are left out
}

// Label is a site or a year, with how many taxa it has.
type Label struct {
	Place Place
	Year  int
	Taxa  int
}

// Pair is two of the labels, by their places.
type Pair struct {
	First, Second int
	richness.Turnover
}

// Between finds a pair either way round; nil of one and the same.
func (t Turnovers) Between(a, b int) *richness.Turnover {
	for i := range t.Pairs {
		if p := &t.Pairs[i]; p.First == min(a, b) && p.Second == max(a, b) {
			return &p.Turnover
		}
	}
	return nil
}

// mostYears is how many years a matrix holds that is read on a telephone.
const mostYears = 8

func (g *ground) lessAlike(d *Day) error {
	var sites, years [][]string
	for _, p := range d.Sites {
		if p.Place.Word == NoPlace {
			continue
		}
		at := slices.DeleteFunc(slices.Clone(g.finds), func(f find) bool { return !f.ours() || f.where() != p.Place })
		set := union(at, g.keys)
		if len(set) > 0 {
			sites, d.SiteLess.Labels = append(sites, set), append(d.SiteLess.Labels, Label{Place: p.Place, Taxa: len(set)})
		}
	}
	d.SiteLess.Pairs = pairs(sites)
	shown := d.Years[max(0, len(d.Years)-mostYears):]
	for _, y := range shown {
		years, d.YearLess.Labels = append(years, y.species), append(d.YearLess.Labels, Label{Year: y.Year, Taxa: y.Met})
	}
	d.YearLess.Pairs, d.YearLess.Older = pairs(years), len(d.Years)-len(shown)
	return nil
}

func pairs(sets [][]string) (all []Pair) {
	for i := range sets {
		for j := i + 1; j < len(sets); j++ {
			all = append(all, Pair{First: i, Second: j, Turnover: richness.Compare(sets[i], sets[j])})
		}
	}
	return all
}

// Host is a tree or other plant by which something grew, as it was written.
type Host struct {
	Name  string
	Finds int
	Taxa  []HostTaxon
}

// HostTaxon is a taxon by a host, with how many finds say so.
type HostTaxon struct {
	tally.Named
	Finds int
}

// hosts gathers what counts by the host that is written with it; upper and lower case are the same.
func (g *ground) hosts(d *Day) error {
	host := map[string]string{}
	for _, f := range g.finds {
		host[f.ID] = f.host
	}
	byName := map[string]*Host{}
	for i := range g.list.Lines {
		line := &g.list.Lines[i]
		if !line.Counts {
			continue
		}
		for _, f := range line.Finds {
			name := host[f.ID]
			if name == "" {
				continue
			}
			h := byName[strings.ToLower(name)]
			if h == nil {
				h = &Host{Name: name}
				byName[strings.ToLower(name)] = h
			}
			h.take(line)
		}
	}
	for _, key := range sortedKeys(byName) {
		d.Hosts = append(d.Hosts, *byName[key])
	}
	slices.SortStableFunc(d.Hosts, func(a, b Host) int { return cmp.Compare(len(b.Taxa), len(a.Taxa)) })
	return nil
}

func (h *Host) take(line *tally.Line) {
	h.Finds++
	if n := len(h.Taxa); n > 0 && h.Taxa[n-1].Named == line.Named {
		h.Taxa[n-1].Finds++
		return
	}
	h.Taxa = append(h.Taxa, HostTaxon{Named: line.Named, Finds: 1})
}
