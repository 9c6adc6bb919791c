package view

import (
	"time"

	"forayhall/internal/message"
)

// Start is the page at the root: what anybody may look at.
type Start struct {
	Layout Layout
	Events []EventCard
}

// EventCard is an event on the start page.
type EventCard struct {
	Path    string // from the root
	Code    string
	Name    string
	Society string
	// SocietyPath is of the society's own page.
	SocietyPath string
	Place       string
	From        time.Time
	To          time.Time // zero: one day
	Open        bool      // in full swing
	Version     int       // newest published; 0: none
}

// SignIn posts name, password and next.
type SignIn struct {
	Layout    Layout
	Form      Form
	Name      string
	Next      string // where to go on to
	SignedOut bool
}

// Landing is an event's public page.
type Landing struct {
	Layout      Layout
	Place       string
	From, To    time.Time
	About       string
	Open        bool
	AsOf        time.Time
	Collections int
	Taxa        int
	Tables      int
	Warned      int // names on the warning sheet
	SheetFinal  bool
	Versions    []Version // newest first
	Recent      []Recent
	Jump        Jump
	Own         string // the way, through signing in, to what a member brought in
}

// Version is a published list.
type Version struct {
	N      int
	At     time.Time
	By     string
	Taxa   int
	Path   string
	Digest string // SHA-256 of the bytes, as hexadecimal
}

// Recent is a find shown on the landing page.
type Recent struct {
	Name   SciName
	Common Common
	State  Naming
	Hazard *Hazard
	Number Number
	Table  string

	Path, NamePath string // of the collection and of the taxon
}

// Hall is where staff land.
type Hall struct {
	Layout    Layout
	AsOf      time.Time
	Tasks     []Task
	Counts    []StateCount
	Next      *QueueRow
	Waiting   int
	NoContact bool           // the poison contact is missing or not tested
	Jobs      []message.Text // "table 7, 0417: swap card"
	Recent    []QueueRow     // just brought in
	Late      []TeamLine     // teams about which something is to be done now
	LateLink  string         // to every team; empty where the person may not
}

// Task is a thing this person may do: its texts are "task.KEY" and "task.KEY.why".
type Task struct {
	Key   string // intake queue collections tables list publish warnings setup
	Path  string
	Count int
}

// StateCount is how many collections are in a state.
type StateCount struct {
	State Naming
	N     int
	Path  string
}
