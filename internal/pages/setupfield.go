package pages

import (
	"strconv"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// change is the address of a row's form, for who may change it.
func (r *request) change(part setup.Part, id foray.ID) string {
	if !r.held.Can(access.SetUp) {
		return ""
	}
	return r.event().SetupPart(string(part)) + "?change=" + id.String() + "#form"
}

// lines gathers what is known of a row.
type lines []message.Text

func (l *lines) add(when bool, key string, pairs ...any) {
	if when {
		*l = append(*l, view.T("setup.line."+key, pairs...))
	}
}

func siteNames(room setup.Room) map[foray.ID]string {
	names := map[foray.ID]string{}
	for _, s := range room.Sites {
		names[s.ID] = s.Code + " " + s.Name
	}
	return names
}

func siteOptions(room setup.Room, chosen string) []view.Option {
	options := make([]view.Option, len(room.Sites))
	for i, s := range room.Sites {
		options[i] = view.Option{Value: s.ID.String(), Label: s.Code + " " + s.Name, Chosen: s.ID.String() == chosen}
	}
	return options
}

// personNames is who may be named in a form, for the suggestions.
func personNames(room setup.Room) []string {
	var names []string
	for _, p := range room.People {
		if p.Kind == "person" {
			names = append(names, p.Name)
		}
	}
	return names
}

// idText is an id as a form carries it; nothing for none.
func idText(id foray.ID) string {
	if id.IsZero() {
		return ""
	}
	return id.String()
}

// momentText is a moment as a browser's field has it.
func (r *request) momentText(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return r.local(t).Format(pickedForm)
}

// numberText is a number as a form carries it; nothing for 0.
func numberText(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func degreesText(d *float64) string {
	if d == nil {
		return ""
	}
	return strconv.FormatFloat(*d, 'f', -1, 64)
}

func setupSites(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartSites)
	if err != nil {
		return nil, err
	}
	p := view.SetupSites{Part: part}
	open, site := r.changing(view.FormSite, typed), hall.Site{Permitted: true, GridM: 1000}
	for _, s := range room.Sites {
		if s.ID == open {
			site = s
		}
		p.Rows = append(p.Rows, r.siteRow(s, s.ID == open))
	}
	if r.held.Can(access.SetUp) {
		p.Edit, err = r.siteForm(site, typed)
	}
	return view.SetupSitesPage(p), err
}

func (r *request) siteRow(s hall.Site, here bool) view.SetupRow {
	var l lines
	l.add(s.Latitude == nil, "no-point")
	l.add(s.Latitude != nil, "point", "latitude", degreesText(s.Latitude), "longitude", degreesText(s.Longitude), "m", s.UncertaintyM)
	l.add(s.Sensitive, "sensitive", "m", s.GridM)
	l.add(!s.Permitted, "not-permitted")
	l.add(s.Permit != "", "permit", "words", s.Permit)
	l.add(s.CountNeeded, "count-needed")
	l.add(s.Directions != "", "directions", "words", s.Directions)
	return view.SetupRow{ID: s.ID.String(), Head: view.T("setup.line.site", "code", s.Code, "name", s.Name), Lines: l, Warn: s.Sensitive,
		Change: r.change(setup.PartSites, s.ID), Here: here}
}

func (r *request) siteForm(s hall.Site, typed typedAct) (*view.SiteForm, error) {
	f, err := r.setupForm(view.FormSite, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormSite, name, stored) }
	return &view.SiteForm{Form: f, ID: idText(s.ID), Code: or("code", ""), Name: or("name", s.Name), Latitude: or("latitude", degreesText(s.Latitude)),
		Longitude: or("longitude", degreesText(s.Longitude)), Uncertainty: or("uncertainty_m", numberText(s.UncertaintyM)), Grid: or("grid_m", numberText(s.GridM)),
		Directions: or("directions", s.Directions), Permit: or("permit", s.Permit), Sensitive: typed.ticked(view.FormSite, "sensitive", s.Sensitive),
		Permitted: typed.ticked(view.FormSite, "permitted", s.Permitted), Count: typed.ticked(view.FormSite, "count_needed", s.CountNeeded)}, err
}

func sendSite(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartSites, setupSites, view.FormSite, func(cmd hall.Command) error {
		w := r.reading()
		id := w.id()
		in := setup.Site{Code: r.value("code"), Name: r.value("name"), Latitude: w.degrees("latitude"), Longitude: w.degrees("longitude"),
			UncertaintyM: w.number("uncertainty_m"), GridM: w.number("grid_m"), Sensitive: r.ticked("sensitive"), Permitted: r.ticked("permitted"),
			Directions: r.value("directions"), Permit: r.value("permit"), CountNeeded: r.ticked("count_needed")}
		err := w.err()
		switch {
		case err != nil:
		case id.IsZero():
			_, err = setup.AddSite(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		default:
			_, err = setup.ChangeSite(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.SiteChange{ID: id, Site: in})
		}
		return err
	})
}

func setupWalks(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartWalks)
	if err != nil {
		return nil, err
	}
	p := view.SetupWalks{Part: part}
	open, next, walk := r.changing(view.FormWalk, typed), 1, hall.Walk{}
	for _, w := range room.Walks {
		if next = w.Number + 1; w.ID == open {
			walk = w
		}
		row, err := r.walkRow(w, room, w.ID == open)
		if err != nil {
			return nil, err
		}
		p.Rows = append(p.Rows, row)
	}
	if r.held.Can(access.SetUp) {
		p.Edit, err = r.walkForm(walk, next, room, typed)
	}
	return view.SetupWalksPage(p), err
}

func (r *request) walkRow(w hall.Walk, room setup.Room, here bool) (row view.SetupRow, err error) {
	var l lines
	l.add(!w.CalledOffAt.IsZero(), "called-off")
	l.add(true, "walk-times", "leaves", r.when(w.StartsAt.Time), "due", r.when(w.DueAt.Time))
	l.add(!w.SiteID.IsZero(), "at-site", "site", siteNames(room)[w.SiteID])
	l.add(!w.LeaderID.IsZero(), "leader", "name", byName(room)[w.LeaderID].Name)
	l.add(w.Capacity > 0, "capacity", "n", w.Capacity)
	l.add(w.Remarks != "", "remarks", "words", w.Remarks)
	row = view.SetupRow{ID: w.ID.String(), Head: view.T("setup.line.walk", "number", w.Number, "title", w.Title), Lines: l, Quiet: !w.CalledOffAt.IsZero(),
		Change: r.change(setup.PartWalks, w.ID), Here: here}
	if !r.held.Can(access.SetUp) {
		return row, nil
	}
	row.Act = &view.ActForm{ID: w.ID.String(), On: row.Quiet, Send: "setup.walk.off"}
	if row.Quiet {
		row.Act.Send = "setup.walk.on"
	}
	row.Act.Form, err = r.setupForm(view.FormWalkOff, 0, typedAct{})
	return row, err
}

func (r *request) walkForm(w hall.Walk, next int, room setup.Room, typed typedAct) (*view.WalkForm, error) {
	f, err := r.setupForm(view.FormWalk, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormWalk, name, stored) }
	return &view.WalkForm{Form: f, ID: idText(w.ID), Number: or("number", strconv.Itoa(next)), Title: or("title", w.Title), Leader: or("leader", byName(room)[w.LeaderID].Name),
		Starts: or("starts_at", r.momentText(w.StartsAt.Time)), Due: or("due_at", r.momentText(w.DueAt.Time)), Capacity: or("capacity", numberText(w.Capacity)),
		Remarks: or("remarks", w.Remarks), Sites: siteOptions(room, or("site", idText(w.SiteID))), People: personNames(room)}, err
}

func sendWalk(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartWalks, setupWalks, view.FormWalk, func(cmd hall.Command) error {
		w := r.reading()
		id := w.id()
		in := setup.Walk{Number: w.number("number"), Title: r.value("title"), Site: r.value("site"), Leader: r.value("leader"), StartsAt: w.moment("starts_at"),
			DueAt: w.moment("due_at"), Capacity: w.number("capacity"), Remarks: r.value("remarks")}
		err := w.err()
		switch {
		case err != nil:
		case id.IsZero():
			_, err = setup.AddWalk(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		default:
			_, err = setup.ChangeWalk(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.WalkChange{ID: id, Walk: in})
		}
		return err
	})
}

func callWalkOff(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartWalks, setupWalks, view.FormWalkOff, func(cmd hall.Command) error {
		w := r.reading()
		in := setup.CallOff{ID: w.id(), On: r.ticked("on")}
		if err := w.err(); err != nil {
			return err
		}
		_, err := setup.CallWalkOff(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

func setupTeams(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartTeams)
	if err != nil {
		return nil, err
	}
	p := view.SetupTeams{Part: part}
	open, next, team := r.changing(view.FormTeam, typed), 1, hall.Team{}
	for _, t := range room.Teams {
		if next = t.Number + 1; t.ID == open {
			team = t
		}
		p.Rows = append(p.Rows, r.teamRow(t, room, t.ID == open))
	}
	if r.held.Can(access.SetUp) {
		p.Edit, err = r.teamForm(team, next, room, typed)
	}
	return view.SetupTeamsPage(p), err
}

func (r *request) teamRow(t hall.Team, room setup.Room, here bool) view.SetupRow {
	var l lines
	plan := room.Plans[t.ID]
	l.add(!t.LeaderID.IsZero(), "leader", "name", byName(room)[t.LeaderID].Name)
	for _, w := range room.Walks {
		l.add(w.ID == plan.WalkID, "on-walk", "number", w.Number, "title", w.Title)
	}
	l.add(!plan.DueAt.IsZero(), "due", "due", r.when(plan.DueAt.Time))
	l.add(!t.SiteID.IsZero(), "at-site", "site", siteNames(room)[t.SiteID])
	for _, b := range room.Blocks {
		l.add(b.TeamID == t.ID, "block", "from", foray.Number{Base: b.FromNumber}, "to", foray.Number{Base: b.ToNumber})
	}
	return view.SetupRow{ID: t.ID.String(), Head: view.T("setup.line.team", "number", t.Number, "name", t.Name), Lines: l,
		Change: r.change(setup.PartTeams, t.ID), Here: here}
}

func (r *request) teamForm(t hall.Team, next int, room setup.Room, typed typedAct) (*view.TeamForm, error) {
	f, err := r.setupForm(view.FormTeam, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormTeam, name, stored) }
	plan := room.Plans[t.ID]
	v := &view.TeamForm{Form: f, ID: idText(t.ID), Number: or("number", strconv.Itoa(next)), Name: or("name", t.Name), Leader: or("leader", byName(room)[t.LeaderID].Name),
		Due: or("due_at", r.momentText(plan.DueAt.Time)), Sites: siteOptions(room, or("site", idText(t.SiteID))), People: personNames(room)}
	chosen := or("walk", idText(plan.WalkID))
	for _, w := range room.Walks {
		v.Walks = append(v.Walks, view.Option{Value: w.ID.String(), Text: view.T("setup.line.walk", "number", w.Number, "title", w.Title), Chosen: w.ID.String() == chosen})
	}
	return v, err
}

func sendTeam(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartTeams, setupTeams, view.FormTeam, func(cmd hall.Command) error {
		w := r.reading()
		id := w.id()
		in := setup.Team{Number: w.number("number"), Name: r.value("name"), Leader: r.value("leader"), Site: r.value("site"), Walk: r.value("walk"), DueAt: w.moment("due_at")}
		err := w.err()
		switch {
		case err != nil:
		case id.IsZero():
			_, err = setup.AddTeam(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		default:
			_, err = setup.ChangeTeam(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.TeamChange{ID: id, Team: in})
		}
		return err
	})
}
