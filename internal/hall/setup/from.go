package setup

import (
	"cmp"
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// EventFrom is an event to be made as an earlier one was set up. What is left empty is as it was there.
type EventFrom struct {
	From     string `json:"from"` // the code of the earlier event
	Code     string `json:"code"`
	StartsOn string `json:"starts_on"` // ISO date
	EndsOn   string `json:"ends_on,omitempty"`
	Name     string `json:"name,omitempty"`
	Place    string `json:"place,omitempty"`
	TimeZone string `json:"time_zone,omitempty"`
	Region   string `json:"region,omitempty"`
}

// AddEventFrom makes an event with the sites, walks, teams, tables, order of groups, jurisdiction and flags, overdue
// times and rights of an earlier one; times are moved by the days between the two. Poison contacts, wishes, whoever
// walked with a team, passes, numbers and collections are not copied: the contact is typed and tested anew. Whoever
// asks has a right in the earlier event, or somebody could make an event to see where a sensitive site is.
func AddEventFrom(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in EventFrom) (Made, error) {
	cmd.Type, cmd.Body = "event.from.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, access.Scope{Society: scope.Society}, cmd, func(w *hall.Write) (Made, error) {
		old, err := earlier(w, in.From)
		if err != nil {
			return Made{}, err
		}
		e, err := newEvent(w, in.like(old))
		if err != nil {
			return Made{}, err
		}
		c := copier{w: w, old: old, event: &e, ids: map[foray.ID]foray.ID{}}
		c.settings()
		if err := addEvent(w, e); err != nil {
			return Made{}, err
		}
		w.Note("event.from", e.ID, old.Code)
		return Made{ID: e.ID}, c.all()
	})
}

// earlier finds the event that is copied, where the actor has a right in it.
func earlier(w *hall.Write, code string) (store.Event, error) {
	old, err := w.Tx.EventByCode(w.Scope.Society, code)
	if fault.Is(err, fault.NotFound) {
		return old, fault.Wrong("from", "setup.from-unknown", "code", code)
	}
	if err != nil {
		return old, err
	}
	rights, err := w.Tx.RightsOf(w.Scope.Society, old.ID, w.Actor.Person)
	if err != nil {
		return old, err
	}
	if !access.For(w.Actor, access.Scope{Society: w.Scope.Society, Event: old.ID}, rights).Staff() {
		return old, hall.NotAllowed(access.SetUp)
	}
	return old, nil
}

// like fills what was left empty.
func (in EventFrom) like(old store.Event) Event {
	e := Event{Code: in.Code, StartsOn: in.StartsOn, EndsOn: in.EndsOn, Name: cmp.Or(tidy(in.Name), old.Name), Place: cmp.Or(tidy(in.Place), old.Place),
		TimeZone: cmp.Or(in.TimeZone, old.TimeZone), Region: cmp.Or(in.Region, old.Region)}
	if day, err := time.Parse(time.DateOnly, e.StartsOn); err == nil && e.EndsOn == "" {
		e.EndsOn = day.AddDate(0, 0, daysBetween(old.StartsOn, old.EndsOn)).Format(time.DateOnly)
	}
	return e
}

// daysBetween is how many days lie between two ISO dates; 0 where one is none.
func daysBetween(from, to string) int {
	a, err1 := time.Parse(time.DateOnly, from)
	b, err2 := time.Parse(time.DateOnly, to)
	if err1 != nil || err2 != nil {
		return 0
	}
	return int(b.Sub(a).Hours() / 24)
}

// copier copies one event's set-up into another; ids holds what each row is in the new one.
type copier struct {
	w     *hall.Write
	old   store.Event
	event *store.Event
	ids   map[foray.ID]foray.ID
}

func (c *copier) settings() {
	e, old := c.event, c.old
	e.Jurisdiction, e.GroupOrder, e.EverythingRecorded = old.Jurisdiction, old.GroupOrder, old.EverythingRecorded
	e.RingMin, e.TellMin, e.SearchMin, e.SunsetMin, e.SilenceMin = old.RingMin, old.TellMin, old.SearchMin, old.SunsetMin, old.SilenceMin
	e.PersonalMonths, e.ContactMonths = old.PersonalMonths, old.ContactMonths
	if day, err := time.Parse(time.DateOnly, old.DeletePersonalOn); err == nil {
		e.DeletePersonalOn = day.AddDate(0, 0, daysBetween(old.StartsOn, e.StartsOn)).Format(time.DateOnly)
	}
}

func (c *copier) all() error {
	for _, part := range []func() error{c.sites, c.tables, c.walks, c.teams, c.flags, c.rights} {
		if err := part(); err != nil {
			return err
		}
	}
	return nil
}

// anew is the id that a row of the old event has in the new one; a zero one stays zero.
func (c *copier) anew(id foray.ID) (foray.ID, error) {
	if id.IsZero() {
		return id, nil
	}
	if made, known := c.ids[id]; known {
		return made, nil
	}
	made, err := c.w.NewID()
	c.ids[id] = made
	return made, err
}

// moved is the same time of day, so many days later: ten o'clock stays ten o'clock over a change of clocks.
func (c *copier) moved(at store.Stamp) store.Stamp {
	if at.IsZero() {
		return at
	}
	then := at.In(hall.Zone(c.old))
	return store.At(time.Date(then.Year(), then.Month(), then.Day()+daysBetween(c.old.StartsOn, c.event.StartsOn),
		then.Hour(), then.Minute(), then.Second(), 0, hall.Zone(*c.event)))
}

// copyRows copies rows of one kind, each made into one of the new event by fit.
func copyRows[T any](rows []T, err error, fit func(*T) error, add func(T) error) error {
	if err != nil {
		return err
	}
	for _, row := range rows {
		if err := fit(&row); err != nil {
			return err
		}
		if err := add(row); err != nil {
			return err
		}
	}
	return nil
}

func (c *copier) sites() error {
	rows, err := c.w.Tx.Sites(c.old.SocietyID, c.old.ID)
	return copyRows(rows, err, func(s *store.Site) (err error) {
		s.EventID, s.CreatedAt = c.event.ID, c.w.Stamp()
		s.ID, err = c.anew(s.ID)
		return err
	}, c.w.Tx.AddSite)
}

func (c *copier) tables() error {
	rows, err := c.w.Tx.HallTables(c.old.SocietyID, c.old.ID)
	return copyRows(rows, err, func(t *store.HallTable) (err error) {
		t.EventID, t.CreatedAt = c.event.ID, c.w.Stamp()
		t.ID, err = c.anew(t.ID)
		return err
	}, c.w.Tx.AddHallTable)
}

// walks takes up again also one that was called off: planning begins anew.
func (c *copier) walks() error {
	rows, err := c.w.Tx.Walks(c.old.SocietyID, c.old.ID)
	return copyRows(rows, err, func(r *store.Walk) (err error) {
		r.EventID, r.CreatedAt, r.CalledOffAt = c.event.ID, c.w.Stamp(), store.Stamp{}
		r.StartsAt, r.DueAt = c.moved(r.StartsAt), c.moved(r.DueAt)
		if r.SiteID, err = c.anew(r.SiteID); err != nil {
			return err
		}
		r.ID, err = c.anew(r.ID)
		return err
	}, c.w.Tx.AddWalk)
}

func (c *copier) teams() error {
	rows, err := c.w.Tx.Teams(c.old.SocietyID, c.old.ID)
	err = copyRows(rows, err, func(t *store.Team) (err error) {
		t.EventID, t.CreatedAt = c.event.ID, c.w.Stamp()
		if t.SiteID, err = c.anew(t.SiteID); err != nil {
			return err
		}
		t.ID, err = c.anew(t.ID)
		return err
	}, c.w.Tx.AddTeam)
	if err != nil {
		return err
	}
	plans, err := c.w.Tx.TeamPlans(c.old.SocietyID, c.old.ID)
	return copyRows(plans, err, func(p *store.TeamPlan) (err error) {
		p.EventID, p.DueAt = c.event.ID, c.moved(p.DueAt)
		if p.WalkID, err = c.anew(p.WalkID); err != nil {
			return err
		}
		p.TeamID, err = c.anew(p.TeamID)
		return err
	}, c.w.Tx.SetTeamPlan)
}

func (c *copier) flags() error {
	rows, err := c.w.Tx.TaxonFlags(c.old.SocietyID, c.old.ID)
	return copyRows(rows, err, func(f *store.TaxonFlag) (err error) {
		f.EventID, f.AddedBy, f.AddedAt = c.event.ID, c.w.Actor.Person, c.w.Stamp()
		f.ID, err = c.anew(f.ID)
		return err
	}, c.w.Tx.AddTaxonFlag)
}

// rights leaves out what somebody holds by a pass: passes end with their event.
func (c *copier) rights() error {
	uses, err := c.w.Tx.PassUses(c.old.SocietyID, c.old.ID)
	if err != nil {
		return err
	}
	byPass := map[foray.ID]bool{}
	for _, u := range uses {
		byPass[u.PersonID] = byPass[u.PersonID] || u.EndedAt.IsZero()
	}
	rows, err := c.w.Tx.EventRights(c.old.SocietyID, c.old.ID)
	return copyRows(rows, err, func(r *store.EventRight) error {
		r.EventID, r.GivenBy, r.GivenAt = c.event.ID, c.w.Actor.Person, c.w.Stamp()
		return nil
	}, func(r store.EventRight) error {
		if byPass[r.PersonID] {
			return nil
		}
		c.w.Note("right.give", r.PersonID, string(r.Held))
		return c.w.Tx.GiveRight(r)
	})
}
