package pages

import (
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// around is what rows of collections are drawn with.
type around struct {
	tables map[foray.ID]hall.Table
	people map[foray.ID]hall.Person
	room   setup.Room
}

func (r *request) around() (around, error) {
	room, err := setup.See(r.ctx, r.hall(), r.actor, r.scope())
	people := map[foray.ID]hall.Person{}
	for _, p := range room.People {
		people[p.ID] = p
	}
	return around{byID(room.Tables), people, room}, err
}

func (r *request) rows(waiting []bench.Waiting, a around) []view.QueueRow {
	rows := make([]view.QueueRow, len(waiting))
	for i, w := range waiting {
		rows[i] = r.queueRow(w, r.hall().Now(), a.tables, a.people)
	}
	return rows
}

// recentMost is how many collections just brought in the hall page shows.
const recentMost = 8

func hallPage(r *request) (templ.Component, error) {
	all, err := bench.All(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	a, err := r.around()
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("hall.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.Hall{Layout: l, AsOf: r.local(r.hall().Now()), Counts: r.counts(all), NoContact: !contactTested(a.room)}
	queue := bench.InOrder(all, r.hall().Now())
	p.Waiting = len(queue)
	if len(queue) > 0 && r.may().SignOff {
		next := r.queueRow(queue[0], r.hall().Now(), a.tables, a.people)
		p.Next = &next
	}
	for i := len(all) - 1; i >= 0 && len(p.Recent) < recentMost; i-- {
		if all[i].Plate.Naming == foray.BroughtIn {
			p.Recent = append(p.Recent, r.queueRow(all[i], r.hall().Now(), a.tables, a.people))
		}
	}
	if p.Jobs, err = r.paperJobs(); err != nil {
		return nil, err
	}
	var turns time.Duration
	if p.Late, turns, err = r.lateTeams(); err != nil {
		return nil, err
	}
	p.Layout.Live.AskAgain(turns)
	if r.may().SignIn {
		p.LateLink = r.event().Back()
	}
	requests, err := r.openRequests()
	if err != nil {
		return nil, err
	}
	p.Tasks = r.tasks(waiting{queue: len(queue), finds: len(all), jobs: len(p.Jobs), requests: requests})
	return view.HallPage(p), nil
}

func contactTested(room setup.Room) bool {
	return len(room.Contacts) > 0 && !room.Contacts[0].TestedAt.IsZero()
}

// waiting is how much there is of what somebody works through.
type waiting struct{ queue, finds, jobs, requests int }

// openRequests is how many requests for corrections wait for this person's answer or word.
func (r *request) openRequests() (int, error) {
	if !r.held.Can(access.PublishList) && !r.held.Can(access.SignOff) {
		return 0, nil
	}
	room, err := corrections.See(r.ctx, r.hall(), r.actor, r.scope())
	return len(room.Open), err
}

// tasks are what this person can do here, in the order of a day.
func (r *request) tasks(n waiting) []view.Task {
	e, may := r.event(), r.may()
	var tasks []view.Task
	add := func(can bool, key, path string, count int) {
		if can {
			tasks = append(tasks, view.Task{Key: key, Path: path, Count: count})
		}
	}
	add(may.Team, "team", e.Team(), 0)
	add(may.SignIn, "back", e.Back(), 0)
	add(may.Log, "intake", e.Intake(), 0)
	add(may.Log, "incomplete", e.Incomplete(), 0)
	add(may.Log, "numbers", e.Numbers(), 0)
	add(may.SignOff, "queue", e.Queue(), n.queue)
	add(may.Scribe, "scribe", e.Scribe(), 0)
	add(true, "collections", e.Collections(), n.finds)
	add(true, "tables", e.Tables(), 0)
	add(may.Place, "plan", e.Plan(), 0)
	add(may.Place, "put", e.Put(), 0)
	add(may.Place, "papers", e.Papers(), n.jobs)
	add(r.held.Can(access.RemovePlates), "clear", e.Clear(), 0)
	add(r.held.Can(access.RemovePlates), "vouchers", e.Vouchers(), 0)
	add(true, "wall", e.Wall(), 0)
	add(true, "list", e.Running(), 0)
	add(may.Publish, "publish", e.Publish(), 0)
	add(may.Publish || n.requests > 0, "corrections", e.Corrections(), n.requests)
	add(may.Publish || may.SetUp, "letter", e.Letter(), 0)
	add(true, "warnings", e.Warnings(), 0)
	add(may.Hazards, "hazards", e.Hazards(), 0)
	add(may.SetUp || may.Hazards || may.Publish, "setup", e.Setup(), 0)
	add(may.SetUp, "close", e.Close(), 0)
	return tasks
}

func (r *request) counts(all []bench.Waiting) []view.StateCount {
	n := map[view.Naming]int{}
	for _, w := range all {
		n[stateOf(w.Plate)]++
	}
	var counts []view.StateCount
	for _, state := range view.Namings {
		counts = append(counts, view.StateCount{State: state, N: n[state], Path: r.event().Collections() + "?state=" + string(state)})
	}
	return counts
}

// pageOf is how many collections one page lists.
const pageOf = 100

func collectionsPage(r *request) (templ.Component, error) {
	all, err := bench.All(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	var a around
	if r.held.Staff() {
		if a, err = r.around(); err != nil {
			return nil, err
		}
	}
	if team := r.echo.QueryParam("team"); team != "" {
		all = ofTeam(all, a.room, team)
	}
	state, find := view.Naming(r.echo.QueryParam("state")), strings.TrimSpace(r.echo.QueryParam("find"))
	shown, more := page(matching(all, state, find, r.at.Event.Code), r.echo.QueryParam("after"))
	l, err := r.layout(view.T("collections.title"), false)
	p := view.Collections{Layout: l, Filter: state, Counts: r.counts(all), Total: len(all), All: r.event().Collections(), Find: find, Rows: r.rows(shown, a)}
	if more != "" {
		p.More = r.event().Collections() + "?state=" + string(state) + "&find=" + templ.EscapeString(find) + "&after=" + more
	}
	return view.CollectionsPage(p), err
}

// ofTeam keeps what a team brought in, by its number.
func ofTeam(all []bench.Waiting, room setup.Room, number string) (kept []bench.Waiting) {
	for _, t := range room.Teams {
		for _, w := range all {
			if strconv.Itoa(t.Number) == number && w.Plate.TeamID == t.ID {
				kept = append(kept, w)
			}
		}
	}
	return kept
}

// matching keeps those of a state and, where something is looked for, those that match it.
func matching(all []bench.Waiting, state view.Naming, find, event string) []bench.Waiting {
	var kept []bench.Waiting
	for _, w := range all {
		if state != "" && stateOf(w.Plate) != state {
			continue
		}
		if find == "" || w.Plate.Matches(find, event) {
			kept = append(kept, w)
		}
	}
	return kept
}

// page cuts the rows after a number; what cannot be read as one begins at the first row.
func page(all []bench.Waiting, after string) (shown []bench.Waiting, more string) {
	last, _ := foray.ParseNumber(after, "")
	for i, w := range all {
		if !last.Less(w.Plate.Number()) {
			continue
		}
		if len(shown) == pageOf {
			return shown, all[i-1].Plate.Number().String()
		}
		shown = append(shown, w)
	}
	return shown, ""
}

func (r *request) placeForm(s bench.Sight) (*view.PlaceForm, error) {
	var allowed []string
	for _, where := range view.Places {
		for _, action := range tables.PlaceActions(foray.Whereabouts(where)) {
			if s.Held.Can(action) && foray.PermitPlacement(tried(where), s.Plate.Naming) == nil {
				allowed = append(allowed, where)
				break
			}
		}
	}
	if len(allowed) == 0 {
		return nil, nil
	}
	f, err := r.newForm(r.act(s, view.FormPlace), int64(s.Plate.Version))
	p := &view.PlaceForm{Form: f, Position: s.Plate.Position, With: s.Plate.WithWhom, Places: view.Options("where", allowed, string(s.Plate.Whereabouts))}
	for _, t := range s.Tables {
		p.Tables = append(p.Tables, view.Option{Value: t.ID.String(), Label: tableName(t), Chosen: t.ID == s.Plate.TableID})
	}
	return p, err
}

// tried is a placement with everything filled in, to ask whether the place itself is open.
func tried(where string) foray.Placement {
	return foray.Placement{Where: foray.Whereabouts(where), TableID: foray.ID{1}, Position: "1", With: "x"}
}

func (r *request) act(s bench.Sight, form string) string {
	return r.event().Collection(s.Plate.Number().String()) + "/" + form
}

// publishMissing is what a list keeper ought to look at before signing.
func publishMissing(all []bench.Waiting, contact bool, requests int, e view.Event) []view.Missing {
	n := map[view.Naming]int{}
	for _, w := range all {
		n[stateOf(w.Plate)]++
	}
	var missing []view.Missing
	for _, state := range []view.Naming{view.BroughtIn, view.Provisional, view.Disputed} {
		if n[state] > 0 {
			missing = append(missing, view.Missing{Text: message.T("publish-missing."+string(state), "n", n[state]), Path: e.Collections() + "?state=" + string(state)})
		}
	}
	if !contact {
		missing = append(missing, view.Missing{Text: message.T("publish-missing.contact"), Path: e.Warnings()})
	}
	if requests > 0 {
		missing = append(missing, view.Missing{Text: message.T("publish-missing.corrections", "n", requests), Path: e.Corrections()})
	}
	return missing
}
