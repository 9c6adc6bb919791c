package view

import (
	"net/url"

	"forayhall/internal/message"
)

// Hazards is the address of the page on which a society says what it knows of harm; each of its forms goes to this and
// "/" and its key.
func (e Event) Hazards() string { return e.Path + "/hazards" }

// HazardsOf is the page with what is known of a name.
func (e Event) HazardsOf(name string) string { return e.Hazards() + "?name=" + url.QueryEscape(name) }

// Forms of the page.
const (
	FormOwnHazard  = "hazard"
	FormOwnPair    = "pair"
	FormContest    = "contest"
	FormWithdraw   = "withdraw"
	FormOwnEntries = "import"
)

// KnownHazards is what is known of harm, for the safety lead.
type KnownHazards struct {
	Layout   Layout
	Asked    string
	Unknown  bool
	Nearest  []Link
	Rows     []KnownRow // of the name itself
	Wide     []KnownRow // of what it could turn out to be
	Pairs    []KnownRow
	Entries  []OwnLine
	Gone     []OwnLine
	Add      HazardForm
	Pair     LookalikeForm
	Contest  *WordsForm
	Withdraw *WordsForm
	Import   ImportForm
}

// KnownRow is a row or a pair, with the explanation why it is told.
type KnownRow struct {
	Hazard    Hazard
	Name      SciName
	Other     *SciName       // of a pair: the poisonous one
	Syndrome  string         // in words
	Why       []message.Text // by which name and rule, how it harms, where, how firm
	Words     string         // a note, or the differences
	Source    string
	Own       bool
	Contested []ContestLine
	Contest   string // where it is contested
	Withdraw  string // where it is taken back; empty where it ships
}

// ContestLine is why the society does not agree with a row. It lowers nothing.
type ContestLine struct{ Reason, Source string }

// OwnLine is an entry of the society.
type OwnLine struct {
	Kind   string // hazard, pair, contest
	Row    KnownRow
	About  string // what is contested
	Words  string // the reason of a contest
	Source string
	By     message.Text // who wrote it and when
	Left   message.Text // why it does not work
	Gone   message.Text // who took it back and when
	Reason string       // why
	Back   string       // where it is taken back
}

// HazardForm posts taxon, syndrome, scope, exposure, region, evidence, source, note.
type HazardForm struct {
	Form                                    Form
	Taxon, Region, Source, Note             string
	Syndromes, Scopes, Exposures, Evidences []Option
	Names                                   string
	Regions                                 []string
}

// LookalikeForm posts gathered, poisonous, region, differences, source.
type LookalikeForm struct {
	Form                                             Form
	Gathered, Poisonous, Region, Differences, Source string
	Names                                            string
	Regions                                          []string
}

// WordsForm posts what it is about, reason and, for a contest, source.
type WordsForm struct {
	Form           Form
	About          string // posted as about, or as entry
	Said           string // what that is, to be read
	Reason, Source string
}

// ImportForm posts file, or the lines themselves as lines.
type ImportForm struct {
	Form    Form
	Lines   string
	Refused []RefusedLine
}

// RefusedLine is a line of a spreadsheet that cannot be taken.
type RefusedLine struct {
	Line           int
	Column, Reason string
}

// encoding is how a form is sent; one with a file needs its own.
func encoding(key string) string {
	if key == FormOwnEntries {
		return "multipart/form-data"
	}
	return "application/x-www-form-urlencoded"
}
