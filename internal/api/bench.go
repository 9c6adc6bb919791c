package api

import (
	"slices"
	"strconv"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
)

// Waiting is one collection of the queue, with why it is where it is.
type Waiting struct {
	Collection
	MayBeNew bool `json:"may_be_new"` // signed at no earlier event of the society
	ToMe     bool `json:"to_me"`      // passed to the caller
}

// Queue is what waits for an identifier.
type Queue struct {
	Collections []Waiting `json:"collections"`
	Groups      []string  `json:"groups"` // the caller's; none: every group
}

// Identifier is somebody who may determine at the event.
type Identifier struct {
	Person foray.ID `json:"person"`
	Name   string   `json:"name"`
	Groups []string `json:"groups"` // none: every group
}

// Identifiers are by name.
type Identifiers struct {
	Identifiers []Identifier `json:"identifiers"`
}

// Round is a table with its plates in the order in which somebody walks along it.
type Round struct {
	Table       int          `json:"table"`
	Title       string       `json:"title"`
	Collections []Collection `json:"collections"`
}

var showParam = param{"show", "all that waits, disputes one may settle, or one's own first names; without it what fits the caller's groups",
	schema{"type": "string", "enum": []string{string(bench.ForAny), string(bench.Disputes), string(bench.MyNames)}}}

func seeQueue(r *request) (Queue, error) {
	show := bench.Show(r.echo.QueryParam("show"))
	if !slices.Contains(bench.Shows, show) {
		return Queue{}, fault.Wrong("show", "api.show")
	}
	b, err := bench.Queue(r.ctx, r.hall(), r.actor, r.scope(), show)
	out := Queue{Collections: make([]Waiting, 0, len(b.Rows)), Groups: append([]string{}, b.Groups...)}
	for _, w := range b.Rows {
		out.Collections = append(out.Collections, Waiting{Collection: r.collection(w), MayBeNew: w.New, ToMe: w.ToMe})
	}
	return out, err
}

func listIdentifiers(r *request) (Identifiers, error) {
	all, err := bench.Identifiers(r.ctx, r.hall(), r.actor, r.scope())
	out := Identifiers{Identifiers: make([]Identifier, 0, len(all))}
	for _, i := range all {
		out.Identifiers = append(out.Identifiers, Identifier{Person: i.Person.ID, Name: i.Person.Name, Groups: append([]string{}, i.Groups...)})
	}
	return out, err
}

func walkTable(r *request) (Round, error) {
	table, err := strconv.Atoi(r.echo.Param("number"))
	if err != nil {
		return Round{}, fault.Missing()
	}
	round, err := bench.WalkTable(r.ctx, r.hall(), r.actor, r.scope(), table)
	out := Round{Table: table, Title: round.Table.Title, Collections: make([]Collection, 0, len(round.Plates))}
	for _, w := range round.Plates {
		out.Collections = append(out.Collections, r.collection(w))
	}
	return out, err
}
