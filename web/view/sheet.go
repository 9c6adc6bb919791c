package view

import (
	"time"

	"forayhall/internal/message"
)

// Sheet is the warning sheet, on a phone and on paper. The blocks follow the customs of the hall: what is on the
// tables or may be, what is named too widely, what has no name yet, the doubles of what is gathered, and what the
// knowledge says nothing of.
type Sheet struct {
	Layout   Layout
	Place    string
	AsOf     time.Time
	Version  int64  // the change after which it was made
	Revision string // of the knowledge
	Contact  Contact
	Lacks    []message.Text // what keeps it from being final
	Blocks   []SheetBlock
	Nameless []SheetPlace // no name yet: treat as poisonous
	Doubles  []SheetGathered
	NoEntry  []SheetLine
	Eaten    []message.Text
}

// SheetBlock is one block, worst first; Key is a or b, its texts "sheet.block.KEY" and "sheet.block.KEY.why".
type SheetBlock struct {
	Key   string
	Lines []SheetLine
}

// SheetLine is one name with one syndrome.
type SheetLine struct {
	Name        SciName
	Path        string // of the taxon's page at this event; empty: no link
	Common      Common
	Where       []SheetPlace
	Hazard      Hazard
	Syndrome    string
	Plain       string // in words a visitor understands
	Onset       message.Text
	Exposure    message.Text // zero: a meal
	Via         message.Text // why it is here; zero: listed under this name
	Matched     string       // the name of the knowledge
	Nearer      string       // for a wide name: the worst of the event's region, where the worst of all is not of it
	MistakenFor []SheetPair  // with differences, then
	AlsoFor     []SheetPair  // those that are only named
	OutOfRegion bool
	Source      string
	Contested   []ContestLine // by the society; the warning stands as it is
}

// SheetPlace is where a plate of that name stands.
type SheetPlace struct {
	Number Number
	Path   string // of the collection as anybody may see it
	Where  string
	State  Naming
}

// SheetPair is a mistake that happens, and what to look at.
type SheetPair struct {
	Gathered    SciName
	Common      Common
	Differences string
}

// SheetGathered is a species that people look for which stands in this hall, with what it is mistaken for.
type SheetGathered struct {
	Name    SciName
	Common  Common
	Where   []SheetPlace
	Doubles []SheetDouble // with differences, then
	Also    []SheetDouble // those that are only named
}

// SheetDouble is what has been picked by people who looked for another.
type SheetDouble struct {
	Poisonous   SciName
	Common      Common
	Hazard      Hazard
	Here        []SheetPlace // of the poisonous one; empty: not seen at this event
	Differences string
}

// Contact is whom to call. Without a tested one the sheet is not final.
type Contact struct {
	Name     string
	Phone    string
	Hours    string
	TypedBy  string
	TypedAt  time.Time
	TestedBy string
	TestedAt time.Time
}

// Final reports whether the contact was typed in and test-called.
func (c Contact) Final() bool { return c.Phone != "" && c.TestedBy != "" && !c.TestedAt.IsZero() }

// Problem is the page for what went wrong.
type Problem struct {
	Layout Layout
	Kind   string // fault.Kind's word
	Text   message.Text
	Back   string // where to go on
	Kept   []Fact // what was typed, so that it can be copied
}
