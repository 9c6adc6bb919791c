package view

import (
	"time"

	"forayhall/internal/message"
)

// Collection is the page of one collection. A form that is nil may not be sent by this person now.
type Collection struct {
	Layout    Layout
	Number    Number
	Group     string
	State     Naming
	Version   int64
	Where     Where
	Hazard    *Hazard // the worst of the names in question
	Names     []InQuestion
	Marks     []Mark         // outside, protected, controlled …
	Flags     []message.Text // what the law of the place says of a name in question
	Facts     []Fact         // what the field slip says
	Noted     []Noted
	Slips     []Slip    // newest on top
	Decides   []Decides // what separates the names in question; may be empty
	SpoilsIn  *time.Duration
	Photos    []Photo
	Piles     []PhotoPile // pictures of other plates that may be the same
	Slip      []Photo     // of its paper slip, for those who may see it
	Bar       *Bar        // the way to the plates beside it
	Undo      *UndoForm
	Ways      []Link // to its field slip as a form, and to where it is split or merged
	Conflict  *Conflict
	Agree     *AgreeForm
	HandOn    *HandOnForm
	FieldName *FieldNameForm
	Sign      *SignForm
	Nameless  *NamelessForm
	Place     *PlaceForm
	Note      *NoteForm
	Send      *PhotoForm
	Hide      *PhotoHideForm
}

// Where is where the plate is.
type Where struct {
	Place    string // one of Places
	Detail   string // table, with whom, to whom: "table 7", "Ines Okafor"
	Position string
	Since    time.Time
	By       string
}

// Mark is something about a collection that everybody at the table must know: "outside", "protected",
// "controlled", "incomplete", "card-wrong". The text is "mark.KEY".
type Mark struct{ Key string }

// Fact is a line of the field slip; Label is "fact.KEY".
type Fact struct {
	Key   string
	Value string
	Text  message.Text // instead of Value
}

// Noted is a character somebody looked at, in the words they used.
type Noted struct {
	Character message.Text
	Value     string
	Seconds   int // after cutting; 0: not said
	By        string
	At        time.Time
}

// Decides is a character that separates the names in question.
type Decides struct {
	Character string
	States    []string // by name in question, in the same order as Collection.Names
	RulesOut  bool     // it rules out a deadly one
	Cost      message.Text
}

// SlipKind is what a slip does: foray's kinds, with a sign-off drawn as a dissent where it stands against another,
// and as settling where it ended a dispute.
type SlipKind string

const (
	SlipFieldName   SlipKind = "field_name"
	SlipSignOff     SlipKind = "sign_off"
	SlipDissent     SlipKind = "dissent"
	SlipSettles     SlipKind = "settles"
	SlipNotNameable SlipKind = "not_nameable"
	SlipNotFungus   SlipKind = "not_fungus"
)

// Slip is one paper slip under the number. Slips are added, never changed; a struck one stays in sight.
type Slip struct {
	ID         string
	Kind       SlipKind
	Names      []SlipName
	Determiner string
	Writer     string // empty: the determiner wrote it
	At         time.Time
	Basis      string // one of Bases; empty for field names
	Remarks    string // the reason, of a dissent
	Looked     []SignsLooked
	Unsettled  bool // a dissent that nobody settled
	Struck     *Struck
	Strike     *StrikeForm // this person may strike it now
}

// SlipName is one name on a slip.
type SlipName struct {
	Rank     int
	Name     SciName
	Common   Common
	Verbatim string   // as written, where it differs
	Current  *SciName // what it is called now, where that differs
	Reason   string
	Hazard   *Hazard
}

// Struck says who withdrew a slip and why.
type Struck struct {
	By     string
	At     time.Time
	Reason string
}

// Conflict is shown when somebody else was first: what they wrote beside what was typed, which is kept.
type Conflict struct {
	Text   message.Text
	Theirs Slip
	Yours  []Fact // label and what was typed
	Form   string // key of the form that holds it below
}

// FieldNameForm posts name_1 … name_5 and reason_1 … reason_5.
type FieldNameForm struct {
	Form    Form
	Lines   [5]FieldNameLine
	Names   string // address of the type-ahead
	Remarks string
}

// FieldNameLine is one name with its reason, as typed.
type FieldNameLine struct{ Name, Reason string }

// SignForm posts choice (InQuestion.Key of a name in question, or "other"), name (for "other"), qualifier, basis,
// determiner and remarks; a dissent gives its reason there. Without scripts a name may be written while another is
// chosen: then it is not clear which was meant, and the form must be refused, not guessed.
type SignForm struct {
	Form        Form
	Kind        SlipKind // SlipSignOff, SlipDissent (a reason is demanded) or SlipSettles
	Against     string   // for a dissent: who signed before
	Choices     []InQuestion
	Choice      string
	Name        string
	Names       string // address of the type-ahead
	Qualifiers  []Option
	Bases       []Option
	Determiners []Option // for a scribe; empty: the person signs for themselves
	Self        string   // their name
	Remarks     string
	LookFor     []LookFor
	LookKeys    bool     // this form has the keys of what is looked for
	Other       Act      // what signing a name that is not in question would be
	Clash       []Option // which of two qualifiers is meant, posted as "meant"; empty: nothing to ask
}

// NamelessForm posts kind (not_nameable, not_fungus), determiner and remarks.
type NamelessForm struct {
	Form        Form
	Kind        string
	Determiners []Option
	Remarks     string
}

// StrikeForm posts slip and remarks, the reason.
type StrikeForm struct {
	Form    Form
	Remarks string
}

// PlaceForm posts where, table, position and with (at the bench with whom, sent to whom).
type PlaceForm struct {
	Form     Form
	Places   []Option // Options("where", Places that are allowed, …)
	Tables   []Option
	Position string
	With     string
}

// NoteForm posts odour latex latex_change latex_seconds cut_change cut_seconds stickiness texture, and character
// with value for anything else.
type NoteForm struct {
	Form         Form
	Odour        string
	Latex        string
	LatexChange  string
	LatexSeconds string
	CutChange    string
	CutSeconds   string
	Stickiness   []Option
	Textures     []Option
	Character    string
	Value        string
}
