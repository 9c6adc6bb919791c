// Package pages is the HTML that people see: a handler reads a form, calls one use case and renders. It holds no rule
// of the hall; every rule is behind the use cases that the API calls too.
package pages

import (
	"context"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
)

// Config is how a site is served.
type Config struct {
	Hall   *hall.Hall
	Desk   *people.Desk
	Secure bool // behind TLS: the cookie is bound to the host and never sent in the clear
	// TrustProxy takes the client's address from X-Forwarded-For of a proxy on a private or loopback address. Without
	// it that header is ignored, or anybody could write one.
	TrustProxy bool
	Log        *slog.Logger
	// Elsewhere answers errors below a path in another room's way, also those that came before its routes.
	Elsewhere map[string]func(echo.Context, error) error
}

// Site serves the pages.
type Site struct {
	Config
	fresh freshCommands
}

// bodyMost is the most that a form may send.
const bodyMost = "1M"

// requestTime ends a request that waits for the database for so long. Streams are not bound by it.
const requestTime = 30 * time.Second

// New makes the server with what guards every route: headers, cross-origin protection on every write, limits, and one
// place that turns an error into an answer. Other rooms mount their routes on it.
func New(c Config) *echo.Echo {
	if c.Log == nil {
		c.Log = slog.Default()
	}
	s := &Site{Config: c, fresh: c.Hall.NewID}
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.IPExtractor = echo.ExtractIPDirect()
	if c.TrustProxy {
		e.IPExtractor = echo.ExtractIPFromXFFHeader()
	}
	e.HTTPErrorHandler = s.fail
	e.Server.ReadHeaderTimeout = 10 * time.Second
	e.Server.IdleTimeout = 2 * time.Minute
	e.Use(middleware.RequestLoggerWithConfig(s.requestLog()), middleware.Recover(), headers, s.crossOrigin,
		middleware.BodyLimit(bodyMost), middleware.ContextTimeoutWithConfig(middleware.ContextTimeoutConfig{Timeout: requestTime, Skipper: streams}))
	s.routes(e)
	return e
}

// streams are answers that have no end.
func streams(c echo.Context) bool { return strings.HasSuffix(c.Path(), "/stream") }

// routes is every page and form of the site.
func (s *Site) routes(e *echo.Echo) {
	read(e, "/static/:file", s.static)
	read(e, "/healthz", s.healthz)
	read(e, "/readyz", s.readyz)

	read(e, "/", s.page(start))
	read(e, "/sign-in", s.page(signInForm))
	e.POST("/sign-in", s.form(signIn))
	e.POST("/sign-out", s.form(signOut))

	v := e.Group("/:society/:event")
	read(v, "", s.public(landing))
	read(v, "/list", s.public(runningList))
	read(v, "/list.csv", s.raw(draftCSV))
	read(v, "/list.json", s.raw(draftJSON))
	read(v, "/list/:version", s.public(listVersion))
	read(v, "/list/:version/csv", s.raw(versionCSV))
	read(v, "/list/:version/json", s.raw(versionJSON))
	read(v, "/tables", s.public(tablesPage))
	read(v, "/warnings", s.public(warningSheet))
	read(v, "/names", s.raw(suggestNames))

	read(v, "/hall", s.page(hallPage))
	read(v, "/intake", s.page(intakePage))
	v.POST("/intake", s.form(logCollection))
	read(v, "/queue", s.page(queuePage))
	read(v, "/collections", s.page(collectionsPage))
	read(v, "/c/:number", s.page(collectionPage))
	v.POST("/c/:number/field-name", s.form(giveFieldName))
	v.POST("/c/:number/sign", s.form(signOff))
	v.POST("/c/:number/nameless", s.form(nothingToName))
	v.POST("/c/:number/strike", s.form(strikeSlip))
	v.POST("/c/:number/place", s.form(placePlate))
	v.POST("/c/:number/note", s.form(noteCharacters))
	read(v, "/publish", s.page(publishPage))
	v.POST("/publish", s.form(publish))
	read(v, "/setup", s.page(setupPage))
	v.POST("/setup/contact", s.form(typeContact))
	v.POST("/setup/tested", s.form(testContact))
	v.POST("/setup/table", s.form(addTable))
	v.POST("/setup/right", s.form(giveRight))
}

// read registers what is read. HEAD asks for the same without its body, which the server leaves out.
func read(on interface {
	GET(string, echo.HandlerFunc, ...echo.MiddlewareFunc) *echo.Route
	HEAD(string, echo.HandlerFunc, ...echo.MiddlewareFunc) *echo.Route
}, path string, h echo.HandlerFunc) {
	on.GET(path, h)
	on.HEAD(path, h)
}

func (s *Site) requestLog() middleware.RequestLoggerConfig {
	return middleware.RequestLoggerConfig{LogMethod: true, LogURIPath: true, LogStatus: true, LogLatency: true, LogError: true,
		HandleError: true,
		LogValuesFunc: func(_ echo.Context, v middleware.RequestLoggerValues) error {
			level := slog.LevelDebug
			if v.Status >= http.StatusInternalServerError {
				level = slog.LevelError
			}
			s.Log.Log(context.Background(), level, "request", "method", v.Method, "path", v.URIPath, "status", v.Status, "took", v.Latency, "error", v.Error)
			return nil
		}}
}

func (s *Site) healthz(c echo.Context) error { return c.String(http.StatusOK, "ok\n") }

// readyz says whether requests can be answered now: the database is there and of this program's schema.
func (s *Site) readyz(c echo.Context) error {
	if err := s.Hall.Ready(c.Request().Context()); err != nil {
		s.Log.Error("not ready", "error", err)
		return c.String(http.StatusServiceUnavailable, "not ready\n")
	}
	return c.String(http.StatusOK, "ready\n")
}
