package store

import (
	"database/sql"
	"fmt"
	"slices"
	"strings"

	"forayhall/internal/foray"
)

// dumpTable is a table that a package may hold.
type dumpTable struct {
	name   string
	people []string // columns that refer to a person of the society
	whole  bool     // of the installation as a whole: never in an event's package
	wide   bool     // of the society: in the package of each of its events, since each is warned by it or prints on it
}

// dumpTables lists them in an order in which every row comes after those it refers to.
var dumpTables = []dumpTable{
	{name: "installation", whole: true},
	{name: "checklist", whole: true},
	{name: "society"},
	{name: "person"},
	{name: "account", people: []string{"person_id"}, whole: true},
	{name: "society_checklist", people: []string{"chosen_by"}, whole: true},
	{name: "own_entry", people: []string{"written_by"}, wide: true},
	{name: "card_stock", people: []string{"added_by", "taken_by"}, wide: true},
	{name: "earlier_list", people: []string{"added_by", "withdrawn_by"}, whole: true}, // the society's, not the event's
	{name: "earlier_record", whole: true},
	{name: "event"},
	{name: "event_counter"},
	{name: "event_right", people: []string{"person_id", "given_by"}},
	{name: "poison_contact", people: []string{"typed_by", "tested_by"}},
	{name: "site"},
	{name: "team", people: []string{"leader_id"}},
	{name: "hall_table"},
	{name: "collection", people: []string{"collector_id", "logged_by"}},
	{name: "character_note", people: []string{"noted_by"}},
	{name: "slip", people: []string{"determiner_id", "writer_id"}},
	{name: "slip_name"},
	{name: "naming_history"},
	{name: "placement", people: []string{"placed_by"}},
	{name: "dryer", people: []string{"added_by", "taken_by"}},
	{name: "dryer_reading", people: []string{"read_by"}},
	{name: "voucher_word", people: []string{"said_by"}},
	{name: "voucher_code", people: []string{"taken_by", "written_by"}},
	{name: "publication", people: []string{"signed_by"}},
	{name: "rain", people: []string{"entered_by"}},
	{name: "walk", people: []string{"leader_id"}},
	{name: "walk_wish", people: []string{"person_id"}, whole: true},
	{name: "team_plan"},
	{name: "team_member", people: []string{"person_id", "added_by"}},
	{name: "member_private", whole: true},
	{name: "head_mark", people: []string{"marked_by"}},
	{name: "head_count", people: []string{"counted_by"}},
	{name: "number_block", people: []string{"issued_by"}},
	{name: "number_fate", people: []string{"said_by"}},
	{name: "collection_link", people: []string{"linked_by"}},
	{name: "field_record", people: []string{"observer_id", "entered_by"}},
	{name: "field_word", people: []string{"person_id", "writer_id"}},
	{name: "field_tally", people: []string{"counted_by"}},
	{name: "incident", people: []string{"opened_by", "closed_by"}},
	{name: "incident_note", people: []string{"noted_by"}},
	{name: "photograph", people: []string{"taken_by", "hidden_by"}},
	{name: "correction", people: []string{"person_id"}},
	{name: "correction_contact", whole: true},
	{name: "correction_act", people: []string{"to_id", "person_id"}},
	{name: "invitation", people: []string{"person_id", "made_by", "used_by"}, whole: true},
	{name: "hall_pass", people: []string{"made_by"}, whole: true},
	{name: "pass_use", people: []string{"person_id"}, whole: true},
	{name: "sweep", people: []string{"swept_by"}},
	{name: "paper", people: []string{"made_by", "out_by"}},
	{name: "taxon_flag", people: []string{"added_by", "removed_by"}},
	{name: "private_read", people: []string{"person_id"}, whole: true},
	{name: "closing", people: []string{"closed_by"}},
	{name: "person_group", people: []string{"person_id", "said_by"}},
	{name: "command_log", people: []string{"person_id"}},
	{name: "change"},
	{name: "audit", people: []string{"person_id", "subject"}}, // the subject of a right is the person
}

// notDumped are tables that stay behind: people sign in again, and a switch is not data.
var notDumped = []string{"maintenance", "session", "sign_in_limit", "chore", "goose_db_version"}

// Part is what of the database is dumped: one event with the people it names, or everything when it is zero.
type Part struct {
	Society foray.ID
	Event   foray.ID
}

func (p Part) everything() bool { return p.Event.IsZero() }

// Tables lists the tables of a part in the order in which they must be loaded.
func (p Part) Tables() []string {
	var names []string
	for _, d := range dumpTables {
		if p.everything() || !d.whole {
			names = append(names, d.name)
		}
	}
	return names
}

// where is the condition that a table's rows meet to be in the part.
func (p Part) where(table string) (string, []any) {
	if p.everything() {
		return "", nil
	}
	switch table {
	case "society":
		return " WHERE id = ?", []any{p.Society}
	case "own_entry", "card_stock":
		return " WHERE society_id = ?", []any{p.Society}
	case "event":
		return " WHERE society_id = ? AND id = ?", []any{p.Society, p.Event}
	case "person":
		named, arguments := p.named()
		return " WHERE society_id = ? AND id IN (" + named + ")", append([]any{p.Society}, arguments...)
	}
	return " WHERE society_id = ? AND event_id = ?", []any{p.Society, p.Event}
}

// named finds everybody whom the event's rows name.
func (p Part) named() (string, []any) {
	var selects []string
	var arguments []any
	for _, d := range dumpTables {
		for _, c := range d.people {
			switch {
			case d.wide:
				selects = append(selects, "SELECT "+c+" FROM "+d.name+" WHERE society_id = ?")
				arguments = append(arguments, p.Society)
			case !d.whole:
				selects = append(selects, "SELECT "+c+" FROM "+d.name+" WHERE society_id = ? AND event_id = ?")
				arguments = append(arguments, p.Society, p.Event)
			}
		}
	}
	return strings.Join(selects, " UNION "), arguments
}

// Dump gives the rows of a table in the order of its key, each value in one form whichever the database: ids and times
// as text, bytes in base64, reals as short as they can be read back. row is the caller's only until fn returns.
func (t *Tx) Dump(table string, part Part, fn func(row map[string]any) error) error {
	columns, err := t.columns(table)
	if err != nil {
		return err
	}
	where, arguments := part.where(table)
	rows, err := t.db.Raw("SELECT "+names(columns)+" FROM "+quoted(table)+where+" ORDER BY "+keyOf(columns), arguments...).Rows()
	if err != nil {
		return fmt.Errorf("dump %s: %w", table, err)
	}
	defer rows.Close()
	if err := eachRow(rows, columns, fn); err != nil {
		return fmt.Errorf("dump %s: %w", table, err)
	}
	return nil
}

func eachRow(rows *sql.Rows, columns []column, fn func(map[string]any) error) error {
	into := make([]any, len(columns))
	row := make(map[string]any, len(columns))
	for rows.Next() {
		for i, c := range columns {
			into[i] = c.kind.target()
		}
		if err := rows.Scan(into...); err != nil {
			return err
		}
		for i, c := range columns {
			value, err := c.canonical(into[i])
			if err != nil {
				return fmt.Errorf("%s: %w", c.name, err)
			}
			row[c.name] = value
		}
		if err := fn(row); err != nil {
			return err
		}
	}
	return rows.Err()
}

// CountRows counts the rows of a table that a package may hold.
func (t *Tx) CountRows(table string) (int, error) {
	if !slices.Contains(Part{}.Tables(), table) {
		return 0, fmt.Errorf("count rows: there is no table %q", table)
	}
	var n int
	if err := t.db.Raw("SELECT COUNT(*) FROM " + quoted(table)).Scan(&n).Error; err != nil {
		return 0, fmt.Errorf("count %s: %w", table, err)
	}
	return n, nil
}

// Maintain runs fn with the switch on that lets history be written over; why is kept in the row while it is.
// The switch is off again before anybody else can see it.
func (t *Tx) Maintain(why string, now Stamp, fn func() error) error {
	if err := t.db.Exec("INSERT INTO maintenance (id, reason, begun_at) VALUES (1, ?, ?)", why, now).Error; err != nil {
		return fmt.Errorf("begin maintenance: %w", err)
	}
	if err := fn(); err != nil {
		return err
	}
	return changed(t.db.Exec("DELETE FROM maintenance WHERE id = 1"), "end maintenance")
}

// Alone keeps others from adding a society until the transaction ends; an embedded database has one writer anyway.
func (t *Tx) Alone() error {
	if t.dialect == SQLite {
		return nil
	}
	if err := t.db.Exec("LOCK TABLE society IN SHARE ROW EXCLUSIVE MODE").Error; err != nil {
		return fmt.Errorf("wait until nobody adds a society: %w", err)
	}
	return nil
}

func quoted(name string) string { return `"` + name + `"` }

func names(columns []column) string {
	quotedNames := make([]string, len(columns))
	for i, c := range columns {
		quotedNames[i] = quoted(c.name)
	}
	return strings.Join(quotedNames, ", ")
}

// keyOf lists the key's columns in its order. Ids sort alike as uuid and as text, and text sorts by bytes on both.
func keyOf(columns []column) string {
	key := slices.DeleteFunc(slices.Clone(columns), func(c column) bool { return c.key == 0 })
	slices.SortFunc(key, func(a, b column) int { return a.key - b.key })
	return names(key)
}
