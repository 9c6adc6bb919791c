package view

import "forayhall/internal/message"

// Forms of the set-up; each goes to Event.Setup() + "/" + its key.
const (
	FormContact    = "contact"
	FormTested     = "tested"
	FormEvent      = "event"
	FormGroup      = "group"
	FormBorrowed   = "borrowed"
	FormFollow     = "checklist"
	FormSite       = "site"
	FormWalk       = "walk"
	FormWalkOff    = "walk-off"
	FormTeam       = "team"
	FormTable      = "table"
	FormBlock      = "block"
	FormRight      = "right"
	FormRightTaken = "right-taken"
	FormFlag       = "flag"
	FormFlagTaken  = "flag-taken"
	FormCloseHall  = "hall"
	FormCloseEvent = "event"
	FormOpenAgain  = "again"
)

// SetupPart is the address of one part of the set-up.
func (e Event) SetupPart(part string) string { return e.Setup() + "/" + part }

// Close is the address of the page where hall and event are closed.
func (e Event) Close() string { return e.Path + "/close" }

// PartLink is a part of the set-up in the way round, with how much is missing there.
type PartLink struct {
	Key     string
	Path    string
	Missing int
	Here    bool
}

// Setup is the landing page: what is still missing, then the parts.
type Setup struct {
	Layout  Layout
	Contact Contact
	Missing []Missing
	Parts   []PartLink
	Facts   []SetupFact
	Close   string // where it is closed, for who may
	Next    string // where the next event is made from this one
}

// SetupFact is how much there is of a part.
type SetupFact struct {
	Key string // of PartLink
	N   int
}

// Part is what every page of one part has.
type Part struct {
	Layout  Layout
	Key     string
	Parts   []PartLink
	Missing []Missing // in this part
	Rows    []SetupRow
}

// SetupRow is one thing of a part: what it is, what is known of it, and where it is changed.
type SetupRow struct {
	ID     string
	Head   message.Text
	Common Common // of a taxon
	Lines  []message.Text
	Quiet  bool   // called off
	Warn   bool   // stands out of a child's reach, or is sensitive
	Change string // address of its form; empty for who may not
	Here   bool   // its form is open
	Act    *ActForm
}

// ActForm is one button.
type ActForm struct {
	Form Form
	ID   string // of the row; posted as id
	On   bool   // posted as on
	Send string // key of its word
}

// SetupContact is the poison contact.
type SetupContact struct {
	Part
	Contact Contact
	Edit    *ContactForm // safety lead
	Tested  *TestedForm  // safety lead, when there is a number
}

// ContactForm posts name, phone, hours.
type ContactForm struct {
	Form               Form
	Name, Phone, Hours string
}

// TestedForm posts answered ("yes"): the number was called and answered.
type TestedForm struct{ Form Form }

// SetupEvent is the event's details and the order of its groups.
type SetupEvent struct {
	Part
	Edit     *EventForm
	Groups   []GroupMove
	Borrowed Borrowed
	Follow   *FollowForm // nil for who may not
	Personal PersonalBlock
}

// FollowForm posts checklist: whose names the society follows; empty: those that ship.
type FollowForm struct {
	Form    Form
	Choices []Option // one is chosen; the first is the names that ship
}

// Borrowed is the common names that borrow of what was named at an event, and what the society says of such names.
type Borrowed struct {
	Names   []Common
	Choices []Option // one is chosen
	Form    *Form    // posts choice; nil for who may not
}

// EventForm posts the details.
type EventForm struct {
	Form                                              Form
	Name, Place, From, To, Zone, Jurisdiction, Delete string
	Regions                                           []Option
	Laws                                              []string // jurisdictions that the law tables know
	Ring, Tell, Search, Sunset, Silence               string
	Everything                                        bool
	DeleteReason, PersonalMonths, ContactMonths       string
}

// GroupMove is a group in its place; Form posts group and way (up, down).
type GroupMove struct {
	Form        *Form
	Group       string
	First, Last bool
}

// NewEvent is the page that makes an event, as an earlier one was set up or from nothing.
type NewEvent struct {
	Layout                 Layout
	Form                   Form
	Earlier                []Option // events of the society in which this person works
	From                   string   // chosen
	Reload                 string   // where the choice is taken over
	Code                   string
	Name                   string
	Place                  string
	StartsOn, EndsOn, Zone string
	Regions                []Option
}

// SetupSites is the sites and the form of one.
type SetupSites struct {
	Part
	Edit *SiteForm
}

// SiteForm posts id for a site that is there, code for a new one, and how it is described.
type SiteForm struct {
	Form                                                   Form
	ID, Code, Name, Latitude, Longitude, Uncertainty, Grid string
	Directions, Permit                                     string
	Sensitive, Permitted, Count                            bool
}

// SetupWalks is the walks and the form of one.
type SetupWalks struct {
	Part
	Edit *WalkForm
}

// WalkForm posts id for a walk that is there, number for a new one, and how it is planned.
type WalkForm struct {
	Form                                                      Form
	ID, Number, Title, Leader, Starts, Due, Capacity, Remarks string
	Sites                                                     []Option
	People                                                    []string
}

// SetupTeams is the teams and the form of one.
type SetupTeams struct {
	Part
	Edit *TeamForm
}

// TeamForm posts id for a team that is there, number for a new one, and what it is out for.
type TeamForm struct {
	Form                          Form
	ID, Number, Name, Leader, Due string
	Walks, Sites                  []Option
	People                        []string
}

// SetupTables is the tables and the form of one.
type SetupTables struct {
	Part
	Edit *TableForm
}

// TableForm posts id for a table that is there, number for a new one, and how it stands.
type TableForm struct {
	Form                                          Form
	ID, Number, Name, Length, Depth, PlanX, PlanY string
	Groups                                        []Option
	Hazards, Turned                               bool
}

// SetupNumbers is the blocks of numbers and the form that issues one.
type SetupNumbers struct {
	Part
	Edit *BlockForm
}

// BlockForm posts from, to, team, person, remarks.
type BlockForm struct {
	Form                      Form
	From, To, Person, Remarks string
	Teams                     []Option
	People                    []string
}

// SetupRights is who may do what, and how that came.
type SetupRights struct {
	Part
	People  []PersonRow
	Give    *RightForm
	History []RightLine
}

// PersonRow is a person with rights in this event.
type PersonRow struct {
	Name    string
	Account bool // may sign in
	Rights  []RightHeld
	Groups  []string // of Groups, what they determine
}

// RightHeld is a right that somebody holds; Take takes it.
type RightHeld struct {
	Role   string
	Person string // id, posted as person
	Take   *Form
}

// RightForm posts person or name, and role.
type RightForm struct {
	Form   Form
	People []Option
	Name   string
	Roles  []Option
}

// RightLine is one line of the history of rights.
type RightLine struct{ Text, At message.Text }

// SetupFlags is the flagged taxa and the form of one.
type SetupFlags struct {
	Part
	Edit *FlagForm
	Law  LawOffer
}

// FlagForm posts id for a flag that is there, and name, flag, source, permit.
type FlagForm struct {
	Form                     Form
	ID, Name, Source, Permit string
	Kinds                    []Option
	Names                    string // address of the type-ahead
}

// Closing is the page where hall and event are closed.
type Closing struct {
	Layout  Layout
	State   string // open, hall_closed, closed
	Hall    []ClosingNeed
	Event   []ClosingNeed
	Facts   []message.Text // where hazardous plates are
	Lost    []NumberTo
	Records int // bagged, as the records say
	Day     *CloseHallForm
	Final   *CloseEventForm
	Again   *OpenAgainForm
	History []ClosingLine
	// Vouchers is where these are chosen, dried and packed.
	Vouchers string

	Personal PersonalBlock
	Requests RequestsOpen
}

// ClosingNeed is one thing that is missing, with where it is mended.
type ClosingNeed struct {
	Text    message.Text
	Path    string
	Numbers []NumberTo
}

// NumberTo is a number that leads to its collection.
type NumberTo struct {
	Number Number
	Path   string
}

// CloseHallForm posts bagged and words.
type CloseHallForm struct {
	Form          Form
	Bagged, Words string
}

// CloseEventForm posts words.
type CloseEventForm struct {
	Form  Form
	Words string
}

// OpenAgainForm posts reason.
type OpenAgainForm struct {
	Form   Form
	Reason string
}

// ClosingLine is that something was closed or opened again.
type ClosingLine struct {
	Kind  string
	At    message.Text
	By    string
	Count int
	Words string
}

// Zones are time zones that are offered; any other may be written.
var Zones = []string{"Europe/London", "Europe/Dublin", "Europe/Lisbon", "Europe/Paris", "Europe/Berlin", "Europe/Rome", "Europe/Warsaw", "Europe/Stockholm",
	"Europe/Helsinki", "Europe/Athens", "America/New_York", "America/Chicago", "America/Denver", "America/Los_Angeles", "America/Toronto", "Asia/Tokyo",
	"Australia/Sydney", "Australia/Hobart", "Pacific/Auckland"}
