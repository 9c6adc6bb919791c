package view

import "strconv"

// Event is the foray that a page belongs to. Its methods are the one list of addresses that pages link to.
type Event struct {
	Code string // "HB26"
	Name string
	Path string // "/hollinbeck/HB26"
}

func (e Event) Hall() string        { return e.Path + "/hall" }
func (e Event) Intake() string      { return e.Path + "/intake" }
func (e Event) Queue() string       { return e.Path + "/queue" }
func (e Event) Collections() string { return e.Path + "/collections" }
func (e Event) Tables() string      { return e.Path + "/tables" }
func (e Event) Running() string     { return e.Path + "/list" }
func (e Event) Publish() string     { return e.Path + "/publish" }
func (e Event) Warnings() string    { return e.Path + "/warnings" }
func (e Event) Setup() string       { return e.Path + "/setup" }

// Names answers the type-ahead: GET ?q= gives [{"name","author","note"}], at most ten.
func (e Event) Names() string { return e.Path + "/names?q=" }

// Version is the address of a published list.
func (e Event) Version(n int) string { return e.Path + "/list/" + strconv.Itoa(n) }

// Collection is the address of one collection by its number without the event's code: "0417" or "0137a".
func (e Event) Collection(number string) string { return e.Path + "/c/" + number }

// Acts of a collection page; each form goes to Event.Collection(number) + "/" + its key, and the key also marks
// in Errors which form was not taken.
const (
	FormFieldName = "field-name"
	FormSign      = "sign"
	FormNameless  = "nameless"
	FormStrike    = "strike"
	FormPlace     = "place"
	FormNote      = "note"
)

// Forms of the set-up page; each goes to Event.Setup() + "/" + its key.
const (
	FormContact = "contact"
	FormTested  = "tested"
	FormTable   = "table"
	FormRight   = "right"
)

// StaffNav is the way round for people with rights in the event; what somebody may not open is left out.
func StaffNav(e Event, may May) []Link {
	all := []struct {
		may  bool
		key  string
		path string
	}{
		{true, "nav.hall", e.Hall()},
		{may.Log, "nav.intake", e.Intake()},
		{may.SignOff, "nav.queue", e.Queue()},
		{true, "nav.collections", e.Collections()},
		{true, "nav.tables", e.Tables()},
		{true, "nav.list", e.Running()},
		{true, "nav.warnings", e.Warnings()},
		{may.Publish, "nav.publish", e.Publish()},
		{may.SetUp || may.Hazards, "nav.setup", e.Setup()},
	}
	var links []Link
	for _, l := range all {
		if l.may {
			links = append(links, Link{Text: T(l.key), Path: l.path})
		}
	}
	return links
}

// PublicNav is the way round for visitors.
func PublicNav(e Event) []Link {
	return []Link{
		{Text: T("nav.event"), Path: e.Path},
		{Text: T("nav.list"), Path: e.Running()},
		{Text: T("nav.tables"), Path: e.Tables()},
		{Text: T("nav.warnings"), Path: e.Warnings()},
	}
}

// May is what the person may do in this event, as the handler was told by the access rules.
type May struct {
	Log       bool // log any collection
	FieldName bool
	SignOff   bool // as identifier, or as scribe for a determiner
	Place     bool
	Hazards   bool // hazard entries, poison contact
	Publish   bool
	SetUp     bool
}
