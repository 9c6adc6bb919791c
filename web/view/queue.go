package view

import (
	"time"

	"forayhall/internal/message"
)

// Queue is an identifier's: what needs them, most urgent first.
type Queue struct {
	Layout  Layout
	AsOf    time.Time
	Fits    []string // the groups it was filtered by, of Groups; empty: all
	Parts   []QueuePart
	Rows    []QueueRow
	Groups  GroupsForm
	Many    *ManyForm // nil: this person signs nothing
	Answers []SignedLine
	Walks   []Link // rounds along the tables
}

// QueueRow is one collection that waits, or one of the list of all.
type QueueRow struct {
	Number   Number
	Path     string
	Group    string
	State    Naming
	Names    []InQuestion // the first two are drawn
	Hazard   *Hazard
	SpoilsIn *time.Duration // negative: past; nil: keeps for weeks
	Waiting  time.Duration
	Where    Where
	Marks    []Mark
	Why      []message.Text // why it is where it is, instead of the times alone
	Pick     bool           // it can be chosen for signing several at once
	Picked   bool
}

// Collections is the list of all, by state.
type Collections struct {
	Layout Layout
	Filter Naming // empty: all
	Counts []StateCount
	Total  int
	All    string // address without a filter
	Find   string // what was looked for: a number or a name; GET ?find=
	Rows   []QueueRow
	More   string // address of the next page; empty: none
}

// Tables is the display.
type Tables struct {
	Layout Layout
	AsOf   time.Time
	Tables []Table
}

// Table is one trestle table.
type Table struct {
	Key     string
	Name    string
	About   string
	Hazards bool // the table of hazards, out of a child's reach
	Plates  []Plate
	Doubles []Double // cards at a double
	Path    string   // of the table's own page
}

// Plate is what stands at a position.
type Plate struct {
	Position string
	Number   Number
	Path     string
	Name     SciName
	NamePath string // of the taxon's page at this event
	Common   Common
	Group    string // where there is no name yet
	State    Naming
	Hazard   *Hazard
	Size     string // one of Plates
	CardOld  bool   // the printed card is wrong
}

// Double is a card at a gathered species: what it is mistaken for stands elsewhere.
type Double struct {
	At        Number
	Name      SciName
	Hazard    *Hazard
	StandsOn  string // table; empty: not in the hall
	StandsKey string
}
