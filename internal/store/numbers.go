package store

import "forayhall/internal/foray"

// NumberBlock is a run of pre-printed numbers that was handed out.
type NumberBlock struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	FromNumber int
	ToNumber   int
	TeamID     foray.ID
	IssuedTo   string
	Remarks    string
	IssuedBy   foray.ID
	IssuedAt   Stamp
}

// NumberFate is what became of a number that has no plate: spoilt, lost, found again, unused. The newest row counts.
type NumberFate struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	NumberBase   int
	NumberSuffix string
	Fate         string
	Reason       string
	SaidBy       foray.ID
	HappenedAt   Stamp
	RecordedAt   Stamp
}

// CollectionLink ties the parts of a split collection to what they were, and a merged one to what it is now.
type CollectionLink struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	Kind       string // split, merge
	FromID     foray.ID
	IntoID     foray.ID
	Reason     string
	LinkedBy   foray.ID
	RecordedAt Stamp
}

// AddNumberBlock stores a block.
func (t *Tx) AddNumberBlock(b NumberBlock) error { return add(t, b) }

// NumberBlocks lists an event's blocks by number.
func (t *Tx) NumberBlocks(society, event foray.ID) ([]NumberBlock, error) {
	return many[NumberBlock](t.ofEvent(society, event).Order("from_number, id"))
}

// AddNumberFate says what became of a number.
func (t *Tx) AddNumberFate(f NumberFate) error { return add(t, f) }

// NumberFates lists what became of numbers, oldest first.
func (t *Tx) NumberFates(society, event foray.ID) ([]NumberFate, error) {
	return many[NumberFate](t.ofEvent(society, event).Order("recorded_at, id"))
}

// AddCollectionLinks stores what was split or merged.
func (t *Tx) AddCollectionLinks(links []CollectionLink) error { return add(t, links...) }

// CollectionLinks lists an event's splits and merges, oldest first.
func (t *Tx) CollectionLinks(society, event foray.ID) ([]CollectionLink, error) {
	return many[CollectionLink](t.ofEvent(society, event).Order("recorded_at, id"))
}

// SetFate says what became of a collection: live, split, merged, spoilt.
func (t *Tx) SetFate(c Collection, fate string) error {
	return changed(t.db.Exec("UPDATE collection SET fate = ? WHERE society_id = ? AND event_id = ? AND id = ? AND fate = ?",
		fate, c.SocietyID, c.EventID, c.ID, c.Fate), "set what became of a collection")
}

// CollectionsOfBase lists a number and the parts it was split into.
func (t *Tx) CollectionsOfBase(society, event foray.ID, base int) ([]Collection, error) {
	return many[Collection](t.ofEvent(society, event).Where("number_base = ?", base).Order("number_suffix"))
}
