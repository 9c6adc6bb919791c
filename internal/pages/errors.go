package pages

import (
	"errors"
	"net/http"
	"sort"
	"strings"

	"github.com/labstack/echo/v4"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// status is the one place of the pages where a kind of failure becomes a status.
func status(k fault.Kind) int {
	switch k {
	case fault.NotFound:
		return http.StatusNotFound
	case fault.NotSignedIn:
		return http.StatusUnauthorized
	case fault.NotAllowed:
		return http.StatusForbidden
	case fault.Conflict:
		return http.StatusConflict
	case fault.Invalid, fault.Mismatch, fault.Refused:
		return http.StatusUnprocessableEntity
	case fault.TooMany:
		return http.StatusTooManyRequests
	case fault.Unavailable:
		return http.StatusServiceUnavailable
	}
	return http.StatusInternalServerError
}

// fail shows the page for what went wrong. What was typed is on it, so that it can be copied.
func (r *request) fail(err error) error {
	f := fault.From(fromEcho(err))
	if f.Kind == fault.Internal || f.Kind == fault.Unavailable {
		r.site.Log.Error("request failed", "path", r.echo.Request().URL.Path, "error", err)
	}
	r.errors = view.Errors{}
	l, layoutErr := r.layout(view.T("problem.title"), false)
	if layoutErr != nil {
		return layoutErr
	}
	p := view.Problem{Layout: l, Kind: f.Kind.String(), Text: f.Text, Back: "/"}
	if e := r.event(); e.Path != "" {
		p.Back = e.Path
		if r.held.Staff() {
			p.Back = e.Hall()
		}
	}
	if r.echo.Request().Method == http.MethodPost {
		p.Kept = r.kept()
	}
	return r.render(statusOf(err, f.Kind), view.ProblemPage(p))
}

// statusOf is status, but for what HTTP has a word of its own for: a body that is too large, and a page that takes no
// such request.
func statusOf(err error, k fault.Kind) int {
	var e *echo.HTTPError
	if errors.As(err, &e) && (e.Code == http.StatusRequestEntityTooLarge || e.Code == http.StatusMethodNotAllowed) {
		return e.Code
	}
	return status(k)
}

// fail answers what no handler did: an address that is not there, a body that is too large, a panic.
func (s *Site) fail(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	for prefix, answer := range s.Elsewhere {
		if strings.HasPrefix(c.Request().URL.Path, prefix) {
			if again := answer(c, err); again != nil {
				s.Log.Error("the answer to an error failed", "error", again)
			}
			return
		}
	}
	r := &request{site: s, echo: c, ctx: message.With(c.Request().Context(), message.For(language(c.Request())))}
	if again := r.fail(err); again != nil {
		s.Log.Error("the page for an error failed", "error", again)
		_ = c.String(http.StatusInternalServerError, message.From(r.ctx).Say("fault.internal")+"\n")
	}
}

// fromEcho gives the server's own errors a kind.
func fromEcho(err error) error {
	var e *echo.HTTPError
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code {
	case http.StatusNotFound, http.StatusMethodNotAllowed:
		return fault.Missing()
	case http.StatusRequestEntityTooLarge:
		return &fault.Error{Kind: fault.Refused, Text: message.T("fault.too-large"), Cause: err}
	case http.StatusBadRequest:
		return &fault.Error{Kind: fault.Invalid, Text: message.T("fault.invalid"), Cause: err}
	}
	return err
}

// unreadable gives the error of a body a kind: it was larger than may be, or it is no form.
func unreadable(err error) error {
	var e *echo.HTTPError
	if errors.As(err, &e) {
		return err
	}
	return &fault.Error{Kind: fault.Invalid, Text: message.T("fault.invalid"), Cause: err}
}

// kept is what the form held, without its own machinery and without a password.
func (r *request) kept() []view.Fact {
	values, err := r.echo.FormParams()
	if err != nil {
		return nil
	}
	var kept []view.Fact
	for name := range values {
		if name == "command" || name == "base_version" || name == "password" || values.Get(name) == "" {
			continue
		}
		kept = append(kept, view.Fact{Key: name, Value: values.Get(name)})
	}
	sort.Slice(kept, func(i, j int) bool { return kept[i].Key < kept[j].Key })
	return kept
}

// wrong puts an error onto the form that it belongs to.
func (r *request) wrong(form string, err error) *fault.Error {
	f := fault.From(err)
	r.errors = view.Errors{Form: form, Summary: f.Text, Fields: f.Fields}
	return f
}

// mendable reports whether the page can come back with what was typed.
func mendable(err error) bool {
	switch fault.From(err).Kind {
	case fault.Invalid, fault.Refused, fault.Conflict, fault.NotAllowed:
		return true
	}
	return false
}
