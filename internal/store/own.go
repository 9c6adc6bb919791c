package store

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"forayhall/internal/foray"
)

// AccountOf finds how a person signs in; fault.NotFound where they cannot.
func (t *Tx) AccountOf(society, person foray.ID) (Account, error) {
	return one[Account](t.db.Where("society_id = ? AND person_id = ?", society, person))
}

// LockAccount is AccountByID for changing it.
func (t *Tx) LockAccount(society, id foray.ID) (Account, error) {
	return one[Account](t.locked().Where("society_id = ? AND id = ?", society, id))
}

// SetSignIn gives an account that was made by a pass a login and a password of its own.
func (t *Tx) SetSignIn(a Account, login, hash string) error {
	return changed(t.db.Exec("UPDATE account SET login = ?, password_hash = ? WHERE society_id = ? AND id = ?", login, hash, a.SocietyID, a.ID), "set a sign-in")
}

// ChangePassword stores a new password hash and ends every session of the account but one.
func (t *Tx) ChangePassword(a Account, hash string, keep foray.ID, now time.Time) error {
	q := t.db.Exec("UPDATE account SET password_hash = ? WHERE society_id = ? AND id = ?", hash, a.SocietyID, a.ID)
	if err := changed(q, "change a password"); err != nil {
		return err
	}
	return t.EndSessions(a.SocietyID, a.ID, keep, now)
}

// Sessions lists the sessions of an account that still hold, the newest first.
func (t *Tx) Sessions(society, account foray.ID, now time.Time) ([]Session, error) {
	return many[Session](t.db.Where("society_id = ? AND account_id = ? AND revoked_at IS NULL AND expires_at > ?", society, account, At(now)).
		Order("created_at DESC, id DESC"))
}

// EndSessions revokes every session of an account but one; a zero keep leaves none.
func (t *Tx) EndSessions(society, account, keep foray.ID, now time.Time) error {
	q := t.db.Model(&Session{}).Where("society_id = ? AND account_id = ? AND revoked_at IS NULL", society, account)
	if !keep.IsZero() {
		q = q.Where("id <> ?", keep)
	}
	if err := q.Update("revoked_at", At(now)).Error; err != nil {
		return fmt.Errorf("end sessions: %w", err)
	}
	return nil
}

// RightsHeld lists every right that a person was given, in all events of the society.
func (t *Tx) RightsHeld(society, person foray.ID) ([]EventRight, error) {
	return many[EventRight](t.db.Where("society_id = ? AND person_id = ?", society, person).Order("event_id, held"))
}

// actsOnly are tables whose naming of somebody is no record of a find or of the day: they do not keep a name.
var actsOnly = []string{"account", "event_right", "walk_wish", "team_member", "invitation", "pass_use", "private_read", "command_log", "audit", "card_stock", "dryer"}

// EventsNaming lists the events whose record names somebody.
func (t *Tx) EventsNaming(society, person foray.ID) ([]foray.ID, error) {
	var selects []string
	var arguments []any
	for _, d := range dumpTables {
		for _, c := range d.people {
			if !d.whole && !d.wide && d.name != "audit" && d.name != "command_log" {
				selects = append(selects, "SELECT event_id FROM "+d.name+" WHERE society_id = ? AND "+c+" = ?")
				arguments = append(arguments, society, person)
			}
		}
	}
	var events []foray.ID
	// Safety: the names of tables and columns are this package's own.
	if err := t.db.Raw(strings.Join(selects, " UNION ")+" ORDER BY event_id", arguments...).Scan(&events).Error; err != nil {
		return nil, fmt.Errorf("look where somebody is named: %w", err)
	}
	return events, nil
}

// OnRecord reports whether a find, a name, a paper or an act of the day is somebody's.
func (t *Tx) OnRecord(society, person foray.ID) (bool, error) {
	for _, d := range dumpTables {
		for _, c := range d.people {
			if slices.Contains(actsOnly, d.name) {
				continue
			}
			var n int64
			// Safety: the names of tables and columns are this package's own.
			if err := t.db.Raw("SELECT COUNT(*) FROM "+d.name+" WHERE society_id = ? AND "+c+" = ?", society, person).Scan(&n).Error; err != nil {
				return false, fmt.Errorf("look whether somebody is on record: %w", err)
			}
			if n > 0 {
				return true, nil
			}
		}
	}
	return false, nil
}

// run runs the steps of an erasure and says how many rows they met.
func (t *Tx) run(what string, steps []string, args map[string]any) (int64, error) {
	var met int64
	for _, sql := range steps {
		q := t.db.Exec(sql, args)
		if q.Error != nil {
			return met, fmt.Errorf("%s: %w", what, q.Error)
		}
		met += q.RowsAffected
	}
	return met, nil
}

// erasePerson takes away how somebody signs in, what they wished for and what they told for the day. What refers to a
// row goes before it.
var erasePerson = []string{
	"DELETE FROM session WHERE society_id = @society AND account_id IN (SELECT id FROM account WHERE society_id = @society AND person_id = @person)",
	"DELETE FROM sign_in_limit WHERE login IN (SELECT login FROM account WHERE society_id = @society AND person_id = @person)",
	"DELETE FROM pass_use WHERE society_id = @society AND person_id = @person",
	"DELETE FROM account WHERE society_id = @society AND person_id = @person",
	"DELETE FROM event_right WHERE society_id = @society AND person_id = @person",
	"DELETE FROM walk_wish WHERE society_id = @society AND person_id = @person",
	"DELETE FROM member_private WHERE society_id = @society AND member_id IN (SELECT id FROM team_member WHERE society_id = @society AND person_id = @person)",
	"UPDATE head_mark SET remarks = '' WHERE society_id = @society AND remarks <> '' AND member_id IN (SELECT id FROM team_member WHERE society_id = @society AND person_id = @person)",
	"UPDATE number_block SET issued_to = '' WHERE society_id = @society AND issued_to = (SELECT name FROM person WHERE society_id = @society AND id = @person)",
	"UPDATE team_member SET name = '', person_id = NULL WHERE society_id = @society AND person_id = @person",
	"UPDATE invitation SET name = '' WHERE society_id = @society AND (person_id = @person OR used_by = @person)",
	"DELETE FROM correction_contact WHERE society_id = @society AND correction_id IN (SELECT id FROM correction WHERE society_id = @society AND person_id = @person)",
}

// ErasePerson removes what is kept of somebody beside the record.
func (t *Tx) ErasePerson(society, person foray.ID, why string, now Stamp) error {
	return t.Maintain(why, now, func() error {
		_, err := t.run("erase a person's data", erasePerson, map[string]any{"society": society, "person": person})
		return err
	})
}

// unnamed stands where a name was that no record needs.
const unnamed = "—"

// forgetName takes a name away, also from the history.
var forgetName = []string{
	"UPDATE person SET name = @unnamed, credit = 'none' WHERE society_id = @society AND id = @person",
	"UPDATE audit SET detail = '' WHERE society_id = @society AND subject = @person AND kind IN ('person.add', 'pass.use', 'invitation.use')",
}

// ForgetName takes away the name of somebody whom no record names, also from the history.
func (t *Tx) ForgetName(society, person foray.ID, why string, now Stamp) error {
	args := map[string]any{"society": society, "person": person, "unnamed": unnamed}
	return t.Maintain(why, now, func() error {
		_, err := t.run("forget a name", forgetName, args)
		return err
	})
}

// SheetsNaming lists the events on whose team sheets somebody stands.
func (t *Tx) SheetsNaming(society, person foray.ID) ([]foray.ID, error) {
	var events []foray.ID
	q := t.db.Raw("SELECT DISTINCT event_id FROM team_member WHERE society_id = ? AND person_id = ? ORDER BY event_id", society, person)
	if err := q.Scan(&events).Error; err != nil {
		return nil, fmt.Errorf("look on whose sheets somebody stands: %w", err)
	}
	return events, nil
}

// toldOf is what somebody is told when they ask for their data: everything that is of them, and nothing of others
// whom they only wrote down. Rows are found by @society and @person.
var toldOf = []struct{ table, where string }{
	{"person", "id = @person"},
	{"account", "person_id = @person"},
	{"session", "account_id IN (SELECT id FROM account WHERE society_id = @society AND person_id = @person)"},
	{"event_right", "person_id = @person"},
	{"walk_wish", "person_id = @person"},
	{"team", "leader_id = @person"},
	{"walk", "leader_id = @person"},
	{"team_member", "person_id = @person"},
	{"member_private", "member_id IN (SELECT id FROM team_member WHERE society_id = @society AND person_id = @person)"},
	{"head_mark", "member_id IN (SELECT id FROM team_member WHERE society_id = @society AND person_id = @person)"},
	{"private_read", "subject IN (SELECT id FROM team_member WHERE society_id = @society AND person_id = @person)"},
	{"collection", "collector_id = @person OR logged_by = @person"},
	{"character_note", "noted_by = @person"},
	{"slip", "determiner_id = @person OR writer_id = @person"},
	{"slip_name", "slip_id IN (SELECT id FROM slip WHERE society_id = @society AND (determiner_id = @person OR writer_id = @person))"},
	{"placement", "placed_by = @person"},
	{"dryer", "added_by = @person OR taken_by = @person"},
	{"dryer_reading", "read_by = @person"},
	{"voucher_word", "said_by = @person"},
	{"voucher_code", "written_by = @person OR taken_by = @person"},
	{"correction", "person_id = @person"},
	{"correction_contact", "correction_id IN (SELECT id FROM correction WHERE society_id = @society AND person_id = @person)"},
	{"correction_act", "person_id = @person OR to_id = @person"},
	{"field_record", "observer_id = @person OR entered_by = @person"},
	{"field_word", "person_id = @person"},
	{"photograph", "taken_by = @person"},
	{"publication", "signed_by = @person"},
	{"rain", "entered_by = @person"},
	{"own_entry", "written_by = @person"},
	{"card_stock", "added_by = @person OR taken_by = @person"},
	{"invitation", "person_id = @person OR used_by = @person"},
	{"pass_use", "person_id = @person"},
	{"audit", "person_id = @person OR subject = @person"},
}

// keptBack are columns that open something, or are the list and not the person.
var keptBack = []string{"password_hash", "secret_sha256", "canonical", "csv"}

// ToldOf gives every row that is of somebody, by table, in the form that packages have.
func (t *Tx) ToldOf(society, person foray.ID) (map[string][]map[string]any, error) {
	all := map[string][]map[string]any{}
	for _, part := range toldOf {
		rows, err := t.rowsWhere(part.table, part.where, map[string]any{"society": society, "person": person})
		if err != nil {
			return nil, fmt.Errorf("tell what is kept of somebody: %w", err)
		}
		all[part.table] = rows
	}
	return all, nil
}

func (t *Tx) rowsWhere(table, where string, args map[string]any) ([]map[string]any, error) {
	columns, err := t.columns(table)
	if err != nil {
		return nil, err
	}
	key := keyOf(columns)
	columns = slices.DeleteFunc(columns, func(c column) bool { return slices.Contains(keptBack, c.name) })
	// Safety: tables, columns and conditions are this package's own.
	rows, err := t.db.Raw("SELECT "+names(columns)+" FROM "+quoted(table)+" WHERE society_id = @society AND ("+where+") ORDER BY "+key, args).Rows()
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", table, err)
	}
	defer rows.Close()
	found := []map[string]any{}
	err = eachRow(rows, columns, func(row map[string]any) error {
		one := make(map[string]any, len(row))
		for name, value := range row {
			one[name] = value
		}
		found = append(found, one)
		return nil
	})
	return found, err
}

// AuditsOfKinds lists the newest of an event's audit rows of some kinds.
func (t *Tx) AuditsOfKinds(society, event foray.ID, kinds []string, limit int) ([]Audit, error) {
	return many[Audit](t.ofEvent(society, event).Where("kind IN ?", kinds).Order("recorded_at DESC, id DESC").Limit(limit))
}

// NoPassword is the hash of an account that a pass made: nothing gives it, so that nobody signs in by it.
const NoPassword = ""

// NoSession is the session that is kept where none is.
var NoSession foray.ID
