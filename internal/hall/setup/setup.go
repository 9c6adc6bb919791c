// Package setup makes events ready: societies, events, sites, teams, tables and who may do what there.
package setup

import (
	"context"
	"regexp"
	"strings"

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
		"metrics": true, "commands": true, "events": true, "names": true, "manual": true, "about": true, "favicon": true, "me": true}
	// addressWords stand in the place of an event's code in the addresses of a society.
	addressWords = map[string]bool{"list": true, "list.csv": true, "sites": true, "season": true, "t": true, "feed.atom": true, "events.ics": true, "events": true,
		"invited": true}
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
		return Made{ID: e.ID}, addEvent(w, e)
	})
}

// addEvent stores an event under a code that is free; whoever makes it organises it.
func addEvent(w *hall.Write, e store.Event) error {
	if _, err := w.Tx.EventByCode(e.SocietyID, e.Code); err == nil {
		return fault.Wrong("code", "setup.event-taken", "code", e.Code)
	} else if !fault.Is(err, fault.NotFound) {
		return err
	}
	if err := w.Tx.AddEvent(e); err != nil {
		return err
	}
	w.Note("event.add", e.ID, e.Code)
	if w.Actor.Installation {
		return nil
	}
	return w.Tx.GiveRight(store.EventRight{SocietyID: e.SocietyID, EventID: e.ID, PersonID: w.Actor.Person,
		Held: access.Organiser, GivenBy: w.Actor.Person, GivenAt: w.Stamp()})
}

func newEvent(w *hall.Write, in Event) (store.Event, error) {
	e := store.Event{SocietyID: w.Scope.Society, Code: strings.ToUpper(strings.TrimSpace(in.Code)), Name: tidy(in.Name),
		Place: tidy(in.Place), StartsOn: in.StartsOn, EndsOn: in.EndsOn, TimeZone: in.TimeZone, Region: in.Region,
		State: "open", Home: "here", CreatedAt: w.Stamp()}
	wrong := checkEvent(&e)
	switch {
	case addressWords[strings.ToLower(e.Code)]:
		wrong["code"] = message.T("setup.event-reserved", "code", e.Code)
	case !eventCode.MatchString(e.Code):
		wrong["code"] = message.T("setup.event-code")
	}
	if len(wrong) > 0 {
		return e, fault.Many(wrong)
	}
	var err error
	e.ID, err = w.NewID()
	return e, err
}

// addTo is what every command that adds to an event shares: an organiser, a new id, an audit row and a change.
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
