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
	Revision string // of the knowledge
	Contact  Contact
	Lacks    []message.Text // what keeps it from being final
	Blocks   []SheetBlock
	Nameless []SheetPlace // no name yet: treat as poisonous
	Doubles  []SheetDouble
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
	MistakenFor []SheetPair
	OutOfRegion bool
	Source      string
}

// SheetPlace is where a plate of that name stands.
type SheetPlace struct {
	Number Number
	Where  string
	State  Naming
}

// SheetPair is a mistake that happens, and what to look at.
type SheetPair struct {
	Gathered    SciName
	Common      Common
	Differences string
}

// SheetDouble is a species that people look for which stands in this hall, with what it is mistaken for.
type SheetDouble struct {
	Gathered    SciName
	Common      Common
	Where       []SheetPlace
	Poisonous   SciName
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

// Setup is the event's small set-up page.
type Setup struct {
	Layout  Layout
	Contact Contact
	Edit    *ContactForm // safety lead
	Tested  *TestedForm  // safety lead, when there is a number
	Tables  []TableRow
	Add     *TableForm
	People  []PersonRow
	Give    *RightForm
	Borrows []Common // common names that borrow, for the society to decide on
}

// ContactForm posts name, phone, hours.
type ContactForm struct {
	Form               Form
	Name, Phone, Hours string
}

// TestedForm posts answered ("yes"): the number was called and answered.
type TestedForm struct{ Form Form }

// TableRow is a table of the event.
type TableRow struct {
	Name, About string
	Plates      int
	Hazards     bool
}

// TableForm posts number, name, hazards.
type TableForm struct {
	Form         Form
	Number, Name string
	Hazards      bool
}

// PersonRow is a person with rights in this event.
type PersonRow struct {
	Name    string
	Account bool     // may sign in
	Roles   []string // of Roles
	Groups  []string // of Groups, what they determine
}

// RightForm posts person and role.
type RightForm struct {
	Form   Form
	People []Option
	Roles  []Option
}

// Problem is the page for what went wrong.
type Problem struct {
	Layout Layout
	Kind   string // fault.Kind's word
	Text   message.Text
	Back   string // where to go on
	Kept   []Fact // what was typed, so that it can be copied
}
