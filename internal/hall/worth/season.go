package worth

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"forayhall/internal/tally"
)

// Periods is the year in parts of ten days: the first, the second and what is left of each month.
const Periods = 36

// FewestDated is how many dated finds a group or genus needs before its season is drawn.
const FewestDated = 5

// longestSpan is how many days a find may be dated to and still be told of ten days, by the middle.
const longestSpan = 10

// Season is when things were found in the years before.
type Season struct {
	Groups  []Strip
	Genera  []Strip
	Dated   int // finds that are in it
	Visited int // periods in which anything at all was found
	Now     int // the period in which this event begins
}

// Strip is one group's or genus's finds by period.
type Strip struct {
	Group tally.Realm
	Genus string
	In    [Periods]int
	Finds int
}

// Period is the part of ten days that an ISO date lies in, from 0; ok is false for what is no date.
func Period(day string) (period int, ok bool) {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return 0, false
	}
	return 3*(int(t.Month())-1) + min(2, (t.Day()-1)/10), true
}

// middle is the day between two; ok is false where they are too far from each other for ten days.
func middle(from, to string) (day string, ok bool) {
	a, err := time.Parse(time.DateOnly, from)
	b, wrong := time.Parse(time.DateOnly, cmp.Or(to, from))
	if err != nil || wrong != nil {
		return "", false
	}
	days := int(b.Sub(a).Hours() / 24)
	return a.AddDate(0, 0, days/2).Format(time.DateOnly), days >= 0 && days < longestSpan
}

// season takes every dated find of the past, also those of lists of record.
func (g *ground) season(d *Day) error {
	groups, genera := map[tally.Realm]*Strip{}, map[string]*Strip{}
	var visited [Periods]bool
	for _, r := range g.past {
		day, ok := middle(r.From, r.To)
		period, dated := Period(day)
		if !ok || !dated {
			continue
		}
		d.Season.Dated++
		visited[period] = true
		realm := tally.RealmOf(r.Name)
		genus, _, _ := strings.Cut(r.Written, " ")
		if r.Name != nil {
			genus, _, _ = strings.Cut(r.Name.Name, " ")
		}
		if groups[realm] == nil {
			groups[realm] = &Strip{Group: realm}
		}
		if genera[genus] == nil {
			genera[genus] = &Strip{Genus: genus}
		}
		groups[realm].add(period)
		genera[genus].add(period)
	}
	for _, v := range visited {
		if v {
			d.Season.Visited++
		}
	}
	d.Season.Now, _ = Period(g.event.StartsOn)
	for _, realm := range tally.Realms {
		if s := groups[realm]; s != nil && s.Finds >= FewestDated {
			d.Season.Groups = append(d.Season.Groups, *s)
		}
	}
	for _, genus := range sortedKeys(genera) {
		if s := genera[genus]; s.Finds >= FewestDated {
			d.Season.Genera = append(d.Season.Genera, *s)
		}
	}
	return nil
}

func (s *Strip) add(period int) {
	s.In[period]++
	s.Finds++
}

// Most is the tallest period of a strip.
func (s Strip) Most() int { return slices.Max(s.In[:]) }
