package store

import "forayhall/internal/foray"

// TeamMember is somebody who walks with a team, of the society or not.
type TeamMember struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	TeamID     foray.ID
	PersonID   foray.ID // zero: a guest
	Name       string
	Minor      bool
	Vulnerable bool
	GuardianID foray.ID // another member
	Drives     bool
	DriverID   foray.ID // the member in whose car they came
	AddedBy    foray.ID
	AddedAt    Stamp
	RemovedAt  Stamp // entered by mistake
}

// MemberPrivate is what only who must know may read; reading it is written down. Erasable.
type MemberPrivate struct {
	SocietyID        foray.ID
	EventID          foray.ID
	MemberID         foray.ID `gorm:"primaryKey"`
	Phone            string
	CarRegistration  string
	EmergencyContact string
	Medical          string
	UpdatedAt        Stamp `gorm:"autoUpdateTime:false"`
}

// HeadMark is one mark against a name: out, back, not_going, left_early, found.
type HeadMark struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	TeamID     foray.ID
	MemberID   foray.ID
	Kind       string
	MarkedBy   foray.ID
	HappenedAt Stamp
	RecordedAt Stamp
	Remarks    string
}

// HeadCount is heads as counted (out, back), or that a team was heard of, or what was done because it was not
// (rung, told, search, rescue), or that it handed in.
type HeadCount struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	TeamID     foray.ID
	Kind       string
	Heads      *int // of a hand-in: the collections, as they were counted
	CountedBy  foray.ID
	HappenedAt Stamp
	RecordedAt Stamp
	Remarks    string
}

// AddTeamMembers stores who walks with a team.
func (t *Tx) AddTeamMembers(ms []TeamMember) error { return add(t, ms...) }

// TeamMembers lists who walks with a team, or, with a zero team, with any team of the event.
func (t *Tx) TeamMembers(society, event, team foray.ID) ([]TeamMember, error) {
	q := t.ofEvent(society, event)
	if !team.IsZero() {
		q = q.Where("team_id = ?", team)
	}
	return many[TeamMember](q.Order("team_id, added_at, id"))
}

// TeamMemberByID finds a member of a team.
func (t *Tx) TeamMemberByID(society, event, id foray.ID) (TeamMember, error) {
	return one[TeamMember](t.ofEvent(society, event).Where("id = ?", id))
}

// SetTeamMember stores what is known of a member now.
func (t *Tx) SetTeamMember(m TeamMember) error {
	return changed(t.db.Model(&TeamMember{}).Where("society_id = ? AND event_id = ? AND id = ?", m.SocietyID, m.EventID, m.ID).
		Select("TeamID", "Name", "Minor", "Vulnerable", "GuardianID", "Drives", "DriverID", "RemovedAt").Updates(m), "change a team member")
}

// SetMemberPrivate stores what is private to a member.
func (t *Tx) SetMemberPrivate(p MemberPrivate) error {
	return t.db.Exec(`INSERT INTO member_private (society_id, event_id, member_id, phone, car_registration, emergency_contact, medical, updated_at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (society_id, event_id, member_id) DO UPDATE SET phone = excluded.phone, car_registration = excluded.car_registration,
		emergency_contact = excluded.emergency_contact, medical = excluded.medical, updated_at = excluded.updated_at`,
		p.SocietyID, p.EventID, p.MemberID, p.Phone, p.CarRegistration, p.EmergencyContact, p.Medical, p.UpdatedAt).Error
}

// MemberPrivates lists what is private to the members of a team, or, with a zero team, of the event. Whoever reads it
// for a person adds an AddPrivateRead.
func (t *Tx) MemberPrivates(society, event, team foray.ID) ([]MemberPrivate, error) {
	q := t.ofEvent(society, event)
	if !team.IsZero() {
		q = q.Where("member_id IN (SELECT id FROM team_member WHERE society_id = ? AND event_id = ? AND team_id = ?)", society, event, team)
	}
	return many[MemberPrivate](q.Order("member_id"))
}

// AddHeadMarks adds marks against names.
func (t *Tx) AddHeadMarks(marks []HeadMark) error { return add(t, marks...) }

// HeadMarks lists the marks of a team, or, with a zero team, of the event, in the order in which they happened.
func (t *Tx) HeadMarks(society, event, team foray.ID) ([]HeadMark, error) {
	q := t.ofEvent(society, event)
	if !team.IsZero() {
		q = q.Where("team_id = ?", team)
	}
	return many[HeadMark](q.Order("happened_at, recorded_at, id"))
}

// AddHeadCount adds a count.
func (t *Tx) AddHeadCount(c HeadCount) error { return add(t, c) }

// HeadCounts lists the counts of a team, or, with a zero team, of the event, in the order in which they happened.
func (t *Tx) HeadCounts(society, event, team foray.ID) ([]HeadCount, error) {
	q := t.ofEvent(society, event)
	if !team.IsZero() {
		q = q.Where("team_id = ?", team)
	}
	return many[HeadCount](q.Order("happened_at, recorded_at, id"))
}

// LockTeam keeps others from writing to a team until the transaction ends.
func (t *Tx) LockTeam(society, event, id foray.ID) (Team, error) {
	return one[Team](t.locked().Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}
