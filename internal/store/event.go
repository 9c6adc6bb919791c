package store

import (
	"fmt"
	"strings"

	"forayhall/internal/foray"
)

// Event is a foray.
type Event struct {
	SocietyID foray.ID
	ID        foray.ID
	Code      string // also the prefix of its numbers
	Name      string
	Place     string
	StartsOn  string // ISO date
	EndsOn    string
	TimeZone  string // IANA
	Region    string // hazard rows of other regions are shown as such
	State     string // open, hall_closed, closed
	Home      string // here, lent, borrowed
	CreatedAt Stamp

	Jurisdiction       string // whose law the flags of taxa speak of
	GroupOrder         string // form groups in the order of the tables, comma-separated; empty: as they come
	EverythingRecorded bool   // everything met with was recorded: abundance means something
	RingMin            int    // minutes after due when the leader is rung
	TellMin            int    // minutes after due when the safety lead is told
	SearchMin          int    // minutes after due when a search is planned
	SunsetMin          int    // minutes before sunset when a search is planned
	SilenceMin         int    // minutes after which a team counts as not heard from
	DeletePersonalOn   string // ISO date on which personal data goes
	PersonalMonths     int    // that date is at most so many months after the end
	ContactMonths      int    // whoever asked for a correction is forgotten so many months after the answer
}

// PoisonContact is whom to call; typed in by the people who run the event and counted only once tested.
type PoisonContact struct {
	SocietyID foray.ID
	EventID   foray.ID
	Seq       int
	Name      string
	Phone     string
	Hours     string // when they answer
	TypedBy   foray.ID
	TypedAt   Stamp
	TestedBy  foray.ID
	TestedAt  Stamp
}

// Site is where people walk. The exact point is private where Sensitive.
type Site struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	Code         string
	Name         string
	Latitude     *float64
	Longitude    *float64
	UncertaintyM int
	GridM        int
	Sensitive    bool
	Permitted    bool
	CreatedAt    Stamp
	Directions   string
	Permit       string // its terms in words
	CountNeeded  bool   // the permit asks for fruitbodies or weight
}

// Team is the people of one walk under one leader; it is known on the wall by its number.
type Team struct {
	SocietyID foray.ID
	EventID   foray.ID
	ID        foray.ID
	Number    int
	Name      string
	LeaderID  foray.ID
	SiteID    foray.ID
	CreatedAt Stamp
}

// HallTable is a table in the hall.
type HallTable struct {
	SocietyID foray.ID
	EventID   foray.ID
	ID        foray.ID
	Number    int
	Title     string
	Hazards   bool // stands out of a child's reach
	CreatedAt Stamp

	FormGroups string // which stand here, comma-separated
	LengthMM   int
	DepthMM    int
	PlanXMM    int  `gorm:"column:plan_x_mm"` // where it stands in the hall, of its corner
	PlanYMM    int  `gorm:"column:plan_y_mm"`
	Turned     bool // its length runs along the plan's height
}

// usualLadder is the schema's own: ring, tell, search, before sunset, silence, in minutes (common practice).
var usualLadder = [5]int{15, 30, 60, 60, 90}

// The schema's own, in months.
const (
	usualPersonalMonths = 12
	usualContactMonths  = 6
)

// AddEvent stores an event with its counter.
func (t *Tx) AddEvent(e Event) error {
	if e.RingMin == 0 {
		e.RingMin, e.TellMin, e.SearchMin, e.SunsetMin, e.SilenceMin = usualLadder[0], usualLadder[1], usualLadder[2], usualLadder[3], usualLadder[4]
	}
	if e.PersonalMonths == 0 {
		e.PersonalMonths = usualPersonalMonths
	}
	if e.ContactMonths == 0 {
		e.ContactMonths = usualContactMonths
	}
	if err := add(t, e); err != nil {
		return err
	}
	return t.db.Exec("INSERT INTO event_counter (society_id, event_id, change_seq) VALUES (?, ?, 0)", e.SocietyID, e.ID).Error
}

// Events lists a society's events, newest first.
func (t *Tx) Events(society foray.ID) ([]Event, error) {
	return many[Event](t.db.Where("society_id = ?", society).Order("starts_on DESC, code DESC"))
}

// EventByCode finds an event of a society; codes are upper case.
func (t *Tx) EventByCode(society foray.ID, code string) (Event, error) {
	return one[Event](t.db.Where("society_id = ? AND code = ?", society, strings.ToUpper(code)))
}

// EventByID finds an event of a society.
func (t *Tx) EventByID(society, id foray.ID) (Event, error) {
	return one[Event](t.db.Where("society_id = ? AND id = ?", society, id))
}

// EventsByCode finds the events of any society that bear a code, for a command on the machine.
func (t *Tx) EventsByCode(code string) ([]Event, error) {
	return many[Event](t.db.Where("code = ?", strings.ToUpper(code)).Order("society_id"))
}

// SetEventState moves an event on; it must be in the state the caller saw.
func (t *Tx) SetEventState(e Event, state string) error {
	return changed(t.db.Exec("UPDATE event SET state = ? WHERE society_id = ? AND id = ? AND state = ?",
		state, e.SocietyID, e.ID, e.State), "set the event's state")
}

// PoisonContacts lists the contacts typed in for an event, newest first.
func (t *Tx) PoisonContacts(society, event foray.ID) ([]PoisonContact, error) {
	return many[PoisonContact](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("seq DESC"))
}

// AddPoisonContact stores the next contact row.
func (t *Tx) AddPoisonContact(c PoisonContact) error { return add(t, c) }

// AddSite stores a site.
func (t *Tx) AddSite(s Site) error { return add(t, s) }

// Sites lists an event's sites by code.
func (t *Tx) Sites(society, event foray.ID) ([]Site, error) {
	return many[Site](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("code"))
}

// AddTeam stores a team.
func (t *Tx) AddTeam(m Team) error { return add(t, m) }

// Teams lists an event's teams by number.
func (t *Tx) Teams(society, event foray.ID) ([]Team, error) {
	return many[Team](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("number"))
}

// AddHallTable stores a table; one without a size is a six-foot trestle.
func (t *Tx) AddHallTable(h HallTable) error {
	if h.LengthMM == 0 {
		h.LengthMM, h.DepthMM = 1830, 760
	}
	return add(t, h)
}

// HallTables lists an event's tables by number.
func (t *Tx) HallTables(society, event foray.ID) ([]HallTable, error) {
	return many[HallTable](t.db.Where("society_id = ? AND event_id = ?", society, event).Order("number"))
}

// ChangeSeq is the number of the event's latest change: the tag of every page made from it.
func (t *Tx) ChangeSeq(society, event foray.ID) (int64, error) {
	var seq int64
	err := t.db.Raw("SELECT change_seq FROM event_counter WHERE society_id = ? AND event_id = ?", society, event).Scan(&seq).Error
	if err != nil {
		return 0, fmt.Errorf("read the change counter: %w", err)
	}
	return seq, nil
}
