package main

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/tally/richness"
)

// unitColumn is the heading that tells a matrix of units from a list of species.
const unitColumn = "unit"

// unitsRow is how some tables of frequencies name the row that holds the number of units. It is no species.
const unitsRow = "__T_sampling_units__"

func inputText(p richness.Problem) message.Text { return message.T("richness.input." + string(p)) }

// abundance reads species and counts, or sums the columns of a matrix.
func (t statsTable) abundance() (richness.Abundance, error) {
	if _, ok := t.Column(unitColumn); ok {
		return t.pooled()
	}
	counts, column, err := t.list("count")
	if err != nil {
		return richness.Abundance{}, err
	}
	a, err := richness.NewAbundance(counts)
	return a, t.placed(err, "count", column)
}

// incidence reads a matrix, or species and frequencies, for which the number of units must be given.
func (t statsTable) incidence(units int) (x richness.Incidence, notes []message.Text, err error) {
	if _, ok := t.Column(unitColumn); ok {
		x, err = t.presence(units)
		return x, nil, err
	}
	if units < 0 {
		if _, _, err := t.listColumns("frequency"); err != nil {
			return x, nil, err
		}
		return x, nil, fault.New(fault.Invalid, "stats.units-missing")
	}
	rows := t
	rows.Table, notes, err = t.withoutUnitsRow(units)
	if err != nil {
		return x, nil, err
	}
	frequencies, column, err := rows.list("frequency")
	if err != nil {
		return x, nil, err
	}
	x, err = richness.IncidenceOfFrequencies(frequencies, units)
	return x, notes, rows.placed(err, "frequency", column)
}

// withoutUnitsRow leaves out a row that repeats the number of units, and refuses one that says another.
func (t statsTable) withoutUnitsRow(units int) (*archive.Table, []message.Text, error) {
	species, column, err := t.listColumns("frequency")
	if err != nil {
		return nil, nil, err
	}
	for i, row := range t.Rows {
		if strings.TrimSpace(row.Cells[species]) != unitsRow {
			continue
		}
		written := strings.TrimSpace(row.Cells[column])
		if v, ok := readCount(written); !ok || v != float64(units) {
			return nil, nil, fault.New(fault.Invalid, "stats.units-row", "file", t.Name, "line", row.Line, "name", unitsRow,
				"written", written, "units", units)
		}
		rest := *t.Table
		rest.Rows = append(append([]archive.Row(nil), t.Rows[:i]...), t.Rows[i+1:]...)
		return &rest, []message.Text{message.T("stats.units-row-left", "file", t.Name, "line", row.Line, "name", unitsRow)}, nil
	}
	return t.Table, nil, nil
}

func (t statsTable) listColumns(column string) (species, at int, err error) {
	for _, c := range []struct {
		name string
		at   *int
	}{{"species", &species}, {column, &at}} {
		i, ok := t.Column(c.name)
		if !ok {
			return 0, 0, fault.New(fault.Invalid, "archive.column-missing", "file", t.Name, "column", c.name,
				"found", strings.Join(t.Header, ", "))
		}
		*c.at = i
	}
	return species, at, nil
}

// list reads a number for each species, and gives the place of its column.
func (t statsTable) list(column string) (numbers []float64, at int, err error) {
	species, at, err := t.listColumns(column)
	if err != nil {
		return nil, 0, err
	}
	seen := map[string]int{}
	for _, row := range t.Rows {
		if err := t.named(row, species, seen); err != nil {
			return nil, 0, err
		}
		v, ok := readCount(row.Cells[at])
		if !ok {
			return nil, 0, t.cell(row.Line, t.Header[at], row.Cells[at], richness.NotNumber)
		}
		numbers = append(numbers, v)
	}
	return numbers, at, nil
}

// named refuses a row without a name, with one that was there, or with cells beyond the last column.
func (t statsTable) named(row archive.Row, column int, seen map[string]int) error {
	name := strings.TrimSpace(row.Cells[column])
	switch first, twice := seen[name]; {
	case row.Surplus != nil:
		return fault.New(fault.Invalid, "archive.surplus-in", "file", t.Name, "line", row.Line, "columns", len(t.Header),
			"value", row.Surplus[0])
	case name == "":
		return fault.New(fault.Invalid, "stats.name-missing", "file", t.Name, "line", row.Line, "column", t.Header[column])
	case twice:
		return fault.New(fault.Invalid, "stats.name-twice", "file", t.Name, "line", row.Line, "column", t.Header[column], "name", name,
			"first", first)
	}
	seen[name] = row.Line
	return nil
}

// matrix reads a row of numbers for each unit; an empty cell is 0, as people leave it. columns says where each number stands.
func (t statsTable) matrix() (rows [][]float64, columns []int, err error) {
	unit, _ := t.Column(unitColumn)
	for i := range t.Header {
		if i != unit {
			columns = append(columns, i)
		}
	}
	if len(columns) == 0 {
		return nil, nil, fault.New(fault.Invalid, "stats.no-species", "file", t.Name, "column", t.Header[unit])
	}
	seen := map[string]int{}
	for _, row := range t.Rows {
		if err := t.named(row, unit, seen); err != nil {
			return nil, nil, err
		}
		numbers := make([]float64, len(columns))
		for i, at := range columns {
			written, ok := strings.TrimSpace(row.Cells[at]), true
			if written == "" {
				continue
			}
			if numbers[i], ok = readCount(written); !ok {
				return nil, nil, t.cell(row.Line, t.Header[at], row.Cells[at], richness.NotNumber)
			}
		}
		rows = append(rows, numbers)
	}
	return rows, columns, nil
}

func (t statsTable) presence(units int) (richness.Incidence, error) {
	rows, columns, err := t.matrix()
	if err != nil {
		return richness.Incidence{}, err
	}
	if units >= 0 && units != len(rows) {
		return richness.Incidence{}, fault.New(fault.Invalid, "stats.units-other", "file", t.Name, "rows", len(rows), "units", units)
	}
	x, err := richness.NewIncidence(rows)
	var in *richness.InputError
	if errors.As(err, &in) && in.Row >= 0 && in.Column >= 0 {
		row, at := t.Rows[in.Row], columns[in.Column]
		return x, t.cell(row.Line, t.Header[at], row.Cells[at], in.Problem)
	}
	return x, t.placed(err, unitColumn, 0)
}

func (t statsTable) pooled() (richness.Abundance, error) {
	rows, columns, err := t.matrix()
	if err != nil {
		return richness.Abundance{}, err
	}
	sums := make([]float64, len(columns))
	for i, numbers := range rows {
		// What is wrong with one row is said of its cell, which a sum would hide.
		_, err := richness.NewAbundance(numbers)
		var in *richness.InputError
		if errors.As(err, &in) {
			at := columns[in.Row]
			return richness.Abundance{}, t.cell(t.Rows[i].Line, t.Header[at], t.Rows[i].Cells[at], in.Problem)
		}
		for j, v := range numbers {
			sums[j] += v
		}
	}
	a, err := richness.NewAbundance(sums)
	var in *richness.InputError
	if errors.As(err, &in) {
		return a, fault.New(fault.Invalid, "stats.pooled", "file", t.Name, "column", t.Header[columns[in.Row]])
	}
	return a, err
}

// placed says which cell of a list of species is wrong.
func (t statsTable) placed(err error, column string, at int) error {
	var in *richness.InputError
	if !errors.As(err, &in) {
		return err
	}
	if in.Row < 0 || in.Row >= len(t.Rows) {
		return t.cell(1, column, strconv.FormatFloat(in.Value, 'f', -1, 64), in.Problem)
	}
	row := t.Rows[in.Row]
	return t.cell(row.Line, t.Header[at], row.Cells[at], in.Problem)
}

// written is how numbers are taken: what spreadsheets write of counts. A number with a comma, or with three figures after a
// point, could be thousands or parts.
var written = regexp.MustCompile(`^[+-]?\d+(\.\d+)?$`)

var thousands = regexp.MustCompile(`^[+-]?\d{1,3}(\.\d{3})+$`)

func readCount(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if !written.MatchString(s) || thousands.MatchString(s) {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0)
}
