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

// NewestPlacements lists the newest place of each plate of an event that was ever placed.
func (t *Tx) NewestPlacements(society, event foray.ID) ([]Placement, error) {
	return many[Placement](t.ofEvent(society, event).Where(`seq = (SELECT MAX(p.seq) FROM placement p WHERE p.society_id = placement.society_id
		AND p.event_id = placement.event_id AND p.collection_id = placement.collection_id)`).Order("collection_id"))
}

// LinksTo lists what a collection was made of: the plate it is a part of, and the plates merged into it.
func (t *Tx) LinksTo(society, event, into foray.ID) ([]CollectionLink, error) {
	return many[CollectionLink](t.ofEvent(society, event).Where("into_id = ?", into).Order("recorded_at, id"))
}

// LinksFrom lists what became of a collection: its parts, or the plate it was merged into.
func (t *Tx) LinksFrom(society, event, from foray.ID) ([]CollectionLink, error) {
	return many[CollectionLink](t.ofEvent(society, event).Where("from_id = ?", from).Order("recorded_at, id"))
}
