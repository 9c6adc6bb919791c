package store

import (
	"fmt"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// What an earlier list is of.
const (
	OfSite    = "site"
	OfSociety = "society"
	OfRecord  = "record" // the list of record of an area, such as a county or a country
)

// EarlierList is a list of what was found before. It is never altered: it is withdrawn, and another is taken in.
type EarlierList struct {
	SocietyID    foray.ID
	ID           foray.ID
	Title        string
	Scope        string
	Site         string // its code or name, as the society uses it from event to event
	Area         string // of a list of record, in words
	Source       string
	PeriodText   string
	PeriodFrom   string // ISO dates
	PeriodTo     string
	File         string
	Header       string // of the file, as CSV
	SHA256       string `gorm:"column:sha256"` // of what the file said
	Lines        int
	AddedBy      foray.ID
	AddedAt      Stamp
	WithdrawnBy  foray.ID // zero: it is in force
	WithdrawnAt  Stamp
	WithdrawnWhy string
}

// TableName is the table of earlier lists.
func (EarlierList) TableName() string { return "earlier_list" }

// InForce reports whether a list was not withdrawn.
func (l EarlierList) InForce() bool { return l.WithdrawnAt.IsZero() }

// EarlierRecord is one line of an earlier list.
type EarlierRecord struct {
	SocietyID         foray.ID
	ListID            foray.ID
	Line              int // of the file
	Verbatim          string
	NameKey           string // as it was read when the list was taken in
	Name              string
	Author            string
	NameRank          string
	Qualifier         string
	QualifierPosition string
	Place             string
	DayText           string
	DayFrom           string // ISO dates
	DayTo             string
	N                 *int // how many, where a number was written
	NText             string
	Collector         string
	Determiner        string
	Host              string
	Substrate         string
	Remarks           string
	AsItCame          string // the line, as CSV under the list's header
}

// TableName is the table of the lines of earlier lists.
func (EarlierRecord) TableName() string { return "earlier_record" }

// SlipName is its name as slips have names.
func (r EarlierRecord) SlipName() foray.SlipName {
	return foray.SlipName{Rank: 1, Verbatim: r.Verbatim, Key: r.NameKey, Name: r.Name, Author: r.Author, NameRank: r.NameRank,
		Qualifier: r.Qualifier, Position: r.QualifierPosition}
}

// AddEarlierList stores a list with its lines.
func (t *Tx) AddEarlierList(l EarlierList, records []EarlierRecord) error {
	if err := add(t, l); err != nil {
		return err
	}
	return add(t, records...)
}

// EarlierLists are the lists that a society ever took in, the oldest first.
func (t *Tx) EarlierLists(society foray.ID) ([]EarlierList, error) {
	return many[EarlierList](t.db.Where("society_id = ?", society).Order("added_at, id"))
}

// EarlierListByID finds a list of a society.
func (t *Tx) EarlierListByID(society, id foray.ID) (EarlierList, error) {
	return one[EarlierList](t.db.Where("society_id = ? AND id = ?", society, id))
}

// WithdrawEarlierList withdraws a list; its lines stay to be read.
func (t *Tx) WithdrawEarlierList(society, id, by foray.ID, at Stamp, why string) error {
	return changed(t.db.Exec(`UPDATE earlier_list SET withdrawn_by = ?, withdrawn_at = ?, withdrawn_why = ?
  WHERE society_id = ? AND id = ? AND withdrawn_at IS NULL`, by, at, why, society, id), "withdraw an earlier list")
}

// EarlierRecords are lines of a list after a line, at most so many; 0: all.
func (t *Tx) EarlierRecords(society, list foray.ID, after, most int) ([]EarlierRecord, error) {
	q := t.db.Where("society_id = ? AND list_id = ? AND line > ?", society, list, after).Order("line")
	if most > 0 {
		q = q.Limit(most)
	}
	return many[EarlierRecord](q)
}

// EarlierNames are the names of a list, each once for each place: what a line says besides these is left out.
func (t *Tx) EarlierNames(society, list foray.ID) ([]EarlierRecord, error) {
	var rows []EarlierRecord
	err := t.db.Raw(`SELECT name_key, name, author, name_rank, qualifier, place, MIN(verbatim) AS verbatim, MIN(line) AS line, COUNT(*) AS n
  FROM earlier_record WHERE society_id = ? AND list_id = ? GROUP BY name_key, name, author, name_rank, qualifier, place
  ORDER BY name_key, author, qualifier, name, name_rank, place`, society, list).Scan(&rows).Error
	if err != nil {
		return nil, fmt.Errorf("read the names of an earlier list: %w", err)
	}
	return rows, nil
}

// EventState is an event with the number of its latest change.
type EventState struct {
	Event
	ChangeSeq int64
}

// EventStates lists a society's events as they are now, the oldest first.
func (t *Tx) EventStates(society foray.ID) ([]EventState, error) {
	return many[EventState](t.db.Table("event").Select("event.*, event_counter.change_seq").
		Joins("JOIN event_counter ON event_counter.society_id = event.society_id AND event_counter.event_id = event.id").
		Where("event.society_id = ?", society).Order("event.starts_on, event.code"))
}

// earlierLinesCounted: a list has as many lines as were taken in with it, so that none was lost on the way.
func earlierLinesCounted(t *Tx) ([]message.Text, error) {
	return t.asText(`SELECT l.title FROM earlier_list l WHERE l.lines <>
  (SELECT COUNT(*) FROM earlier_record r WHERE r.society_id = l.society_id AND r.list_id = l.id) ORDER BY l.title`, "check.earlier-lines", "list")
}
