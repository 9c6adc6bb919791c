package pages

import (
	"net/url"
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/message"
	"forayhall/web/view"
)

func seenPage(r *request) (templ.Component, error) {
	q := r.echo.QueryParams()
	if q.Has("name") {
		n, _ := strconv.Atoi(q.Get("n"))
		r.flash = view.T("seen.done", "name", q.Get("name"), "n", n)
	}
	if q.Has("back") {
		r.flash = view.T("seen.taken-back", "name", q.Get("back"))
	}
	return r.seenPage(q.Get("show"), seenTyped{site: q.Get("site"), team: q.Get("team")})
}

// seenTyped is what stands in the form, and what came back with it.
type seenTyped struct {
	site, team string
	of         func(string) string // nil: a fresh form
	command    string
	same       *fieldwork.Same
	act, on    string // the form of a row that came back, and which
}

func (t seenTyped) value(name string) string {
	if t.of == nil || t.act != "" {
		return ""
	}
	return t.of(name)
}

func (r *request) seenPage(show string, t seenTyped) (templ.Component, error) {
	all, err := fieldwork.See(r.ctx, r.hall(), r.actor, r.scope(), show)
	if err != nil {
		return nil, err
	}
	form, err := r.seenForm(all, t)
	if err != nil {
		return nil, err
	}
	p := view.SeenPage{Form: form}
	if t.same != nil {
		if p.Same, err = r.seenSame(form, *t.same); err != nil {
			return nil, err
		}
	}
	for _, row := range all.Rows {
		v, err := r.seenRow(row, all, t)
		if err != nil {
			return nil, err
		}
		p.Rows = append(p.Rows, v)
	}
	p.Shows, p.Show = r.seenShows(all)
	p.Layout, err = r.layout(view.T("seen.title"), true)
	return view.SeenThere(p), err
}

func (r *request) seenForm(all fieldwork.Page, t seenTyped) (view.SeenForm, error) {
	f, err := r.newForm(r.event().Seen(), 0)
	if t.command != "" && t.act == "" {
		f.Command = t.command
	}
	team := t.team
	if team == "" && all.Own > 0 && t.of == nil {
		team = strconv.Itoa(all.Own)
	}
	form := view.SeenForm{Form: f, Names: r.event().Names(), Name: t.value("name"), Count: t.value("count"), Others: all.Others, Observer: t.value("observer"),
		Substrate: t.value("substrate"), Host: t.value("host"), Remarks: t.value("remarks"), Outside: t.value("outside") != "", Show: all.Show}
	form.More = form.Observer+form.Substrate+form.Host+form.Remarks != "" || form.Outside || r.errors.Fields["team"].Key != ""
	for _, s := range all.Sites {
		form.Sites = append(form.Sites, view.Option{Value: s.ID.String(), Label: s.Label, Chosen: t.site == s.ID.String()})
	}
	for _, team2 := range all.Teams {
		number := strconv.Itoa(team2.Number)
		form.Teams = append(form.Teams, view.Option{Value: number, Label: number + " " + team2.Name, Chosen: team == number})
	}
	return form, err
}

func (r *request) seenSame(form view.SeenForm, same fieldwork.Same) (*view.SeenSame, error) {
	f, err := r.newForm(r.event().SeenAct(view.FormSeenCount), 0)
	n, _ := strconv.Atoi(form.Count)
	return &view.SeenSame{Form: f, ID: same.Record.String(), Name: r.sciWritten(same.Name), Count: same.Count, N: max(n, 1), Again: form}, err
}

func (r *request) seenShows(all fieldwork.Page) (links []view.Link, shown message.Text) {
	add := func(show string, label message.Text) {
		if show == all.Show {
			shown = label
			return
		}
		links = append(links, view.Link{Text: label, Path: r.event().Seen() + "?show=" + show})
	}
	add(fieldwork.ShowOwn, view.T("seen.show.own"))
	for _, t := range all.Teams {
		if number := strconv.Itoa(t.Number); t.Number == all.Own || number == all.Show {
			add(number, view.T("seen.show.team", "team", t.Number))
		}
	}
	if all.Others {
		add(fieldwork.ShowAll, view.T("seen.show.all"))
	}
	return links, shown
}

func (r *request) seenRow(row fieldwork.Row, all fieldwork.Page, t seenTyped) (view.SeenRow, error) {
	name, id := row.SlipName(), row.ID.String()
	v := view.SeenRow{ID: id, Name: sciOf(name), NamePath: r.namePath(row.Current, name.Key), Hazard: r.hazardOfName(row.Verbatim), Count: row.Count,
		Site: row.Site, Team: row.Team, Observer: row.Observer, At: r.local(row.HappenedAt.Time), Behind: row.Behind, State: view.Provisional, Outside: row.Outside}
	if row.Current != nil && row.Current.Key != name.Key {
		v.Current = &view.SciName{Name: row.Current.Name, Author: row.Current.Author, Rank: row.Current.Rank}
	}
	if row.Current == nil && row.Verbatim != row.Name {
		v.Written = row.Verbatim
	}
	if row.Counts {
		v.State = view.Confirmed
	}
	for _, f := range []view.Fact{{Key: "substrate", Value: row.Substrate}, {Key: "host", Value: row.Host}, {Key: "remarks", Value: row.Remarks}} {
		if f.Value != "" {
			v.More = append(v.More, f)
		}
	}
	if row.Struck != nil {
		v.Struck = row.Struck.Remarks
		return v, nil
	}
	if t.on == id {
		v.Errors, v.Reason = r.errors, t.of("reason")
	}
	return v, r.seenActs(&v, row, all, t)
}

func (r *request) seenActs(v *view.SeenRow, row fieldwork.Row, all fieldwork.Page, t seenTyped) error {
	var err error
	made := func(may bool, key string) *view.Form {
		if !may || err != nil {
			return nil
		}
		var f view.Form
		if f, err = r.newForm(r.event().SeenAct(key), 0); t.act == key && t.on == v.ID && t.command != "" {
			f.Command = t.command
		}
		return &f
	}
	v.Tally, v.Strike = made(row.MayTally, view.FormSeenCount), made(row.MayStrike, view.FormSeenStrike)
	v.Photo = r.event().Photographs() + "?" + url.Values{"kind": {"field"}, "subject": {v.ID}}.Encode()
	if f := made(row.MayStand, view.FormSeenStand); f != nil {
		v.Stand = &view.SeenStand{Form: *f}
		if !r.held.Can(access.SignOff) {
			for _, d := range all.Determiners {
				v.Stand.Determiners = append(v.Stand.Determiners, view.Option{Value: d.ID.String(), Label: d.Name})
			}
		}
	}
	return err
}

// recordSeen writes down what was seen; where it is there already, counting is offered first.
func recordSeen(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	in := fieldwork.Record{Team: r.value("team"), Site: r.value("site"), Observer: r.value("observer"), Name: r.value("name"), Substrate: r.value("substrate"),
		Host: r.value("host"), Outside: r.ticked("outside"), Remarks: r.value("remarks"), Again: r.ticked("again")}
	if n := r.value("count"); n != "" {
		if in.Count, err = strconv.Atoi(n); err != nil {
			in.Count = -1 // no number: the hall says what a count is
		}
	}
	done, err := fieldwork.AddRecord(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	if err == nil {
		return r.seenNext(url.Values{"name": {done.Name}, "n": {strconv.Itoa(done.Count)}, "team": {in.Team}}), nil, nil
	}
	if !mendable(err) {
		return "", nil, err
	}
	t := seenTyped{site: in.Site, team: in.Team, of: r.value, command: r.keptCommand(err)}
	if same, ok := fault.From(err).Other.(fieldwork.Same); ok {
		t.same = &same
	}
	r.wrong(view.FormSeen, err)
	page, pageErr := r.seenPage(r.value("show"), t)
	return again(page, err, pageErr)
}

// seenNext is the page with what is carried on to the next record.
func (r *request) seenNext(q url.Values) string {
	for _, key := range []string{"site", "show"} {
		if v := r.value(key); v != "" {
			q.Set(key, v)
		}
	}
	return r.event().Seen() + "?" + q.Encode()
}

// seenAct runs one form of a row.
func seenAct(key string, do func(*request, foray.ID) (fieldwork.Stood, error)) func(*request) (string, templ.Component, error) {
	return func(r *request) (string, templ.Component, error) {
		id, err := foray.ParseID(r.value("record"))
		if err != nil {
			return "", nil, fault.Missing()
		}
		done, err := do(r, id)
		switch {
		case err == nil && done.Struck:
			return r.seenNext(url.Values{"back": {done.Name}}), nil, nil
		case err == nil:
			return r.seenNext(url.Values{"name": {done.Name}, "n": {strconv.Itoa(done.Count)}}) + "#seen-" + id.String(), nil, nil
		case !mendable(err):
			return "", nil, err
		}
		r.wrong(key+"-"+id.String(), err)
		page, pageErr := r.seenPage(r.value("show"), seenTyped{site: r.value("site"), of: r.value, command: r.keptCommand(err), act: key, on: id.String()})
		return again(page, err, pageErr)
	}
}

func countSeen(r *request, id foray.ID) (done fieldwork.Stood, err error) {
	cmd, err := r.command()
	if err != nil {
		return done, err
	}
	n, _ := strconv.Atoi(r.value("n")) // 0, which is no number, is told what a count is
	return fieldwork.AddTally(r.ctx, r.hall(), r.actor, r.scope(), cmd, fieldwork.Tally{Record: id, N: n})
}

func standBehindSeen(r *request, id foray.ID) (done fieldwork.Stood, err error) {
	cmd, err := r.command()
	if err != nil {
		return done, err
	}
	determiner, err := r.determiner()
	if err != nil {
		return done, err
	}
	return fieldwork.StandBehind(r.ctx, r.hall(), r.actor, r.scope(), cmd, fieldwork.Stand{Record: id, Determiner: determiner})
}

func strikeSeen(r *request, id foray.ID) (done fieldwork.Stood, err error) {
	cmd, err := r.command()
	if err != nil {
		return done, err
	}
	return fieldwork.StrikeRecord(r.ctx, r.hall(), r.actor, r.scope(), cmd, fieldwork.Strike{Record: id, Reason: r.value("reason")})
}
