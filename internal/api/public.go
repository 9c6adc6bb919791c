package api

import (
	"encoding/base64"
	"encoding/hex"
	"net/http"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/tables"
	"forayhall/internal/tally"
)

// Society is one of those that share the installation.
type Society struct {
	Code string `json:"code"`
	Name string `json:"name"`
}

// Event is an event as everybody sees it.
type Event struct {
	Society  Society `json:"society"`
	Code     string  `json:"code"`
	Name     string  `json:"name"`
	Place    string  `json:"place,omitempty"`
	StartsOn string  `json:"starts_on"`
	EndsOn   string  `json:"ends_on"`
	TimeZone string  `json:"time_zone"`
	Region   string  `json:"region"`
	State    string  `json:"state"`
}

// ListedEvent is one of the list of events.
type ListedEvent struct {
	Event
	Version int `json:"published_version,omitempty"`
}

// Events is the list of events.
type Events struct {
	Events []ListedEvent `json:"events"`
}

// Version is one of the signed versions of a list.
type Version struct {
	Version  int       `json:"version"`
	SHA256   string    `json:"sha256"`
	SignedAt time.Time `json:"signed_at"`
}

// Summary is an event in figures.
type Summary struct {
	Event
	ChangeSeq int64          `json:"change_seq"`
	Finds     int            `json:"finds"`
	Fields    int            `json:"field_records"` // among the finds
	Unnamed   int            `json:"unnamed"`
	Total     int            `json:"distinct_taxa"`
	Totals    map[string]int `json:"distinct_taxa_by_group"`
	Versions  []Version      `json:"versions"`
	Rights    []access.Right `json:"rights"` // the caller's
}

// RunningList is the list as it is now.
type RunningList struct {
	Final     bool                 `json:"final"` // never: a version is
	ChangeSeq int64                `json:"change_seq"`
	Rule      string               `json:"rule"`
	Finds     int                  `json:"finds"`
	Fields    int                  `json:"field_records"` // among the finds
	Unnamed   int                  `json:"unnamed"`
	Total     int                  `json:"distinct_taxa"`
	Totals    map[string]int       `json:"distinct_taxa_by_group"`
	Lines     []list.CanonicalLine `json:"lines"`
	Digest    string               `json:"lines_sha256"` // list.publish.v1 takes it
	Versions  []Version            `json:"versions"`
}

// Tables is what stands in the hall.
type Tables struct {
	ChangeSeq int64   `json:"change_seq"`
	Tables    []Table `json:"tables"`
}

// Table is one table with its plates by number.
type Table struct {
	Number int     `json:"number"`
	Title  string  `json:"title,omitempty"`
	Plates []Plate `json:"plates"`
}

// Plate is one collection as visitors see it.
type Plate struct {
	Number   string    `json:"number"`
	Group    string    `json:"group"`
	State    string    `json:"state"`
	Names    []Name    `json:"names"`
	Severity int       `json:"severity"`
	NoEntry  bool      `json:"no_entry"` // of at least one of its names nothing is known
	Findings []Finding `json:"findings"`
}

func event(a hall.Address) Event {
	e := a.Event
	return Event{Society: Society{Code: a.Society.Code, Name: a.Society.Name}, Code: e.Code, Name: e.Name, Place: e.Place,
		StartsOn: e.StartsOn, EndsOn: e.EndsOn, TimeZone: e.TimeZone, Region: e.Region, State: e.State}
}

func listEvents(r *request) (Events, error) {
	all, err := r.hall().PublicEvents(r.ctx)
	out := Events{Events: make([]ListedEvent, 0, len(all))}
	for _, e := range all {
		out.Events = append(out.Events, ListedEvent{event(hall.Address{Society: e.Society, Event: e.Event}), e.Version})
	}
	return out, err
}

func seeEvent(r *request) (Summary, error) {
	now, err := list.See(r.ctx, r.hall(), r.actor, r.scope())
	return Summary{Event: event(r.at), ChangeSeq: now.Seq, Finds: now.List.Finds, Fields: now.List.Fields, Unnamed: now.Unnamed, Total: now.List.Total,
		Totals: totals(now.List), Versions: versions(now), Rights: now.Held}, err
}

func seeList(r *request) (RunningList, error) {
	now, err := list.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return RunningList{}, err
	}
	lines := list.Lines(r.hall(), r.at.Society, now)
	digest, err := list.Digest(lines)
	return RunningList{ChangeSeq: now.Seq, Rule: r.say().Say("tally.rule"), Finds: now.List.Finds, Fields: now.List.Fields, Unnamed: now.Unnamed,
		Total: now.List.Total, Totals: totals(now.List), Lines: lines, Digest: digest, Versions: versions(now)}, err
}

func totals(l tally.List) map[string]int {
	by := map[string]int{}
	for _, realm := range tally.Realms {
		by[string(realm)] = l.Totals[realm]
	}
	return by
}

func versions(now list.Running) []Version {
	out := make([]Version, 0, len(now.Versions))
	for _, v := range now.Versions {
		out = append(out, Version{Version: v.Version, SHA256: v.CanonicalSha256, SignedAt: v.SignedAt.Time})
	}
	return out
}

// serveVersion gives the frozen bytes with their digest (RFC 9530).
func serveVersion(r *request) error {
	n, err := strconv.Atoi(r.echo.Param("version"))
	if err != nil {
		return fault.Missing()
	}
	p, _, err := list.Version(r.ctx, r.hall(), r.actor, r.scope(), n)
	if err != nil {
		return err
	}
	sum, err := hex.DecodeString(p.CanonicalSha256)
	if err != nil {
		return err
	}
	tag := `"` + p.CanonicalSha256 + `"`
	r.header("ETag", tag)
	r.header("Cache-Control", "public, no-cache")
	r.header("Repr-Digest", "sha-256=:"+base64.StdEncoding.EncodeToString(sum)+":")
	if matches(r.echo.Request().Header.Get("If-None-Match"), tag) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	return r.echo.Blob(http.StatusOK, echo.MIMEApplicationJSON, p.Canonical)
}

func seeTables(r *request) (Tables, error) {
	d, err := tables.See(r.ctx, r.hall(), r.actor, r.scope())
	out := Tables{ChangeSeq: d.Seq, Tables: make([]Table, 0, len(d.Tables))}
	for _, t := range d.Tables {
		table := Table{Number: t.Number, Title: t.Title, Plates: []Plate{}}
		for _, s := range d.Plates[t.ID] {
			table.Plates = append(table.Plates, Plate{Number: s.Plate.Number().String(), Group: s.Plate.FormGroup, State: s.Plate.StateWord(),
				Names: r.inQuestion(s.Plate), Severity: s.Assessment.Severity, NoEntry: s.Assessment.NoEntry, Findings: assessed(s.Assessment)})
		}
		out.Tables = append(out.Tables, table)
	}
	return out, err
}

// serveDocument gives the OpenAPI document.
func serveDocument(r *request) error {
	r.header("Cache-Control", "no-cache")
	return r.echo.Blob(http.StatusOK, echo.MIMEApplicationJSON, r.api.document)
}
