package view

import (
	"time"

	"forayhall/internal/message"
)

// Incomplete is the field slips that still lack something.
type Incomplete struct {
	Layout Layout
	All    int
	Rows   []Lacking
}

// Lacking is one of them.
type Lacking struct {
	Number    Number
	Path      string // of the form over it
	Group     string
	Team      message.Text
	Collector string
	Missing   []message.Text
}

// Ledger is every number and what became of it. The form posts number, to, fate and reason.
type Ledger struct {
	Layout   Layout
	Fate     string // the filter: one of Fates; empty: all
	Counts   []FateCount
	Open     int // numbers that are unaccounted for
	Blocks   []Block
	Lines    []LedgerLine
	More     string // address of the lines after these
	Form     Form
	Number   string // as typed
	To       string
	FateSaid string
	Reason   string
}

// FateCount is how many numbers met a fate, with the lines of those.
type FateCount struct {
	Fate string
	N    int
	Path string
}

// Block is a run of numbers that was handed out.
type Block struct {
	From, To string
	Whose    message.Text
	By       string
	At       time.Time
	Counts   []FateCount // only what there is
}

// LedgerLine is one number, or a run that nobody has said anything of.
type LedgerLine struct {
	Number  Number
	To      *Number
	N       int
	Path    string // of its page; empty: it never was a plate
	Fate    string
	Into    []Numbered
	By      string
	At      time.Time
	Reason  string
	Outside bool
	Unused  Form // says that these came back unused; drawn where Action is set
}

// Numbered is a number with the way to it.
type Numbered struct {
	Number Number
	Path   string
}

// Fates of a number, in the words of foray, and those that one may say of a number without a plate.
var (
	Fates    = []string{"open", "unused", "spoilt", "live", "split", "merged", "discarded", "lost"}
	FateSaid = []string{"unused", "spoilt", "lost", "found"}
)

// NoPlate is a number that bore a plate and does not any more: what was split asks which part is meant.
type NoPlate struct {
	Layout Layout
	Number Number
	Fate   string // split, merged, spoilt
	By     string
	At     time.Time
	Reason string
	Into   []QueueRow
	Noted  []Noted
	Again  *Form // makes a spoilt one a plate again
}

// Parts is where a plate is split, merged or taken out.
type Parts struct {
	Layout Layout
	Number Number
	Path   string
	Group  string
	Names  []InQuestion
	Split  SplitForm
	Merge  MergeForm
	Spoil  *SpoilForm // nil: somebody has named it
}

// SplitForm posts group_1 … and remarks_1 … of each part, and reason. The first two parts are always made, the others
// where something is said of them.
type SplitForm struct {
	Form   Form
	Lines  []PartLine
	Reason string
}

// PartLine is one part as typed.
type PartLine struct {
	Groups  []Option
	Remarks string
	Said    bool
}

// MergeForm posts into and reason.
type MergeForm struct {
	Form   Form
	Into   string
	Reason string
}

// SpoilForm posts reason.
type SpoilForm struct {
	Form   Form
	Reason string
}

// The forms of the page where a plate is split, merged or taken out; each goes to Event.Collection(number) + "/" + key.
const (
	FormSplit = "split"
	FormMerge = "merge"
	FormSpoil = "spoil"
)

func (l LedgerLine) row() string { return l.Number.Short() }

// partEmpty is the first choice of a part's group: the whole's own, or that there is no such part.
func partEmpty(i int) string {
	if i < 2 {
		return "split.same"
	}
	return "split.no-part"
}
