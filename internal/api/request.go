package api

import (
	"context"
	"fmt"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json"
	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/message"
)

// request is one call with who makes it and, where its address is within an event, where that is.
type request struct {
	api   *API
	known *hall.Hall // as the society of the address knows it
	route route
	echo  echo.Context
	ctx   context.Context
	actor access.Actor
	at    hall.Address
}

func (a *API) request(c echo.Context, rt route) (*request, error) {
	r := &request{api: a, known: a.Hall, route: rt, echo: c, ctx: c.Request().Context()}
	for _, value := range c.ParamValues() {
		if !storable(value) {
			return nil, fault.Missing()
		}
	}
	var err error
	if r.actor, err = a.who(r.ctx, c.Request()); err != nil {
		return nil, err
	}
	if rt.ofEvent() {
		if r.at, err = a.Hall.FindEvent(r.ctx, c.Param("society"), c.Param("event")); err != nil {
			return r, err
		}
		r.known, err = a.Hall.For(r.ctx, r.at.Society.ID)
	}
	return r, err
}

// who reads the bearer token or, where there is none, the browser's cookie. A token that is not good is told, so
// that a program does not take the visitor's view for its own; a cookie that is not good makes a visitor.
func (a *API) who(ctx context.Context, r *http.Request) (access.Actor, error) {
	if token, ok := bearer(r); ok {
		actor, _, err := a.Desk.Who(ctx, token, "token")
		if err == nil && !actor.SignedIn() {
			err = fault.New(fault.NotSignedIn, "api.token-not-good")
		}
		return actor, err
	}
	cookie, err := r.Cookie(a.Cookie)
	if a.Cookie == "" || err != nil {
		return access.Nobody, nil
	}
	actor, _, err := a.Desk.Who(ctx, cookie.Value, "browser")
	return actor, err
}

// bearer is the token of RFC 6750, 2.1; other schemes are somebody else's, such as a proxy's.
func bearer(r *http.Request) (string, bool) {
	scheme, token, ok := strings.Cut(r.Header.Get("Authorization"), " ")
	if !ok || !strings.EqualFold(scheme, "bearer") {
		return "", false
	}
	return strings.TrimSpace(token), true
}

// storable reports whether both databases could keep a text: no U+0000, and UTF-8.
func storable(s string) bool { return utf8.ValidString(s) && !strings.ContainsRune(s, 0) }

func (r *request) hall() *hall.Hall     { return r.known }
func (r *request) scope() access.Scope  { return r.at.Scope }
func (r *request) say() message.Printer { return message.From(r.ctx) }

// show answers a view. One within an event is tagged with the change it was made after. The tag is read before the
// view, so that it may be older than what it stands on but never newer; whoever is no visitor is authorised by the
// view before "not modified" is said.
func show[T any](r *request, see func(*request) (T, error)) error {
	fresh := false
	if r.route.tagged() {
		tag, err := r.tag()
		if err != nil {
			return err
		}
		r.header("ETag", tag)
		r.header("Cache-Control", "private, no-cache")
		r.header("Vary", "Authorization, Cookie, Accept-Language")
		fresh = matches(r.echo.Request().Header.Get("If-None-Match"), tag)
	}
	if fresh && r.route.open {
		return r.echo.NoContent(http.StatusNotModified)
	}
	view, err := see(r)
	if err != nil {
		return err
	}
	if fresh {
		return r.echo.NoContent(http.StatusNotModified)
	}
	return r.write(view)
}

// take reads a body and answers what was done with it.
func take[In, Out any](r *request, do func(*request, In) (Out, error)) error {
	if !r.actor.SignedIn() {
		return fault.New(fault.NotSignedIn, "api.token-missing")
	}
	var in In
	if err := r.read(&in); err != nil {
		return err
	}
	out, err := do(r, in)
	if err != nil {
		return err
	}
	return r.write(out)
}

// write makes the whole answer before its first byte is sent.
func (r *request) write(v any) error {
	data, err := json.Marshal(v, json.Deterministic(true))
	if err != nil {
		return fmt.Errorf("write %T: %w", v, err)
	}
	return r.echo.Blob(http.StatusOK, echo.MIMEApplicationJSON, data)
}

// read takes a JSON body; another media type is refused, so that a form on a foreign page cannot send one.
func (r *request) read(into any) error {
	media, _, err := mime.ParseMediaType(r.echo.Request().Header.Get("Content-Type"))
	if err != nil || media != echo.MIMEApplicationJSON {
		return echo.ErrUnsupportedMediaType
	}
	return decodeBody(http.MaxBytesReader(r.echo.Response(), r.echo.Request().Body, mostBytes), into)
}

func (r *request) header(name, value string) { r.echo.Response().Header().Set(name, value) }

// tag is weak: it says which changes of the society's events and which knowledge an answer was made from, not its bytes.
// Without the knowledge a warning sheet would stay as it was after the hazards were brought up to date.
func (r *request) tag() (string, error) {
	seq, err := r.hall().ChangeSeqs(r.ctx, r.scope().Society)
	return fmt.Sprintf(`W/"%s-%d-%s"`, r.at.Event.Code, seq, r.hall().Knowledge.Revision), err
}

// matches is If-None-Match of RFC 9110, 13.1.2, by the weak comparison.
func matches(header, tag string) bool {
	for _, one := range strings.Split(header, ",") {
		one = strings.TrimSpace(one)
		if one == "*" || strings.TrimPrefix(one, "W/") == strings.TrimPrefix(tag, "W/") {
			return true
		}
	}
	return false
}

// number reads a query parameter that is a whole number from least to most.
func (r *request) number(name string, usual, least, most int64) (int64, error) {
	text := r.echo.QueryParam(name)
	if text == "" {
		return usual, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < least || n > most {
		return 0, fault.Wrong(name, "api.not-a-number", "least", least, "most", most)
	}
	return n, nil
}
