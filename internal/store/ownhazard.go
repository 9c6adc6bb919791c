package store

import (
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// Kinds of OwnEntry.
const (
	OwnHazard     = "hazard"
	OwnPair       = "pair"
	OwnContest    = "contest"
	OwnWithdrawal = "withdrawal"
)

// OwnEntry is what a society wrote over the knowledge of harm that ships: a hazard, a look-alike pair, that it contests
// a row, or that it takes one of these back.
type OwnEntry struct {
	SocietyID   foray.ID
	ID          foray.ID
	Kind        string
	Name        string // the hazardous taxon; of a pair the one that is gathered
	Other       string // of a pair the poisonous one
	Scope       string
	Syndrome    string
	Exposure    string
	Region      string
	Evidence    string
	Differences string
	Note        string
	About       string // what is contested, as the knowledge calls it
	Reason      string
	Source      string
	Withdraws   foray.ID // zero: nothing
	WrittenBy   foray.ID
	HappenedAt  Stamp
	RecordedAt  Stamp
}

// TableName is the table of a society's entries.
func (OwnEntry) TableName() string { return "own_entry" }

// AddOwnEntries stores what a society wrote.
func (t *Tx) AddOwnEntries(entries []OwnEntry) error { return add(t, entries...) }

// OwnEntries lists everything that a society ever wrote, the oldest first.
func (t *Tx) OwnEntries(society foray.ID) ([]OwnEntry, error) {
	return many[OwnEntry](t.db.Where("society_id = ?", society).Order("recorded_at, id"))
}

// CountOwnEntries counts them. They are only ever added to, so that while the number is the same they are.
func (t *Tx) CountOwnEntries(society foray.ID) (int, error) {
	var n int64
	err := t.db.Model(&OwnEntry{}).Where("society_id = ?", society).Count(&n).Error
	return int(n), err
}

// LockOwnEntries makes others who write entries of the society wait until the transaction ends.
func (t *Tx) LockOwnEntries(society foray.ID) error {
	_, err := one[Society](t.locked().Where("id = ?", society))
	return err
}

// withdrawnOnce: what is taken back is a hazard, a pair or a contest, and not that something was taken back.
func withdrawnOnce(t *Tx) ([]message.Text, error) {
	return t.asText(`SELECT w.id FROM own_entry w JOIN own_entry e ON e.society_id = w.society_id AND e.id = w.withdraws
  WHERE e.kind = 'withdrawal' ORDER BY w.id`, "check.withdrawal", "entry")
}
