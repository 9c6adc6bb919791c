package list

import (
	"bytes"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/tally"
)

// Span is in which events, years and sites a line's finds lie, as far as the public may know.
type Span struct {
	Events      []string // codes, newest first
	First, Last string   // years of those events
	Sites       []Site
}

// SpanOf says it of a line of the list.
func (w Whole) SpanOf(line tally.Line) Span {
	var s Span
	in, at := map[string]bool{}, map[string]string{}
	for _, f := range line.Finds {
		in[f.Event] = true
		if f.Site != "" {
			at[f.Site] = f.Place
		}
	}
	for _, e := range w.Events {
		if in[e.Code] {
			s.Events = append(s.Events, e.Code)
			s.First = year(e)
			if s.Last == "" {
				s.Last = year(e)
			}
		}
	}
	for _, site := range w.Sites {
		if at[site.Code] != "" {
			s.Sites = append(s.Sites, site)
		}
	}
	return s
}

var wholeHeader = []string{"name", "author", "rank", "qualifier", "family", "group", "state", "counts", "apart", "collections", "field_records",
	"events", "sites", "first_year", "last_year", "determined_as"}

// CSV is the list for spreadsheets: cells that one would run as a formula are escaped.
func (w Whole) CSV(lines []tally.Line) ([]byte, error) {
	rows := make([][]string, len(lines))
	for i := range lines {
		l, s := &lines[i], w.SpanOf(lines[i])
		sites, as := make([]string, len(s.Sites)), make([]string, len(l.Determined))
		for j, site := range s.Sites {
			sites[j] = site.Name
		}
		for j, d := range l.Determined {
			as[j] = Written(d)
		}
		rows[i] = []string{l.Name, l.Author, string(l.Rank), string(l.Qualifier), l.Family, string(l.Realm), string(l.State), yesNo(l.Counts), string(l.Apart),
			strconv.Itoa(l.Plates()), strconv.Itoa(l.Fields()), strings.Join(s.Events, "; "), strings.Join(sites, "; "), s.First, s.Last, strings.Join(as, "; ")}
	}
	var b bytes.Buffer
	err := archive.WriteCSV(&b, wholeHeader, rows, archive.Formulas)
	return b.Bytes(), err
}

// Kept is how many of the list's finds are given out in which grid, the finest first.
func (w Whole) Kept() (kept []Kept) {
	by := map[int]int{}
	for _, f := range w.chosen {
		if f.GridM > 0 {
			by[f.GridM]++
		}
	}
	for grid, n := range by {
		kept = append(kept, Kept{grid, n})
	}
	slices.SortFunc(kept, func(a, b Kept) int { return a.GridM - b.GridM })
	return kept
}
