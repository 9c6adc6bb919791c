package view

import (
	"context"
	"time"

	"forayhall/internal/message"
)

func (e Event) People() string { return e.Path + "/people" }

// Forms of the people page; each goes to Event.People() + "/" + its key.
const (
	FormInvitation = "invitation"
	FormTakeBack   = "take-back"
	FormHallPass   = "pass"
	FormEndPass    = "end-pass"
)

// Forms of somebody's own page; each goes to "/me/" + its key.
const (
	FormCredit     = "credit"
	FormPassword   = "password"
	FormToken      = "token"
	FormSession    = "session"
	FormEverywhere = "everywhere"
	FormErase      = "erase"
)

// People is who may do what at the event, and how they came by it. The forms are there for who may use them.
type People struct {
	Layout  Layout
	Holders []Holder
	Passes  []Pass
	Open    []Invitation
	History []HistoryLine
	Invite  *InvitationForm
	Make    *HallPassForm
	EndAll  *Form // ends every pass
}

// Holder is somebody with rights.
type Holder struct {
	Name    string
	Roles   []string
	SignsIn bool
	Pass    string // what the pass was for by which they came in
	ByPass  bool
}

// Pass is a pass with who came in by it.
type Pass struct {
	Role   string
	Label  string
	Most   int
	MadeBy string
	MadeAt time.Time
	Ended  time.Time
	Stays  []Stay
	ID     string
	End    *Form
}

// Stay is somebody who came in by a pass.
type Stay struct {
	Name string
	From time.Time
	To   time.Time
	ID   string
	End  *Form
}

// Invitation is a link that nobody has used.
type Invitation struct {
	Name    string
	Roles   []string
	By      string
	Ends    time.Time
	Expired bool
	ID      string
	Back    Form
}

// HistoryLine says who gave or took what. Text is without who and when.
type HistoryLine struct {
	Text message.Text
	By   string
	At   time.Time
}

// InvitationForm makes an invitation.
type InvitationForm struct {
	Form   Form
	People []Option // who is known and cannot sign in
	Name   string
	Rights []Option
	Days   string
}

// HallPassForm makes a pass.
type HallPassForm struct {
	Form   Form
	Rights []Option
	Label  string
	Uses   string
}

// ShownLink is a link that is shown once. Image is empty where the link was shown before.
type ShownLink struct {
	Layout Layout
	Key    string // invitation or pass
	Name   string
	Roles  []string
	Label  string
	URL    string
	Image  string // a PNG as a data: address
	Pixels int
	Ends   time.Time
	Back   string
}

// Invited is what somebody who opens an invitation sees. Form is nil where it opens nothing any more.
type Invited struct {
	Layout  Layout
	Society string
	Event   string // empty: to the society
	From    time.Time
	To      time.Time
	By      string
	Name    string
	Roles   []string
	Ends    time.Time
	Closed  message.Text
	Form    *Form
	Login   string
}

// Entry is what somebody who scans a pass sees. Form is nil where nobody comes in by it any more.
type Entry struct {
	Layout Layout
	Role   string
	Label  string
	Closed message.Text
	Form   *Form
	Name   string
	As     string // who is signed in here already
}

// Me is somebody's own page.
type Me struct {
	Layout   Layout
	Name     string
	Society  string
	Login    string // empty: came in by a pass
	Credit   CreditForm
	Password *Form
	Sessions []SessionRow
	Leave    Form // signs out everywhere
	Token    *TokenForm
	Erase    EraseForm
	Last     []string // codes of events that would be left to nobody
}

// CreditForm chooses how the name appears; each choice shows it.
type CreditForm struct {
	Form    Form
	Options []Option
}

// SessionRow is one place where somebody is signed in.
type SessionRow struct {
	Token bool
	Label message.Text
	Given string // a label that they gave themselves
	Roles []string
	Age   time.Duration
	Ends  time.Time
	Here  bool
	ID    string
	End   Form
}

func (s SessionRow) name(ctx context.Context) string {
	if s.Given != "" {
		return s.Given
	}
	return tell(ctx, s.Label)
}

// TokenForm makes a token.
type TokenForm struct {
	Form   Form
	Label  string
	Rights []Option
	Days   string
}

// EraseForm says how somebody goes.
type EraseForm struct {
	Form    Form
	Options []Option
}

// ShownToken is a token that is shown once; empty where it was shown before.
type ShownToken struct {
	Layout Layout
	Token  string
	Label  string
	Ends   time.Time
}

// CreditOptions are the ways in which a name appears, each with what it then is.
func CreditOptions(ctx context.Context, full, initials, chosen string) []Option {
	options := make([]Option, 0, 3)
	for _, o := range []struct{ key, shown string }{{"full", full}, {"initials", initials}, {"none", say(ctx, "me.credit.nobody")}} {
		options = append(options, Option{Value: o.key, Text: T("me.credit."+o.key, "name", o.shown), Chosen: o.key == chosen})
	}
	return options
}

func passTitle(role, label string) message.Text {
	if label == "" {
		return RoleText(role)
	}
	return T("people.pass.title", "role", RoleText(role), "label", label)
}

// grouped is a fieldset's id, where the first error of its boxes leads.
func grouped(form, name string) string { return fieldID(form, name) }
