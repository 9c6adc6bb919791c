package setup

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Details is how an event is set up. Its code stands on every label and never changes.
type Details struct {
	Name               string `json:"name"`
	Place              string `json:"place,omitempty"`
	StartsOn           string `json:"starts_on"` // ISO date
	EndsOn             string `json:"ends_on,omitempty"`
	TimeZone           string `json:"time_zone"`
	Region             string `json:"region"`
	Jurisdiction       string `json:"jurisdiction,omitempty"` // whose law the flags of taxa speak of
	EverythingRecorded bool   `json:"everything_recorded,omitempty"`
	RingMin            int    `json:"ring_min"` // minutes after a team was due
	TellMin            int    `json:"tell_min"`
	SearchMin          int    `json:"search_min"`
	SunsetMin          int    `json:"sunset_min"` // minutes before sunset
	SilenceMin         int    `json:"silence_min"`
	DeletePersonalOn   string `json:"delete_personal_on,omitempty"` // ISO date
	DeleteReason       string `json:"delete_reason,omitempty"`      // why that date is moved; needed where one was set
	PersonalMonths     int    `json:"personal_months,omitempty"`    // the date is at most so many months after the last day; 0: as before
	ContactMonths      int    `json:"contact_months,omitempty"`     // whoever asked for a correction is forgotten so many months after the answer; 0: as before
}

// ChangeEvent puts details right; the audit keeps what was there.
func ChangeEvent(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Details) (Made, error) {
	cmd.Type, cmd.Body = "event.change.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		e, err := w.Tx.LockEvent(scope.Society, scope.Event)
		if err != nil {
			return Made{}, err
		}
		was, before := DetailsOf(e), e
		wrong := in.fill(&e)
		in.personal(&e, before, w.Now, wrong)
		if len(wrong) > 0 {
			return Made{}, fault.Many(wrong)
		}
		if before.DeletePersonalOn != e.DeletePersonalOn {
			w.Note("personal.date", e.ID, strings.TrimSpace(before.DeletePersonalOn+" → "+e.DeletePersonalOn+" "+strings.TrimSpace(in.DeleteReason)))
		}
		return changed(w, "event", e.ID, was, w.Tx.SetEvent(e))
	})
}

// changed ends a command that changed a row: the audit keeps what was there.
func changed(w *hall.Write, kind string, id foray.ID, was any, err error) (Made, error) {
	if err != nil {
		return Made{}, err
	}
	before, err := json.Marshal(was)
	if err != nil {
		return Made{}, fmt.Errorf("write what was there: %w", err)
	}
	w.Note(kind+".change", id, string(before))
	w.Changed(kind, id)
	return Made{ID: id}, nil
}

// DetailsOf is how an event is set up now.
func DetailsOf(e store.Event) Details {
	return Details{Name: e.Name, Place: e.Place, StartsOn: e.StartsOn, EndsOn: e.EndsOn, TimeZone: e.TimeZone, Region: e.Region,
		Jurisdiction: e.Jurisdiction, EverythingRecorded: e.EverythingRecorded, RingMin: e.RingMin, TellMin: e.TellMin,
		SearchMin: e.SearchMin, SunsetMin: e.SunsetMin, SilenceMin: e.SilenceMin, DeletePersonalOn: e.DeletePersonalOn,
		PersonalMonths: e.PersonalMonths, ContactMonths: e.ContactMonths}
}

// fill checks the details and writes them onto the event.
func (in Details) fill(e *store.Event) map[string]message.Text {
	e.Name, e.Place, e.Jurisdiction = tidy(in.Name), tidy(in.Place), tidy(in.Jurisdiction)
	e.StartsOn, e.EndsOn, e.TimeZone, e.Region, e.EverythingRecorded = in.StartsOn, in.EndsOn, in.TimeZone, in.Region, in.EverythingRecorded
	e.RingMin, e.TellMin, e.SearchMin, e.SunsetMin, e.SilenceMin = in.RingMin, in.TellMin, in.SearchMin, in.SunsetMin, in.SilenceMin
	e.DeletePersonalOn = in.DeletePersonalOn
	wrong := checkEvent(e)
	if len(e.Jurisdiction) > mostName {
		wrong["jurisdiction"] = message.T("setup.name-missing")
	}
	for name, minutes := range map[string]int{"ring_min": e.RingMin, "tell_min": e.TellMin, "search_min": e.SearchMin,
		"sunset_min": e.SunsetMin, "silence_min": e.SilenceMin} {
		if minutes < 1 || minutes > mostMinutes {
			wrong[name] = message.T("setup.minutes", "most", mostMinutes)
		}
	}
	if len(wrong) == 0 && (e.TellMin < e.RingMin || e.SearchMin < e.TellMin) {
		wrong["search_min"] = message.T("setup.ladder")
	}
	return wrong
}

// personal checks when personal data goes. A date that was set is moved, never taken away, with a reason; it is no further
// than the event says, and not today or before: what is deleted is gone.
func (in Details) personal(e *store.Event, was store.Event, now time.Time, wrong map[string]message.Text) {
	for field, months := range map[string]struct{ in, to *int }{"personal_months": {&in.PersonalMonths, &e.PersonalMonths}, "contact_months": {&in.ContactMonths, &e.ContactMonths}} {
		if *months.in < 0 || *months.in > mostMonths {
			wrong[field] = message.T("setup.months", "most", mostMonths)
		} else if *months.in > 0 {
			*months.to = *months.in
		}
	}
	moved := was.DeletePersonalOn != e.DeletePersonalOn
	if !moved && was.EndsOn == e.EndsOn && was.PersonalMonths == e.PersonalMonths {
		return
	}
	day, err := time.Parse(time.DateOnly, e.DeletePersonalOn)
	switch on := e.DeletePersonalOn; {
	case on == "" && !moved:
	case on == "":
		wrong["delete_personal_on"] = message.T("setup.delete-stays")
	case err != nil, day.Format(time.DateOnly) <= e.EndsOn:
		wrong["delete_personal_on"] = message.T("setup.delete-personal-on")
	case on > hall.LastPersonalDay(*e):
		wrong["delete_personal_on"] = message.T("setup.delete-late", "day", hall.LastPersonalDay(*e), "n", e.PersonalMonths)
	case moved && on <= now.In(hall.Zone(*e)).Format(time.DateOnly):
		wrong["delete_personal_on"] = message.T("setup.delete-past")
	case moved && was.DeletePersonalOn != "" && strings.TrimSpace(in.DeleteReason) == "":
		wrong["delete_reason"] = message.T("setup.delete-reason")
	case len(in.DeleteReason) > mostReason:
		wrong["delete_reason"] = message.T("text.too-long", "most", mostReason)
	}
}

const (
	mostReason  = 500
	mostMonths  = 36 // for what the database takes, see its check
	mostName    = 200
	mostMinutes = 24 * 60
)

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

// checkEvent is what any event must have; a missing last day is the first.
func checkEvent(e *store.Event) map[string]message.Text {
	wrong := map[string]message.Text{}
	if e.Name == "" || len(e.Name) > mostName || len(e.Place) > mostName {
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
	if !slices.Contains(Regions, e.Region) {
		wrong["region"] = message.T("setup.region")
	}
	return wrong
}

// MoveGroup is a form group to be moved by one place in the order of the tables.
type MoveGroup struct {
	Group string `json:"group"`
	Up    bool   `json:"up,omitempty"`
}

// Ordered is the answer: the whole order.
type Ordered struct {
	Groups []string `json:"groups"`
}

// MoveGroupOnTables moves a group; at the end of the list it stays.
func MoveGroupOnTables(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in MoveGroup) (Ordered, error) {
	cmd.Type, cmd.Body = "event.move-group.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Ordered, error) {
		e, err := w.Tx.LockEvent(scope.Society, scope.Event)
		if err != nil {
			return Ordered{}, err
		}
		order, was := h.GroupOrder(e), e.GroupOrder
		at := slices.Index(order, in.Group)
		if at < 0 {
			return Ordered{}, fault.Wrong("group", "field.group-missing")
		}
		to := at + 1
		if in.Up {
			to = at - 1
		}
		if to >= 0 && to < len(order) {
			order[at], order[to] = order[to], order[at]
		}
		e.GroupOrder = strings.Join(order, ",")
		_, err = changed(w, "event", e.ID, Ordered{Groups: strings.Split(was, ",")}, w.Tx.SetEvent(e))
		return Ordered{Groups: order}, err
	})
}
