package store

import (
	"gorm.io/gorm/clause"

	"forayhall/internal/foray"
)

// Checklist is a list of names that was imported: what it is called, and the blob in which its index stands.
type Checklist struct {
	ID          foray.ID
	Title       string
	Edition     string
	File        string
	IndexSha256 string
	Revision    string
	Accepted    int
	Former      int
	Refused     int
	ImportedAt  Stamp
}

// TableName is the table of checklists.
func (Checklist) TableName() string { return "checklist" }

// SocietyChecklist is the list that a society follows.
type SocietyChecklist struct {
	SocietyID   foray.ID `gorm:"primaryKey"`
	ChecklistID foray.ID
	ChosenBy    foray.ID
	ChosenAt    Stamp
}

// TableName is the table of what societies follow.
func (SocietyChecklist) TableName() string { return "society_checklist" }

// AddChecklist stores a list.
func (t *Tx) AddChecklist(c Checklist) error { return add(t, c) }

// Checklists are the lists of the installation, the newest first.
func (t *Tx) Checklists() ([]Checklist, error) {
	return many[Checklist](t.db.Order("imported_at DESC, id DESC"))
}

// ChecklistByID finds a list.
func (t *Tx) ChecklistByID(id foray.ID) (Checklist, error) {
	return one[Checklist](t.db.Where("id = ?", id))
}

// FollowedBy gives the list that a society follows; the zero id: the names that ship.
func (t *Tx) FollowedBy(society foray.ID) (foray.ID, error) {
	rows, err := many[SocietyChecklist](t.db.Where("society_id = ?", society))
	if err != nil || len(rows) == 0 {
		return foray.ID{}, err
	}
	return rows[0].ChecklistID, nil
}

// Follow makes a society follow a list; the zero id: the names that ship.
func (t *Tx) Follow(f SocietyChecklist) error {
	if f.ChecklistID.IsZero() {
		return t.db.Exec("DELETE FROM society_checklist WHERE society_id = ?", f.SocietyID).Error
	}
	return t.db.Clauses(clause.OnConflict{UpdateAll: true}).Create(&f).Error
}
