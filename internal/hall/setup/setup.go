// Package setup makes events ready: societies, events, sites, teams, tables and who may do what there.
package setup

import (
	"context"
	"regexp"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Made is the answer to whatever was made.
type Made struct {
	ID foray.ID `json:"id"`
}

var (
	societyCode = regexp.MustCompile(`^[a-z][a-z0-9-]{1,30}$`)
	eventCode   = regexp.MustCompile(`^[A-Z]{1,6}[0-9]{0,4}$`)
	// reserved first words of an address that are not a society's.
	reserved = map[string]bool{"api": true, "static": true, "sign-in": true, "sign-out": true, "healthz": true, "readyz": true,
		"metrics": true, "manual": true, "about": true, "favicon": true}
)

// AddSociety makes a society. It is for whoever administers the installation.
func AddSociety(ctx context.Context, h *hall.Hall, code, name string) (foray.ID, error) {
	name = strings.Join(strings.Fields(name), " ")
	if !societyCode.MatchString(code) || reserved[code] {
		return foray.ID{}, fault.Wrong("code", "setup.society-code")
	}
	if name == "" || len(name) > 200 {
		return foray.ID{}, fault.Wrong("name", "setup.name-missing")
	}
	id, err := h.NewID()
	if err != nil {
		return foray.ID{}, err
	}
	return id, h.Store.Write(ctx, func(tx *store.Tx) error {
		if _, err := tx.SocietyByCode(code); err == nil {
			return fault.Wrong("code", "setup.society-taken", "code", code)
		} else if !fault.Is(err, fault.NotFound) {
			return err
		}
		return tx.AddSociety(store.Society{ID: id, Code: code, Name: name, CreatedAt: store.At(h.Now())})
	})
}

// Event is an event to be made.
type Event struct {
	Code     string `json:"code"`
	Name     string `json:"name"`
	Place    string `json:"place,omitempty"`
	StartsOn string `json:"starts_on"` // ISO date
	EndsOn   string `json:"ends_on,omitempty"`
	TimeZone string `json:"time_zone"`
	Region   string `json:"region"`
}

// Regions lists the regions that hazard rows speak of.
var Regions = []string{"EU", "NA", "Asia", "Australasia"}

// AddEvent makes an event of the scope's society; whoever makes it is its organiser. Any member may: an event without
// an organiser would be nobody's.
func AddEvent(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Event) (Made, error) {
	cmd.Type, cmd.Body = "event.add.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, access.Scope{Society: scope.Society}, cmd, func(w *hall.Write) (Made, error) {
		e, err := newEvent(w, in)
		if err != nil {
			return Made{}, err
		}
		if _, err := w.Tx.EventByCode(scope.Society, e.Code); err == nil {
			return Made{}, fault.Wrong("code", "setup.event-taken", "code", e.Code)
		} else if !fault.Is(err, fault.NotFound) {
			return Made{}, err
		}
		if err := w.Tx.AddEvent(e); err != nil {
			return Made{}, err
		}
		w.Note("event.add", e.ID, e.Code)
		if actor.Installation {
			return Made{ID: e.ID}, nil
		}
		return Made{ID: e.ID}, w.Tx.GiveRight(store.EventRight{SocietyID: scope.Society, EventID: e.ID, PersonID: actor.Person,
			Held: access.Organiser, GivenBy: actor.Person, GivenAt: w.Stamp()})
	})
}

func newEvent(w *hall.Write, in Event) (store.Event, error) {
	wrong := map[string]message.Text{}
	e := store.Event{SocietyID: w.Scope.Society, Code: strings.ToUpper(strings.TrimSpace(in.Code)), Name: strings.TrimSpace(in.Name),
		Place: strings.TrimSpace(in.Place), StartsOn: in.StartsOn, EndsOn: in.EndsOn, TimeZone: in.TimeZone, Region: in.Region,
		State: "open", Home: "here", CreatedAt: w.Stamp()}
	if !eventCode.MatchString(e.Code) {
		wrong["code"] = message.T("setup.event-code")
	}
	if e.Name == "" || len(e.Name) > 200 || len(e.Place) > 200 {
		wrong["name"] = message.T("setup.name-missing")
	}
	if e.EndsOn == "" {
		e.EndsOn = e.StartsOn
	}
	from, err1 := time.Parse(time.DateOnly, e.StartsOn)
	to, err2 := time.Parse(time.DateOnly, e.EndsOn)
	if err1 != nil || err2 != nil || to.Before(from) {
		wrong["starts_on"] = message.T("setup.dates")
	}
	if _, err := time.LoadLocation(e.TimeZone); err != nil || e.TimeZone == "" || e.TimeZone == "Local" {
		wrong["time_zone"] = message.T("setup.time-zone")
	}
	known := false
	for _, r := range Regions {
		known = known || r == e.Region
	}
	if !known {
		wrong["region"] = message.T("setup.region")
	}
	if len(wrong) > 0 {
		return e, fault.Many(wrong)
	}
	var err error
	e.ID, err = w.NewID()
	return e, err
}

// Site is a site to be made.
type Site struct {
	Code         string   `json:"code"`
	Name         string   `json:"name"`
	Latitude     *float64 `json:"latitude,omitempty"`
	Longitude    *float64 `json:"longitude,omitempty"`
	UncertaintyM int      `json:"uncertainty_m,omitempty"`
	GridM        int      `json:"grid_m,omitempty"`
	Sensitive    bool     `json:"sensitive,omitempty"`
	Permitted    bool     `json:"permitted"`
}

// mostGridM is the widest grid, and the widest uncertainty, in metres: 100 km, the largest square of common atlases.
const mostGridM = 100000

// AddSite makes a site.
func AddSite(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Site) (Made, error) {
	cmd.Type, cmd.Body = "site.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "site", func(w *hall.Write, id foray.ID) error {
		s := store.Site{SocietyID: scope.Society, EventID: scope.Event, ID: id, Code: strings.ToUpper(strings.TrimSpace(in.Code)),
			Name: strings.TrimSpace(in.Name), Latitude: in.Latitude, Longitude: in.Longitude, UncertaintyM: in.UncertaintyM,
			GridM: max(in.GridM, 1000), Sensitive: in.Sensitive, Permitted: in.Permitted, CreatedAt: w.Stamp()}
		switch {
		case s.Code == "" || len(s.Code) > 20 || s.Name == "" || len(s.Name) > 200:
			return fault.Wrong("name", "setup.name-missing")
		case (s.Latitude == nil) != (s.Longitude == nil), s.Latitude != nil && !(*s.Latitude >= -90 && *s.Latitude <= 90),
			s.Longitude != nil && !(*s.Longitude >= -180 && *s.Longitude <= 180):
			return fault.Wrong("latitude", "setup.point")
		case in.GridM < 0 || in.GridM > mostGridM || in.UncertaintyM < 0 || in.UncertaintyM > mostGridM:
			return fault.Wrong("grid_m", "setup.grid", "most", mostGridM)
		}
		sites, err := w.Tx.Sites(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, other := range sites {
			if other.Code == s.Code {
				return fault.Wrong("code", "setup.site-taken", "code", s.Code)
			}
		}
		return w.Tx.AddSite(s)
	})
}

// addTo is what every set-up command shares: an organiser, a new id, an audit row and a change.
func addTo(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, kind string,
	fn func(*hall.Write, foray.ID) error) (Made, error) {
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		id, err := w.NewID()
		if err != nil {
			return Made{}, err
		}
		if err := fn(w, id); err != nil {
			return Made{}, err
		}
		w.Note(kind+".add", id, "")
		w.Changed(kind, id)
		return Made{ID: id}, nil
	})
}

// Team is a team to be made; the leader is named, and added to the society where needed.
type Team struct {
	Number int    `json:"number"`
	Name   string `json:"name,omitempty"`
	Leader string `json:"leader,omitempty"`
	Site   string `json:"site,omitempty"` // code
}

// AddTeam makes a team.
func AddTeam(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Team) (Made, error) {
	cmd.Type, cmd.Body = "team.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "team", func(w *hall.Write, id foray.ID) error {
		if in.Number < 1 || in.Number > 999 || len(in.Name) > 200 {
			return fault.Wrong("number", "setup.team-number")
		}
		t := store.Team{SocietyID: scope.Society, EventID: scope.Event, ID: id, Number: in.Number, Name: strings.TrimSpace(in.Name), CreatedAt: w.Stamp()}
		teams, err := w.Tx.Teams(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, other := range teams {
			if other.Number == t.Number {
				return fault.Wrong("number", "setup.team-taken", "number", t.Number)
			}
		}
		sites, err := w.Tx.Sites(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, s := range sites {
			if strings.EqualFold(s.Code, in.Site) {
				t.SiteID = s.ID
			}
		}
		if in.Site != "" && t.SiteID.IsZero() {
			return fault.Wrong("site", "field.site-unknown", "site", in.Site)
		}
		if t.LeaderID, err = w.PersonNamed(in.Leader); err != nil {
			return err
		}
		return w.Tx.AddTeam(t)
	})
}

// Table is a table to be made.
type Table struct {
	Number  int    `json:"number"`
	Title   string `json:"title,omitempty"`
	Hazards bool   `json:"hazards,omitempty"` // out of a child's reach
}

// AddTable makes a table.
func AddTable(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Table) (Made, error) {
	cmd.Type, cmd.Body = "table.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "table", func(w *hall.Write, id foray.ID) error {
		if in.Number < 1 || in.Number > 999 || len(in.Title) > 200 {
			return fault.Wrong("number", "setup.table-number")
		}
		tables, err := w.Tx.HallTables(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, other := range tables {
			if other.Number == in.Number {
				return fault.Wrong("number", "setup.table-taken", "number", in.Number)
			}
		}
		return w.Tx.AddHallTable(store.HallTable{SocietyID: scope.Society, EventID: scope.Event, ID: id, Number: in.Number,
			Title: strings.TrimSpace(in.Title), Hazards: in.Hazards, CreatedAt: w.Stamp()})
	})
}
