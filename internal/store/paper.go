package store

import "forayhall/internal/foray"

// Paper is a card or sheet that stands in the hall, with what it says.
type Paper struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	Kind         string // card, sheet
	CollectionID foray.ID
	Said         string
	ByHand       bool
	ChangeSeq    int64 // what was known when it was made
	MadeBy       foray.ID
	MadeAt       Stamp
	OutBy        foray.ID
	OutAt        Stamp // zero: it still stands there
}

// Sweep is that somebody stood before a table and said what is there.
type Sweep struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	TableID    foray.ID
	Seen       int
	Moved      int // of those, how many were thought elsewhere
	Missing    int // thought there and not seen
	SweptBy    foray.ID
	HappenedAt Stamp
	RecordedAt Stamp
}

// AddPapers stores papers.
func (t *Tx) AddPapers(ps []Paper) error { return add(t, ps...) }

// PapersStanding lists the papers that still stand in the hall, oldest first.
func (t *Tx) PapersStanding(society, event foray.ID) ([]Paper, error) {
	return many[Paper](t.ofEvent(society, event).Where("out_at IS NULL").Order("made_at, id"))
}

// PaperByID finds a paper, standing or not.
func (t *Tx) PaperByID(society, event, id foray.ID) (Paper, error) {
	return one[Paper](t.ofEvent(society, event).Where("id = ?", id))
}

// TakePaperOut stores that a paper no longer stands in the hall; one that was taken away before is ErrAgain.
func (t *Tx) TakePaperOut(p Paper, by foray.ID, at Stamp) error {
	return changed(t.db.Exec("UPDATE paper SET out_by = ?, out_at = ? WHERE society_id = ? AND event_id = ? AND id = ? AND out_at IS NULL",
		by, at, p.SocietyID, p.EventID, p.ID), "take a paper away")
}

// AddSweep stores a sweep.
func (t *Tx) AddSweep(s Sweep) error { return add(t, s) }

// Sweeps lists an event's sweeps, newest first.
func (t *Tx) Sweeps(society, event foray.ID) ([]Sweep, error) {
	return many[Sweep](t.ofEvent(society, event).Order("recorded_at DESC, id DESC"))
}
