package demo

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"forayhall/seed"
)

// timeForm is how the tables write a time, in the event's zone.
const timeForm = "2006-01-02 15:04"

// row is one row of a table while it is read; the first cell that cannot be read is its error.
type row struct {
	cells map[string]string
	wrong error
}

// eachRow reads a table, which has just these columns.
func eachRow(table string, columns []string, take func(*row)) error {
	name := "demo/" + table + ".csv"
	f, err := seed.Demo.Open(name)
	if err != nil {
		return fmt.Errorf("read the demo: %w", err)
	}
	defer f.Close()
	reader := csv.NewReader(f)
	header, err := reader.Read()
	if err != nil || !slices.Equal(header, columns) {
		return fmt.Errorf("%s: its columns are %v, wanted %v: %w", name, header, columns, errors.Join(err))
	}
	for {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		r := &row{cells: make(map[string]string, len(columns))}
		for i, c := range columns {
			r.cells[c] = record[i]
		}
		if take(r); r.wrong != nil {
			line, _ := reader.FieldPos(0)
			return fmt.Errorf("%s, line %d: %w", name, line, r.wrong)
		}
	}
}

func (r *row) text(column string) string { return r.cells[column] }

func (r *row) yes(column string) bool { return r.cells[column] == "yes" }

// words are a cell's words between semicolons; an empty cell has none.
func (r *row) words(column string) []string {
	if r.cells[column] == "" {
		return nil
	}
	return strings.Split(r.cells[column], ";")
}

func (r *row) fail(err error) {
	if r.wrong == nil {
		r.wrong = err
	}
}

func (r *row) whole(column string) int {
	n, err := strconv.Atoi(r.cells[column])
	if err != nil {
		r.fail(fmt.Errorf("%s: %w", column, err))
	}
	return n
}

// maybe is a whole number that need not be there.
func (r *row) maybe(column string) *int {
	if r.cells[column] == "" {
		return nil
	}
	n := r.whole(column)
	return &n
}

func (r *row) real(column string) *float64 {
	if r.cells[column] == "" {
		return nil
	}
	x, err := strconv.ParseFloat(r.cells[column], 64)
	if err != nil {
		r.fail(fmt.Errorf("%s: %w", column, err))
	}
	return &x
}

// at is a time in the event's zone; an empty cell is the zero time.
func (r *row) at(column string, zone *time.Location) time.Time {
	if r.cells[column] == "" {
		return time.Time{}
	}
	t, err := time.ParseInLocation(timeForm, r.cells[column], zone)
	if err != nil {
		r.fail(fmt.Errorf("%s: %w", column, err))
	}
	return t
}

func (r *row) zone(column string) *time.Location {
	zone, err := time.LoadLocation(r.cells[column])
	if err != nil {
		r.fail(fmt.Errorf("%s: %w", column, err))
		return time.UTC
	}
	return zone
}
