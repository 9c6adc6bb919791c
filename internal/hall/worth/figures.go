package worth

import (
	"bytes"
	"context"
	"slices"
	"strconv"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/tally"
	"forayhall/internal/tally/richness"
)

// Word is a word of the figures' own: a key in what a program reads, a text in what a person does.
type Word string

// Figure is one figure as a table. A cell is a string, an int, a float64, a Word, a richness.Reason, a tally.Realm, a
// tally.Named, or nil where nothing can be said.
type Figure struct {
	Key     string   `json:"figure"`
	Columns []string `json:"columns"`
	Rows    [][]any  `json:"rows"`
}

// FigureKeys lists the figures in the order in which they are told; each can be had by its key.
var FigureKeys = []string{"sites", "teams", "groups", "estimates", "abundance", "individuals", "accumulation", "days", "curve", "years",
	"site-turnover", "year-turnover", "season", "hosts", "rain", "rain-events"}

// FigureOf gives one figure; one that there is none of is not found.
func FigureOf(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, key string) (Figure, error) {
	if !slices.Contains(FigureKeys, key) {
		return Figure{}, fault.Missing()
	}
	d, err := See(ctx, h, actor, scope)
	return d.Figure(key), err
}

// Told is the whole as a program reads it.
type Told struct {
	Seq         int64    `json:"change_seq"`
	Collections int      `json:"collections"`
	Fields      int      `json:"field_records"`
	Taxa        int      `json:"taxa"`
	Waiting     int      `json:"waiting"`
	Kind        string   `json:"unit"`
	Units       int      `json:"units"`
	Level       float64  `json:"level"`
	Figures     []Figure `json:"figures"`
}

// Told gives all figures.
func (d Day) Told() Told {
	t := Told{Seq: d.Seq, Collections: d.Collections, Fields: d.Fields, Taxa: d.Taxa, Waiting: d.Waiting, Kind: string(d.Units.Kind),
		Units: len(d.Units.Units), Level: Level}
	for _, key := range FigureKeys {
		f := d.Figure(key)
		for _, row := range f.Rows {
			for i, cell := range row {
				row[i] = value(cell)
			}
		}
		t.Figures = append(t.Figures, f)
	}
	return t
}

// Figure gives one figure as a table.
func (d Day) Figure(key string) Figure {
	f := Figure{Key: key, Rows: [][]any{}}
	make := map[string]func(*Figure){"sites": d.tellSites, "teams": d.tellTeams, "groups": d.tellGroups,
		"estimates": func(f *Figure) { tellMeasures(f, d.Estimates) }, "abundance": func(f *Figure) { tellMeasures(f, d.Abundance) },
		"individuals": func(f *Figure) { tellCurve(f, "encounters", d.Effective) }, "accumulation": d.tellUnits, "days": d.tellDays,
		"curve": func(f *Figure) { tellCurve(f, "units", d.Curve) }, "years": d.tellYears,
		"site-turnover": func(f *Figure) { d.SiteLess.tell(f) }, "year-turnover": func(f *Figure) { d.YearLess.tell(f) }, "season": d.tellSeason,
		"hosts": d.tellHosts, "rain": d.tellRain, "rain-events": d.tellAfter}
	if tell := make[key]; tell != nil {
		tell(&f)
	}
	return f
}

func (f *Figure) columns(names ...string) { f.Columns = names }

func (f *Figure) row(cells ...any) { f.Rows = append(f.Rows, cells) }

// number is an estimate's cell.
func number(e richness.Estimate) any {
	if !e.OK {
		return nil
	}
	return e.Value
}

// reason is why there is none.
func reason(e richness.Estimate) any {
	if e.OK {
		return nil
	}
	return e.Why
}

func amount(mm *float64) any {
	if mm == nil {
		return nil
	}
	return *mm
}

func (p Place) cell() any {
	if p.Word != "" {
		return p.Word
	}
	return p.Name
}

func (p Part) cells(first any) []any {
	return []any{first, p.Collections, p.Fields, p.Taxa, p.Units, number(p.Chao2.Estimate), number(p.Chao2.Low), number(p.Chao2.High), reason(p.Chao2.Estimate)}
}

func (d Day) tellSites(f *Figure) {
	f.columns("site", "collections", "field_records", "taxa", "units", "chao2", "low", "high", "why")
	for _, p := range d.Sites {
		f.row(p.cells(p.Place.cell())...)
	}
}

func (d Day) tellTeams(f *Figure) {
	f.columns("team", "collections", "field_records", "taxa")
	for _, p := range d.Teams {
		f.row(p.Team, p.Collections, p.Fields, p.Taxa)
	}
}

func (d Day) tellGroups(f *Figure) {
	f.columns("group", "collections", "field_records", "taxa", "units", "chao2", "low", "high", "why")
	for _, p := range d.Groups {
		f.row(p.cells(p.Group)...)
	}
}

func tellMeasures(f *Figure, all []Measure) {
	f.columns("measure", "value", "se", "low", "high", "why")
	for _, m := range all {
		f.row(m.Key, number(m.Estimate), number(m.SE), number(m.Low), number(m.High), reason(m.Estimate))
	}
}

func tellCurve(f *Figure, of string, points []richness.Point) {
	f.columns("order", of, "method", "expected", "se", "low", "high", "coverage")
	for _, p := range points {
		f.row(p.Order, p.Size, Word(p.Method), number(p.Expected), number(p.SE), number(p.Low), number(p.High), number(p.Coverage))
	}
}

func (d Day) tellUnits(f *Figure) {
	f.columns("unit", "team", "site", "day", "met", "new", "total", "expected")
	expected := d.Expected()
	for i, u := range d.Units.Units {
		var team, site, day any
		if u.Team > 0 {
			team = u.Team
		} else {
			site, day = u.Place.cell(), u.Day
		}
		f.row(i+1, team, site, day, u.Step.Met, u.Step.New, u.Step.Total, expected[i])
	}
}

// Expected is what so many units give on average over all orders in which they could have gone.
func (d Day) Expected() []float64 {
	x, err := richness.IncidenceOfSets(d.Units.sets())
	if err != nil {
		return make([]float64, len(d.Units.Units))
	}
	return x.Accumulate().Expected
}

func (d Day) tellDays(f *Figure) {
	f.columns("day", "finds", "met", "new", "total")
	for _, s := range d.Days {
		f.row(s.Day, s.Finds, s.Met, s.New, s.Total)
	}
}

func (d Day) tellYears(f *Figure) {
	f.columns("year", "finds", "met", "new", "total")
	for _, y := range d.Years {
		f.row(y.Year, y.Finds, y.Met, y.New, y.Total)
	}
}

// Cell is the label as a cell of a table.
func (l Label) Cell() any {
	if l.Year > 0 {
		return l.Year
	}
	return l.Place.cell()
}

func (t Turnovers) tell(f *Figure) {
	f.columns("first", "second", "shared", "only_first", "only_second", "jaccard", "sorensen", "replaced", "nested", "why")
	for _, p := range t.Pairs {
		f.row(t.Labels[p.First].Cell(), t.Labels[p.Second].Cell(), p.Shared, p.OnlyFirst, p.OnlySecond, number(p.Jaccard), number(p.Sorensen),
			number(p.Replaced), number(p.Nested), reason(p.Replaced))
	}
}

func (d Day) tellSeason(f *Figure) {
	f.columns("group", "genus", "month", "ten_days", "finds")
	for _, s := range slices.Concat(d.Season.Groups, d.Season.Genera) {
		var group, genus any = s.Group, nil
		if s.Genus != "" {
			group, genus = nil, tally.Named{Name: s.Genus, Rank: "genus"}
		}
		for period, n := range s.In {
			if n > 0 {
				f.row(group, genus, period/3+1, period%3+1, n)
			}
		}
	}
}

func (d Day) tellHosts(f *Figure) {
	f.columns("host", "taxon", "finds")
	for _, h := range d.Hosts {
		for _, t := range h.Taxa {
			f.row(h.Name, t.Named, t.Finds)
		}
	}
}

func (d Day) tellRain(f *Figure) {
	f.columns("day", "mm", "finds")
	for _, w := range d.Rain.Days {
		var finds any
		if w.Event {
			finds = w.Finds
		}
		f.row(w.Day, amount(w.MM), finds)
	}
}

func (d Day) tellAfter(f *Figure) {
	f.columns("event", "first_day", "mm_14_days", "days_entered", "finds", "finds_per_day", "species")
	for _, e := range d.After.Events {
		f.row(e.Code, e.Starts, amount(e.Before), e.Entered, e.Finds, e.PerDay, e.Species)
	}
}

// value is a cell for a program that reads JSON.
func value(cell any) any {
	switch c := cell.(type) {
	case Word:
		return string(c)
	case richness.Reason:
		return string(c)
	case tally.Realm:
		return string(c)
	case tally.Named:
		return Written(c)
	}
	return cell
}

// Written is a taxon in one line.
func Written(n tally.Named) string {
	if n.Qualifier != "" {
		return n.Name + " " + string(n.Qualifier)
	}
	return n.Name
}

// Objects is the rows as JSON has them: by the names of their columns.
func (f Figure) Objects() []map[string]any {
	all := make([]map[string]any, len(f.Rows))
	for i, row := range f.Rows {
		all[i] = map[string]any{}
		for j, cell := range row {
			all[i][f.Columns[j]] = value(cell)
		}
	}
	return all
}

// CSV is the table (RFC 4180); what cannot be said is empty.
func (f Figure) CSV() ([]byte, error) {
	rows := make([][]string, len(f.Rows))
	for i, row := range f.Rows {
		for _, cell := range row {
			rows[i] = append(rows[i], text(value(cell)))
		}
	}
	var w bytes.Buffer
	err := archive.WriteCSV(&w, f.Columns, rows, archive.Formulas)
	return w.Bytes(), err
}

func text(cell any) string {
	switch c := cell.(type) {
	case string:
		return c
	case int:
		return strconv.Itoa(c)
	case float64:
		return strconv.FormatFloat(c, 'f', -1, 64)
	}
	return ""
}
