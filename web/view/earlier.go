package view

import (
	"time"

	"forayhall/internal/message"
)

// Forms of the earlier lists.
const (
	FormEarlier          = "earlier"
	FormEarlierWithdrawn = "earlier-withdrawn"
)

// EarlierList is the address of one earlier list, Firsts of the first records, AllFirsts of those of every site.
func (e Event) EarlierList(id string) string { return e.SetupPart("earlier") + "?list=" + id }
func (e Event) Firsts() string               { return e.Running() + "/firsts" }
func (e Event) AllFirsts() string            { return e.SetupPart("earlier") + "/firsts" }

// SetupEarlier is the lists of what was found before.
type SetupEarlier struct {
	Part
	Lists  []EarlierRow
	Firsts string        // where the first records of every site are, for those who keep the list
	Edit   *EarlierForm  // nil for who may not
	Looked *EarlierLook  // what a list was read as, before it is taken in
	Open   *EarlierLines // the lines of one list
}

// EarlierRow is one list.
type EarlierRow struct {
	ID       string
	Title    string
	Of       message.Text
	Lines    []message.Text
	Source   string
	Unknown  EarlierNames // names that the classification does not know
	Gone     message.Text // by whom it was withdrawn
	Why      string
	Path     string
	Here     bool
	Withdraw *EarlierWithdraw
}

// EarlierWithdraw posts list and reason.
type EarlierWithdraw struct {
	Form   Form
	List   string
	Reason string
	Open   bool // it came back
}

// EarlierForm posts what is said of a list, and file or lines.
type EarlierForm struct {
	Form                                      Form
	Title, Site, Area, Source, Period, Pasted string
	Scopes                                    []Option
	Sites                                     []string
	MonthFirst                                bool
	Carried                                   []EarlierCarried // the list that was sent, where the form comes back
	File                                      string           // its name
}

// EarlierLook is what a list was read as. Its form carries all that was said, and the list itself.
type EarlierLook struct {
	Form    Form
	Carried []EarlierCarried
	Title   string
	Facts   []message.Text
	Notes   []message.Text
	Asked   EarlierNames
	Former  EarlierNames
	Spelt   EarlierNames
	Unknown EarlierNames
	Refused []EarlierRefused
	None    bool // there is nothing to take
}

// EarlierCarried is a field that is sent again as it is.
type EarlierCarried struct{ Name, Value string }

// EarlierNames is names of a kind: those that the page tells, and how many there are beside.
type EarlierNames struct {
	Told []EarlierName
	More int
}

// N is how many there are.
func (n EarlierNames) N() int { return len(n.Told) + n.More }

// EarlierName is a name as it was written and what it was read as.
type EarlierName struct {
	Written string
	Line    int
	Lines   int
	Read    *SciName // what was found, or what it looks like
	Now     *SciName // what that is called now
	May     []SciName
	ID      string // of its tick; empty: there is nothing to say yes to
	Ticked  bool
}

// EarlierRefused is a row that cannot be taken.
type EarlierRefused struct {
	Line          int
	Column, Value string
	Reason        message.Text
}

// EarlierLines is a stretch of one list.
type EarlierLines struct {
	Title string
	Lines []EarlierLine
	Next  string // where it goes on
	Begin string // where it begins, when it is not here
}

// EarlierLine is one line of a list.
type EarlierLine struct {
	Line     int
	Written  string
	Now      *SciName // nil where nobody knows it
	NowPath  string
	Place    string
	Day      string
	Count    string
	AsItCame string
}

// FirstsPage is the first records of an event.
type FirstsPage struct {
	Layout   Layout
	AsOf     time.Time
	Whole    bool // of every site
	Taxa     []FirstLine
	Compared []FirstCompared
	CSV      string
	Lists    string // where the earlier lists are kept, for those who keep them
}

// FirstLine is a taxon that is new somewhere.
type FirstLine struct {
	Name    SciName
	Path    string
	Written *SciName // as it was determined, where that is another name
	Marks   []FirstMark
	Numbers []NumberTo
	Fields  int
}

// FirstMark is what a taxon is new to.
type FirstMark struct {
	Text   message.Text
	Sure   bool
	Lacks  []message.Text
	Why    []message.Text // what it was compared with
	Secret bool
}

// FirstCompared is what finds were compared with for one place.
type FirstCompared struct {
	Of      message.Text
	With    []message.Text
	Nothing bool
	Secret  bool
}
