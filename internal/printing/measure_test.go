package printing

import (
	"fmt"
	"strings"
	"testing"
)

// laidOut is a sheet with everything in its place.
func laidOut(t testing.TB, s WarningSheet, p Paper) layout {
	t.Helper()
	c, err := newCanvas(p.Size.mm())
	if err != nil {
		t.Fatal(err)
	}
	l, err := layOut(c, s, p)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// The measure of the hall: what is here has to be read standing, on two pages, and the whole by somebody who has little
// time.
func TestSheet_of_a_full_hall_is_short(t *testing.T) {
	s := fullHall(t)
	for _, c := range []struct {
		paper  Paper
		ends   int
		pages  int
		detail float64 // points
	}{
		{Paper{Size: A4}, 2, 7, 9},
		{Paper{Size: Letter}, 3, 8, 9}, // 18 mm less than A4, twice
		{Paper{Size: A4, Large: true}, 9, 18, 13.5},
	} {
		l := laidOut(t, s, c.paper)
		t.Logf("%s: %d lines of %d syndromes end on page %d of %d at %+v", c.paper, len(s.Here), len(bySyndrome(l.entries)), l.ends, l.pages, l.set.sizes)
		if l.ends > c.ends || l.pages > c.pages {
			t.Errorf("%s: block A ends on page %d of %d", c.paper, l.ends, l.pages)
		}
		if small := min(l.set.sizes.detail, l.set.sizes.body, l.set.sizes.name); small < c.detail {
			t.Errorf("%s: the type is too small: %+v", c.paper, l.set.sizes)
		}
	}
}

func TestSheet_of_a_small_hall_is_set_large_and_tells_all_in_place(t *testing.T) {
	s := sampleSheet(t, inHall)
	s.Here = s.Here[:8]
	l := laidOut(t, s, Paper{})
	if l.ends > roomForA || l.set.sizes.body < 11 || l.set.sizes.name < 14 || l.set.stage.told != mostTold || !l.set.stage.signs {
		t.Errorf("page %d, %+v, %+v", l.ends, l.set.sizes, l.set.stage)
	}
}

// Nobody reads what is said twice.
func TestSheet_tells_each_difference_once(t *testing.T) {
	s := fullHall(t)
	text := textOf(drawnSheet(t, s, Paper{Size: A4, Large: true})) // in one column nothing stands between the lines of a text
	for _, d := range s.Doubles {
		if n := strings.Count(text, oneSpace(strings.TrimSpace(d.Differences))); d.Differences != "" && n > 1 && !sharedBy(s, d.Differences) {
			t.Errorf("%d times: %s", n, d.Differences)
		}
	}
}

// sharedBy reports whether the same words tell several pairs apart.
func sharedBy(s WarningSheet, words string) bool {
	gathered := map[string]bool{}
	for _, d := range s.Doubles {
		if d.Differences == words {
			gathered[d.Gathered.String()] = true
		}
	}
	for _, l := range s.Here {
		for _, t := range l.Taken {
			if t.Differences == words {
				gathered[t.Gathered.String()] = true
			}
		}
	}
	return len(gathered) > 1
}

func TestPlates_stand_by_table_and_state(t *testing.T) {
	got := byTable([]Plate{{"1", "3", Confirmed}, {"2", "4", Confirmed}, {"3", "3", Provisional}, {"4", "3", Confirmed}, {"5", "", BroughtIn}})
	want := [][]Plate{{{"1", "3", Confirmed}, {"4", "3", Confirmed}, {"3", "3", Provisional}}, {{"2", "4", Confirmed}}, {{"5", "", BroughtIn}}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got %v", got)
	}
}

func TestTables_are_called_by_their_numbers_unless_two_share_one(t *testing.T) {
	for _, c := range []struct{ tables, want []string }{
		{[]string{"14 Hazards, behind the barrier", "3"}, []string{"14", "3"}},
		{[]string{"Boletes", "A3 Waxcaps"}, []string{"Boletes", "A3"}},
		{[]string{"3 Boletes", "3 Waxcaps", "3 Boletes", "3 Corals"}, []string{"3 Boletes", "3 Waxcaps", "3 Boletes", "3 Corals"}},
	} {
		var plates []Plate
		for _, table := range c.tables {
			plates = append(plates, Plate{Table: table})
		}
		short := shortTables(plates)
		for i, table := range c.tables {
			if short[table] != c.want[i] {
				t.Errorf("%q of %q is called %q", table, c.tables, short[table])
			}
		}
	}
}

func TestNames_without_entry_stand_by_table_and_state(t *testing.T) {
	a, b := Italic("Trametes versicolor"), Italic("Stereum hirsutum")
	got := unlistedByTable([]Unlisted{{a, []Plate{{"1", "5", Confirmed}}}, {b, []Plate{{"2", "5", Provisional}}}, {a, []Plate{{"3", "5", Confirmed}, {"4", "6", Confirmed}}}})
	want := [][]unlistedAt{{{a, "5", Confirmed, []Plate{{"1", "5", Confirmed}, {"3", "5", Confirmed}}}, {b, "5", Provisional, []Plate{{"2", "5", Provisional}}}},
		{{a, "6", Confirmed, []Plate{{"4", "6", Confirmed}}}}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got %v", got)
	}
}
