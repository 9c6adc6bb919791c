package store

import (
	"fmt"

	"forayhall/internal/foray"
)

// Dryer is a dryer of an event with its trays.
type Dryer struct {
	SocietyID foray.ID
	EventID   foray.ID
	ID        foray.ID
	Name      string // one of those that stand has it
	Trays     string // their names from top to bottom, one a line
	Places    int    // a tray
	AddedBy   foray.ID
	AddedAt   Stamp
	TakenBy   foray.ID // zero: it stands
	TakenAt   Stamp
}

// DryerReading is a temperature that somebody read.
type DryerReading struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	DryerID    foray.ID
	Celsius    float64
	Words      string
	ReadBy     foray.ID
	HappenedAt Stamp
	RecordedAt Stamp
}

// VoucherWord is what was said of a plate as a voucher; the newest holds.
type VoucherWord struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	CollectionID foray.ID
	Seq          int
	Kind         foray.VoucherAct
	Reason       foray.VoucherReason
	Fruitbodies  *int // kept
	Tissue       bool // for a sequence is wanted
	Dry          bool // cracker dry when it was taken out
	Institution  string
	Words        string
	SaidBy       foray.ID
	HappenedAt   Stamp
	RecordedAt   Stamp
}

// VoucherCode is what a plate bears beside its number. One that was wrong is replaced by another row, or by one without a
// code.
type VoucherCode struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	CollectionID foray.ID
	Kind         foray.CodeKind
	Code         string
	CodeKey      string
	HeldAt       string `gorm:"column:keeper"` // the institution; of a sequence the repository
	Marker       string // of a sequence
	Dried        bool   // tissue of a dry specimen
	Dated        string // ISO date, as exact as it is known
	TakenBy      foray.ID
	Replaces     foray.ID
	Words        string
	WrittenBy    foray.ID
	HappenedAt   Stamp
	RecordedAt   Stamp
}

// The tables of vouchers.
func (Dryer) TableName() string        { return "dryer" }
func (DryerReading) TableName() string { return "dryer_reading" }
func (VoucherWord) TableName() string  { return "voucher_word" }
func (VoucherCode) TableName() string  { return "voucher_code" }

// AddDryer stores a dryer.
func (t *Tx) AddDryer(d Dryer) error { return add(t, d) }

// Dryers lists the dryers that stand at an event, by name.
func (t *Tx) Dryers(society, event foray.ID) ([]Dryer, error) {
	return many[Dryer](t.ofEvent(society, event).Where("taken_at IS NULL").Order("name, id"))
}

// LockDryers is Dryers that makes others who put plates into them wait until the transaction ends.
func (t *Tx) LockDryers(society, event foray.ID) ([]Dryer, error) {
	return many[Dryer](t.locked().Where("society_id = ? AND event_id = ? AND taken_at IS NULL", society, event).Order("name, id"))
}

// TakeDryer takes a dryer away; the row stays.
func (t *Tx) TakeDryer(society, event, id, by foray.ID, at Stamp) error {
	return changed(t.db.Exec("UPDATE dryer SET taken_by = ?, taken_at = ? WHERE society_id = ? AND event_id = ? AND id = ? AND taken_at IS NULL",
		by, at, society, event, id), "take a dryer away")
}

// AddDryerReading stores a temperature.
func (t *Tx) AddDryerReading(r DryerReading) error { return add(t, r) }

// DryerReadings lists an event's temperatures, oldest first.
func (t *Tx) DryerReadings(society, event foray.ID) ([]DryerReading, error) {
	return many[DryerReading](t.ofEvent(society, event).Order("happened_at, id"))
}

// InDryer lists the plates of an event that are in a dryer, by number.
func (t *Tx) InDryer(society, event foray.ID) ([]Collection, error) {
	return many[Collection](t.ofEvent(society, event).Where("whereabouts = ? AND fate = ?", foray.InDryer, Live).Order("number_base, number_suffix"))
}

// AddVoucherWord says something more of a plate as a voucher.
func (t *Tx) AddVoucherWord(w VoucherWord) error {
	if err := t.db.Raw("SELECT COALESCE(MAX(seq), 0) + 1 FROM voucher_word WHERE society_id = ? AND event_id = ? AND collection_id = ?",
		w.SocietyID, w.EventID, w.CollectionID).Scan(&w.Seq).Error; err != nil {
		return fmt.Errorf("count what was said of a voucher: %w", err)
	}
	return add(t, w)
}

// VoucherWords lists what was said of one collection, oldest first; with a zero id, of all of the event.
func (t *Tx) VoucherWords(society, event, collection foray.ID) ([]VoucherWord, error) {
	q := t.ofEvent(society, event)
	if !collection.IsZero() {
		q = q.Where("collection_id = ?", collection)
	}
	return many[VoucherWord](q.Order("collection_id, seq"))
}

// AddVoucherCode stores a code.
func (t *Tx) AddVoucherCode(c VoucherCode) error { return add(t, c) }

// VoucherCodes lists every code that one collection ever bore, oldest first; with a zero id, those of all of the event.
func (t *Tx) VoucherCodes(society, event, collection foray.ID) ([]VoucherCode, error) {
	q := t.ofEvent(society, event)
	if !collection.IsZero() {
		q = q.Where("collection_id = ?", collection)
	}
	return many[VoucherCode](q.Order("recorded_at, id"))
}

// CodesBorne lists the codes of a kind and key that stand anywhere in a society.
func (t *Tx) CodesBorne(society foray.ID, kind foray.CodeKind, key string) ([]VoucherCode, error) {
	return many[VoucherCode](t.db.Where(`society_id = ? AND kind = ? AND code_key = ? AND NOT EXISTS (SELECT 1 FROM voucher_code n
  WHERE n.society_id = voucher_code.society_id AND n.event_id = voucher_code.event_id AND n.replaces = voucher_code.id)`, society, kind, key).Order("recorded_at, id"))
}

// LockSociety makes others who give codes in the society wait until the transaction ends.
func (t *Tx) LockSociety(society foray.ID) error {
	_, err := one[Society](t.locked().Where("id = ?", society))
	return err
}

// KeysKept is the names, as they were signed and as they were called then, of what other events of a society chose to keep.
func (t *Tx) KeysKept(society, but foray.ID) (map[string]bool, error) {
	var rows []struct{ NameKey, CurrentKey string }
	err := t.db.Raw(`SELECT DISTINCT n.name_key, n.current_key FROM voucher_word v
  JOIN slip s ON s.society_id = v.society_id AND s.event_id = v.event_id AND s.collection_id = v.collection_id
  JOIN slip_name n ON n.society_id = s.society_id AND n.event_id = s.event_id AND n.slip_id = s.id
  WHERE v.society_id = ? AND v.event_id <> ? AND v.kind = ? AND s.kind = ? AND NOT EXISTS (SELECT 1 FROM voucher_word d
    WHERE d.society_id = v.society_id AND d.event_id = v.event_id AND d.collection_id = v.collection_id AND d.seq > v.seq AND d.kind = ?)`,
		society, but, foray.VoucherChosen, foray.SignOff, foray.VoucherDropped).Scan(&rows).Error
	if err != nil {
		return nil, fmt.Errorf("read what was kept elsewhere: %w", err)
	}
	keys := make(map[string]bool, 2*len(rows))
	for _, r := range rows {
		keys[r.NameKey], keys[r.CurrentKey] = true, true
	}
	delete(keys, "")
	return keys, nil
}

// EventPlacements lists the places of every plate of an event, oldest first within a plate.
func (t *Tx) EventPlacements(society, event foray.ID) ([]Placement, error) {
	return many[Placement](t.ofEvent(society, event).Order("collection_id, seq"))
}
