package store

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"forayhall/internal/message"
)

// wholeFile: the embedded database's own look at its pages, indexes and constraints. Postgres has no such question.
func wholeFile(t *Tx) ([]message.Text, error) {
	if t.dialect == Postgres {
		return nil, nil
	}
	var said []string
	if err := t.db.Raw("PRAGMA integrity_check").Scan(&said).Error; err != nil {
		return nil, err
	}
	var found []message.Text
	for _, s := range said {
		if s != "ok" {
			found = append(found, message.T("check.file", "said", s))
		}
	}
	return found, nil
}

// wholeReferences: no row refers to one that is not there. A connection that forgot to switch the references on could
// have stored one on SQLite; Postgres cannot.
func wholeReferences(t *Tx) ([]message.Text, error) {
	if t.dialect == Postgres {
		return nil, nil
	}
	var rows []struct{ Table, Parent string }
	if err := t.db.Raw(`SELECT "table", parent FROM pragma_foreign_key_check`).Scan(&rows).Error; err != nil {
		return nil, err
	}
	var found []message.Text
	for _, r := range rows {
		found = append(found, message.T("check.reference", "table", r.Table, "parent", r.Parent))
	}
	return found, nil
}

// guards are the triggers of an append-only table.
var guards = map[Dialect][]string{
	SQLite:   {"_no_update", "_no_delete"},
	Postgres: {"_append_only", "_no_truncate"},
}

const sqliteTriggers = `SELECT name FROM sqlite_master WHERE type = 'trigger'`

const postgresTriggers = `SELECT g.tgname FROM pg_trigger g JOIN pg_class c ON c.oid = g.tgrelid
  WHERE c.relnamespace = current_schema()::regnamespace AND NOT g.tgisinternal AND g.tgenabled <> 'D'`

// triggersThere: what keeps history from being changed is in place.
func triggersThere(t *Tx) ([]message.Text, error) {
	query := sqliteTriggers
	if t.dialect == Postgres {
		query = postgresTriggers
	}
	var there []string
	if err := t.db.Raw(query).Scan(&there).Error; err != nil {
		return nil, err
	}
	var found []message.Text
	for _, table := range AppendOnly {
		for _, guard := range guards[t.dialect] {
			if !slices.Contains(there, table+guard) {
				found = append(found, message.T("check.trigger", "trigger", table+guard))
			}
		}
	}
	return found, nil
}

// maintenanceOff: the switch that lets history be written over was not left on.
func maintenanceOff(t *Tx) ([]message.Text, error) {
	return t.asText("SELECT reason FROM maintenance", "check.maintenance", "reason")
}

func oneCounterAnEvent(t *Tx) ([]message.Text, error) {
	return t.asText(`SELECT e.code FROM event e LEFT JOIN event_counter n ON n.society_id = e.society_id AND n.event_id = e.id
  GROUP BY e.society_id, e.id, e.code HAVING COUNT(n.event_id) <> 1 ORDER BY e.code`, "check.counter", "event")
}

// changesWithoutGaps: an event's changes are numbered from 1 to its counter.
func changesWithoutGaps(t *Tx) ([]message.Text, error) {
	return t.asText(`SELECT e.code FROM event e JOIN event_counter n ON n.society_id = e.society_id AND n.event_id = e.id
  LEFT JOIN change c ON c.society_id = e.society_id AND c.event_id = e.id GROUP BY e.society_id, e.id, e.code, n.change_seq
  HAVING COUNT(c.seq) <> n.change_seq OR COALESCE(MIN(c.seq), 1) <> 1 OR COALESCE(MAX(c.seq), 0) <> n.change_seq ORDER BY e.code`,
		"check.changes", "event")
}

// asText makes a text of each value of a query of one column.
func (t *Tx) asText(query, key, argument string) ([]message.Text, error) {
	var values []string
	if err := t.db.Raw(query).Scan(&values).Error; err != nil {
		return nil, err
	}
	var found []message.Text
	for _, v := range values {
		found = append(found, message.T(key, argument, v))
	}
	return found, nil
}

// publicationsAsSigned: a list version's bytes are those that were signed. Versions are read one at a time; a national
// list has megabytes.
func publicationsAsSigned(t *Tx) ([]message.Text, error) {
	rows, err := many[Publication](t.db.Omit("canonical", "csv").Order("society_id, event_id, version"))
	if err != nil {
		return nil, err
	}
	var found []message.Text
	for _, r := range rows {
		p, err := t.PublicationByVersion(r.SocietyID, r.EventID, r.Version)
		if err != nil {
			return nil, err
		}
		if digest(p.Canonical) == p.CanonicalSha256 && digest(p.CSV) == p.CSVSha256 {
			continue
		}
		e, err := t.EventByID(r.SocietyID, r.EventID)
		if err != nil {
			return nil, fmt.Errorf("find the event of a list: %w", err)
		}
		found = append(found, message.T("check.publication", "event", e.Code, "version", r.Version))
	}
	return found, nil
}

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
