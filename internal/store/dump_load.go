package store

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"forayhall/internal/fault"
)

// loadMost is how many rows one statement inserts.
const loadMost = 100

// refersBack are the columns that refer to a row of the same table, which must be there first.
var refersBack = map[string]string{"slip": "strikes", "own_entry": "withdraws", "voucher_code": "replaces"}

// Loader puts rows of a dump into one table.
type Loader struct {
	t       *Tx
	table   string
	columns []column
	skip    bool
	line    int
	waiting [][]any
	later   [][]any // rows that refer to others of the same table
}

// Load begins to fill a table. With skipKnown a row whose key is there already is passed over, else it is an error.
func (t *Tx) Load(table string, skipKnown bool) (*Loader, error) {
	columns, err := t.columns(table)
	if err != nil {
		return nil, err
	}
	return &Loader{t: t, table: table, columns: columns, skip: skipKnown}, nil
}

// Add takes one row as one JSON object. It must have the table's columns, all of them and no other.
func (l *Loader) Add(raw json.RawMessage) error {
	l.line++
	var row map[string]any
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	if err := decoder.Decode(&row); err != nil || len(row) != len(l.columns) {
		return l.wrong("")
	}
	values := make([]any, len(l.columns))
	late := false
	for i, c := range l.columns {
		value, there := row[c.name]
		stored, ok := c.kind.stored(value)
		if !there || !ok {
			return l.wrong(c.name)
		}
		values[i] = stored
		late = late || refersBack[l.table] == c.name && value != nil
	}
	if late {
		l.later = append(l.later, values)
		return nil
	}
	l.waiting = append(l.waiting, values)
	if len(l.waiting) < loadMost {
		return nil
	}
	return l.flush()
}

func (l *Loader) wrong(column string) error {
	return fault.New(fault.Invalid, "keeping.row-wrong", "table", l.table, "line", l.line, "column", column)
}

// Close stores what is still waiting and gives the number of rows taken.
func (l *Loader) Close() (int, error) {
	if err := l.flush(); err != nil {
		return 0, err
	}
	for len(l.later) > 0 {
		n := min(loadMost, len(l.later))
		l.waiting, l.later = append(l.waiting, l.later[:n]...), l.later[n:]
		if err := l.flush(); err != nil {
			return 0, err
		}
	}
	return l.line, nil
}

func (l *Loader) flush() error {
	if len(l.waiting) == 0 {
		return nil
	}
	one := "(" + strings.TrimSuffix(strings.Repeat("?, ", len(l.columns)), ", ") + ")"
	places := strings.TrimSuffix(strings.Repeat(one+", ", len(l.waiting)), ", ")
	values := make([]any, 0, len(l.waiting)*len(l.columns))
	for _, row := range l.waiting {
		values = append(values, row...)
	}
	statement := "INSERT INTO " + quoted(l.table) + " (" + names(l.columns) + ") VALUES " + places
	switch {
	case l.skip && (l.table == "own_entry" || l.table == "card_stock"): // taken back on both sides is once; of one name the one here stands
		statement += " ON CONFLICT DO NOTHING"
	case l.skip:
		statement += " ON CONFLICT (" + keyOf(l.columns) + ") DO NOTHING"
	}
	if err := l.t.db.Exec(statement, values...).Error; err != nil {
		return fmt.Errorf("load %s up to row %d: %w", l.table, l.line, err)
	}
	l.waiting = l.waiting[:0]
	return nil
}
