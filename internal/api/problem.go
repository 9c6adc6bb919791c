package api

import (
	"context"
	"errors"
	"net/http"

	"github.com/go-json-experiment/json"
	"github.com/labstack/echo/v4"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Problem is an error as RFC 9457 writes it.
type Problem struct {
	Type     string            `json:"type"`  // leads to what the document says of this kind
	Title    string            `json:"title"` // the same for every problem of a type
	Status   int               `json:"status"`
	Detail   string            `json:"detail,omitempty"`
	Instance string            `json:"instance,omitempty"`
	Errors   map[string]string `json:"errors,omitempty"` // by field, or by JSON pointer where the body could not be read
	Other    any               `json:"other,omitzero"`   // what is there now, for a conflict
}

// statuses is the one place that chooses a status. 409 is only for a command that somebody else was faster with:
// looking again and deciding anew helps. What a rule of the hall refuses is 422, since sending it again as it is
// helps nobody.
var statuses = map[fault.Kind]int{
	fault.Internal:    http.StatusInternalServerError,
	fault.NotFound:    http.StatusNotFound,
	fault.NotSignedIn: http.StatusUnauthorized,
	fault.NotAllowed:  http.StatusForbidden,
	fault.Conflict:    http.StatusConflict,
	fault.Invalid:     http.StatusUnprocessableEntity,
	fault.Refused:     http.StatusUnprocessableEntity,
	fault.Mismatch:    http.StatusUnprocessableEntity,
	fault.TooMany:     http.StatusTooManyRequests,
	fault.Unavailable: http.StatusServiceUnavailable,
}

// kinds lists the kinds in the order of the document.
var kinds = []fault.Kind{fault.NotFound, fault.NotSignedIn, fault.NotAllowed, fault.Conflict, fault.Invalid, fault.Refused,
	fault.Mismatch, fault.TooMany, fault.Unavailable, fault.Internal}

// wire are failures of the protocol, which reach no use case.
var wire = map[int]message.Text{
	http.StatusNotFound:              message.T("fault.not-found"),
	http.StatusMethodNotAllowed:      message.T("api.method-not-allowed"),
	http.StatusRequestEntityTooLarge: message.T("api.body-too-long", "most", mostBytes),
	http.StatusUnsupportedMediaType:  message.T("api.media-type"),
}

// Problem answers an error. One that nobody foresaw, and a database that does not answer, are logged with their cause,
// whose text is never shown.
func (a *API) Problem(c echo.Context, err error) error {
	p, kind := problem(c.Request().Context(), err)
	if kind == fault.Internal && p.Status == http.StatusInternalServerError || kind == fault.Unavailable {
		a.Hall.Log.ErrorContext(c.Request().Context(), "api", "method", c.Request().Method, "route", c.Path(), "error", err)
	}
	if c.Response().Committed {
		return nil
	}
	p.Instance = c.Request().URL.EscapedPath()
	head := c.Response().Header()
	head.Del("ETag")
	head.Set("Cache-Control", "no-store")
	switch p.Status {
	case http.StatusUnauthorized:
		head.Set("WWW-Authenticate", challenge(c.Request()))
	case http.StatusServiceUnavailable, http.StatusTooManyRequests:
		head.Set("Retry-After", "5")
	}
	data, err := json.Marshal(p, json.Deterministic(true))
	if err != nil {
		return err
	}
	return c.Blob(p.Status, "application/problem+json", data)
}

// challenge tells, as RFC 6750, 3.1 does, a token that is not good from one that is missing.
func challenge(r *http.Request) string {
	if _, given := bearer(r); given {
		return `Bearer realm="forayhall", error="invalid_token"`
	}
	return `Bearer realm="forayhall"`
}

func problem(ctx context.Context, err error) (Problem, fault.Kind) {
	say := message.From(ctx)
	if status, ok := wireStatus(err); ok {
		return Problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: say.Text(wire[status])}, fault.Internal
	}
	e := fault.From(err)
	if e.Kind == fault.Internal && (errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)) {
		e = fault.New(fault.Unavailable, "fault.unavailable")
	}
	p := Problem{Type: typeOf(e.Kind), Title: say.Say("api.problem." + e.Kind.String()), Status: statuses[e.Kind],
		Detail: say.Text(e.Text), Other: e.Other}
	if e.Kind == fault.Internal {
		p.Detail, p.Other = say.Say("fault.internal"), nil
	}
	for field, text := range e.Fields {
		if p.Errors == nil {
			p.Errors = map[string]string{}
		}
		p.Errors[field] = say.Text(text)
	}
	return p, e.Kind
}

func wireStatus(err error) (int, bool) {
	var long *http.MaxBytesError
	if errors.As(err, &long) {
		return http.StatusRequestEntityTooLarge, true
	}
	var h *echo.HTTPError
	if !errors.As(err, &h) {
		return 0, false
	}
	_, known := wire[h.Code]
	return h.Code, known
}

// typeOf is the kind's address within the document.
func typeOf(k fault.Kind) string {
	return Prefix + "/openapi.json#/x-problems/" + k.String()
}
