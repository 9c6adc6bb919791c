package store

import "forayhall/internal/foray"

// Closing is that hall or event was closed, or opened again.
type Closing struct {
	SocietyID      foray.ID
	EventID        foray.ID
	ID             foray.ID
	Kind           string // hall, event, reopened
	HazardsCounted int    // hazardous plates counted when the tables were cleared
	Words          string
	ClosedBy       foray.ID
	HappenedAt     Stamp
	RecordedAt     Stamp
}

// TaxonFlag is that a taxon is protected or controlled where the event takes place, as typed in with its source.
type TaxonFlag struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	NameKey    string
	CurrentKey string
	Name       string
	Flag       string // protected, controlled
	Source     string
	Permit     string // the permit that names it; empty: none
	AddedBy    foray.ID
	AddedAt    Stamp
	RemovedBy  foray.ID
	RemovedAt  Stamp
}

// AddClosing stores a closing.
func (t *Tx) AddClosing(c Closing) error { return add(t, c) }

// Closings lists an event's closings, oldest first.
func (t *Tx) Closings(society, event foray.ID) ([]Closing, error) {
	return many[Closing](t.ofEvent(society, event).Order("recorded_at, id"))
}

// AddTaxonFlag stores a flag.
func (t *Tx) AddTaxonFlag(f TaxonFlag) error { return add(t, f) }

// TaxonFlags lists the flags that stand in an event, by name.
func (t *Tx) TaxonFlags(society, event foray.ID) ([]TaxonFlag, error) {
	return many[TaxonFlag](t.ofEvent(society, event).Where("removed_at IS NULL").Order("name, id"))
}

// RemoveTaxonFlag takes a flag back; the row stays.
func (t *Tx) RemoveTaxonFlag(society, event, id, by foray.ID, at Stamp) error {
	return changed(t.db.Exec("UPDATE taxon_flag SET removed_by = ?, removed_at = ? WHERE society_id = ? AND event_id = ? AND id = ? AND removed_at IS NULL",
		by, at, society, event, id), "remove a flag")
}

// SetEvent stores how an event is set up; state and home have their own ways.
func (t *Tx) SetEvent(e Event) error {
	return changed(t.db.Model(&Event{}).Where("society_id = ? AND id = ?", e.SocietyID, e.ID).
		Select("Name", "Place", "StartsOn", "EndsOn", "TimeZone", "Region", "Jurisdiction", "GroupOrder", "EverythingRecorded", "RingMin",
			"TellMin", "SearchMin", "SunsetMin", "SilenceMin", "DeletePersonalOn", "PersonalMonths", "ContactMonths").Updates(e), "change an event")
}

// SetSite stores a site as it is now described.
func (t *Tx) SetSite(s Site) error {
	return changed(t.db.Model(&Site{}).Where("society_id = ? AND event_id = ? AND id = ?", s.SocietyID, s.EventID, s.ID).
		Select("Name", "Latitude", "Longitude", "UncertaintyM", "GridM", "Sensitive", "Permitted", "Directions", "Permit", "CountNeeded").Updates(s), "change a site")
}

// SetHallTable stores a table as it now stands.
func (t *Tx) SetHallTable(h HallTable) error {
	return changed(t.db.Model(&HallTable{}).Where("society_id = ? AND event_id = ? AND id = ?", h.SocietyID, h.EventID, h.ID).
		Select("Title", "Hazards", "FormGroups", "LengthMM", "DepthMM", "PlanXMM", "PlanYMM", "Turned").Updates(h), "change a table")
}

// LockEvent is EventByID for changing how the event as a whole stands: two who do are answered one after the other.
func (t *Tx) LockEvent(society, id foray.ID) (Event, error) {
	return one[Event](t.locked().Where("society_id = ? AND id = ?", society, id))
}
