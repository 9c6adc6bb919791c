package view

import (
	"sort"

	"forayhall/internal/message"
)

// Layout is what every page has around it. Title and Assets are always needed; the rest may be empty.
type Layout struct {
	Title   message.Text // of the browser's tab; the event's code is added
	Assets  Assets
	Society Society
	Event   Event // zero on pages outside an event
	Person  *Person
	Nav     []Link // StaffNav or PublicNav
	Here    string // the path of this page, marks the link one stands on
	Flash   message.Text
	Errors  Errors
	SignIn  string // address of the sign-in page; drawn when Person is nil
	Helpers string // on pages that are the same for everybody: the way, through signing in, to the rooms behind
	SignOut Form   // drawn when Person is not nil
	Eaten   string // where the staff writes down that something was eaten
	// NamesFungi puts the standing caution on the page. Every page that names a fungus to the public has it.
	NamesFungi bool
	Live       Live
	Head       Head
}

// Assets are the addresses of the embedded files, from web.Asset.
type Assets struct {
	Style string // hall.css
	Names string // names.js
	Live  string // live.js
	Keys  string // keys.js
	// Photographs is photographs.js, on pages with a form that sends one.
	Photographs string
	Desk        string // desk.js, on the pages of the desk alone
}

// Society is the body that runs the event.
type Society struct {
	Name string
	Path string // "/hollinbeck"
}

// Person is who is signed in, as they choose to be called, with the names of their rights in this event.
type Person struct {
	Name  string
	Roles []message.Text // RoleText
}

// Link is a place to go. Count is drawn behind the text when it is more than zero.
type Link struct {
	Text  message.Text
	Label string // data instead of Text
	Path  string
	Count int
}

// Errors is why a form was not taken. Form is empty on pages with one form, and the form's key on pages with
// several (FormSign and so on), so that the summary links to the right field.
type Errors struct {
	Form    string
	Summary message.Text
	Fields  map[string]message.Text // by name of the form field
}

// Any reports whether there is something to say.
func (e Errors) Any() bool { return !e.Summary.IsZero() || len(e.Fields) > 0 }

// names lists the fields in a steady order.
func (e Errors) names() []string {
	names := make([]string, 0, len(e.Fields))
	for name := range e.Fields {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

// of is the text for one field of one form.
func (e Errors) of(form, field string) message.Text {
	if e.Form != form {
		return message.Text{}
	}
	return e.Fields[field]
}

// Form is what every form that writes carries: where it goes, an id under which it is applied once however often
// it is sent, and, where it decides something, the version that was on the screen.
type Form struct {
	Action      string
	Command     string // a fresh UUID a form, kept when the form is shown again
	BaseVersion int64  // 0: the form carries none
	Then        string // where a good one leads, where that is not the usual place
}

// Option is one choice of a list or of radio buttons. Text wins over Label.
type Option struct {
	Value  string
	Text   message.Text
	Label  string
	Chosen bool
}

// Options makes the choices of one of the vocabularies, such as Options("basis", Bases, "macroscopic").
func Options(area string, values []string, chosen string) []Option {
	options := make([]Option, len(values))
	for i, v := range values {
		options[i] = Option{Value: v, Text: T(area + "." + v), Chosen: v == chosen}
	}
	return options
}
