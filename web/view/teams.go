package view

import (
	"slices"
	"time"

	"forayhall/internal/message"
)

// Forms of a team's pages; each goes to Event.TeamAct(number, its key).
const (
	FormTeamOut     = "out"
	FormTeamHeard   = "heard"
	FormTeamBack    = "back"
	FormTeamMark    = "mark"
	FormTeamAdd     = "add"
	FormTeamAbout   = "about"
	FormTeamTakeOff = "take-off"
	FormTeamHandIn  = "hand-in"
	FormTeamAct     = "act"
	FormTeamPrivate = "private"
)

// TeamFields are the fields of each of them that can be wrong; what else is wrong is said above.
var TeamFields = map[string][]string{
	FormTeamOut: {"heads", "marks"}, FormTeamBack: {"heads", "marks"}, FormTeamAdd: {"name", "guardian", "driver"},
	FormTeamAbout: {"name", "minor", "guardian", "drives", "driver"}, FormTeamMark: {"remarks"}, FormTeamHandIn: {"collections", "remarks"},
	FormTeamAct: {"remarks"}, FormTeamPrivate: {"phone", "car", "emergency", "medical"},
}

// TeamHead is what stands above everything else of a team.
type TeamHead struct {
	Number   int
	Name     string
	Path     string
	Leader   string
	Site     string
	Walk     string
	State    message.Text
	Waited   bool // somebody is waited for
	Due      time.Time
	Sunset   time.Time
	Dusk     time.Time
	HeardAgo *time.Duration
	HeardAt  time.Time
	Out      int // people who are not back
	Counts   []message.Text
	Alert    *TeamAlert
	Findings []message.Text
}

// TeamAlert is a step of the ladder that has been reached.
type TeamAlert struct {
	Step   message.Text
	Reason message.Text
	Do     []message.Text
	Done   bool
	Next   message.Text // "next at 16:15: tell the safety lead"; zero for none
}

// TeamPage is a team on its leader's telephone.
type TeamPage struct {
	Layout     Layout
	Head       TeamHead
	AsOf       time.Time
	Out        *TeamCount
	Heard      *Form
	Back       *TeamCount
	Again      bool // the count back is taken anew, not for the first time
	Stragglers []TeamStraggler
	HandIn     *TeamHandIn
	People     []TeamPerson
	Add        *TeamAdd
	Acts       *TeamActs
	Log        []TeamEntry
	Private    string // addresses; empty where the person may not
	Paper      string
	All        string
	Own        string // collections of the team
}

// TeamCount is heads counted, and names to tick.
type TeamCount struct {
	Form  Form
	Most  int // the highest head that has a button of its own
	Heads string
	Typed string
	Names []TeamTick
}

// shown reports whether a head is the one that was tapped.
func (c TeamCount) shown(n string) bool { return n == c.Heads }

// TeamTick is a name with a box.
type TeamTick struct {
	ID   string
	Name string
	On   bool
	Note []message.Text
}

// TeamStraggler is somebody who is still out when others are back: one tap marks them and counts one head more.
type TeamStraggler struct {
	Form  Form
	ID    string
	Name  string
	Heads int
}

// TeamHandIn is the sheet and the collections coming to the desk.
type TeamHandIn struct {
	Form        Form
	Collections string
	Blocks      []string // "0401–0450"
	Issued      int
	Logged      int
}

// TeamPerson is somebody on the sheet.
type TeamPerson struct {
	ID     string
	Name   string
	Path   string
	Mark   message.Text
	Marked bool
	Missed bool // out while others are back
	At     time.Time
	Notes  []message.Text
}

// TeamAdd puts somebody on the sheet.
type TeamAdd struct {
	Form      Form
	Name      string
	Minor     bool
	Guardians []Option
	Drivers   []Option
	Out       bool // the team is out: whoever is added goes with it
}

// TeamActs is what the hall may have done.
type TeamActs struct {
	Form    Form
	Acts    []Option
	Remarks string
}

// TeamEntry is a line of what was counted, heard and done.
type TeamEntry struct {
	Text    message.Text
	By      string
	At      time.Time
	Typed   time.Time // where that was long after
	Remarks string
}

// TeamChoice is where somebody chooses which team.
type TeamChoice struct {
	Layout Layout
	Teams  []TeamHead
	Walks  string
}

// TeamMemberPage is one person of a team.
type TeamMemberPage struct {
	Layout Layout
	Team   TeamHead
	Person TeamPerson
	Marks  []TeamMarkForm
	About  TeamAbout
	Off    *Form // take off the sheet; nil once they were marked
}

// TeamMarkForm is one thing that may be said of somebody, a button of its own.
type TeamMarkForm struct {
	Form Form
	Kind string
	Text message.Text
}

// TeamAbout is what the sheet says of somebody.
type TeamAbout struct {
	Form       Form
	Name       string
	Minor      bool
	Vulnerable bool
	Drives     bool
	Guardians  []Option
	Drivers    []Option
}

// TeamPrivatePage is what is private to a team's people, as it was just read.
type TeamPrivatePage struct {
	Layout Layout
	Team   TeamHead
	Lines  []TeamPrivateLine
}

// TeamPrivateLine is one of them.
type TeamPrivateLine struct {
	Form                                 Form
	ID                                   string
	Name, Phone, Car, Emergency, Medical string
	Known                                bool
}

// form is the key of the form of one line.
func (l TeamPrivateLine) form(n int) string { return TeamPrivateForm(n) }

// TeamPrivateForm is the key of the form of the line with a number.
func TeamPrivateForm(n int) string { return FormTeamPrivate + "-" + itoa(n) }

// TeamLine is a late team in one line: its reason names nobody.
type TeamLine struct {
	Number int
	Step   message.Text
	Reason message.Text
}

// TeamReads lists who read what is private.
type TeamReads struct {
	Layout Layout
	Reads  []TeamRead
}

// TeamRead is one reading.
type TeamRead struct {
	At   time.Time
	By   string
	What message.Text
}

// TeamDesk is every team as the hall's desk sees it.
type TeamDesk struct {
	Layout Layout
	AsOf   time.Time
	Late   []TeamRow
	Silent []TeamRow // not heard from, and not late
	Rest   []TeamRow
	Sheet  string
	Reads  string
}

// TeamRow is one team of it.
type TeamRow struct {
	Head  TeamHead
	Heard *Form
	Acts  []TeamMarkForm
	Log   []TeamEntry
}

// TeamPaper is a paper sheet that is typed in.
type TeamPaper struct {
	Layout    Layout
	Team      TeamHead
	Teams     []Link // to choose from, where none is chosen
	Form      Form
	OutDay    string
	OutAt     string
	HeadsOut  string
	BackDay   string
	BackAt    string
	HeadsBack string
	Lines     []TeamPaperLine
}

// TeamPaperLine is one line of it.
type TeamPaperLine struct {
	N      int
	Member string // id; empty on a line to write a name on
	Name   string
	OutAt  string
	Hows   []Option
	EndAt  string
}

// WalkPage is the walks of an event.
type WalkPage struct {
	Layout  Layout
	Walks   []WalkRow
	On      []WalkOn
	Wish    *WalkWishForm
	SignIn  string
	Wishers []WalkWisher
	Put     bool
}

// WalkRow is one walk.
type WalkRow struct {
	Number    int
	Title     string
	StartsAt  time.Time
	DueAt     time.Time
	Place     message.Text
	Leader    string
	Remarks   string
	Left      message.Text // zero where places are not bounded
	CalledOff bool
	Wish      int
}

// WalkOn is a team that the reader is on.
type WalkOn struct {
	Text message.Text
	Due  time.Time
}

// WalkWishForm is what somebody would like to join.
type WalkWishForm struct {
	Form    Form
	Choices [][]Option // by rank
	With    string
	Any     bool // something stands that can be taken back
	Back    Form
}

// WalkWisher is somebody with their wishes, beside the teams.
type WalkWisher struct {
	Form   Form
	Person string
	Name   string
	Wishes message.Text
	With   string
	On     []message.Text
	Teams  []Option
}

func (e Event) Team() string { return e.Path + "/team" }

// OneTeam is the address of one team, TeamAct of a form on it and TeamOne of one of its people.
func (e Event) OneTeam(number int) string             { return e.Team() + "/" + itoa(number) }
func (e Event) TeamAct(number int, act string) string { return e.OneTeam(number) + "/" + act }
func (e Event) TeamOne(number int, id string) string  { return e.OneTeam(number) + "/member?id=" + id }

// Back is the address of every team, TeamPaper of a paper sheet and TeamReads of who read what is private.
func (e Event) Back() string                { return e.Path + "/back" }
func (e Event) TeamPaper(number int) string { return e.Back() + "/sheet?team=" + itoa(number) }
func (e Event) TeamReads() string           { return e.Back() + "/reads" }

// Walks is the address of the event's walks.
func (e Event) Walks() string { return e.Path + "/walks" }

// OwnWalks is the address of the walks with the reader's own wishes.
func (e Event) OwnWalks() string { return e.Walks() + "/mine" }

// teamWrong reports whether anything of a form is wrong.
func teamWrong(e Errors, form string) bool { return e.Form == form && e.Any() }

// heads are the heads that have a button.
func (c TeamCount) heads() []int {
	all := make([]int, c.Most)
	for i := range all {
		all[i] = i + 1
	}
	return all
}

// teamChosen reports whether one of a list of options is.
func teamChosen(options []Option) bool {
	return slices.ContainsFunc(options, func(o Option) bool { return o.Chosen })
}
