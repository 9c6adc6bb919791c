package view

import (
	"context"

	"forayhall/internal/message"
)

// Act is what signing a name would be: Kind is foray's word, Who whose word it meets.
type Act struct {
	Kind string
	Who  string
}

// text says it before anybody presses the button.
func (a Act) text() message.Text {
	if a.Kind == "" {
		return message.Text{}
	}
	if a.Kind == "agree" && a.Who == "" { // the word that stands is the reader's own
		return T("act.own")
	}
	return T("act."+a.Kind, "who", a.Who)
}

// Mixed is what a name is mistaken for.
type Mixed struct {
	Name        SciName
	Hazard      *Hazard
	Differences string
}

// Bar leads from one plate to the next without going back to a list.
type Bar struct {
	Where  message.Text // "5 of 14 on table 3 Boletes"
	Before string
	Next   string
	Later  bool // Next passes the plate over: it comes back at the end
	Looked string
	Back   string
	BackTo message.Text
}

// AgreeForm signs the first name in question, which is chosen already, on the basis that this person used last.
type AgreeForm struct {
	Form       Form
	Name       InQuestion
	Bases      []Option
	Determiner string // for a scribe: the id of whoever is chosen
	For        string // and their name
	LookFor    []LookFor
}

// UndoForm takes one's own last slip back: struck as a slip of the hand.
type UndoForm struct {
	Form   Form
	Slip   string
	Number Number
}

// HandOnForm posts where=bench and with, the name of whoever gets the plate.
type HandOnForm struct {
	Form Form
	To   []Identifier
}

// Identifier is somebody who determines at the event.
type Identifier struct {
	Name   string
	Groups []string
	Path   string // where a scribe writes for them
}

// QueuePart is one of the parts of what waits.
type QueuePart struct {
	Key   string // "", "all", "disputes", "mine"
	Path  string
	Count int
	Here  bool
}

// GroupsForm posts groups, once for each.
type GroupsForm struct {
	Form   Form
	Groups []Option
}

// ManyForm posts pick for each chosen row, with name, basis and remarks.
type ManyForm struct {
	Form    Form
	Name    string
	Names   string // address of the type-ahead
	Bases   []Option
	Remarks string
}

// manyForm is the id that the rows' boxes belong to.
const manyForm = "many-form"

// SignedLine is what became of one line of several.
type SignedLine struct {
	Written string
	Outcome string // signed, refused, overtaken
	Number  Number // of what was signed
	Path    string
	Why     message.Text
	Theirs  string // the name that came between
	By      string
}

// Scribe is where somebody writes at a determiner's word.
type Scribe struct {
	Layout  Layout
	Choose  []Identifier
	For     string // name of whoever was chosen; empty: nobody yet
	ForID   string
	Change  string // address where another is chosen
	One     ScribeForm
	Several ScribeForm
	Answers []SignedLine
	Undo    *UndoForm
}

// ScribeForm posts determiner, basis and either number, name and remarks, or lines.
type ScribeForm struct {
	Form    Form
	Number  string
	Name    string
	Names   string
	Bases   []Option
	Remarks string
	Lines   string
}

// Forms of the bench that are on a page with others.
const (
	FormMany    = "many"
	FormGroups  = "groups"
	FormOne     = "one"
	FormSeveral = "several"
	FormAgree   = "agree"
	FormHandOn  = "hand-on" // goes where FormPlace goes
)

// keyOfScribe are the keys of the scribe's page.
var (
	keyChange  = Key{"w", "keys.change-determiner"}
	keyOne     = Key{"n", "keys.one-plate"}
	keySeveral = Key{"m", "keys.several-plates"}
	keyGroups  = Key{"g", "keys.groups"}
	keyMany    = Key{"m", "keys.many"}
)

func (p Scribe) keys() []Key {
	if p.For == "" {
		var keys []Key
		for i := range p.Choose {
			if k := keyOfChoice(i); k.Press != "" {
				keys = append(keys, k)
			}
		}
		return keys
	}
	keys := []Key{keyOne, keySeveral, keyChange}
	if p.Undo != nil {
		keys = append(keys, keyUndo)
	}
	return keys
}

func keyOfChoice(i int) Key {
	if i >= 9 {
		return Key{}
	}
	return Key{itoa(i + 1), "keys.choose-determiner"}
}

// WalkDone is a table of which every plate was seen.
type WalkDone struct {
	Layout Layout
	Table  string
	Seen   int
	Again  string
	Back   string
	Undo   *UndoForm
}

func (p WalkDone) keys() []Key {
	if p.Undo != nil {
		return []Key{keyBack, keyUndo}
	}
	return []Key{keyBack}
}

func nextText(later bool) string {
	if later {
		return "bar.later"
	}
	return "bar.next"
}

func partText(key string) string {
	if key == "" {
		return "queue.part.me"
	}
	return "queue.part." + key
}

// WhyHere says why a row is where it is in the queue, in the order in which that was decided.
func (r QueueRow) WhyHere(toMe, isNew bool) []message.Text {
	var why []message.Text
	if toMe {
		why = append(why, T("why.to-me"))
	}
	why = append(why, spoils(r.SpoilsIn))
	if r.Hazard != nil {
		why = append(why, r.Hazard.shortWord())
	}
	if isNew {
		why = append(why, T("why.new"))
	}
	return append(why, T("queue.since", "span", span(r.Waiting)))
}

// inOneLine is somebody who determines, with their groups.
func (i Identifier) inOneLine(ctx context.Context) string {
	if len(i.Groups) == 0 {
		return i.Name
	}
	return say(ctx, "identifier.groups", "who", i.Name, "groups", texts(ctx, groupTexts(i.Groups)))
}

func (f HandOnForm) options(ctx context.Context) []Option {
	options := make([]Option, len(f.To))
	for i, to := range f.To {
		options[i] = Option{Value: to.Name, Label: to.inOneLine(ctx)}
	}
	return options
}
