package store

import (
	"fmt"

	"forayhall/internal/foray"
)

// Collection is one numbered find. Naming, Disputed and Whereabouts are computed from its rows of history and kept
// in the same transaction.
type Collection struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	NumberBase   int
	NumberSuffix string
	FormGroup    string
	TeamID       foray.ID
	SiteID       foray.ID
	CollectorID  foray.ID
	PickedAt     Stamp
	PickedText   string // as written, where it was no exact time
	PickedFrom   string // ISO dates of the range
	PickedTo     string
	Substrate    string
	Host         string
	Habitat      string
	Growth       string
	Plate        string
	KeptCool     bool
	Fruitbodies  *int
	WeightG      *float64
	Outside      bool // brought from outside the permitted area
	Cultivated   bool
	Remarks      string
	Naming       foray.Naming
	Disputed     bool
	Whereabouts  foray.Whereabouts
	TableID      foray.ID
	Position     string
	WithWhom     string
	Version      int
	Fate         string // live; split, merged, spoilt: no plate any more
	LoggedBy     foray.ID
	HappenedAt   Stamp
	RecordedAt   Stamp
}

// Number is the collection's number.
func (c Collection) Number() foray.Number {
	return foray.Number{Base: c.NumberBase, Suffix: c.NumberSuffix}
}

// CharacterNote is a fleeting character as somebody said it.
type CharacterNote struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	CollectionID foray.ID
	Character    string
	Words        string
	Seconds      *int
	NotedBy      foray.ID
	HappenedAt   Stamp
	RecordedAt   Stamp
}

// Placement is one row of a plate's history of places.
type Placement struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	CollectionID foray.ID
	Seq          int
	Whereabouts  foray.Whereabouts
	TableID      foray.ID
	Position     string
	WithWhom     string
	PlacedBy     foray.ID
	HappenedAt   Stamp
	RecordedAt   Stamp
}

// AddCollection stores a collection.
func (t *Tx) AddCollection(c Collection) error { return t.AddCollections([]Collection{c}) }

// AddCollections stores many; each begins as a live one.
func (t *Tx) AddCollections(cs []Collection) error {
	for i := range cs {
		if cs[i].Fate == "" {
			cs[i].Fate = Live
		}
	}
	return add(t, cs...)
}

// Live is the fate of a collection that is a plate.
const Live = "live"

// CollectionByNumber finds a collection of an event.
func (t *Tx) CollectionByNumber(society, event foray.ID, n foray.Number) (Collection, error) {
	return one[Collection](t.db.Where("society_id = ? AND event_id = ? AND number_base = ? AND number_suffix = ?",
		society, event, n.Base, n.Suffix))
}

// CollectionByID finds a collection of an event.
func (t *Tx) CollectionByID(society, event, id foray.ID) (Collection, error) {
	return one[Collection](t.ofEvent(society, event).Where("id = ?", id))
}

// LockCollection finds a collection and keeps others from writing to it until the transaction ends.
func (t *Tx) LockCollection(society, event, id foray.ID) (Collection, error) {
	return one[Collection](t.locked().Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}

// Collections lists an event's collections by number.
func (t *Tx) Collections(society, event foray.ID) ([]Collection, error) {
	return many[Collection](t.db.Where("society_id = ? AND event_id = ?", society, event).
		Order("number_base, number_suffix"))
}

// HighestNumber is the largest base number used in an event; 0 when there is none.
func (t *Tx) HighestNumber(society, event foray.ID) (int, error) {
	var n int
	err := t.db.Raw("SELECT COALESCE(MAX(number_base), 0) FROM collection WHERE society_id = ? AND event_id = ?",
		society, event).Scan(&n).Error
	if err != nil {
		return 0, fmt.Errorf("read the highest number: %w", err)
	}
	return n, nil
}

// CorrectField stores changed field data: everything but number, naming, whereabouts and version.
func (t *Tx) CorrectField(c Collection) error {
	return changed(t.db.Model(&Collection{}).Where("society_id = ? AND event_id = ? AND id = ?", c.SocietyID, c.EventID, c.ID).
		Select("FormGroup", "TeamID", "SiteID", "CollectorID", "PickedAt", "PickedText", "PickedFrom", "PickedTo", "Substrate", "Host", "Habitat",
			"Growth", "Plate", "KeptCool", "Fruitbodies", "WeightG", "Outside", "Cultivated", "Remarks").Updates(c), "correct field data")
}

// AddCharacterNotes stores characters as noted.
func (t *Tx) AddCharacterNotes(notes []CharacterNote) error { return add(t, notes...) }

// CharacterNotes lists the characters noted for one collection, oldest first; with a zero id, for all of the event.
func (t *Tx) CharacterNotes(society, event, collection foray.ID) ([]CharacterNote, error) {
	q := t.db.Where("society_id = ? AND event_id = ?", society, event)
	if !collection.IsZero() {
		q = q.Where("collection_id = ?", collection)
	}
	return many[CharacterNote](q.Order("recorded_at, id"))
}

// Place adds a row to a plate's history of places and keeps the collection's own columns in step.
func (t *Tx) Place(p Placement) error {
	if err := t.db.Raw("SELECT COALESCE(MAX(seq), 0) + 1 FROM placement WHERE society_id = ? AND event_id = ? AND collection_id = ?",
		p.SocietyID, p.EventID, p.CollectionID).Scan(&p.Seq).Error; err != nil {
		return fmt.Errorf("count placements: %w", err)
	}
	if err := add(t, p); err != nil {
		return err
	}
	return changed(t.db.Exec("UPDATE collection SET whereabouts = ?, table_id = ?, position = ?, with_whom = ? WHERE society_id = ? AND event_id = ? AND id = ?",
		p.Whereabouts, p.TableID, p.Position, p.WithWhom, p.SocietyID, p.EventID, p.CollectionID), "place a plate")
}

// AddPlacements stores the first places of collections that are stored with them.
func (t *Tx) AddPlacements(ps []Placement) error { return add(t, ps...) }

// Placements lists a plate's places, oldest first.
func (t *Tx) Placements(society, event, collection foray.ID) ([]Placement, error) {
	return many[Placement](t.db.Where("society_id = ? AND event_id = ? AND collection_id = ?", society, event, collection).Order("seq"))
}

// SetStanding stores what the slips of a collection give; the version must be the one it had before.
func (t *Tx) SetStanding(c Collection, naming foray.Naming, disputed bool, version int, now Stamp) error {
	q := t.db.Exec("UPDATE collection SET naming = ?, disputed = ?, version = ? WHERE society_id = ? AND event_id = ? AND id = ? AND version = ?",
		naming, disputed, version, c.SocietyID, c.EventID, c.ID, c.Version)
	if err := changed(q, "set the standing"); err != nil {
		return err
	}
	if c.Naming == naming && c.Disputed == disputed {
		return nil
	}
	return t.addNamingHistory(c, naming, disputed, version, now)
}

func (t *Tx) addNamingHistory(c Collection, naming foray.Naming, disputed bool, seq int, now Stamp) error {
	return add(t, NamingHistory{SocietyID: c.SocietyID, EventID: c.EventID, CollectionID: c.ID, Seq: seq, Naming: naming,
		Disputed: disputed, RecordedAt: now})
}

// AddNamingHistories stores the changes of collections that are stored with their slips.
func (t *Tx) AddNamingHistories(rows []NamingHistory) error { return add(t, rows...) }

// NamingHistory is a change of how a collection is named.
type NamingHistory struct {
	SocietyID    foray.ID
	EventID      foray.ID
	CollectionID foray.ID
	Seq          int
	Naming       foray.Naming
	Disputed     bool
	RecordedAt   Stamp
}

// NamingHistories lists the changes of an event, oldest first within a collection.
func (t *Tx) NamingHistories(society, event foray.ID) ([]NamingHistory, error) {
	return many[NamingHistory](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("collection_id, seq"))
}
