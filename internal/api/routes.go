package api

import (
	"net/http"
	"reflect"
	"regexp"
	"strings"
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
	serve  func(*request) error
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
		get("/{society}/{event}/queue", "seeQueue", "What waits for an identifier, most urgent first", signed, seeQueue),
		get("/{society}/{event}/list", "seeList", "The running list; not final", open, seeList),
		raw("/{society}/{event}/list/{version}", "readVersion", "A signed version, the bytes as they were frozen", open,
			"application/json", serveVersion),
		get("/{society}/{event}/tables", "seeTables", "What stands on the tables", open, seeTables),
		get("/{society}/{event}/warnings", "seeWarnings", "The warning sheet, made now from every plate in the hall", open, seeWarnings),
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

func raw(path, name, about string, open bool, media string, serve func(*request) error, query ...param) route {
	return route{method: http.MethodGet, path: path, name: name, about: about, open: open, media: media, query: query, serve: serve}
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

// tagged reports whether answers carry the event's tag: all that are made from the event as it is now.
func (rt route) tagged() bool { return rt.ofEvent() && rt.media == "" }
