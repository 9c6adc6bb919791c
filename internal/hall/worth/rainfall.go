package worth

import (
	"cmp"
	"math"
	"slices"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

const (
	shownBefore = 30 // days before the event whose rain is drawn
	wetBefore   = 14 // days before it that are added up
	fewestWet   = 5  // events before anything is said of rain and finds
)

// Rainfall is the rain before the event, day by day, beside what was found.
type Rainfall struct {
	Days    []Wet
	Entered int // of those days
}

// Wet is one day.
type Wet struct {
	Day   string
	MM    *float64 // nil: nobody entered it
	Event bool     // a day of the event
	Finds int      // confirmed, of this event, that were found on it
}

// AfterRain is the events for which the rain before them is known, with what they found.
type AfterRain struct {
	Events []EventRain // the oldest first
	Known  int         // with rain for all of the days that are added up
	Needed int         // before anything can be said
	Rank   *float64    // Spearman's rank correlation of rain and species; nil: cannot be said
}

// EventRain is one event.
type EventRain struct {
	Code    string
	Starts  string
	Before  *float64 // mm in the days before its first; nil: not every day was entered
	Entered int      // of those days
	Finds   int      // confirmed and named to species
	PerDay  float64  // finds a day of the event
	Species int
	Here    bool
}

func (g *ground) rainfall(d *Day) error {
	society := g.look.Scope.Society
	rain, err := g.look.Tx.RainOfSociety(society)
	if err != nil {
		return err
	}
	mm := map[foray.ID]map[string]float64{}
	for _, r := range rain {
		if mm[r.EventID] == nil {
			mm[r.EventID] = map[string]float64{}
		}
		mm[r.EventID][r.Day] = *r.MM
	}
	if err := g.wetDays(d, mm[g.event.ID]); err != nil {
		return err
	}
	events, err := g.look.Tx.Events(society)
	if err != nil {
		return err
	}
	d.After.Needed = fewestWet
	for _, e := range slices.Backward(events) { // newest first as they come
		here := e.ID == g.event.ID
		if len(mm[e.ID]) == 0 || !here && e.EndsOn >= g.event.StartsOn {
			continue
		}
		r := EventRain{Code: e.Code, Starts: e.StartsOn, Here: here}
		r.before(e, mm[e.ID])
		g.foundAt(&r, e)
		d.After.Events = append(d.After.Events, r)
	}
	d.After.compare()
	return nil
}

func (g *ground) wetDays(d *Day, mm map[string]float64) error {
	if len(mm) == 0 {
		return nil
	}
	begins, err := time.Parse(time.DateOnly, g.event.StartsOn)
	if err != nil {
		return err
	}
	today := g.look.Now.In(g.zone).Format(time.DateOnly)
	for day := begins.AddDate(0, 0, -shownBefore); ; day = day.AddDate(0, 0, 1) {
		w := Wet{Day: day.Format(time.DateOnly), Event: !day.Before(begins)}
		if w.Event && (w.Day > g.event.EndsOn || w.Day > today) {
			return nil
		}
		if fell, ok := mm[w.Day]; ok {
			w.MM = &fell
			d.Rain.Entered++
		}
		for _, f := range g.finds {
			if w.Event && f.species != "" && f.Day == w.Day {
				w.Finds++
			}
		}
		d.Rain.Days = append(d.Rain.Days, w)
	}
}

// before adds up the days before the event.
func (r *EventRain) before(e store.Event, mm map[string]float64) {
	begins, err := time.Parse(time.DateOnly, e.StartsOn)
	if err != nil {
		return
	}
	sum := 0.0
	for n := 1; n <= wetBefore; n++ {
		if fell, ok := mm[begins.AddDate(0, 0, -n).Format(time.DateOnly)]; ok {
			sum += fell
			r.Entered++
		}
	}
	if r.Entered == wetBefore {
		sum = math.Round(sum*10) / 10
		r.Before = &sum
	}
}

// foundAt counts what was confirmed at an event, by the same rule at all of them: finds that are named to species.
func (g *ground) foundAt(r *EventRain, e store.Event) {
	species := map[string]bool{}
	take := func(key string) {
		r.Finds++
		species[key] = true
	}
	if r.Here {
		for _, f := range g.finds {
			if f.species != "" {
				take(f.species)
			}
		}
	} else {
		for _, p := range g.past {
			if p.Event == e.Code {
				take(p.Key)
			}
		}
	}
	r.Species = len(species)
	r.PerDay = float64(r.Finds) / daysFrom(e.StartsOn, e.EndsOn)
}

func daysFrom(first, last string) float64 {
	a, err := time.Parse(time.DateOnly, first)
	b, wrong := time.Parse(time.DateOnly, last)
	if err != nil || wrong != nil || b.Before(a) {
		return 1
	}
	return b.Sub(a).Hours()/24 + 1
}

func (a *AfterRain) compare() {
	var rain, species []float64
	for _, e := range a.Events {
		if e.Before != nil {
			rain, species = append(rain, *e.Before), append(species, float64(e.Species))
		}
	}
	a.Known = len(rain)
	if rho, ok := rankCorrelation(rain, species); ok && a.Known >= fewestWet {
		a.Rank = &rho
	}
}

// rankCorrelation is that of Spearman (1904, Am. J. Psychol. 15:72-101): Pearson's of the ranks, ties sharing theirs. It is
// not defined where one of the two never changes.
func rankCorrelation(x, y []float64) (rho float64, ok bool) {
	rx, ry := ranks(x), ranks(y)
	mean := float64(len(x)+1) / 2
	var xy, xx, yy float64
	for i := range rx {
		a, b := rx[i]-mean, ry[i]-mean
		xy, xx, yy = xy+a*b, xx+a*a, yy+b*b
	}
	if xx == 0 || yy == 0 {
		return 0, false
	}
	return xy / math.Sqrt(xx*yy), true
}

func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	r := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j+1 < len(order) && x[order[j+1]] == x[order[i]] {
			j++
		}
		for k := i; k <= j; k++ {
			r[order[k]] = float64(i+j)/2 + 1
		}
		i = j + 1
	}
	return r
}
