package pages

import (
	"context"
	"errors"
	"net/http"
	"sort"
	"strings"

	"github.com/labstack/echo/v4"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
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
		r.site.Log.Error("request failed", "path", loggedPath(r.echo), "error", err)
	}
	r.errors = view.Errors{}
	r.unkept()
	l, layoutErr := r.layout(view.T("problem.title"), false)
	if layoutErr != nil {
		return layoutErr
	}
	l.Head = view.Head{Hidden: true}
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
	// The request's own time may be over, and the page that says so is still to be made.
	r := &request{site: s, known: s.Hall, echo: c, ctx: message.With(context.WithoutCancel(c.Request().Context()), message.For(language(c.Request())))}
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

// machinery are fields that nobody typed; a password is not shown to whoever looks over a shoulder.
var machinery = map[string]bool{"command": true, "base_version": true, "password": true, "old": true, "new": true, "next": true, "slip": true, "seen": true, "from": true, "subject": true}

// coded are the fields whose values are words of a vocabulary, with the vocabulary.
var coded = map[string]string{"basis": "basis", "substrate": "substrate", "growth": "growth", "plate": "plate", "stickiness": "stickiness",
	"texture": "texture", "kind": "state", "where": "where", "group": "group", "role": "role"}

// kept is what the form held, as far as somebody typed or chose it and can read it: an id is no use to them.
func (r *request) kept() []view.Fact {
	values, err := r.echo.FormParams()
	if err != nil {
		return nil
	}
	var kept []view.Fact
	for name := range values {
		value := values.Get(name)
		if _, err := foray.ParseID(value); err == nil || value == "" || machinery[name] {
			continue
		}
		if key := wordFor(name); key != "" {
			kept = append(kept, fact(key, value))
		}
	}
	sort.Slice(kept, func(i, j int) bool { return kept[i].Key < kept[j].Key })
	return kept
}

// wordFor is a field's own name, for which there is a word, or that of all fields that are numbered like it; "" where
// there is none.
func wordFor(name string) string {
	for _, key := range []string{name, strings.TrimRight(name, "_0123456789")} {
		if message.Has(view.T("fact." + key).Key) {
			return key
		}
	}
	return ""
}

func fact(name, value string) view.Fact {
	if text := view.T(coded[name] + "." + value); coded[name] != "" && message.Has(text.Key) {
		return view.Fact{Key: name, Text: text}
	}
	if value == "yes" {
		return view.Fact{Key: name, Text: view.T("yes")}
	}
	return view.Fact{Key: name, Value: value}
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
