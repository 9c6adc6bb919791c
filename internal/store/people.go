package store

import (
	"fmt"
	"strings"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

// Society is one of the societies that share an installation.
type Society struct {
	ID            foray.ID
	Code          string
	Name          string
	CreatedAt     Stamp
	BorrowedNames string // BorrowedShown or BorrowedLeftOut: whether common names that borrow a genus are printed
	Publisher     `gorm:"embedded"`
}

// What a society may choose for common names that borrow.
const (
	BorrowedShown   = "shown"
	BorrowedLeftOut = "left_out"
)

// Person is somebody of a society; the credited name is part of the record.
type Person struct {
	SocietyID foray.ID
	ID        foray.ID
	Name      string
	Credit    string // full, initials, none
	Kind      string // person, or installation for what a command on the machine did
	CreatedAt Stamp
}

// Account is how a person signs in; erasable.
type Account struct {
	SocietyID    foray.ID
	ID           foray.ID
	PersonID     foray.ID
	Login        string
	PasswordHash string
	DisabledAt   Stamp
	CreatedAt    Stamp
}

// Session is a signed-in browser or a bearer token; it is read on every request, so that ending it is immediate.
type Session struct {
	SocietyID  foray.ID
	ID         foray.ID
	AccountID  foray.ID
	Kind       string // browser, token
	Label      string
	OnlyRights string // comma-separated; empty for all of the person's
	CreatedAt  Stamp
	ExpiresAt  Stamp
	RevokedAt  Stamp
}

// SignInLimit counts failed sign-ins of a login, whether or not it exists.
type SignInLimit struct {
	Login       string `gorm:"primaryKey"`
	Failures    int
	FirstAt     Stamp
	ClosedUntil Stamp
}

// EventRight is one right given to one person for one event.
type EventRight struct {
	SocietyID foray.ID
	EventID   foray.ID
	PersonID  foray.ID
	Held      access.Right
	GivenBy   foray.ID
	GivenAt   Stamp
}

// AddSociety stores a society; what it did not choose is as it is for everybody.
func (t *Tx) AddSociety(s Society) error {
	if s.BorrowedNames == "" {
		s.BorrowedNames = BorrowedShown
	}
	return add(t, s)
}

// SetBorrowedNames says whether a society prints common names that borrow.
func (t *Tx) SetBorrowedNames(society foray.ID, choice string) error {
	return changed(t.db.Exec("UPDATE society SET borrowed_names = ? WHERE id = ?", choice, society), "set borrowed names")
}

// Societies lists all societies of the installation by code.
func (t *Tx) Societies() ([]Society, error) { return many[Society](t.db.Order("code")) }

// SocietyByCode finds a society.
func (t *Tx) SocietyByCode(code string) (Society, error) {
	return one[Society](t.db.Where("code = ?", strings.ToLower(code)))
}

// SocietyByID finds a society.
func (t *Tx) SocietyByID(id foray.ID) (Society, error) { return one[Society](t.db.Where("id = ?", id)) }

// AddPerson stores a person.
func (t *Tx) AddPerson(p Person) error { return add(t, p) }

// Persons lists the people of a society by name.
func (t *Tx) Persons(society foray.ID) ([]Person, error) {
	return many[Person](t.db.Where("society_id = ?", society).Order("name, id"))
}

// PersonByID finds a person of a society.
func (t *Tx) PersonByID(society, id foray.ID) (Person, error) {
	return one[Person](t.db.Where("society_id = ? AND id = ?", society, id))
}

// SetCredit changes how a person's name is printed.
func (t *Tx) SetCredit(society, id foray.ID, credit string) error {
	return changed(t.db.Exec("UPDATE person SET credit = ? WHERE society_id = ? AND id = ?", credit, society, id), "set credit")
}

// AddAccount stores a sign-in; a login that is taken is fault.Invalid.
func (t *Tx) AddAccount(a Account) error {
	if _, err := t.AccountByLogin(a.Login); err == nil {
		return fault.Wrong("login", "people.login-taken", "login", a.Login)
	} else if !fault.Is(err, fault.NotFound) {
		return err
	}
	return add(t, a)
}

// AccountByLogin finds the account of a login; logins are lower case.
func (t *Tx) AccountByLogin(login string) (Account, error) {
	return one[Account](t.db.Where("login = ?", strings.ToLower(login)))
}

// AccountByID finds an account of a society.
func (t *Tx) AccountByID(society, id foray.ID) (Account, error) {
	return one[Account](t.db.Where("society_id = ? AND id = ?", society, id))
}

// SetPassword stores a new password hash and ends every session of the account.
func (t *Tx) SetPassword(a Account, hash string, now time.Time) error {
	q := t.db.Exec("UPDATE account SET password_hash = ? WHERE society_id = ? AND id = ?", hash, a.SocietyID, a.ID)
	if err := changed(q, "set a password"); err != nil {
		return err
	}
	return t.db.Exec("UPDATE session SET revoked_at = ? WHERE society_id = ? AND account_id = ? AND revoked_at IS NULL",
		At(now), a.SocietyID, a.ID).Error
}

// AddSession stores a session.
func (t *Tx) AddSession(s Session) error { return add(t, s) }

// SessionByID finds a session wherever it is; its society comes with it.
func (t *Tx) SessionByID(id foray.ID) (Session, error) { return one[Session](t.db.Where("id = ?", id)) }

// EndSession revokes a session; ending it twice is the same as once.
func (t *Tx) EndSession(society, id foray.ID, now time.Time) error {
	err := t.db.Exec("UPDATE session SET revoked_at = ? WHERE society_id = ? AND id = ? AND revoked_at IS NULL",
		At(now), society, id).Error
	if err != nil {
		return fmt.Errorf("end a session: %w", err)
	}
	return nil
}

// SignInLimitOf gives the count of failed sign-ins of a login; a zero one where there is none.
func (t *Tx) SignInLimitOf(login string) (SignInLimit, error) { return limitOf(t.db, login) }

// LockLimit is SignInLimitOf for counting on.
func (t *Tx) LockLimit(login string) (SignInLimit, error) { return limitOf(t.locked(), login) }

func limitOf(db *gorm.DB, login string) (SignInLimit, error) {
	l, err := one[SignInLimit](db.Where("login = ?", login))
	if fault.Is(err, fault.NotFound) {
		return SignInLimit{Login: login}, nil
	}
	return l, err
}

// HasAccount reports whether a person can sign in.
func (t *Tx) HasAccount(society, person foray.ID) (bool, error) {
	var n int64
	err := t.db.Model(&Account{}).Where("society_id = ? AND person_id = ?", society, person).Count(&n).Error
	if err != nil {
		return false, fmt.Errorf("look for an account: %w", err)
	}
	return n > 0, nil
}

// Accounts lists the accounts of a society.
func (t *Tx) Accounts(society foray.ID) ([]Account, error) {
	return many[Account](t.db.Where("society_id = ?", society).Order("login"))
}

// SetLimit stores the count of failed sign-ins of a login.
func (t *Tx) SetLimit(l SignInLimit) error {
	return t.db.Clauses(clause.OnConflict{UpdateAll: true, Columns: []clause.Column{{Name: "login"}}}).Create(&l).Error
}

// RightsOf lists what a person was given for an event.
func (t *Tx) RightsOf(society, event, person foray.ID) ([]access.Right, error) {
	var held []access.Right
	err := t.db.Raw("SELECT held FROM event_right WHERE society_id = ? AND event_id = ? AND person_id = ? ORDER BY held",
		society, event, person).Scan(&held).Error
	if err != nil {
		return nil, fmt.Errorf("read rights: %w", err)
	}
	return held, nil
}

// InstallationPerson is the person that stands for commands on the machine in a society; zero where there is none yet.
func (t *Tx) InstallationPerson(society foray.ID) (foray.ID, error) {
	rows, err := many[Person](t.db.Where("society_id = ? AND kind = ?", society, "installation").Order("id").Limit(1))
	if err != nil || len(rows) == 0 {
		return foray.ID{}, err
	}
	return rows[0].ID, nil
}

// Helped lists who held more than a member's right at an event and wrote anything there. Whoever only came in, by an
// invitation or a pass, has not helped yet.
func (t *Tx) Helped(society, event foray.ID) ([]foray.ID, error) {
	var rows []struct{ PersonID foray.ID }
	err := t.db.Raw(`SELECT DISTINCT person_id FROM command_log c WHERE society_id = ? AND event_id = ?
		AND kind NOT IN ('invitation.use.v1', 'pass.use.v1', 'credit.set.v1')
		AND EXISTS (SELECT 1 FROM event_right r WHERE r.society_id = c.society_id AND r.event_id = c.event_id AND r.person_id = c.person_id AND r.held <> 'member')
		ORDER BY person_id`, society, event).Scan(&rows).Error
	if err != nil {
		return nil, fmt.Errorf("read who helped: %w", err)
	}
	people := make([]foray.ID, len(rows))
	for i, r := range rows {
		people[i] = r.PersonID
	}
	return people, nil
}

// EventRights lists every right given for an event.
func (t *Tx) EventRights(society, event foray.ID) ([]EventRight, error) {
	return many[EventRight](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("person_id, held"))
}

// LockRights is EventRights for taking one away: two who take at once are answered one after the other.
func (t *Tx) LockRights(society, event foray.ID) ([]EventRight, error) {
	return many[EventRight](t.locked().Where("society_id = ? AND event_id = ?", society, event).Order("person_id, held"))
}

// ofPass is that a right stands as a pass gave it: whoever came in by one holds it since that moment.
const ofPass = `EXISTS (SELECT 1 FROM pass_use u WHERE u.society_id = event_right.society_id AND u.event_id = event_right.event_id
	AND u.person_id = event_right.person_id AND u.used_at = event_right.given_at)`

// GiveRight stores a right; giving it twice is the same as once. One that a pass gave becomes the person's own.
func (t *Tx) GiveRight(r EventRight) error {
	q := t.db.Clauses(clause.OnConflict{DoNothing: true}).Create(&r)
	if q.Error != nil || q.RowsAffected > 0 {
		return q.Error
	}
	return t.db.Exec("UPDATE event_right SET given_by = ?, given_at = ? WHERE society_id = ? AND event_id = ? AND person_id = ? AND held = ? AND "+ofPass,
		r.GivenBy, r.GivenAt, r.SocietyID, r.EventID, r.PersonID, r.Held).Error
}

// TakeRight removes a right; the audit keeps that it was held.
func (t *Tx) TakeRight(society, event, person foray.ID, held access.Right) error {
	return t.db.Exec("DELETE FROM event_right WHERE society_id = ? AND event_id = ? AND person_id = ? AND held = ?",
		society, event, person, held).Error
}

// TakePassRight removes a right where it stands as a pass gave it, and says whether it did: what somebody gave the person
// since is theirs.
func (t *Tx) TakePassRight(u PassUse, held access.Right) (bool, error) {
	q := t.db.Exec("DELETE FROM event_right WHERE society_id = ? AND event_id = ? AND person_id = ? AND held = ? AND given_at = ?",
		u.SocietyID, u.EventID, u.PersonID, held, u.UsedAt)
	return q.RowsAffected > 0, q.Error
}
