package foray_test

import (
	"slices"
	"testing"
	"time"

	"forayhall/internal/foray"
)

func TestWhoseTurnItIs(t *testing.T) {
	at := func(h float64) time.Time { return start.Add(time.Duration(h * float64(time.Hour))) }
	for rule, c := range map[string]struct{ first, second foray.Urgency }{
		"what spoils within the hour goes before a deadly one that keeps": {foray.Urgency{SpoilsAt: at(.5)}, foray.Urgency{Hazard: 50}},
		"what is past its time is now or never":                           {foray.Urgency{SpoilsAt: at(-3)}, foray.Urgency{SpoilsAt: at(3), Hazard: 50}},
		"within a step the worse hazard goes first":                       {foray.Urgency{SpoilsAt: at(.9), Hazard: 50}, foray.Urgency{SpoilsAt: at(.1), Hazard: 10}},
		"of one hazard what may be new goes first":                        {foray.Urgency{New: true, Since: at(0)}, foray.Urgency{Since: at(-5)}},
		"of the rest whoever waited longest":                              {foray.Urgency{Since: at(-2)}, foray.Urgency{Since: at(-1)}},
		"what keeps for weeks goes last":                                  {foray.Urgency{SpoilsAt: at(100)}, foray.Urgency{}},
	} {
		if c.first.Compare(c.second, start) >= 0 || c.second.Compare(c.first, start) <= 0 {
			t.Errorf("not so: %s", rule)
		}
	}
}

// Windows: practice of the trade, table of how long material lasts at 18-22 °C (common practice).
func TestHowLongAPlateLasts(t *testing.T) {
	picked, logged := start.Add(-2*time.Hour), start
	for rule, c := range map[string]struct {
		window         time.Duration
		picked, logged time.Time
		cool           bool
		want           time.Time
	}{
		"counted from picking":                        {4 * time.Hour, picked, logged, false, start.Add(2 * time.Hour)},
		"from logging where picking is not known":     {4 * time.Hour, time.Time{}, logged, false, start.Add(4 * time.Hour)},
		"kept cool it lasts twice as long":            {4 * time.Hour, picked, logged, true, start.Add(6 * time.Hour)},
		"what keeps for weeks has no time":            {14 * 24 * time.Hour, picked, logged, false, time.Time{}},
		"a window that nobody knows gives no time":    {0, picked, logged, false, time.Time{}},
		"and cool does not make one out of no window": {0, picked, logged, true, time.Time{}},
	} {
		if got := foray.SpoilsAt(c.window, c.picked, c.logged, c.cool); !got.Equal(c.want) {
			t.Errorf("%s: %v, want %v", rule, got, c.want)
		}
	}
}

func plates(bases ...int) (all []foray.Number) {
	for _, b := range bases {
		all = append(all, foray.Number{Base: b})
	}
	return all
}

func TestARoundBringsBackAtTheEndWhatWasPassedOver(t *testing.T) {
	r := foray.Round{Order: plates(4, 1, 3, 2)}
	var met []int
	skip := map[int]int{1: 1, 3: 2} // how often each is passed over
	for n, ok := r.Next(); ok; n, ok = r.Next() {
		met = append(met, n.Base)
		if skip[n.Base]--; skip[n.Base] >= 0 {
			r = r.Skip(n)
			continue
		}
		r = r.Look(n)
		if len(met) > 20 {
			t.Fatal("the round has no end")
		}
	}
	if want := []int{4, 1, 3, 2, 1, 3, 3}; !slices.Equal(met, want) {
		t.Errorf("met %v, want %v", met, want)
	}
	if r.Done() != 4 {
		t.Errorf("%d seen", r.Done())
	}
	// Plates are taken off while somebody walks, and others come.
	r.Order = plates(4, 5)
	if n, ok := r.Next(); !ok || n.Base != 5 || r.Done() != 1 {
		t.Errorf("next %v %v, %d seen", n, ok, r.Done())
	}
}

func TestPositionsAreReadAsPeopleReadThem(t *testing.T) {
	got := []string{"", "B1", "A10", "a2", "A2b", "10", "2"}
	slices.SortStableFunc(got, foray.ComparePositions)
	if want := []string{"2", "10", "a2", "A2b", "A10", "B1", ""}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
