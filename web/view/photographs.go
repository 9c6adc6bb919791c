package view

import (
	"context"
	"strconv"
	"time"

	"forayhall/internal/message"
)

// FormPhotograph is the key of the form that sends a photograph, FormHide of the one that hides one.
const (
	FormPhotograph = "photograph"
	FormHide       = "hide"
)

// Photo is one picture.
type Photo struct {
	ID      string
	Kind    string
	Small   string // address
	Full    string
	Width   int // of the small one, in pixels
	Height  int
	About   message.Text // what is to be seen, and who took it
	Caption string
	By      string
	Taken   time.Time // zero: not known
	At      time.Time // when it came here
	Plate   *PhotoPlate
}

// PhotoPlate is the plate that a picture is of, where it is not the page's own.
type PhotoPlate struct {
	Number Number
	Path   string
	State  Naming
}

// PhotoPile is pictures of other plates with the same name in question.
type PhotoPile struct {
	Name   SciName
	Path   string // of the name's page
	Photos []Photo
}

// PhotoForm posts photograph (a file, from the camera or chosen), caption, taken, kind, subject and from: the page that it
// stands on, which comes back when the picture is not taken.
type PhotoForm struct {
	Form    Form
	Key     string // of this form on its page; FormPhotograph unless there are several
	Kind    string // where there is nothing to choose
	Kinds   []Option
	Subject string
	From    string
	Caption string
	Open    bool
}

func (f PhotoForm) key() string {
	if f.Key == "" {
		return FormPhotograph
	}
	return f.Key
}

// PhotoHideForm posts photo and reason.
type PhotoHideForm struct {
	Form   Form
	From   string
	Photos []Photo // those that this person may hide
	Chosen string
	Reason string
}

// Photograph is the address of one photograph, of the size "full" or "small"; Photographs is where one is sent.
func (e Event) Photograph(id, size string) string { return e.Path + "/photo/" + id + "/" + size }
func (e Event) Photographs() string               { return e.Path + "/photographs" }
func (e Event) HidePhotograph() string            { return e.Path + "/photographs/hide" }

// about is what a picture shows, for those who do not see it.
func (p Photo) about(ctx context.Context) string {
	if p.Caption != "" {
		return tell(ctx, p.About) + ": " + p.Caption
	}
	return tell(ctx, p.About)
}

// choice names a picture in a list of several.
func (p Photo) choice() message.Text {
	return T("photo.choice", "time", clock(p.At), "kind", T("photo.kind."+p.Kind), "caption", p.Caption)
}

// smallEdge is the long edge of the picture in lists, in pixels: what is kept by that name.
const smallEdge = 400

// SmallSize is the size of the picture in lists by that of the full one, so that nothing jumps when it comes.
func SmallSize(width, height int) (int, int) {
	long := max(width, height)
	if long <= smallEdge {
		return width, height
	}
	return max(1, (width*smallEdge+long/2)/long), max(1, (height*smallEdge+long/2)/long)
}

func pixels(n int) string { return strconv.Itoa(n) }

func isSet(t time.Time) bool { return !t.IsZero() }

// PhotoRoom is the pictures of one thing, with the forms for them.
type PhotoRoom struct {
	Layout  Layout
	Heading message.Text
	Photos  []Photo
	Send    PhotoForm
	Hide    *PhotoHideForm
}
