package store

import "forayhall/internal/foray"

// FieldRecord is a taxon that was seen and left where it was.
type FieldRecord struct {
	SocietyID         foray.ID
	EventID           foray.ID
	ID                foray.ID
	TeamID            foray.ID
	SiteID            foray.ID
	ObserverID        foray.ID
	Verbatim          string
	NameKey           string
	CurrentKey        string
	Name              string
	Author            string
	NameRank          string
	Qualifier         string
	QualifierPosition string
	ChecklistRev      string
	Substrate         string
	Host              string
	Outside           bool
	Remarks           string
	EnteredBy         foray.ID
	HappenedAt        Stamp
	RecordedAt        Stamp
}

// FieldWord is that an identifier stands behind a field record, or that one was taken back.
type FieldWord struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	RecordID   foray.ID
	Kind       string // stand, strike
	PersonID   foray.ID
	WriterID   foray.ID
	Remarks    string
	HappenedAt Stamp
	RecordedAt Stamp
}

// FieldTally adds to a field record: so many more were seen; a negative one takes a slip of the finger back.
type FieldTally struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	RecordID   foray.ID
	N          int
	CountedBy  foray.ID
	HappenedAt Stamp
	RecordedAt Stamp
}

// AddFieldRecord stores a field record.
func (t *Tx) AddFieldRecord(r FieldRecord) error { return add(t, r) }

// FieldRecords lists an event's field records in the order in which they happened.
func (t *Tx) FieldRecords(society, event foray.ID) ([]FieldRecord, error) {
	return many[FieldRecord](t.ofEvent(society, event).Order("happened_at, recorded_at, id"))
}

// LockFieldRecord finds a field record and keeps others from writing to it until the transaction ends.
func (t *Tx) LockFieldRecord(society, event, id foray.ID) (FieldRecord, error) {
	return one[FieldRecord](t.locked().Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}

// AddFieldWord stores a word on a field record.
func (t *Tx) AddFieldWord(w FieldWord) error { return add(t, w) }

// FieldWords lists the words on an event's field records, oldest first.
func (t *Tx) FieldWords(society, event foray.ID) ([]FieldWord, error) {
	return many[FieldWord](t.ofEvent(society, event).Order("recorded_at, id"))
}

// AddFieldTally adds to a field record.
func (t *Tx) AddFieldTally(n FieldTally) error { return add(t, n) }

// FieldTallies lists what was added to an event's field records, oldest first.
func (t *Tx) FieldTallies(society, event foray.ID) ([]FieldTally, error) {
	return many[FieldTally](t.ofEvent(society, event).Order("recorded_at, id"))
}
