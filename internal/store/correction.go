package store

import (
	"fmt"

	"forayhall/internal/foray"
)

// What a request for a correction is about.
const (
	AboutFind   = "find"
	AboutRecord = "record"
	AboutLine   = "line"
	AboutList   = "list"
)

// What was done about a request.
const (
	CorrectionAsked     = "asked"     // the sender was asked back
	CorrectionPassed    = "passed"    // to an identifier
	CorrectionDone      = "done"      // something was put right
	CorrectionUnchanged = "unchanged" // it stays, with the reason
	CorrectionReopened  = "reopened"
	CorrectionSaid      = "said"      // the sender answered
	CorrectionReleased  = "released"  // the sender's words may be read by everybody
	CorrectionKeptBack  = "kept_back" // and no longer
	CorrectionErased    = "erased"    // who asked is not kept any more
)

// CorrectionPrivate is the kind of a request that something should not be public: it is never told of itself.
const CorrectionPrivate = "private"

// Correction is a request that something be put right. It is never changed.
type Correction struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	Seq          int // by which people speak of it
	About        string
	CollectionID foray.ID
	RecordID     foray.ID
	Version      *int   // the signed version that was read
	Line         string // the name as that list prints it
	Kind         string // name, place, date, person, CorrectionPrivate, other
	Verbatim     string // the name that is proposed
	NameKey      string
	CurrentKey   string
	Name         string
	Author       string
	Qualifier    string
	ChecklistRev string
	Words        string
	Evidence     string
	PersonID     foray.ID // zero: a visitor
	SecretSha256 string
	RecordedAt   Stamp
}

// CorrectionContact is who asked and how to reach them; erasable.
type CorrectionContact struct {
	SocietyID    foray.ID
	EventID      foray.ID
	CorrectionID foray.ID
	Name         string
	Reach        string
	ShowName     bool
}

// CorrectionAct is one thing that was done about a request.
type CorrectionAct struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	CorrectionID foray.ID
	Seq          int
	Kind         string
	Words        string
	Changed      string   // of what was put right: slip, field, record, place, other
	SlipID       foray.ID // the slip by which it was
	ToID         foray.ID // to whom it was passed
	PersonID     foray.ID // zero: the sender, by their own address
	RecordedAt   Stamp
}

// AddCorrection stores a request with who asked.
func (t *Tx) AddCorrection(c Correction, contact CorrectionContact) error {
	if err := add(t, c); err != nil {
		return err
	}
	return add(t, contact)
}

// Corrections lists an event's requests in the order in which they came.
func (t *Tx) Corrections(society, event foray.ID) ([]Correction, error) {
	return many[Correction](t.ofEvent(society, event).Order("seq"))
}

// CorrectionByID finds a request.
func (t *Tx) CorrectionByID(society, event, id foray.ID) (Correction, error) {
	return one[Correction](t.db.Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}

// LockCorrection finds a request and keeps others from answering it until the transaction ends.
func (t *Tx) LockCorrection(society, event, id foray.ID) (Correction, error) {
	return one[Correction](t.locked().Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}

// CorrectionByHash finds a request of an event by the hash of its sender's secret.
func (t *Tx) CorrectionByHash(society, event foray.ID, secretSha256 string) (Correction, error) {
	return one[Correction](t.ofEvent(society, event).Where("secret_sha256 = ?", secretSha256))
}

// SecretTaken reports whether any request, wherever it is, has a secret already.
func (t *Tx) SecretTaken(secretSha256 string) (bool, error) {
	rows, err := many[Correction](t.db.Where("secret_sha256 = ?", secretSha256).Limit(1))
	return len(rows) > 0, err
}

// CorrectionsSince lists the requests that came to an event since a moment from one person; a zero person: from
// whoever did not sign in.
func (t *Tx) CorrectionsSince(society, event, person foray.ID, since Stamp) ([]Correction, error) {
	q := t.ofEvent(society, event).Where("recorded_at > ?", since)
	if person.IsZero() {
		q = q.Where("person_id IS NULL")
	} else {
		q = q.Where("person_id = ?", person)
	}
	return many[Correction](q.Order("recorded_at"))
}

// AddCorrectionAct stores what was done about a request.
func (t *Tx) AddCorrectionAct(a CorrectionAct) error { return add(t, a) }

// CorrectionActs lists what was done about one request, or with a zero id about all of the event, in order.
func (t *Tx) CorrectionActs(society, event, correction foray.ID) ([]CorrectionAct, error) {
	q := t.ofEvent(society, event)
	if !correction.IsZero() {
		q = q.Where("correction_id = ?", correction)
	}
	return many[CorrectionAct](q.Order("correction_id, seq"))
}

// CorrectionContacts lists who is still known to have asked.
func (t *Tx) CorrectionContacts(society, event foray.ID) ([]CorrectionContact, error) {
	return many[CorrectionContact](t.ofEvent(society, event).Order("correction_id"))
}

// EraseContact forgets who asked, and reports whether it was known.
func (t *Tx) EraseContact(society, event, correction foray.ID) (bool, error) {
	q := t.db.Exec("DELETE FROM correction_contact WHERE society_id = ? AND event_id = ? AND correction_id = ?", society, event, correction)
	if q.Error != nil {
		return false, fmt.Errorf("forget who asked: %w", q.Error)
	}
	return q.RowsAffected > 0, nil
}

// AuditedSince reports whether something was done to a subject after a moment.
func (t *Tx) AuditedSince(society, event, subject foray.ID, kinds []string, since Stamp) (bool, error) {
	rows, err := many[Audit](t.ofEvent(society, event).Where("subject = ? AND kind IN ? AND recorded_at >= ?", subject, kinds, since).Limit(1))
	return len(rows) > 0, err
}

// EventsWithContacts lists the events of any society to which somebody is known who asked for a correction.
func (t *Tx) EventsWithContacts() ([]Event, error) {
	return many[Event](t.db.Where("EXISTS (SELECT 1 FROM correction_contact c WHERE c.society_id = event.society_id AND c.event_id = event.id)").Order("society_id, id"))
}

// NextCorrection is the number that the next request of an event bears. The event is locked by whoever asks.
func (t *Tx) NextCorrection(society, event foray.ID) (int, error) {
	var last int
	if err := t.db.Raw("SELECT COALESCE(MAX(seq), 0) FROM correction WHERE society_id = ? AND event_id = ?", society, event).Scan(&last).Error; err != nil {
		return 0, fmt.Errorf("number a request: %w", err)
	}
	return last + 1, nil
}

// FieldRecordByID finds a field record.
func (t *Tx) FieldRecordByID(society, event, id foray.ID) (FieldRecord, error) {
	return one[FieldRecord](t.db.Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}
