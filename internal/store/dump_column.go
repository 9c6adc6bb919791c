package store

import (
	"database/sql"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"forayhall/internal/foray"
)

// column is a column as a dump sees it.
type column struct {
	name     string
	kind     columnKind
	key      int // its place in the primary key, from 1; 0 outside it
	required bool
}

// columnKind is what a column holds, whatever a database calls it.
type columnKind string

const (
	textColumn  columnKind = "text"
	idColumn    columnKind = "id"
	timeColumn  columnKind = "time"
	boolColumn  columnKind = "bool"
	intColumn   columnKind = "int"
	realColumn  columnKind = "real"
	bytesColumn columnKind = "bytes"
)

// catalogued is a column as the database's own catalogue has it.
type catalogued struct {
	Name     string
	Type     string
	Key      int
	Required bool
}

const sqliteColumns = `SELECT name, type, pk AS key, "notnull" AS required FROM pragma_table_info(?) ORDER BY cid`

const postgresColumns = `SELECT a.attname AS name, format_type(a.atttypid, NULL) AS type,
    COALESCE((SELECT k.place FROM unnest(i.indkey) WITH ORDINALITY k (attnum, place) WHERE k.attnum = a.attnum), 0) AS key,
    a.attnotnull AS required
  FROM pg_attribute a LEFT JOIN pg_index i ON i.indrelid = a.attrelid AND i.indisprimary
  WHERE a.attrelid = to_regclass(CAST(? AS text)) AND a.attnum > 0 AND NOT a.attisdropped ORDER BY a.attnum`

// columns asks the catalogue, so that a column of a later migration is dumped too.
func (t *Tx) columns(table string) ([]column, error) {
	query, kindOf := sqliteColumns, sqliteKind
	if t.dialect == Postgres {
		query, kindOf = postgresColumns, postgresKind
	}
	var found []catalogued
	if err := t.db.Raw(query, table).Scan(&found).Error; err != nil {
		return nil, fmt.Errorf("read the columns of %s: %w", table, err)
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("read the columns of %s: there is no such table", table)
	}
	columns := make([]column, len(found))
	for i, c := range found {
		kind, err := kindOf(c)
		if err != nil {
			return nil, fmt.Errorf("read the columns of %s: %w", table, err)
		}
		columns[i] = column{name: c.Name, kind: kind, key: c.Key, required: c.Required}
	}
	return columns, nil
}

func postgresKind(c catalogued) (columnKind, error) {
	switch c.Type {
	case "text":
		return textColumn, nil
	case "uuid":
		return idColumn, nil
	case "timestamp with time zone":
		return timeColumn, nil
	case "boolean":
		return boolColumn, nil
	case "integer", "bigint":
		return intColumn, nil
	case "double precision":
		return realColumn, nil
	case "bytea":
		return bytesColumn, nil
	}
	return "", fmt.Errorf("%s is of type %q, which a dump does not know", c.Name, c.Type)
}

// flags are the columns that hold yes or no, which SQLite keeps as integers.
var flags = map[string]bool{"tissue": true, "dry": true, "dried": true, "sensitive": true, "permitted": true, "kept_cool": true, "outside": true, "cultivated": true, "disputed": true, "hazards": true,
	"everything_recorded": true, "count_needed": true, "turned": true, "minor": true, "vulnerable": true, "drives": true, "private": true, "by_hand": true, "cut_marks": true, "show_name": true}

// sqliteKind goes by the name where SQLite's types say too little; a test holds it against Postgres' catalogue.
func sqliteKind(c catalogued) (columnKind, error) {
	switch c.Type {
	case "TEXT":
		return textKind(c.Name), nil
	case "INTEGER", "BIGINT":
		if flags[c.Name] {
			return boolColumn, nil
		}
		return intColumn, nil
	case "REAL":
		return realColumn, nil
	case "BLOB":
		return bytesColumn, nil
	}
	return "", fmt.Errorf("%s is of type %q, which a dump does not know", c.Name, c.Type)
}

func textKind(name string) columnKind {
	switch {
	case strings.HasSuffix(name, "_at") || strings.HasSuffix(name, "_until"):
		return timeColumn
	case name == "id" || strings.HasSuffix(name, "_id") || strings.HasSuffix(name, "_by") || name == "strikes" || name == "withdraws" || name == "replaces" || name == "subject":
		return idColumn
	}
	return textColumn
}

// target is what a value of a kind is scanned into.
func (k columnKind) target() any {
	switch k {
	case idColumn:
		return new(foray.ID)
	case timeColumn:
		return new(Stamp)
	case boolColumn:
		return new(sql.NullBool)
	case intColumn:
		return new(sql.NullInt64)
	case realColumn:
		return new(sql.NullFloat64)
	case bytesColumn:
		return new([]byte)
	}
	return new(sql.NullString)
}

// canonical is a scanned value as it is written, the same from both databases.
func (c column) canonical(scanned any) (any, error) {
	switch v := scanned.(type) {
	case *foray.ID:
		return v.Value()
	case *Stamp:
		return v.Value()
	case *[]byte:
		if *v == nil && !c.required { // SQLite's driver reads no bytes as none
			return nil, nil
		}
		return base64.StdEncoding.EncodeToString(*v), nil
	case *sql.NullString:
		if v.Valid && !plainText(v.String) {
			return nil, errors.New("this is no text in UTF-8")
		}
		return v.Value()
	case *sql.NullBool:
		return v.Value()
	case *sql.NullInt64:
		return v.Value()
	case *sql.NullFloat64:
		return v.Value()
	}
	return nil, fmt.Errorf("cannot write a %T", scanned)
}

// plainText: one database keeps U+0000 and broken UTF-8, and the other does not.
func plainText(s string) bool { return utf8.ValidString(s) && !strings.ContainsRune(s, 0) }

// stored turns a value read from a package into one to be stored. Only the form that canonical writes is taken, so
// that a value is not one thing in the package and another in the database.
func (k columnKind) stored(value any) (any, bool) {
	if value == nil {
		return nil, true
	}
	text, isText := value.(string)
	number, isNumber := value.(json.Number)
	switch k {
	case idColumn:
		id, err := foray.ParseID(text)
		return text, isText && err == nil && id.String() == text
	case timeColumn:
		at, err := time.Parse(stampForm, text)
		return text, isText && err == nil && at.Format(stampForm) == text
	case boolColumn:
		_, ok := value.(bool)
		return value, ok
	case intColumn:
		n, err := number.Int64()
		return n, isNumber && err == nil
	case realColumn:
		x, err := number.Float64()
		return x, isNumber && err == nil
	case bytesColumn:
		b, err := base64.StdEncoding.Strict().DecodeString(text)
		return b, isText && err == nil
	}
	return text, isText && plainText(text)
}
