package printing

import (
	"time"

	"forayhall/internal/message"
)

// WarningSheet is what a warning sheet says. Lines come in the order in which they are to be read; the sheet sets
// those of one syndrome together, under one description of it.
type WarningSheet struct {
	Society, Event, Code, Place string
	At                          time.Time // of the content: the PDF's date
	Made                        string    // the same, as people of the place say it
	Version                     string    // in words; may be empty
	Knowledge                   string    // revision of the knowledge
	Final                       bool
	Lacks                       []message.Text // what keeps it from being final
	Contact                     Contact
	Eaten                       []message.Text // what to do, in the order in which to do it
	Caution                     message.Text   // zero: the standing one
	Live                        string         // address of the sheet as it is now

	Here     []HereLine   // A
	Nameless []Plate      // C
	Wide     []WideLine   // B
	Doubles  []DoubleLine // D
	NoEntry  []Unlisted
}

// Contact is whom to call. Times are local and in words.
type Contact struct {
	Name, Phone, Hours string
	TypedBy, Typed     string
	TestedBy, Tested   string
}

// Plate is where a plate of a name stands.
type Plate struct {
	Number string
	Table  string // empty: on no table
	State  State
}

// HereLine is one name with one syndrome that is in the hall, or may be.
type HereLine struct {
	Name        Name
	Common      string
	Severity    int    // 1..5
	Syndrome    string // its short name
	Plain       string // in words a visitor understands
	Onset       message.Text
	Exposure    message.Text // zero: a meal
	Plates      []Plate
	Signs       string       // what to look for on it; may be empty
	Taken       []Taken      // those that matter most here first
	Via         message.Text // why it is here; zero: listed under this name
	Matched     string       // the name of the knowledge
	OutOfRegion bool
	Contested   string // what a society holds against the entry; it stays on the sheet all the same
}

// Taken is what people take the poisonous one for.
type Taken struct {
	Gathered    Name
	Common      string
	Differences string
}

// WideLine is a genus or a group with the worst that it could turn out to be.
type WideLine struct {
	Name        Name
	Common      string
	Plates      []Plate
	Worst       Member
	OutOfRegion bool    // the worst is of another region
	Nearer      *Member // the worst of this region, where that is another
	Contested   string
}

// Member is one of those that a wide name could turn out to be, and what it does.
type Member struct {
	Name     Name
	Severity int
	Plain    string
}

// DoubleLine says that people looking for Gathered have picked Poisonous.
type DoubleLine struct {
	Gathered        Name
	Common          string
	Plates          []Plate // of the gathered one
	Poisonous       Name
	PoisonousCommon string
	Severity        int
	Here            []Plate // of the poisonous one; none: not seen at this event
	Differences     string
}

// Unlisted is a name of which the knowledge says nothing.
type Unlisted struct {
	Name   Name
	Plates []Plate
}

// final fails safe: a sheet is final only if it says so, lacks nothing and has somebody to call.
func (s WarningSheet) final() bool {
	return s.Final && len(s.Lacks) == 0 && s.Contact.Phone != "" && s.Contact.TestedBy != ""
}
