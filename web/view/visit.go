package view

import (
	"context"
	"strconv"
	"time"

	"forayhall/internal/message"
)

// OneTable is one table as a visitor stands before it.
type OneTable struct {
	Layout  Layout
	AsOf    time.Time
	Name    string
	Hazards bool
	Plates  []Standing
	Before  *Link
	After   *Link
	Jump    Jump
}

// Standing is a plate on the table, with the cards at its doubles.
type Standing struct {
	Position    string
	Number      Number
	Path        string
	Group       string
	Names       []InQuestion
	State       Naming
	Hazard      *Hazard
	Marks       []Mark
	Determiners []string // as they chose to be named
	Doubles     []Confusion
}

// Confusion is a mistake that happens between what is shown and another.
type Confusion struct {
	TakenFor    bool // what is shown is the poisonous one, and is taken for the other
	This        SciName
	Other       SciName
	Path        string
	Common      Common
	Hazard      *Hazard // of the poisonous one, at Other; nil where that is what is shown
	Differences string
	Source      string
	Contested   []ContestLine
	Stands      []Stand // of the other, on tables
}

// Stand is a plate on a table.
type Stand struct {
	Number    Number
	Path      string
	Table     string
	TablePath string
}

// Find is one number as anybody may look it up.
type Find struct {
	Layout    Layout
	AsOf      time.Time
	Number    Number
	There     bool   // it is, or was, a collection
	Fate      string // live, split, merged, spoilt, lost, found, unused
	Parts     []Stand
	Into      *Stand
	Group     string
	State     Naming
	Hazard    *Hazard
	Marks     []Mark
	Where     Where
	TablePath string
	Names     []InQuestion
	Facts     []Fact
	Slips     []Slip // without what is not for everybody
	Warnings  []SheetLine
	NoEntry   bool
	Doubles   []Confusion
	Helpers   string // the way, through signing in, to the slip itself
	Jump      Jump
	Photos    []Photo
	Piles     []PhotoPile
}

// live reports whether the number is a plate's.
func (f Find) live() bool { return f.There && f.Fate == "live" }

// plain is what must be said first and without more: that it is no fungus, or gone.
func (f Find) plain() []message.Text {
	var texts []message.Text
	if f.Fate != "live" {
		texts = append(texts, T("find.fate."+f.Fate))
	}
	if f.There && f.State == NotFungus {
		texts = append(texts, T("find.not-fungus"))
	}
	if f.There && f.State == NotNameable {
		texts = append(texts, T("find.not-nameable"))
	}
	if f.live() && (f.Where.Place == "discarded" || f.Where.Place == "lost" || f.Where.Place == "sent") {
		texts = append(texts, T("find.gone."+f.Where.Place))
	}
	return texts
}

// TaxonHere is a name at this event.
type TaxonHere struct {
	Layout   Layout
	AsOf     time.Time
	Name     SciName
	Asked    *SciName // the former name that was asked for
	Unknown  bool     // only this event knows the name
	Common   []Common
	Wider    []WiderName
	Former   []FormerName
	Said     string // how the name is said; empty where that is not known
	Disputed string // what experts disagree about
	Hazard   *Hazard
	Warnings []SheetLine
	Doubles  []Confusion
	Glossary Glossary // of the words in Doubles
	Record   TaxonRecord
	Finds    int
	Sites    []TaxonSite
	Within   []WithinLine
	Photos   []Photo
}

// WiderName is a rank above, its text "fact.KEY".
type WiderName struct {
	Key  string
	Name SciName
	Path string
}

// TaxonSite is the finds of one site.
type TaxonSite struct {
	Name   string
	Text   message.Text // instead of Name, where there is none to be told
	States []TaxonState
}

// TaxonState is the finds of one state.
type TaxonState struct {
	State Naming
	Finds []TaxonFind
}

// TaxonFind is one of them, and where it stands.
type TaxonFind struct {
	Number    Number
	Path      string
	Name      SciName // as it is in question there, where that is more than the taxon's name
	Where     Where
	TablePath string
}

// WithinLine is a name within the one that is shown.
type WithinLine struct {
	Name  SciName
	Path  string
	Finds int
}

// Jump is the field that leads to a number. It is sent with GET and writes nothing.
type Jump struct {
	Action string
	Typed  string
	Errors Errors
}

// JumpPage asks for a number.
type JumpPage struct {
	Layout Layout
	Jump   Jump
}

// Own is what a member brought in.
type Own struct {
	Layout Layout
	AsOf   time.Time
	Finds  []OwnFind
	Hide   *PhotoHideForm
}

// OwnFind is one of them. The form is on the page for the one that is to be named.
type OwnFind struct {
	Key       string // of the element: a form that comes back leads to it
	Number    Number
	Path      string // of its slip
	Group     string
	State     Naming
	Hazard    *Hazard
	Names     []InQuestion
	Where     Where
	TablePath string
	NamePath  string // this page with its form
	Form      *FieldNameForm
	Photos    []Photo
	Send      *PhotoForm
}

// namesHeading says whether there is a name, or names to choose between.
func namesHeading(names []InQuestion) string {
	if len(names) > 1 {
		return "find.names"
	}
	return "find.name"
}

func takenKey(takenFor bool) string {
	if takenFor {
		return "double.taken-for"
	}
	return "tables.double"
}

// standsKey says where the other one stands.
func standsKey(takenFor bool) string {
	if takenFor {
		return "double.other-stands"
	}
	return "double.stands"
}

// orUnnamed names whoever determined, or says that they chose not to be named.
func orUnnamed(ctx context.Context, name string) string {
	if name == "" {
		return say(ctx, "find.unnamed")
	}
	return name
}

// Day is a day in the reader's language.
func Day(t time.Time) message.Text {
	return T("date.day", "weekday", T("date.weekday."+strconv.Itoa(int(t.Weekday()))), "day", t.Day(),
		"month", T("date.month."+strconv.Itoa(int(t.Month()))), "year", t.Year())
}
