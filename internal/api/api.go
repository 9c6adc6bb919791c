// Package api is the hall for programs: JSON under /api/v1, described by its own OpenAPI document. It parses, calls
// one use case and renders; it must never hold a rule of the hall, reach the store, or show a visitor more than a
// page does. Shapes are a promise: fields are added, never changed.
package api

import (
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
	"forayhall/internal/live"
)

// API serves the hall. Its fields are set before Register and not changed after.
type API struct {
	Hall *hall.Hall
	Desk *people.Desk
	// Cookie is the name of the cookie that carries a browser's session; empty: only bearer tokens are known.
	// Writes that come with a cookie must have passed cross-origin protection before they come here.
	Cookie string
	// Public is where people reach the site, such as "https://hall.example.org"; empty: as whoever asks does.
	Public string
	// Secure is set where people reach the site by https.
	Secure bool
	// Closing is closed when the server begins to shut down: streams end, so that the server need not wait for
	// them. Nil never closes.
	Closing <-chan struct{}
	// Pace is how streams are kept; with each beat one looks whether its session is still there.
	Pace live.Pace

	document []byte
}

// Prefix is where the group given to Register is mounted: the document's server address.
const Prefix = "/api/v1"

// Register adds every route to a group at Prefix.
func (a *API) Register(g *echo.Group) {
	routes := routes()
	a.document = document(routes, a.Cookie)
	for _, rt := range routes {
		g.Add(rt.method, rt.echoPath(), a.handle(rt))
	}
	g.RouteNotFound("/*", func(c echo.Context) error { return a.Problem(c, elsewhere(c, routes)) })
}

// elsewhere is the error for what no route takes: the method, where a route has that path, else the path.
func elsewhere(c echo.Context, routes []route) error {
	path := strings.TrimPrefix(c.Request().URL.Path, Prefix)
	var methods []string
	for _, rt := range routes {
		if rt.fits(path) && !slices.Contains(methods, rt.method) {
			methods = append(methods, rt.method)
		}
	}
	if methods == nil {
		return echo.ErrNotFound
	}
	c.Response().Header().Set(echo.HeaderAllow, strings.Join(methods, ", "))
	return echo.ErrMethodNotAllowed
}

// handle runs one route and turns its error into a problem.
func (a *API) handle(rt route) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := a.request(c, rt)
		if err == nil {
			err = rt.serve(r)
		}
		if err != nil {
			return a.Problem(c, err)
		}
		return nil
	}
}
