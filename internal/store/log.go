package store

import (
	"errors"
	"fmt"

	"gorm.io/gorm"

	"forayhall/internal/foray"
)

// CommandLog is a command that was applied, with its answer. Ids are scoped to the person.
type CommandLog struct {
	SocietyID  foray.ID
	PersonID   foray.ID
	ID         foray.ID
	EventID    foray.ID
	Kind       string
	Device     string
	BodySha256 string
	Result     string
	RecordedAt Stamp
}

// Change is one line of an event's change log. Seq has no gaps.
type Change struct {
	SocietyID  foray.ID
	EventID    foray.ID
	Seq        int64
	Kind       string
	Subject    foray.ID
	RecordedAt Stamp
}

// Audit says who did what, for ever.
type Audit struct {
	SocietyID  foray.ID
	ID         foray.ID
	EventID    foray.ID
	PersonID   foray.ID
	Action     string
	Kind       string
	Subject    foray.ID
	Detail     string
	RecordedAt Stamp
}

// Publication is a list version, signed and frozen.
type Publication struct {
	SocietyID       foray.ID
	EventID         foray.ID
	Version         int
	Canonical       []byte
	CanonicalSha256 string
	CSV             []byte `gorm:"column:csv"`
	CSVSha256       string `gorm:"column:csv_sha256"`
	ChecklistRev    string
	KnowledgeRev    string
	ChangeSeq       int64
	Remarks         string
	SignedBy        foray.ID
	SignedAt        Stamp
}

// LockCommand keeps the same command of the same person, sent a second time, waiting until this transaction ends: it
// then sees what the first one did. One writer at a time needs no lock.
func (t *Tx) LockCommand(person, id foray.ID) error {
	if t.dialect != Postgres {
		return nil
	}
	if err := t.db.Exec("SELECT pg_advisory_xact_lock(hashtextextended(?, 0))", person.String()+id.String()).Error; err != nil {
		return fmt.Errorf("lock a command: %w", err)
	}
	return nil
}

// CommandByID finds an applied command of a person; ok is false when it was not seen before.
func (t *Tx) CommandByID(society, person, id foray.ID) (c CommandLog, ok bool, err error) {
	err = t.db.Where("society_id = ? AND person_id = ? AND id = ?", society, person, id).Take(&c).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return c, false, nil
	}
	if err != nil {
		return c, false, fmt.Errorf("look for a command: %w", err)
	}
	return c, true, nil
}

// AddCommand remembers an applied command.
func (t *Tx) AddCommand(c CommandLog) error { return add(t, c) }

// AddAudit writes audit rows.
func (t *Tx) AddAudit(rows []Audit) error { return add(t, rows...) }

// Audits lists an event's audit, newest first.
func (t *Tx) Audits(society, event foray.ID, limit int) ([]Audit, error) {
	return many[Audit](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("recorded_at DESC, id DESC").Limit(limit))
}

// AddChanges numbers the changes from the event's counter and writes them: the last statement of a transaction, so
// that the counter is held as shortly as can be. It returns the last number.
func (t *Tx) AddChanges(society, event foray.ID, changes []Change) (int64, error) {
	if len(changes) == 0 {
		return 0, nil
	}
	var last int64
	err := t.db.Raw("UPDATE event_counter SET change_seq = change_seq + ? WHERE society_id = ? AND event_id = ? RETURNING change_seq",
		len(changes), society, event).Scan(&last).Error
	if err != nil {
		return 0, fmt.Errorf("count changes: %w", err)
	}
	for i := range changes {
		changes[i].Seq = last - int64(len(changes)-1-i)
	}
	if err := add(t, changes...); err != nil {
		return 0, err
	}
	if t.dialect == Postgres {
		if err := t.db.Exec("SELECT pg_notify('forayhall', ?)", fmt.Sprintf("%s %d", event, last)).Error; err != nil {
			return 0, fmt.Errorf("wake the others: %w", err)
		}
	}
	return last, nil
}

// ChangesSince lists an event's changes after a number, at most limit.
func (t *Tx) ChangesSince(society, event foray.ID, seq int64, limit int) ([]Change, error) {
	return many[Change](t.db.Where("society_id = ? AND event_id = ? AND seq > ?", society, event, seq).Order("seq").Limit(limit))
}

// LastChange is an event's latest change; ok is false where nothing ever changed.
func (t *Tx) LastChange(society, event foray.ID) (c Change, ok bool, err error) {
	rows, err := many[Change](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("seq DESC").Limit(1))
	if err != nil || len(rows) == 0 {
		return c, false, err
	}
	return rows[0], true, nil
}

// AddPublication stores a list version.
func (t *Tx) AddPublication(p Publication) error { return add(t, p) }

// Publications lists an event's versions, newest first, without their bytes.
func (t *Tx) Publications(society, event foray.ID) ([]Publication, error) {
	return many[Publication](t.db.Omit("canonical", "csv").Where("society_id = ? AND event_id = ?", society, event).Order("version DESC"))
}

// PublicationByVersion finds a list version with its bytes.
func (t *Tx) PublicationByVersion(society, event foray.ID, version int) (Publication, error) {
	return one[Publication](t.db.Where("society_id = ? AND event_id = ? AND version = ?", society, event, version))
}
