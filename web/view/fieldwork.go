package view

import (
	"time"

	"forayhall/internal/message"
)

// The forms of the page of what was seen; each goes to Event.Seen() + "/" + its key, but for the record itself.
const (
	FormSeen       = "record"
	FormSeenCount  = "count"
	FormSeenStand  = "stand"
	FormSeenStrike = "strike"
)

// Seen is the address of what was seen outside and left there, SeenAct of one of its forms.
func (e Event) Seen() string              { return e.Path + "/seen" }
func (e Event) SeenAct(key string) string { return e.Seen() + "/" + key }

// ListWhy is the address of what makes up the totals, VersionChanges of the differences to the version before.
func (e Event) ListWhy() string             { return e.Running() + "/why" }
func (e Event) VersionChanges(n int) string { return e.Version(n) + "/changes" }

// VersionToday is the address of what a version's names would be today.
func (e Event) VersionToday(n int) string { return e.Version(n) + "/today" }

// SeenPage is what was seen outside: the form, and what is written down already.
type SeenPage struct {
	Layout Layout
	Form   SeenForm
	Same   *SeenSame
	Shows  []Link       // whose records can be shown
	Show   message.Text // what is shown
	Rows   []SeenRow
}

// SeenForm posts name, count, site, team, observer, substrate, host, outside and remarks.
type SeenForm struct {
	Form      Form
	Names     string
	Name      string
	Count     string
	Sites     []Option
	Teams     []Option
	Others    bool // may write for somebody else
	Observer  string
	Substrate string
	Host      string
	Remarks   string
	Outside   bool
	More      bool // the fold is open
	Show      string
}

// SeenSame is that the taxon is recorded from the site already: it posts record and n, and the form above again.
type SeenSame struct {
	Form  Form
	ID    string
	Name  SciName
	Count int
	N     int
	Again SeenForm
}

// SeenRow is one record.
type SeenRow struct {
	ID       string
	Name     SciName
	Written  string   // verbatim, where that is not the name
	Current  *SciName // where it is called something else now
	NamePath string
	Hazard   *Hazard
	Count    int
	Site     string
	Team     int
	Observer string
	At       time.Time
	Behind   []string
	State    Naming
	Outside  bool
	Struck   string // the reason
	More     []Fact
	Tally    *Form
	Stand    *SeenStand
	Strike   *Form
	Photo    string // where its photographs are
	Reason   string // typed
	Errors   Errors // of this row's forms
}

// SeenStand posts record, and determiner where a scribe writes.
type SeenStand struct {
	Form        Form
	Determiners []Option
}

// VersionPage is what is different in a version.
type VersionPage struct {
	Layout  Layout
	Version int
	First   bool
	Changes VersionChanges
}

// VersionChanges is the differences between two lists.
type VersionChanges struct {
	From, To      int
	Before, After int
	Remade        bool // another classification
	Added, Gone   []VersionName
	Renamed       []VersionRenamed
	Turned        []VersionTurned
	Moves         []VersionMove
	Requests      []VersionRequest
}

// VersionRequest is a request for a correction that was answered between two lists.
type VersionRequest struct {
	N      int
	Number *Number // of the find that it was about
	Path   string
	Line   string // or the line
	State  string // done, unchanged
	Words  string // of who keeps the list
}

// Nothing reports whether the two lists say the same.
func (c VersionChanges) Nothing() bool {
	return len(c.Added)+len(c.Gone)+len(c.Renamed)+len(c.Turned)+len(c.Moves)+len(c.Requests) == 0
}

// VersionName is a name with where its page is.
type VersionName struct {
	Name SciName
	Path string
}

// VersionRenamed is a name that moved with the classification.
type VersionRenamed struct{ From, To VersionName }

// VersionTurned is a name that counts on one of the lists only.
type VersionTurned struct {
	VersionName
	Counts bool
	Why    message.Text
}

// VersionMove is a find that stands elsewhere.
type VersionMove struct {
	Number   *Number // nil: a field record
	Path     string
	From, To []VersionStands
	Why      message.Text
}

// VersionStands is a line under which a find stands; Apart is empty where it counts.
type VersionStands struct {
	Name  SciName
	Apart string
}

// ListWhy is what makes up each total, and what does not.
type ListWhy struct {
	Layout Layout
	AsOf   time.Time
	Total  int
	Rule   message.Text
	Groups []WhyGroup
	Apart  []ListApart
}

// WhyGroup is one total with the lines that make it and those that do not.
type WhyGroup struct {
	Key    string
	Counts []ListLine
	Not    []ListLine
}

// seenPair is one field that goes along unseen.
type seenPair struct{ Key, Value string }

// typed is what was typed, for the form that sends it again.
func (f SeenForm) typed() []seenPair {
	pairs := []seenPair{{"show", f.Show}, {"name", f.Name}, {"count", f.Count}, {"site", chosenOf(f.Sites)}, {"team", chosenOf(f.Teams)}, {"observer", f.Observer},
		{"substrate", f.Substrate}, {"host", f.Host}, {"remarks", f.Remarks}}
	if f.Outside {
		pairs = append(pairs, seenPair{"outside", "yes"})
	}
	return pairs
}

func chosenOf(options []Option) string {
	for _, o := range options {
		if o.Chosen {
			return o.Value
		}
	}
	return ""
}
