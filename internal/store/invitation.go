package store

import "forayhall/internal/foray"

// Invitation is a link by which somebody gets a sign-in; the secret is only in the link.
type Invitation struct {
	SocietyID    foray.ID
	ID           foray.ID
	EventID      foray.ID // zero: to the society only
	PersonID     foray.ID // zero: somebody new
	Name         string
	Rights       string // comma-separated, for the event
	SecretSha256 string
	MadeBy       foray.ID
	MadeAt       Stamp
	ExpiresAt    Stamp
	UsedAt       Stamp
	UsedBy       foray.ID
	TakenBackAt  Stamp
}

// HallPass is a code by which a walk-in helper gets one right for one event until the hall closes.
type HallPass struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	Held         string
	Label        string
	SecretSha256 string
	MostUses     int
	MadeBy       foray.ID
	MadeAt       Stamp
	ClosedAt     Stamp
}

// PassUse is who came in by a pass.
type PassUse struct {
	SocietyID foray.ID
	EventID   foray.ID
	PassID    foray.ID
	PersonID  foray.ID
	AccountID foray.ID
	UsedAt    Stamp
	EndedAt   Stamp
}

// AddInvitation stores an invitation.
func (t *Tx) AddInvitation(i Invitation) error { return add(t, i) }

// Invitations lists a society's invitations, newest first.
func (t *Tx) Invitations(society foray.ID) ([]Invitation, error) {
	return many[Invitation](t.db.Where("society_id = ?", society).Order("made_at DESC, id DESC"))
}

// LockInvitation finds an invitation by the hash of its secret and keeps others from using it meanwhile.
func (t *Tx) LockInvitation(secretSha256 string) (Invitation, error) {
	return one[Invitation](t.locked().Where("secret_sha256 = ?", secretSha256))
}

// SetInvitation stores that an invitation was used or taken back.
func (t *Tx) SetInvitation(i Invitation) error {
	return changed(t.db.Model(&Invitation{}).Where("society_id = ? AND id = ?", i.SocietyID, i.ID).
		Select("UsedAt", "UsedBy", "TakenBackAt").Updates(i), "change an invitation")
}

// AddHallPass stores a pass.
func (t *Tx) AddHallPass(p HallPass) error { return add(t, p) }

// HallPasses lists an event's passes, newest first.
func (t *Tx) HallPasses(society, event foray.ID) ([]HallPass, error) {
	return many[HallPass](t.ofEvent(society, event).Order("made_at DESC, id DESC"))
}

// LockHallPass finds a pass by the hash of its secret and keeps others from using it meanwhile.
func (t *Tx) LockHallPass(secretSha256 string) (HallPass, error) {
	return one[HallPass](t.locked().Where("secret_sha256 = ?", secretSha256))
}

// CloseHallPass ends a pass.
func (t *Tx) CloseHallPass(p HallPass, at Stamp) error {
	return changed(t.db.Exec("UPDATE hall_pass SET closed_at = ? WHERE society_id = ? AND event_id = ? AND id = ? AND closed_at IS NULL",
		at, p.SocietyID, p.EventID, p.ID), "close a pass")
}

// AddPassUse stores that somebody came in by a pass.
func (t *Tx) AddPassUse(u PassUse) error { return add(t, u) }

// PassUses lists who came in by an event's passes, oldest first.
func (t *Tx) PassUses(society, event foray.ID) ([]PassUse, error) {
	return many[PassUse](t.ofEvent(society, event).Order("used_at, person_id"))
}

// EndPassUse stores that a pass holder's right ended.
func (t *Tx) EndPassUse(u PassUse, at Stamp) error {
	return changed(t.db.Exec("UPDATE pass_use SET ended_at = ? WHERE society_id = ? AND event_id = ? AND pass_id = ? AND person_id = ?",
		at, u.SocietyID, u.EventID, u.PassID, u.PersonID), "end a pass")
}

// InvitationByHash finds an invitation by the hash of its secret.
func (t *Tx) InvitationByHash(secretSha256 string) (Invitation, error) {
	return one[Invitation](t.db.Where("secret_sha256 = ?", secretSha256))
}

// LockInvitationByID finds an invitation of a society for taking it back.
func (t *Tx) LockInvitationByID(society, id foray.ID) (Invitation, error) {
	return one[Invitation](t.locked().Where("society_id = ? AND id = ?", society, id))
}

// HallPassByHash finds a pass by the hash of its secret.
func (t *Tx) HallPassByHash(secretSha256 string) (HallPass, error) {
	return one[HallPass](t.db.Where("secret_sha256 = ?", secretSha256))
}

// LockHallPassByID finds a pass of an event for ending it.
func (t *Tx) LockHallPassByID(society, event, id foray.ID) (HallPass, error) {
	return one[HallPass](t.locked().Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}

// UsesOfPass lists who came in by one pass.
func (t *Tx) UsesOfPass(p HallPass) ([]PassUse, error) {
	return many[PassUse](t.ofEvent(p.SocietyID, p.EventID).Where("pass_id = ?", p.ID).Order("used_at, person_id"))
}
