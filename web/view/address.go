package view

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"
)

// Event is the foray that a page belongs to. Its methods are the one list of addresses that pages link to.
type Event struct {
	Code string // "HB26"
	Name string
	Path string // "/hollinbeck/HB26"
}

func (e Event) Hall() string        { return e.Path + "/hall" }
func (e Event) Intake() string      { return e.Path + "/intake" }
func (e Event) Queue() string       { return e.Path + "/queue" }
func (e Event) Scribe() string      { return e.Path + "/scribe" }
func (e Event) Collections() string { return e.Path + "/collections" }
func (e Event) Tables() string      { return e.Path + "/tables" }
func (e Event) Running() string     { return e.Path + "/list" }
func (e Event) Publish() string     { return e.Path + "/publish" }
func (e Event) Warnings() string    { return e.Path + "/warnings" }
func (e Event) Setup() string       { return e.Path + "/setup" }
func (e Event) Plan() string        { return e.Path + "/plan" }
func (e Event) Put() string         { return e.Path + "/put" }
func (e Event) Clear() string       { return e.Path + "/clear" }
func (e Event) Papers() string      { return e.Path + "/papers" }
func (e Event) Wall() string        { return e.Path + "/wall" }
func (e Event) CardsPDF() string    { return e.Papers() + "/cards.pdf" }
func (e Event) Eaten() string       { return e.Path + "/eaten" }

// Incomplete is the address of the field slips that lack something, Numbers of the ledger.
func (e Event) Incomplete() string { return e.Path + "/incomplete" }
func (e Event) Numbers() string    { return e.Path + "/numbers" }

// Paper is where the code on a card or a sheet leads.
func (e Event) Paper(id fmt.Stringer) string { return e.Path + "/p/" + id.String() }

// WarningsPDF is the warning sheet on paper, WarningsCSV as rows; paper is the id of a registered one, empty: as it is now.
func (e Event) WarningsPDF(size, paper string, large bool) string {
	q := url.Values{"size": {size}}
	if large {
		q.Set("large", "yes")
	}
	if paper != "" {
		q.Set("paper", paper)
	}
	return e.Path + "/warnings.pdf?" + q.Encode()
}
func (e Event) WarningsCSV() string { return e.Path + "/warnings.csv" }

// PrintLinks are the sheets of paper on which the warning sheet can be had.
func (e Event) PrintLinks(paper string) []Link {
	return []Link{{Text: T("sheet.print.a4"), Path: e.WarningsPDF("A4", paper, false)}, {Text: T("sheet.print.letter"), Path: e.WarningsPDF("Letter", paper, false)},
		{Text: T("sheet.print.a4-large"), Path: e.WarningsPDF("A4", paper, true)}, {Text: T("sheet.print.letter-large"), Path: e.WarningsPDF("Letter", paper, true)}}
}

// Sweep is the address of the sweep of one table.
func (e Event) Sweep(table int) string { return e.Path + "/sweep?table=" + strconv.Itoa(table) }

// Table is the address of one table, Find of one collection as anybody may see it, Taxon of a name at this event, Jump
// of the form that leads to a number, and Own of what a member brought in.
func (e Event) Table(n int) string        { return e.Path + "/tables/" + strconv.Itoa(n) }
func (e Event) Find(number string) string { return e.Path + "/n/" + number }
func (e Event) Taxon(name string) string {
	return e.Path + "/t/" + url.PathEscape(strings.ReplaceAll(name, " ", "_"))
}
func (e Event) Jump() string                 { return e.Path + "/find" }
func (e Event) Own() string                  { return e.Path + "/mine" }
func (e Event) OwnFind(number string) string { return e.Own() + "/" + number }

// Walk is the address of a round along one table.
func (e Event) Walk(table int) string { return e.Path + "/walk/" + strconv.Itoa(table) }

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

// StaffNav is the way round for people with rights in the event; what somebody may not open is left out.
func StaffNav(e Event, may May) []Link {
	all := []struct {
		may  bool
		key  string
		path string
	}{
		{true, "nav.hall", e.Hall()},
		{may.Team, "nav.team", e.Team()},
		{may.SignIn, "nav.back", e.Back()},
		{may.Log, "nav.intake", e.Intake()},
		{may.SignOff, "nav.queue", e.Queue()},
		{may.Scribe, "nav.scribe", e.Scribe()},
		{true, "nav.collections", e.Collections()},
		{true, "nav.tables", e.Tables()},
		{may.Place, "nav.plan", e.Plan()},
		{true, "nav.walks", e.OwnWalks()},
		{true, "nav.seen", e.Seen()},
		{true, "nav.list", e.Running()},
		{true, "nav.warnings", e.Warnings()},
		{may.Hazards, "nav.hazards", e.Hazards()},
		{may.Publish, "nav.publish", e.Publish()},
		{true, "nav.people", e.People()},
		{may.SetUp || may.Hazards || may.Publish, "nav.setup", e.Setup()},
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
		{Text: T("nav.walks"), Path: e.Walks()},
		{Text: T("nav.list"), Path: e.Running()},
		{Text: T("nav.tables"), Path: e.Tables()},
		{Text: T("nav.warnings"), Path: e.Warnings()},
	}
}

// MemberNav is the way round for members: the visitors', with where one walks oneself and what one brought in.
func MemberNav(e Event) []Link {
	links := PublicNav(e)
	for i := range links {
		if links[i].Path == e.Walks() {
			links[i].Path = e.OwnWalks()
		}
	}
	return append(links, Link{Text: T("nav.own"), Path: e.Own()})
}

// May is what the person may do in this event, as the handler was told by the access rules.
type May struct {
	Team      bool // run a team of one's own
	SignIn    bool // sign anyone in
	Log       bool // log any collection
	FieldName bool
	SignOff   bool // as identifier, or as scribe for a determiner
	Scribe    bool // for a determiner
	Place     bool
	Hazards   bool // hazard entries, poison contact
	Publish   bool
	SetUp     bool
}
