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
	"forayhall/internal/live"
	"forayhall/web/view"
)

// Config is how a site is served.
type Config struct {
	Hall   *hall.Hall
	Desk   *people.Desk
	Secure bool // behind TLS: the cookie is bound to the host and never sent in the clear
	// TrustProxy takes the client's address from X-Forwarded-For of a proxy on a private or loopback address. Without
	// it that header is ignored, or anybody could write one.
	TrustProxy bool
	Public     string // the address under which the installation is reached, without a slash at its end; empty: the request's
	Log        *slog.Logger
	// Elsewhere answers errors below a path in another room's way, also those that came before its routes.
	Elsewhere map[string]func(echo.Context, error) error
	// Closing is closed when the server begins to shut down: streams end, so that it need not wait for them.
	Closing <-chan struct{}
	Pace    live.Pace // how streams are kept, and how many
}

// Site serves the pages.
type Site struct {
	Config
	fresh freshCommands
	kept  keptPages
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
		middleware.BodyLimitWithConfig(middleware.BodyLimitConfig{Limit: bodyMost, Skipper: uploads}),
		middleware.BodyLimitWithConfig(middleware.BodyLimitConfig{Limit: uploadMost, Skipper: func(c echo.Context) bool { return !uploads(c) }}),
		middleware.ContextTimeoutWithConfig(middleware.ContextTimeoutConfig{Timeout: requestTime, Skipper: func(c echo.Context) bool { return streams(c) || uploads(c) }}))
	e.Pre(s.unchanged)
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

	read(e, "/", s.public(start))
	read(e, "/sign-in", s.raw(signInForm))
	e.POST("/sign-in", s.form(signIn))
	e.POST("/sign-out", s.form(signOut))
	read(e, "/me", s.page(mePage))
	read(e, "/me/data.json", s.raw(myData))
	e.POST("/me/credit", s.form(setCredit))
	e.POST("/me/password", s.form(changePassword))
	e.POST("/me/token", s.shownOnce(makeToken))
	e.POST("/me/session", s.form(endSession))
	e.POST("/me/everywhere", s.form(endSessions))
	e.POST("/me/erase", s.form(eraseMe))
	read(e, "/:society/invited/:secret", s.page(invitedPage))
	e.POST("/:society/invited/:secret", s.form(acceptInvitation))

	read(e, "/:society", s.ofSociety(societyPage))
	read(e, "/:society/list", s.ofSociety(societyList))
	read(e, "/:society/list.csv", s.ofSocietyRaw(societyListCSV))
	read(e, "/:society/season/:year", s.ofSociety(seasonPage))
	read(e, "/:society/sites", s.ofSociety(sitesPage))
	read(e, "/:society/sites/:code", s.ofSociety(sitePage))
	read(e, "/:society/t/:name", s.ofSociety(societyTaxon))
	read(e, "/:society/feed.atom", s.ofSocietyRaw(societyFeed))
	read(e, "/:society/events.ics", s.ofSocietyRaw(societyCalendar))
	read(e, "/:society/events/new", s.page(newEventPage))
	e.POST("/:society/events/new", s.form(makeEvent))
	v := e.Group("/:society/:event")
	read(v, "", s.public(landing))
	read(v, "/list", s.public(runningList))
	read(v, "/list.csv", s.openRaw(draftCSV))
	read(v, "/list.json", s.openRaw(draftJSON))
	read(v, "/list/why", s.public(listWhy))
	read(v, "/list/firsts", s.public(firstsPage))
	read(v, "/list/firsts.csv", s.openRaw(firstsCSV))
	read(v, "/list/:version", s.public(listVersion))
	read(v, "/list/:version/changes", s.public(versionChanges))
	read(v, "/list/:version/today", s.public(versionToday))
	read(v, "/list/:version/today/csv", s.openRaw(versionTodayCSV))
	read(v, "/list/:version/csv", s.openRaw(versionCSV))
	read(v, "/list/:version/json", s.openRaw(versionJSON))
	read(v, "/list.xlsx", s.openRaw(workbook.running))
	read(v, "/list.pdf", s.openRaw(bound.running))
	read(v, "/list.txt", s.openRaw(newsletter.running))
	read(v, "/list/:version/xlsx", s.openRaw(workbook.version))
	read(v, "/list/:version/pdf", s.openRaw(bound.version))
	read(v, "/list/:version/txt", s.openRaw(newsletter.version))
	read(v, "/letter", s.page(letterPage))
	read(v, "/letter.pdf", s.raw(letterPDF))
	read(v, "/letter.txt", s.raw(letterText))
	read(v, "/worth", s.public(worthPage))
	read(v, "/worth/:figure", s.openRaw(worthData))
	read(v, "/tables", s.public(tablesPage))
	read(v, "/tables/:number", s.public(tablePage))
	read(v, "/n/:number", s.public(findPage))
	read(v, "/t/:name", s.public(taxonPage))
	read(v, "/records.csv", s.openRaw(recordsCSV))
	read(v, "/records.zip", s.openRaw(recordsZip))
	read(v, "/records.geojson", s.openRaw(recordsMap))
	read(v, "/find", s.openRaw(jumpTo))
	read(v, "/warnings", s.public(warningSheet))
	read(v, "/warnings.csv", s.openRaw(warningsCSV))
	read(v, "/warnings.pdf", s.openRaw(warningsPDF))
	read(v, "/p/:paper", s.public(seenPaper))
	read(v, "/names", s.openRaw(suggestNames))
	v.GET("/live/stream", s.openRaw(liveStream)) // no HEAD: it has no end

	read(v, "/mine", s.page(ownPage))
	v.POST("/mine/:number", s.form(nameOwn))
	read(v, "/seen", s.page(seenPage))
	v.POST("/seen", s.form(recordSeen))
	v.POST("/seen/count", s.form(seenAct(view.FormSeenCount, countSeen)))
	v.POST("/seen/stand", s.form(seenAct(view.FormSeenStand, standBehindSeen)))
	v.POST("/seen/strike", s.form(seenAct(view.FormSeenStrike, strikeSeen)))
	read(v, "/pass/:secret", s.page(passPage))
	v.POST("/pass/:secret", s.form(enterByPass))
	read(v, "/people", s.page(peoplePage))
	v.POST("/people/invitation", s.shownOnce(makeInvitation))
	v.POST("/people/take-back", s.form(takeBackInvitation))
	v.POST("/people/pass", s.shownOnce(makePass))
	v.POST("/people/end-pass", s.form(endPass))
	read(v, "/team", s.page(ownTeamPage))
	read(v, "/team/:number", s.page(oneTeamPage))
	read(v, "/team/:number/member", s.page(teamMemberPage))
	read(v, "/team/:number/private", s.page(teamPrivatePage))
	v.POST("/team/:number/out", s.form(teamForm(view.FormTeamOut, teamOut)))
	v.POST("/team/:number/heard", s.form(teamForm(view.FormTeamHeard, teamHeard)))
	v.POST("/team/:number/back", s.form(teamForm(view.FormTeamBack, teamBack)))
	v.POST("/team/:number/hand-in", s.form(teamForm(view.FormTeamHandIn, teamHandIn)))
	v.POST("/team/:number/act", s.form(teamForm(view.FormTeamAct, teamAct)))
	v.POST("/team/:number/add", s.form(teamForm(view.FormTeamAdd, teamAdd)))
	v.POST("/team/:number/mark", s.form(memberForm(view.FormTeamMark, markMember)))
	v.POST("/team/:number/about", s.form(memberForm(view.FormTeamAbout, aboutMember)))
	v.POST("/team/:number/take-off", s.form(memberForm(view.FormTeamTakeOff, takeMemberOff)))
	v.POST("/team/:number/private", s.form(setPrivate))
	read(v, "/back", s.page(backPage))
	read(v, "/back/sheet", s.page(paperPage))
	v.POST("/back/sheet", s.form(enterPaper))
	read(v, "/back/reads", s.page(readsPage))
	read(v, "/walks", s.public(walksPage))
	read(v, "/walks/mine", s.page(ownWalksPage))
	v.POST("/walks", s.form(wishWalks))
	v.POST("/walks/put", s.form(putOnTeam))
	read(v, "/hall", s.page(hallPage))
	read(v, "/intake", s.page(intakePage))
	v.POST("/intake", s.form(logCollection))
	v.POST("/intake/photographs", s.upload(sendPhotograph))
	read(v, "/photo/:id/:size", s.photograph)
	read(v, "/photographs", s.page(photographsPage))
	v.POST("/photographs", s.upload(sendPhotograph))
	v.POST("/photographs/hide", s.form(hidePhotograph))
	v.POST("/intake/hand", s.form(handToBench))
	read(v, "/incomplete", s.page(incompletePage))
	read(v, "/numbers", s.page(numbersPage))
	v.POST("/numbers/fate", s.form(sayFate))
	read(v, "/c/:number/field", s.page(fieldPage))
	v.POST("/c/:number/field", s.form(correctField))
	read(v, "/c/:number/parts", s.page(partsPage))
	v.POST("/c/:number/split", s.form(splitCollection))
	v.POST("/c/:number/merge", s.form(mergeCollection))
	v.POST("/c/:number/spoil", s.form(spoilCollection))
	read(v, "/queue", s.page(queuePage))
	v.POST("/queue/groups", s.form(sayGroups))
	v.POST("/queue/sign", s.form(signMany))
	read(v, "/walk/:table", s.page(walkPage))
	read(v, "/scribe", s.page(scribePage))
	v.POST("/scribe", s.form(scribeOne))
	v.POST("/scribe/several", s.form(scribeSeveral))
	read(v, "/collections", s.page(collectionsPage))
	read(v, "/c/:number", s.page(collectionPage))
	v.POST("/c/:number/field-name", s.form(giveFieldName))
	v.POST("/c/:number/sign", s.form(signOff))
	v.POST("/c/:number/nameless", s.form(nothingToName))
	v.POST("/c/:number/strike", s.form(strikeSlip))
	v.POST("/c/:number/place", s.form(placePlate))
	v.POST("/c/:number/note", s.form(noteCharacters))
	read(v, "/wall", s.page(wallPage))
	read(v, "/eaten", s.page(eatenPage))
	v.POST("/eaten", s.form(openIncident))
	read(v, "/eaten/:incident", s.page(incidentPage))
	v.POST("/eaten/:incident", s.form(noteIncident))
	read(v, "/plan", s.page(planPage))
	read(v, "/put", s.page(putPage))
	v.POST("/put", s.form(putPlates))
	read(v, "/sweep", s.page(sweepPage))
	v.POST("/sweep", s.form(sweepTable))
	read(v, "/clear", s.page(clearPage))
	v.POST("/clear", s.form(clearPlates))
	read(v, "/papers", s.page(papersPage))
	read(v, "/papers/print", s.page(printCards))
	read(v, "/papers/cards.pdf", s.raw(cardsPDF))
	v.POST("/papers/cards", s.form(makeCards))
	v.POST("/papers/swap", s.form(swapPaper))
	v.POST("/papers/sheet", s.form(hangSheet))
	read(v, "/papers/labels.pdf", s.raw(labelsPDF))
	read(v, "/papers/packets.pdf", s.raw(packetsPDF))
	read(v, "/vouchers", s.page(vouchersPage))
	read(v, "/vouchers/map", s.page(dryerMap))
	v.POST("/vouchers/choose", s.form(chooseVoucher))
	v.POST("/vouchers/load", s.form(loadDryer))
	v.POST("/vouchers/out", s.form(takeOutOfDryer))
	v.POST("/vouchers/packets", s.form(actOnPackets))
	v.POST("/vouchers/dryer", s.form(addDryer))
	v.POST("/vouchers/dryer-taken", s.form(takeDryer))
	v.POST("/vouchers/temperature", s.form(readTemperature))
	read(v, "/vouchers/:number", s.page(voucherPage))
	v.POST("/vouchers/:number/choose", s.form(chooseOneVoucher))
	v.POST("/vouchers/:number/say", s.form(sayOfVoucher))
	v.POST("/vouchers/:number/code", s.form(codeVoucher))
	v.POST("/vouchers/:number/right", s.form(putVoucherCodeRight))
	read(v, "/publish", s.page(publishPage))
	v.POST("/publish", s.form(publish))
	read(v, "/setup", s.page(setupPage))
	read(v, "/setup/event", s.page(setupPart(setupEvent)))
	v.POST("/setup/event", s.form(changeEvent))
	v.POST("/setup/group", s.form(moveGroup))
	v.POST("/setup/borrowed", s.form(chooseBorrowed))
	v.POST("/setup/checklist", s.form(chooseChecklist))
	read(v, "/setup/sites", s.page(setupPart(setupSites)))
	v.POST("/setup/site", s.form(sendSite))
	read(v, "/setup/walks", s.page(setupPart(setupWalks)))
	v.POST("/setup/walk", s.form(sendWalk))
	v.POST("/setup/walk-off", s.form(callWalkOff))
	read(v, "/setup/teams", s.page(setupPart(setupTeams)))
	v.POST("/setup/team", s.form(sendTeam))
	read(v, "/setup/tables", s.page(setupPart(setupTables)))
	v.POST("/setup/table", s.form(sendTable))
	read(v, "/setup/numbers", s.page(setupPart(setupNumbers)))
	v.POST("/setup/block", s.form(issueBlock))
	read(v, "/setup/rights", s.page(setupPart(setupRights)))
	v.POST("/setup/right", s.form(giveRight))
	v.POST("/setup/right-taken", s.form(takeRight))
	read(v, "/setup/flags", s.page(setupPart(setupFlags)))
	v.POST("/setup/flag", s.form(sendFlag))
	v.POST("/setup/flag-taken", s.form(takeFlag))
	v.POST("/setup/law", s.form(takeLaw))
	read(v, "/setup/stocks", s.page(setupPart(setupStocks)))
	v.POST("/setup/stock", s.form(sendStock))
	v.POST("/setup/stock-taken", s.form(takeStock))
	read(v, "/setup/publisher", s.page(setupPart(setupPublisher)))
	v.POST("/setup/publisher", s.form(sendPublisher))
	read(v, "/setup/earlier", s.page(setupPart(setupEarlier)))
	v.POST("/setup/earlier", s.upload(takeEarlier))
	v.POST("/setup/earlier-withdrawn", s.form(withdrawEarlier))
	read(v, "/setup/earlier/firsts", s.page(allFirstsPage))
	read(v, "/setup/rain", s.page(setupPart(setupRain)))
	v.POST("/setup/rain", s.form(sendRain))
	read(v, "/setup/contact", s.page(setupPart(setupContact)))
	v.POST("/setup/contact", s.form(typeContact))
	v.POST("/setup/tested", s.form(testContact))
	read(v, "/hazards", s.page(hazardsPage))
	v.POST("/hazards/hazard", s.form(addOwnHazard))
	v.POST("/hazards/pair", s.form(addOwnPair))
	v.POST("/hazards/contest", s.form(contestHazard))
	v.POST("/hazards/withdraw", s.form(withdrawHazard))
	v.POST("/hazards/import", s.form(importHazards))
	read(v, "/correct", s.page(correctPage))
	v.POST("/correct", s.form(sendCorrection))
	read(v, "/correct/:secret", s.page(ownCorrection))
	v.POST("/correct/:secret", s.form(actOnOwnCorrection))
	read(v, "/corrections", s.page(requestsPage))
	v.POST("/corrections/ask", s.form(askSender))
	v.POST("/corrections/pass", s.form(passRequest))
	v.POST("/corrections/answer", s.form(answerRequest))
	v.POST("/corrections/again", s.form(takeUpRequest))
	v.POST("/corrections/release", s.form(releaseRequest))
	v.POST("/corrections/forget", s.form(forgetSender))
	read(v, "/close", s.page(closingPage))
	v.POST("/close/hall", s.form(endDay))
	v.POST("/close/event", s.form(endEvent))
	v.POST("/close/again", s.form(openAgain))
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
		LogValuesFunc: func(c echo.Context, v middleware.RequestLoggerValues) error {
			level := slog.LevelDebug
			if v.Status >= http.StatusInternalServerError {
				level = slog.LevelError
			}
			s.Log.Log(context.Background(), level, "request", "method", v.Method, "path", loggedPath(c), "status", v.Status, "took", v.Latency, "error", v.Error)
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
