package store

import "forayhall/internal/foray"

// Incident is that something was eaten; private.
type Incident struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	CollectionID foray.ID // zero: the plate is not known
	What         string
	Who          string // adult, child, animal
	EatenAt      Stamp
	EatenText    string
	HowMuch      string
	Signs        string
	OpenedBy     foray.ID
	OpenedAt     Stamp
	ClosedBy     foray.ID
	ClosedAt     Stamp
	ClosingWords string
}

// IncidentNote is what was done or said, when.
type IncidentNote struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	IncidentID foray.ID
	Words      string
	NotedBy    foray.ID
	HappenedAt Stamp
	RecordedAt Stamp
}

// PrivateRead is that somebody read what is private.
type PrivateRead struct {
	SocietyID  foray.ID
	ID         foray.ID
	EventID    foray.ID
	PersonID   foray.ID
	What       string
	Subject    foray.ID
	RecordedAt Stamp
}

// AddIncident stores an incident.
func (t *Tx) AddIncident(i Incident) error { return add(t, i) }

// Incidents lists an event's incidents, newest first.
func (t *Tx) Incidents(society, event foray.ID) ([]Incident, error) {
	return many[Incident](t.ofEvent(society, event).Order("opened_at DESC, id DESC"))
}

// LockIncident finds an incident and keeps others from writing to it until the transaction ends.
func (t *Tx) LockIncident(society, event, id foray.ID) (Incident, error) {
	return one[Incident](t.locked().Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}

// SetIncident stores what is known of an incident now.
func (t *Tx) SetIncident(i Incident) error {
	return changed(t.db.Model(&Incident{}).Where("society_id = ? AND event_id = ? AND id = ?", i.SocietyID, i.EventID, i.ID).
		Select("CollectionID", "What", "EatenAt", "EatenText", "HowMuch", "Signs", "ClosedBy", "ClosedAt", "ClosingWords").Updates(i), "change an incident")
}

// OpenIncidentOn reports whether a plate is asked for by an incident that is not closed.
func (t *Tx) OpenIncidentOn(society, event, collection foray.ID) (bool, error) {
	found, err := many[Incident](t.ofEvent(society, event).Where("collection_id = ? AND closed_at IS NULL", collection).Limit(1))
	return len(found) > 0, err
}

// AddIncidentNote stores a note.
func (t *Tx) AddIncidentNote(n IncidentNote) error { return add(t, n) }

// IncidentNotes lists the notes of an incident, oldest first.
func (t *Tx) IncidentNotes(society, event, incident foray.ID) ([]IncidentNote, error) {
	return many[IncidentNote](t.ofEvent(society, event).Where("incident_id = ?", incident).Order("happened_at, recorded_at, id"))
}

// AddPrivateRead writes down that somebody read what is private.
func (t *Tx) AddPrivateRead(r PrivateRead) error { return add(t, r) }

// PrivateReads lists who read what is private in an event, newest first.
func (t *Tx) PrivateReads(society, event foray.ID) ([]PrivateRead, error) {
	return many[PrivateRead](t.ofEvent(society, event).Order("recorded_at DESC, id DESC"))
}
