package api

import (
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/media"
)

// Photograph is a picture as the caller may see it. It says nowhere where it was taken.
type Photograph struct {
	ID         foray.ID  `json:"id"`
	Kind       string    `json:"kind"` // find, slip, field, incident
	Subject    foray.ID  `json:"subject_id"`
	Number     string    `json:"number,omitempty"` // of the collection, where it is of one
	Private    bool      `json:"private"`
	Width      int       `json:"width"`
	Height     int       `json:"height"`
	Caption    string    `json:"caption,omitempty"`
	By         string    `json:"by,omitempty"` // as they chose to be named
	TakenAt    time.Time `json:"taken_at,omitzero"`
	RecordedAt time.Time `json:"recorded_at"`
	MayHide    bool      `json:"may_hide"`
	Full       string    `json:"full"`
	Small      string    `json:"small"`
}

// Photographs is a list of pictures, oldest first.
type Photographs struct {
	ChangeSeq   int64        `json:"change_seq"`
	Photographs []Photograph `json:"photographs"`
}

// SentPhotograph is the answer to a picture that was taken in.
type SentPhotograph struct {
	photographs.Added
	Already bool `json:"already"` // the command had been applied before
}

func listPhotographs(r *request) (Photographs, error) {
	seq, err := r.hall().ChangeSeq(r.ctx, r.scope())
	if err != nil {
		return Photographs{}, err
	}
	number := r.echo.QueryParam("number")
	if !storable(number) {
		return Photographs{}, fault.Missing()
	}
	all, err := photographs.SeeAll(r.ctx, r.hall(), r.actor, r.scope(), number)
	out := Photographs{ChangeSeq: seq, Photographs: make([]Photograph, 0, len(all))}
	for _, p := range all {
		path := Prefix + "/" + r.at.Society.Code + "/" + r.at.Event.Code + "/photographs/" + p.ID.String()
		out.Photographs = append(out.Photographs, Photograph{ID: p.ID, Kind: p.Kind, Subject: p.Subject, Number: p.Number, Private: p.Private, Width: p.Width,
			Height: p.Height, Caption: p.Caption, By: p.By, TakenAt: p.TakenAt, RecordedAt: p.RecordedAt, MayHide: p.MayHide,
			Full: path + "/" + photographs.Full, Small: path + "/" + photographs.Small})
	}
	return out, err
}

func servePhotograph(r *request) error {
	id, err := foray.ParseID(r.echo.Param("id"))
	if err != nil {
		return fault.Missing()
	}
	o, err := photographs.Open(r.ctx, r.hall(), r.actor, r.scope(), id, r.echo.Param("size"))
	if err != nil {
		return err
	}
	defer o.Body.Close()
	r.header("Cache-Control", "no-store")
	if !o.Private {
		// It never changes, but it may be hidden.
		tag := `"` + o.SHA256 + `"`
		r.header("ETag", tag)
		r.header("Cache-Control", "public, max-age=86400, immutable")
		if matches(r.echo.Request().Header.Get("If-None-Match"), tag) {
			return r.echo.NoContent(http.StatusNotModified)
		}
	}
	r.header(echo.HeaderContentLength, strconv.FormatInt(o.Size, 10))
	return r.echo.Stream(http.StatusOK, "image/jpeg", o.Body)
}

// mostPhotograph is the longest body with a photograph: the picture and the form around it.
const mostPhotograph = media.MaxBytes + 1<<20

// sendPhotograph takes a picture as a form of several parts, or as the body itself with the rest in the query. Nothing
// is read from somebody who is not known here, and few send at once.
func sendPhotograph(r *request) error {
	switch {
	case !r.actor.SignedIn():
		return fault.New(fault.NotSignedIn, "api.token-missing")
	case r.actor.Society != r.at.Society.ID:
		return fault.Missing()
	}
	done, err := photographs.Receive(r.ctx)
	if err != nil {
		return err
	}
	defer done()
	_ = http.NewResponseController(r.echo.Response()).SetReadDeadline(time.Now().Add(2 * time.Minute))
	body := http.MaxBytesReader(r.echo.Response(), r.echo.Request().Body, mostPhotograph)
	kind, params, err := mime.ParseMediaType(r.echo.Request().Header.Get(echo.HeaderContentType))
	switch {
	case err != nil:
		return echo.ErrUnsupportedMediaType
	case strings.HasPrefix(kind, "image/"):
		return r.addPhotograph(r.echo.QueryParam, body)
	case kind == echo.MIMEMultipartForm && params["boundary"] != "":
		return r.addPart(multipart.NewReader(body, params["boundary"]))
	}
	return echo.ErrUnsupportedMediaType
}

// addPart reads the fields, which come before the picture, and then the picture as it arrives.
func (r *request) addPart(form *multipart.Reader) error {
	fields := map[string]string{}
	for {
		part, err := form.NextPart()
		switch {
		case err == io.EOF:
			return fault.Wrong(media.Field, "pages.photo.none")
		case err != nil:
			return &fault.Error{Kind: fault.Invalid, Text: fault.Wrong("body", "api.body-not-read").Text, Cause: err}
		case part.FormName() == media.Field:
			return r.addPhotograph(func(name string) string { return fields[name] }, part)
		}
		value, err := io.ReadAll(io.LimitReader(part, longestField))
		if err != nil {
			return err
		}
		fields[part.FormName()] = string(value)
		if len(fields) > mostFields {
			return fault.Wrong("body", "api.body-not-read")
		}
	}
}

const (
	longestField = 4096
	mostFields   = 20
)

func (r *request) addPhotograph(field func(string) string, picture io.Reader) error {
	id, err := foray.ParseID(field("command"))
	if err != nil {
		return fault.Wrong("command", "api.command-id")
	}
	for _, name := range []string{"kind", "subject", "caption", "taken", "device"} {
		if !storable(field(name)) {
			return fault.Wrong(name, "command.zero-byte")
		}
	}
	if len(field("device")) > longestDevice {
		return fault.Wrong("device", "text.too-long", "most", longestDevice)
	}
	var out SentPhotograph
	cmd := hall.Command{ID: id, Device: field("device"), Already: &out.Already}
	out.Added, err = photographs.Add(r.ctx, r.hall(), r.actor, r.scope(), cmd, photographs.Upload{Kind: field("kind"), Subject: field("subject"),
		Caption: field("caption"), Taken: field("taken")}, picture)
	if err != nil {
		return err
	}
	return r.write(out)
}
