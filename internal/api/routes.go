package api

import (
	"net/http"
	"reflect"
	"regexp"
	"strings"

	"forayhall/internal/hall/photographs"
)

// route is one operation: how it is reached, what it answers, and what the document says of it.
type route struct {
	method string
	path   string // as OpenAPI writes it
	name   string // operationId
	about  string
	open   bool // answers visitors too
	query  []param
	in     reflect.Type // body; nil for none
	out    reflect.Type // JSON answer; nil where media says what else
	media  string
	ages   bool // changes with the clock alone, so that it is never answered "not modified"
	serve  func(*request) error
	// upload takes a picture, as the body or in a form of several parts.
	upload bool
}

// param is a query parameter.
type param struct {
	name   string
	about  string
	schema schema
}

var (
	limitParam = param{"limit", "how many at most", schema{"type": "integer", "minimum": 1, "maximum": mostRows, "default": usualRows}}
	sinceParam = param{"since", "the number of the last change that is known; 0 for all", schema{"type": "integer", "minimum": 0}}
)

const (
	open   = true  // to everybody
	signed = false // to whoever is signed in and has the right; else 401, 403 or 404
)

// routes is every route of the API.
func routes() []route {
	return []route{
		post("/commands", "sendCommands", "Send an ordered batch of commands; each is tried and answered by itself", sendCommands),
		get("/events", "listEvents", "Events of every society, newest first", open, listEvents),
		get("/names", "suggestNames", "Names that what was typed so far may become", open, suggestNames,
			param{"q", "what was typed so far", schema{"type": "string", "maxLength": longestQuery}},
			param{"limit", "how many at most", schema{"type": "integer", "minimum": 1, "maximum": mostNames, "default": usualNames}}),
		raw("/openapi.json", "readDocument", "This document", open, "application/json", serveDocument),
		get("/{society}/{event}", "seeEvent", "An event in figures, and what the caller may do there", open, seeEvent),
		get("/{society}/{event}/collections", "listCollections", "Collections by number: all to staff, their own to members", signed,
			listCollections, param{"cursor", "next of the page before", schema{"type": "string"}}, limitParam),
		get("/{society}/{event}/collections/{number}", "seeCollection", "One collection with every slip", signed, seeCollection),
		get("/{society}/{event}/queue", "seeQueue", "What waits for an identifier, most urgent first", signed, seeQueue, showParam),
		get("/{society}/{event}/identifiers", "listIdentifiers", "Who may determine, and which groups", signed, listIdentifiers),
		get("/{society}/{event}/tables/{number}/walk", "walkTable", "The plates of a table in the order of a round along it", signed, walkTable),
		get("/{society}/{event}/desk", "seeDesk", "What the desk needs before the next find is logged", signed, seeDesk,
			param{"team", "id or number of the team that stands there", schema{"type": "string"}},
			param{"last", "the number that was logged last at this desk, without letters", schema{"type": "integer", "minimum": 0}}),
		get("/{society}/{event}/incomplete", "seeIncomplete", "Field slips that still lack something", signed, seeIncomplete),
		get("/{society}/{event}/numbers", "seeNumbers", "The ledger: every number and what became of it", signed, seeNumbers),
		get("/{society}/{event}/checklists", "listChecklists", "The lists of names that were taken in, and which the society follows, for its organisers", signed, listChecklists),
		get("/{society}/{event}/setup", "seeSetUp", "How the event is set up and what is missing, for its staff", signed, seeSetUp),
		get("/{society}/{event}/card-stocks", "listCardStocks", "What cards may be printed on: the society's own first, then what ships; for staff", signed, listCardStocks),
		get("/{society}/{event}/publisher", "seePublisher", "Under whose name and on which terms the society gives its records out; for staff", signed, seePublisher),
		raw("/{society}/{event}/records", "readRecords", "The records of the event as GeoJSON, one feature a record, at public points", open,
			"application/geo+json", serveRecords),
		raw("/{society}/{event}/archive", "readArchive", "The records of the event as a Darwin Core Archive; refused while the society has chosen no licence", open,
			"application/zip", serveArchive),
		get("/{society}/{event}/law", "seeLaw", "What the law tables know of protected and controlled taxa; an offer, no law", signed, seeLaw,
			param{"jurisdiction", "whose law; empty: the event's", schema{"type": "string", "maxLength": longestQuery}}),
		get("/{society}/{event}/worth", "seeWorth", "What the day was worth beside its list, figure by figure: by site, team and group, estimates, curves, years, turnover, season, hosts, rain; a null is what cannot be said, with why beside it", open, seeWorth),
		get("/{society}/{event}/rain", "seeRain", "The rain that was entered for the event, with every entry of a day, for staff", signed, seeRain),
		get("/{society}/{event}/sites", "seeSites", "The sites: as the public may see them, and in full for staff", open, seeSites),
		aging(get("/{society}/{event}/teams", "seeTeams", "Every team: out, back, late, with what to do; for who may sign anyone in", signed, seeTeams)),
		aging(get("/{society}/{event}/teams/{number}", "seeTeam", "One team, to its leader and to who may sign anyone in", signed, seeTeam)),
		aging(get("/{society}/{event}/teams/{number}/private", "readPrivate",
			"Telephones and medical notes of a team, for its leader, the safety lead and the organiser; each reading is written down", signed, readPrivate)),
		aging(get("/{society}/{event}/own-teams", "seeOwnTeams", "The teams that the caller leads", signed, seeOwnTeams)),
		get("/{society}/{event}/private-reads", "seeReadings", "Who read what is private, newest first", signed, seeReadings),
		aging(get("/{society}/{event}/walks", "seeWalks", "The walks, and what the caller wished for", open, seeWalks)),
		get("/{society}/{event}/closing", "seeClosing", "What hall and event need to be closed, for who may close", signed, seeClosing),
		aging(get("/{society}/{event}/corrections", "seeCorrections", "Requests for corrections: all to who keeps the list, those that were passed on to identifiers; never who sent them", signed, seeCorrections)),
		aging(get("/{society}/{event}/asked", "seeAsked", "What was asked about finds and list, and how it was answered, as everybody may read it", open, seeAsked)),
		get("/{society}/{event}/plan", "seePlan", "The hall from above, for its staff", signed, seePlan,
			param{"find", "a number, or a part of a name: the tables where it stands are marked", schema{"type": "string", "maxLength": longestQuery}}),
		get("/{society}/{event}/vouchers", "seeVouchers", "What is kept of the finds: proposals with why, the map of the dryers, packets, numbers that came back, and what is missing", signed, seeVouchers),
		get("/{society}/{event}/papers", "seePapers", "Cards and sheets that say what is no longer so, and plates without a card", signed, seePapers),
		aging(get("/{society}/{event}/wall", "seeWall", "What hangs above the tables: numbers, no persons", signed, seeWall)),
		aging(get("/{society}/{event}/incidents/{incident}", "seeIncident", "An incident, for who wrote it down and the safety lead; the reading is noted", signed, seeIncident)),
		get("/{society}/{event}/list", "seeList", "The running list; not final", open, seeList),
		raw("/{society}/{event}/list/{version}", "readVersion", "A signed version, the bytes as they were frozen", open,
			"application/json", serveVersion),
		get("/{society}/{event}/list/{version}/changes", "seeVersionChanges", "What is different in a signed version, find by find and why", open, seeVersionChanges,
			param{"from", "the version to compare with; 0: the one before", schema{"type": "integer", "minimum": 0}}),
		get("/{society}/{event}/list/{version}/today", "seeVersionToday", "What the names of a signed version would be by the classification that the society follows now", open, seeVersionToday),
		get("/{society}/{event}/firsts", "seeFirsts", "What was found here that was not known before, possible or sure, and what the finds were compared with", open, seeFirsts),
		get("/{society}/{event}/earlier-lists", "listEarlier", "Lists of what was found before, with the names that the classification does not know today; for staff", signed, listEarlier),
		get("/{society}/{event}/earlier-lists/{list}", "seeEarlierLines", "Lines of an earlier list, as they came and as their names are called today; for staff", signed, seeEarlierLines,
			param{"after", "the last line that is known", schema{"type": "integer", "minimum": 0}}),
		get("/{society}/{event}/seen", "listSeen", "What was seen outside and left there: all to staff, their own and their team's to members", signed, listSeen,
			param{"show", "own, all, or a team's number; empty: the caller's team, or their own", schema{"type": "string"}}),
		get("/{society}/{event}/tables", "seeTables", "What stands on the tables", open, seeTables),
		get("/{society}", "seeSociety", "A society and its events, newest first", open, seeSociety),
		get("/{society}/{event}/tables/{number}", "seeTable", "One table, with where the doubles of its plates stand", open, seeTable),
		get("/{society}/{event}/finds/{number}", "seeFind", "One number as anybody may look it up", open, seeFind),
		get("/{society}/{event}/taxa/{name}", "seeTaxon", "The sheet of a name at this event, with the society's finds of it; spaces may be written as underscores", open, seeTaxon),
		get("/{society}/{event}/warnings", "seeWarnings", "The warning sheet, made now from every plate in the hall", open, seeWarnings),
		get("/{society}/{event}/hazards", "seeHazards", "What is known of harm: every row that speaks of a name, and what the society wrote itself; for its safety lead", signed, seeHazards,
			param{"name", "the name, as written; none: the society's entries alone", schema{"type": "string", "maxLength": longestQuery}}),
		get("/{society}/{event}/people", "seePeople", "Who holds which right, and who came in by which pass", signed, seePeople),
		get("/{society}/{event}/photographs", "listPhotographs", "Photographs that the caller may see, oldest first", open, listPhotographs,
			param{"number", "of one collection only", schema{"type": "string"}}),
		sendsPicture("/{society}/{event}/photographs", "sendPhotograph", "Keep a photograph of a find, slip, field record or incident", sendPhotograph),
		raw("/{society}/{event}/photographs/{id}/{size}", "readPhotograph", "A photograph, full or small; that somebody read a private one is written down",
			open, "image/jpeg", servePhotograph),
		get("/{society}/{event}/changes", "listChanges", "The change log after a number, in order and without gaps", open,
			listChanges, sinceParam, limitParam),
		raw("/{society}/{event}/changes/stream", "streamChanges",
			"The change log as server-sent events: replays what came after Last-Event-ID, or since, and goes on", open,
			"text/event-stream", streamChanges, sinceParam),
	}
}

func get[T any](path, name, about string, open bool, see func(*request) (T, error), query ...param) route {
	return route{method: http.MethodGet, path: path, name: name, about: about, open: open, query: query, out: reflect.TypeFor[T](),
		serve: func(r *request) error { return show(r, see) }}
}

func post[In, Out any](path, name, about string, do func(*request, In) (Out, error)) route {
	return route{method: http.MethodPost, path: path, name: name, about: about, in: reflect.TypeFor[In](), out: reflect.TypeFor[Out](),
		serve: func(r *request) error { return take(r, do) }}
}

func sendsPicture(path, name, about string, serve func(*request) error) route {
	return route{method: http.MethodPost, path: path, name: name, about: about, out: reflect.TypeFor[SentPhotograph](), upload: true, serve: serve, query: []param{
		{"command", "id made by the sender; sent again it is answered as before", schema{"type": "string", "format": "uuid"}},
		{"kind", "what it shows", schema{"type": "string", "enum": photographs.Kinds}},
		{"subject", "number or id of the collection; id of the field record or incident", schema{"type": "string"}},
		{"caption", "what is to be seen on it", schema{"type": "string"}},
		{"taken", "the camera's clock, where the picture does not say: 2026-10-24T11:20:05, in the event's time", schema{"type": "string"}}}}
}

func raw(path, name, about string, open bool, media string, serve func(*request) error, query ...param) route {
	return route{method: http.MethodGet, path: path, name: name, about: about, open: open, media: media, query: query, serve: serve}
}

// aging marks what the clock alone changes, and what is written down each time it is read.
func aging(rt route) route {
	rt.ages = true
	return rt
}

var placeholder = regexp.MustCompile(`\{(\w+)\}`)

func (rt route) echoPath() string { return placeholder.ReplaceAllString(rt.path, ":$1") }

// fits reports whether a path is one of the route's.
func (rt route) fits(path string) bool {
	want, have := strings.Split(rt.path, "/"), strings.Split(path, "/")
	if len(want) != len(have) {
		return false
	}
	for i, part := range want {
		if part != have[i] && (have[i] == "" || !placeholder.MatchString(part)) {
			return false
		}
	}
	return true
}

// ofEvent reports whether the route's address is within an event.
func (rt route) ofEvent() bool { return strings.HasPrefix(rt.path, "/{society}/{event}") }

// tagged reports whether answers carry the event's tag: all that are made from the event as it is now, and stay so until
// something is written.
func (rt route) tagged() bool {
	return rt.method == http.MethodGet && rt.ofEvent() && rt.media == "" && !rt.ages
}
