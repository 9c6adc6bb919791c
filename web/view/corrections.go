package view

import (
	"net/url"
	"strconv"
	"time"

	"forayhall/internal/message"
)

// The forms of requests for corrections. On the keepers' page the key of each is followed by the request's number.
const (
	FormAskBack = "ask"
	FormPass    = "pass"
	FormAnswer  = "answer"
	FormAgain   = "again"
	FormRelease = "release"
	FormForget  = "forget"
)

// Correct is where anybody asks for a correction.
func (e Event) Correct() string { return e.Path + "/correct" }

// CorrectAbout is the form about something: a number, the id of a field record, or a name as a version prints it.
func (e Event) CorrectAbout(about string, version int) string {
	q := url.Values{}
	if about != "" {
		q.Set("about", about)
	}
	if version > 0 {
		q.Set("version", strconv.Itoa(version))
	}
	if len(q) == 0 {
		return e.Correct()
	}
	return e.Correct() + "?" + q.Encode()
}

// Corrections is where requests are answered.
func (e Event) Corrections() string { return e.Path + "/corrections" }

// CorrectionKinds lists what may be wrong, as the texts have it.
var CorrectionKinds = []string{"name", "place", "date", "person", "private", "other"}

// CorrectionSubject is what a request is about.
type CorrectionSubject struct {
	About   string // find, record, line, list
	Number  Number
	Name    SciName // of a line, or of what was seen
	Path    string  // of the page that everybody reads; empty: it has none
	Version int
}

// AskPage is the form in which anybody asks for a correction.
type AskPage struct {
	Layout  Layout
	Form    Form // posts about, version, kind, name, words, evidence, from, reach, show_name, secret
	Secret  string
	About   string
	Version int
	Subject CorrectionSubject
	Known   bool // the sender is signed in
	Kinds   []Option
	Name    string
	Words   string
	Proof   string
	From    string
	Reach   string
	Show    bool
	Months  int // after the answer until the sender is forgotten
	Asked   []AskedLine
}

// AskedLine is a request as everybody may read it.
type AskedLine struct {
	Seq      int
	Kind     string
	State    string
	Sent     time.Time
	By       string
	Words    string
	Proposed string
	Answer   string
	Answered time.Time
}

// SenderPage is a request as its sender reads it, under an address that nobody else has.
type SenderPage struct {
	Layout   Layout
	Seq      int
	Subject  CorrectionSubject
	Kind     string
	State    string
	Sent     time.Time
	Words    string
	Proposed string
	Proof    string
	Acts     []SenderAct
	Slip     *CorrectionSlip // by which it was put right
	URL      string
	Contact  *SenderContact // nil: forgotten
	Reply    *Form          // posts act ("reply") and words; nil: it is answered
	Typed    string
	Forget   *Form // posts act ("forget")
}

// SenderAct is one thing that was done, as the sender reads it.
type SenderAct struct {
	Kind  string
	Words string
	At    time.Time
}

// SenderContact is who asked, as they gave it.
type SenderContact struct {
	Name  string
	Reach string
	Shown bool
	Until time.Time
	Why   string
}

// CorrectionSlip is a slip that was written since.
type CorrectionSlip struct {
	Names []SciName
	By    string
	At    time.Time
	Path  string
}

// CorrectionsPage is the requests for those who answer.
type CorrectionsPage struct {
	Layout   Layout
	Keeper   bool // answers; else sees what was passed to identifiers
	Open     []CorrectionItem
	Answered []CorrectionItem
}

// CorrectionItem is one request with its forms.
type CorrectionItem struct {
	Seq       int
	ID        string
	Subject   CorrectionSubject
	State     string
	Kind      string
	Sent      time.Time
	Member    bool // the sender was signed in
	Words     string
	Proposed  SciName
	Proof     string
	Names     []SciName // of the find as it stands
	Naming    Naming
	Find      string // address of the find's page for staff
	Field     string // address of its field slip
	Slips     []CorrectionSlip
	Corrected bool
	Acts      []CorrectionActLine
	Released  bool
	Until     time.Time // zero: the sender is forgotten
	Why       string
	Contact   string // address under which the sender is shown
	Shown     *SenderContact

	Ask, Pass, Answer, Again, Release, Forget *Form
	Changes                                   []Option
	SlipChoices                               []Option
	To                                        []Option
	Typed                                     func(form, name string) string
	errors                                    Errors
}

// With gives a request the errors of the page.
func (i CorrectionItem) With(e Errors) CorrectionItem {
	i.errors = e
	return i
}

// open reports whether a form came back to be mended.
func (i CorrectionItem) open(key string) bool { return i.errors.Form == i.form(key) }

// CorrectionActLine is one thing that was done about a request.
type CorrectionActLine struct {
	Kind    string
	Words   string
	Changed string
	By      string
	To      string
	At      time.Time
}

func (i CorrectionItem) form(key string) string { return CorrectionForm(key, i.Seq) }

// CorrectionForm is the key of a request's form.
func CorrectionForm(key string, seq int) string { return key + "-" + strconv.Itoa(seq) }

func (i CorrectionItem) typed(key, name string) string {
	if i.Typed == nil {
		return ""
	}
	return i.Typed(i.form(key), name)
}

// PersonalBlock is what of an event's personal data is there still, and when it goes.
type PersonalBlock struct {
	On       time.Time // zero: no day is set
	Latest   time.Time
	Months   int
	Contact  int
	Soon     bool
	Borrowed bool
	Held     []PersonalHeld
	Gone     []PersonalGone
	Move     string // address of the form in which the day is moved; empty for who may not
}

// PersonalHeld is how many rows of a kind are there still.
type PersonalHeld struct {
	Kind string
	N    int
}

// PersonalGone is one deletion.
type PersonalGone struct {
	At   time.Time
	By   string
	Rows int
}

// RequestsOpen is how many requests wait, and where.
type RequestsOpen struct {
	N    int
	Path string
}

func (p PersonalBlock) class() string {
	if p.Soon && len(p.Held) > 0 {
		return "slip personal-soon"
	}
	return "slip"
}

// senderWords is how it is said of a sender what is kept: to themselves, or to who answers.
type senderWords struct{ name, reach, shown message.Text }

var (
	toSender = senderWords{T("correct.sender.name"), T("correct.sender.reach"), T("correct.sender.shown")}
	toKeeper = senderWords{T("corrections.sender.name"), T("corrections.sender.reach"), T("corrections.sender.shown")}
)
