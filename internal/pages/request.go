package pages

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/a-h/templ"
	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/web"
	"forayhall/web/view"
)

type freshCommands func() (foray.ID, error)

// request is what a handler works with: who asks, for which event, with which rights.
type request struct {
	site    *Site
	known   *hall.Hall // as the society of the address knows it
	echo    echo.Context
	ctx     context.Context
	actor   access.Actor
	person  hall.Person
	at      hall.Address // zero outside an event
	held    access.Held
	seq     int64 // of the event's latest change when the page was begun: what it shows is no older
	glanced *hall.Glance
	open    bool // the same for everybody: who asks is not even read
	errors  view.Errors
	flash   message.Text
}

type handler func(*request) (templ.Component, error)

// begin knows the asker by the cookie, the language by the browser, and the event by the address.
func (s *Site) begin(c echo.Context) (*request, error) {
	r := s.request(c)
	r.header("X-Robots-Tag", "noindex")
	token := ""
	if cookie, err := c.Cookie(s.cookieName()); err == nil {
		token = cookie.Value
	}
	var err error
	if r.actor, r.person, err = s.Desk.Who(r.ctx, token, "browser"); err != nil {
		return r, err
	}
	if err = r.find(); err != nil || r.at.Event.ID.IsZero() {
		return r, err
	}
	r.held, err = s.Hall.HeldIn(r.ctx, r.actor, r.at.Scope)
	return r, err
}

func (s *Site) request(c echo.Context) *request {
	ctx := message.With(c.Request().Context(), message.For(language(c.Request())))
	return &request{site: s, known: s.Hall, echo: c, ctx: ctx, held: access.Held{access.Visitor}}
}

// glance is find for what everybody sees: from memory, unless the reader asks for the newest state.
func (r *request) glance() error {
	if r.echo.Param("event") == "" {
		return nil
	}
	g, err := r.site.Hall.Glance(r.ctx, r.echo.Param("society"), r.echo.Param("event"), asksForNewest(r.echo.Request()))
	if err != nil {
		return err
	}
	r.glanced, r.at, r.known, r.seq = g, g.At, g.Known, g.Seq
	return nil
}

// find reads the event that the address names, where it names one.
func (r *request) find() (err error) {
	if r.echo.Param("event") == "" {
		return nil
	}
	if r.at, err = r.hall().FindEvent(r.ctx, r.echo.Param("society"), r.echo.Param("event")); err != nil {
		return err
	}
	if r.known, err = r.hall().For(r.ctx, r.at.Society.ID); err != nil {
		return err
	}
	r.seq, err = r.hall().ChangeSeq(r.ctx, r.at.Scope)
	return err
}

// language is the first of the browser's languages that there is a catalogue for.
func language(req *http.Request) string {
	for _, part := range strings.Split(req.Header.Get("Accept-Language"), ",") {
		tag, _, _ := strings.Cut(strings.TrimSpace(part), ";")
		tag = strings.ToLower(tag)
		primary, _, _ := strings.Cut(tag, "-")
		for _, one := range []string{tag, primary} {
			if message.For(one).Language() == one {
				return one
			}
		}
	}
	return message.English
}

// page serves a page that is made anew each time.
func (s *Site) page(h handler) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.begin(c)
		if err != nil {
			return r.fail(err)
		}
		component, err := h(r)
		if err != nil {
			return r.fail(err)
		}
		return r.render(http.StatusOK, component)
	}
}

// form serves a write: after a good one the browser is sent on, after a wrong one the page comes back with what was
// typed. A handler answers with where to go on, or with a page and the error it shows.
func (s *Site) form(h func(*request) (next string, again templ.Component, err error)) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.begin(c)
		if err != nil {
			return r.fail(err)
		}
		// Without this a form that was cut off would look like one with empty fields.
		if _, err := c.FormParams(); err != nil {
			return r.fail(unreadable(err))
		}
		next, again, err := h(r)
		switch {
		case err != nil && again != nil:
			return r.render(status(fault.From(err).Kind), again)
		case err != nil:
			return r.fail(err)
		case again != nil: // what was sent is looked at before it is taken
			return r.render(http.StatusOK, again)
		}
		return c.Redirect(http.StatusSeeOther, next)
	}
}

// raw serves what is no page.
func (s *Site) raw(h func(*request) error) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.begin(c)
		if err == nil {
			err = h(r)
		}
		if err != nil {
			return r.fail(err)
		}
		return nil
	}
}

// render makes the whole page before the first byte is sent, so that there is never half a page with status 200.
func (r *request) render(status int, component templ.Component) error {
	var page bytes.Buffer
	if err := component.Render(r.ctx, &page); err != nil {
		return fmt.Errorf("render %s: %w", r.echo.Path(), err)
	}
	return r.echo.HTMLBlob(status, page.Bytes())
}

func (r *request) hall() *hall.Hall { return r.known }

func (r *request) scope() access.Scope { return r.at.Scope }

// value is one field of the form, tidied of space at its ends.
func (r *request) value(name string) string { return strings.TrimSpace(r.echo.FormValue(name)) }

func (r *request) ticked(name string) bool { return r.value(name) != "" }

// command is the form's own: its hidden id, and the version it was made on.
func (r *request) command() (hall.Command, error) {
	id, err := foray.ParseID(r.value("command"))
	if err != nil {
		return hall.Command{}, fault.New(fault.Refused, "command.id-missing")
	}
	cmd := hall.Command{ID: id, Device: "browser"}
	version := 0
	if v := r.value("base_version"); v != "" {
		if version, err = strconv.Atoi(v); err != nil {
			return hall.Command{}, fault.New(fault.Refused, "command.id-missing")
		}
	}
	cmd.BaseVersion = &version
	return cmd, nil
}

// newForm is a form with a command id of its own; one that comes back with errors keeps the id it had.
func (r *request) newForm(action string, version int64) (view.Form, error) {
	id, err := r.site.fresh()
	if err != nil {
		return view.Form{}, err
	}
	return view.Form{Action: action, Command: id.String(), BaseVersion: version}, nil
}

func (r *request) event() view.Event {
	if r.at.Event.ID.IsZero() {
		return view.Event{}
	}
	return view.Event{Code: r.at.Event.Code, Name: r.at.Event.Name, Path: "/" + r.at.Society.Code + "/" + r.at.Event.Code}
}

func (r *request) layout(title message.Text, namesFungi bool) (view.Layout, error) {
	e := r.event()
	l := view.Layout{Title: title, Assets: view.Assets{Style: web.Asset("hall.css"), Names: web.Asset("names.js"), Live: web.Asset("live.js"), Keys: web.Asset("keys.js")}, Event: e,
		Errors: r.errors, Flash: r.flash, NamesFungi: namesFungi, Here: r.echo.Request().URL.Path,
		SignIn: r.signIn(), Live: r.live()}
	if !r.at.Society.ID.IsZero() {
		l.Society = view.Society{Name: r.at.Society.Name, Path: "/" + r.at.Society.Code}
	}
	if e.Path != "" {
		l.Nav = view.PublicNav(e)
		switch {
		case r.held.Staff():
			l.Nav = view.StaffNav(e, r.may())
			l.Eaten = e.Eaten()
		case r.held.Can(access.NameOwn):
			l.Nav = view.MemberNav(e)
		}
	}
	if l.Head.Hidden = !r.open; r.open {
		l.SignIn, l.Helpers = "", r.helpers()
		l.Head.Canonical = r.address(r.echo.Request().URL.EscapedPath())
	}
	if !r.actor.SignedIn() {
		return l, nil
	}
	l.Person = &view.Person{Name: r.person.Name}
	for _, right := range r.held {
		if right != access.Visitor && (right != access.Member || len(r.held) == 2) {
			l.Person.Roles = append(l.Person.Roles, view.RoleText(string(right)))
		}
	}
	var err error
	l.SignOut, err = r.newForm("/sign-out", 0)
	return l, err
}

// signIn leads back to this page, where it is one that can be read.
func (r *request) signIn() string {
	here := r.echo.Request().URL
	switch {
	case r.echo.Path() == "/sign-in":
		return ""
	case opensByItself(r.echo):
		return "/sign-in"
	case r.echo.Request().Method == http.MethodPost:
		return "/sign-in?next=" + url.QueryEscape(r.event().Path)
	}
	return "/sign-in?next=" + url.QueryEscape(here.RequestURI())
}

func (r *request) may() view.May {
	return view.May{Team: r.held.Can(access.RunOwnTeam), SignIn: r.held.Can(access.SignAnyoneIn), Log: r.held.Can(access.LogCollection), FieldName: r.held.Can(access.NameAny),
		SignOff: r.held.Can(access.SignOff) || r.held.Can(access.ScribeSignOff), Scribe: r.held.Can(access.ScribeSignOff), Place: r.held.Can(access.PlacePlates),
		Hazards: r.held.Can(access.TendHazards), Publish: r.held.Can(access.PublishList), SetUp: r.held.Can(access.SetUp)}
}
