package store

import (
	"context"
	"fmt"
	"slices"
)

// Exec runs a statement that no method of the store would run, to see the database refuse it.
func (s *Store) Exec(ctx context.Context, statement string) error {
	return s.Write(ctx, func(t *Tx) error { return t.db.Exec(statement).Error })
}

// Catalogue describes every table of a dump as the database has it, and lists every table there is.
func (t *Tx) Catalogue() (columns []string, tables []string, err error) {
	query := "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name"
	if t.dialect == Postgres {
		query = "SELECT tablename FROM pg_tables WHERE schemaname = current_schema() ORDER BY tablename"
	}
	if err := t.db.Raw(query).Scan(&tables).Error; err != nil {
		return nil, nil, err
	}
	for _, table := range (Part{}).Tables() {
		all, err := t.columns(table)
		if err != nil {
			return nil, nil, err
		}
		for _, c := range all {
			columns = append(columns, fmt.Sprintf("%s.%s %s key %d required %t", table, c.name, c.kind, c.key, c.required || c.key > 0))
		}
	}
	slices.Sort(tables)
	return columns, tables, nil
}

// Reference is a reference that SQLite's catalogue knows of.
type Reference struct{ Child, Parent, Column string }

// References lists them.
func (t *Tx) References() ([]Reference, error) {
	var all []Reference
	err := t.db.Raw(`SELECT m.name AS child, f."table" AS parent, f."from" AS "column" FROM sqlite_master m, pragma_foreign_key_list(m.name) f
  WHERE m.type = 'table' AND f."from" NOT IN ('society_id', 'event_id')`).Scan(&all).Error
	return all, err
}

// NotDumped lists the tables that stay behind.
var NotDumped = notDumped

// PeopleOf lists the columns of a table that a dump follows to a person.
func PeopleOf(table string) []string {
	for _, d := range dumpTables {
		if d.name == table {
			return d.people
		}
	}
	return nil
}

// Raw runs a statement within a transaction.
func (t *Tx) Raw(statement string, arguments ...any) error {
	return t.db.Exec(statement, arguments...).Error
}
