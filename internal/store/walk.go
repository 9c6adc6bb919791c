package store

import "forayhall/internal/foray"

// Walk is one outing of an event: where, when it leaves and when it is due back.
type Walk struct {
	SocietyID   foray.ID
	EventID     foray.ID
	ID          foray.ID
	Number      int
	Title       string
	SiteID      foray.ID
	LeaderID    foray.ID
	StartsAt    Stamp
	DueAt       Stamp
	Capacity    int // 0: not bounded
	Remarks     string
	CalledOffAt Stamp
	CreatedAt   Stamp
}

// WalkWish is that somebody would like to join a walk; 1 is the first choice. Erasable.
type WalkWish struct {
	SocietyID foray.ID
	EventID   foray.ID
	PersonID  foray.ID
	WalkID    foray.ID
	Wish      int
	WithWhom  string
	WishedAt  Stamp
}

// TeamPlan is what a team is out for; a zero DueAt is the walk's.
type TeamPlan struct {
	SocietyID foray.ID
	EventID   foray.ID
	TeamID    foray.ID
	WalkID    foray.ID
	DueAt     Stamp
}

// AddWalk stores a walk.
func (t *Tx) AddWalk(w Walk) error { return add(t, w) }

// Walks lists an event's walks by number.
func (t *Tx) Walks(society, event foray.ID) ([]Walk, error) {
	return many[Walk](t.ofEvent(society, event).Order("number"))
}

// SetWalk stores a walk as it is now planned.
func (t *Tx) SetWalk(w Walk) error {
	return changed(t.db.Model(&Walk{}).Where("society_id = ? AND event_id = ? AND id = ?", w.SocietyID, w.EventID, w.ID).
		Select("Title", "SiteID", "LeaderID", "StartsAt", "DueAt", "Capacity", "Remarks", "CalledOffAt").Updates(w), "change a walk")
}

// AddWalkWishes stores wishes.
func (t *Tx) AddWalkWishes(wishes []WalkWish) error { return add(t, wishes...) }

// WalkWishes lists the wishes of an event by person, the first choice first.
func (t *Tx) WalkWishes(society, event foray.ID) ([]WalkWish, error) {
	return many[WalkWish](t.ofEvent(society, event).Order("person_id, wish, walk_id"))
}

// DropWalkWishes takes back what a person wished for.
func (t *Tx) DropWalkWishes(society, event, person foray.ID) error {
	return t.db.Exec("DELETE FROM walk_wish WHERE society_id = ? AND event_id = ? AND person_id = ?", society, event, person).Error
}

// TeamPlans lists what the teams of an event are out for.
func (t *Tx) TeamPlans(society, event foray.ID) ([]TeamPlan, error) {
	return many[TeamPlan](t.ofEvent(society, event).Order("team_id"))
}

// SetTeamPlan stores what a team is out for.
func (t *Tx) SetTeamPlan(p TeamPlan) error {
	return t.db.Exec(`INSERT INTO team_plan (society_id, event_id, team_id, walk_id, due_at) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (society_id, event_id, team_id) DO UPDATE SET walk_id = excluded.walk_id, due_at = excluded.due_at`,
		p.SocietyID, p.EventID, p.TeamID, p.WalkID, p.DueAt).Error
}

// SetTeam stores a team's name, leader and site.
func (t *Tx) SetTeam(m Team) error {
	return changed(t.db.Exec("UPDATE team SET name = ?, leader_id = ?, site_id = ? WHERE society_id = ? AND event_id = ? AND id = ?",
		m.Name, m.LeaderID, m.SiteID, m.SocietyID, m.EventID, m.ID), "change a team")
}
