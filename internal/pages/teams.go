package pages

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/outside"
	"forayhall/internal/message"
	"forayhall/internal/muster"
	"forayhall/web/view"
)

// ownTeamPage is the leader's: their team, or which of several.
func ownTeamPage(r *request) (templ.Component, error) {
	teams, err := outside.SeeOwn(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	if len(teams.Sheets) == 1 {
		return r.teamPage(teams, "", "")
	}
	l, err := r.layout(view.T("team.title"), false)
	l.Live.AskAgain(teams.Again)
	p := view.TeamChoice{Layout: l, Walks: r.event().Walks()}
	for _, s := range teams.Sheets {
		p.Teams = append(p.Teams, r.teamHead(teams, s))
	}
	return view.TeamChoicePage(p), err
}

func oneTeamPage(r *request) (templ.Component, error) {
	teams, err := r.seeTeam()
	if err != nil {
		return nil, err
	}
	return r.teamPage(teams, "", "")
}

// seeTeam reads the team of the address.
func (r *request) seeTeam() (outside.Teams, error) {
	number, err := strconv.Atoi(r.echo.Param("number"))
	if err != nil {
		return outside.Teams{}, fault.Missing()
	}
	return outside.SeeTeam(r.ctx, r.hall(), r.actor, r.scope(), number)
}

func (r *request) teamHead(all outside.Teams, s outside.Sheet) view.TeamHead {
	h := view.TeamHead{Number: s.Team.Number, Name: s.Team.Name, Path: r.event().OneTeam(s.Team.Number), Leader: s.Leader, Site: s.Site,
		State: s.Standing.State.Text(), Waited: s.Awaited(), Out: s.Standing.People(), Due: r.moment(s.Plan.Due)}
	if s.Walk.Number > 0 {
		h.Walk = fmt.Sprint(s.Walk.Number, " ", s.Walk.Title)
	}
	if !s.Standing.Ended() {
		h.Sunset, h.Dusk = r.moment(s.Plan.Sunset), r.moment(s.Plan.CivilDusk)
	}
	if heard := s.Standing.LastHeard; heard != nil && s.Standing.State != muster.NotOut {
		ago := all.Now.Sub(*heard)
		h.HeardAgo, h.HeardAt = &ago, r.local(*heard)
	}
	for key, heads := range map[string]*muster.Heads{"team.counted.out": s.Standing.Afield, "team.counted.back": s.Standing.Home} {
		if heads != nil {
			h.Counts = append(h.Counts, view.T(key, "heads", heads.Counted, "names", heads.Names, "time", r.local(heads.At).Format("15:04")))
		}
	}
	sortTexts(h.Counts)
	for _, f := range slices.Concat(s.Alert.Findings, s.Standing.Findings) {
		h.Findings = append(h.Findings, f.Text)
	}
	h.Alert = r.teamAlert(s.Alert)
	return h
}

func (r *request) moment(t *time.Time) time.Time {
	if t == nil {
		return time.Time{}
	}
	return r.local(*t)
}

func (r *request) teamAlert(a muster.Alert) *view.TeamAlert {
	if a.Step == muster.Wait {
		return nil
	}
	v := &view.TeamAlert{Step: a.Step.Text(), Reason: a.Reason, Do: a.Do, Done: a.Done}
	if a.NextAt != nil {
		v.Next = view.T("team.next", "time", r.local(*a.NextAt).Format("15:04"), "step", a.Next.Text())
	}
	return v
}

// teamPage draws one team; a form that comes back keeps its command and what was typed in it.
func (r *request) teamPage(all outside.Teams, form, command string) (templ.Component, error) {
	s, e := all.Sheets[0], r.event()
	l, err := r.layout(view.T("team.heading", "number", s.Team.Number, "name", s.Team.Name), false)
	if err != nil {
		return nil, err
	}
	l.Live.AskAgain(all.Again)
	made := func(key string) (f view.Form) {
		if err == nil {
			f, err = r.newForm(e.TeamAct(s.Team.Number, key), 0)
		}
		if form == key && command != "" {
			f.Command = command
		}
		return f
	}
	p := view.TeamPage{Layout: l, Head: r.teamHead(all, s), AsOf: r.local(all.Now), People: r.teamPeople(s), Log: r.teamLog(s.Log)}
	typed := func(name string) string {
		if command == "" {
			return ""
		}
		return r.value(name)
	}
	r.teamForms(&p, s, made, form, typed)
	p.Add = &view.TeamAdd{Form: made(view.FormTeamAdd), Out: s.Standing.State != muster.NotOut && !s.Standing.Ended()}
	if form == view.FormTeamAdd {
		p.Add.Name, p.Add.Minor = typed("name"), typed("minor") != ""
	}
	p.Add.Guardians, p.Add.Drivers = leanOn(s, foray.ID{}, typed("guardian"), typed("driver"))
	if s.Private {
		p.Private = e.TeamAct(s.Team.Number, "private")
	}
	if r.held.Can(access.SignAnyoneIn) {
		p.Paper, p.All = e.TeamPaper(s.Team.Number), e.Back()
	}
	p.Own = e.Collections() + "?team=" + strconv.Itoa(s.Team.Number)
	return view.TeamLeaderPage(p), err
}

// teamForms are what may be done now, by how the team stands.
func (r *request) teamForms(p *view.TeamPage, s outside.Sheet, made func(string) view.Form, form string, typed func(string) string) {
	st := s.Standing
	if s.Runs && (st.State == muster.NotOut || form == view.FormTeamOut) {
		p.Out = &view.TeamCount{Form: made(view.FormTeamOut), Names: teamTicks(s, func(l outside.Line) bool { return true })}
		r.retype(p.Out, form == view.FormTeamOut, "going", true, typed)
	}
	if st.State == muster.NotOut && form != view.FormTeamBack {
		return
	}
	if !st.Ended() {
		heard := made(view.FormTeamHeard)
		p.Heard = &heard
	}
	// One head more is certain only where heads and names agreed before; else they are counted and ticked anew.
	agreed := st.Home != nil && st.Home.Difference() == 0
	if st.State == muster.Short && agreed {
		for _, m := range st.Out {
			p.Stragglers = append(p.Stragglers, view.TeamStraggler{Form: made(view.FormTeamBack), ID: m.ID.String(), Name: m.Name, Heads: st.Home.Counted + 1})
		}
	}
	p.Back = &view.TeamCount{Form: made(view.FormTeamBack), Names: teamTicks(s, func(l outside.Line) bool { return l.Mark == muster.Out || l.Mark == "" })}
	p.Again = st.Ended() || st.State == muster.Short && agreed
	r.retype(p.Back, form == view.FormTeamBack, "here", false, typed)
	if st.Ended() && st.State != muster.HandedIn || form == view.FormTeamHandIn {
		p.HandIn = r.handIn(s, made(view.FormTeamHandIn), typed("collections"))
	}
	if s.Acts && s.Alert.Step > muster.Wait {
		p.Acts = &view.TeamActs{Form: made(view.FormTeamAct), Acts: actOptions(), Remarks: typed("remarks")}
	}
}

// retype puts back what was tapped and ticked; in a form that is new everybody goes, and nobody is back.
func (r *request) retype(c *view.TeamCount, typedHere bool, box string, on bool, typed func(string) string) {
	c.Most = min(max(len(c.Names)+3, 12), 40)
	ticked := map[string]bool{}
	if typedHere {
		c.Heads, c.Typed = typed("heads"), typed("heads_typed")
		for _, id := range r.all(box) {
			ticked[id] = true
		}
	}
	for i := range c.Names {
		c.Names[i].On = on
		if typedHere {
			c.Names[i].On = ticked[c.Names[i].ID]
		}
	}
}

// all is every value of a field that is sent several times.
func (r *request) all(name string) []string {
	form, err := r.echo.FormParams()
	if err != nil {
		return nil
	}
	return form[name]
}

func teamTicks(s outside.Sheet, which func(outside.Line) bool) (ticks []view.TeamTick) {
	for _, line := range s.Lines {
		if line.RemovedAt.IsZero() && which(line) {
			ticks = append(ticks, view.TeamTick{ID: line.ID.String(), Name: line.Name, Note: teamNotes(s, line)})
		}
	}
	return ticks
}

// teamNotes are what a sheet says beside a name.
func teamNotes(s outside.Sheet, line outside.Line) (notes []message.Text) {
	name := func(id foray.ID) string {
		for _, other := range s.Lines {
			if other.ID == id {
				return other.Name
			}
		}
		return ""
	}
	if line.Minor {
		notes = append(notes, view.T("team.note.minor"))
	}
	if line.Vulnerable {
		notes = append(notes, view.T("team.note.vulnerable"))
	}
	if guardian := name(line.GuardianID); guardian != "" {
		notes = append(notes, view.T("team.note.guardian", "name", guardian))
	}
	if line.Drives {
		notes = append(notes, view.T("team.note.drives"))
	}
	if driver := name(line.DriverID); driver != "" {
		notes = append(notes, view.T("team.note.driver", "name", driver))
	}
	return notes
}

func (r *request) handIn(s outside.Sheet, f view.Form, collections string) *view.TeamHandIn {
	h := &view.TeamHandIn{Form: f, Issued: s.Numbers.Issued, Logged: s.Numbers.Logged, Collections: collections}
	for _, b := range s.Numbers.Blocks {
		h.Blocks = append(h.Blocks, fmt.Sprintf("%04d–%04d", b.FromNumber, b.ToNumber))
	}
	return h
}

// hallActs are what the hall may have done, in rising order.
var hallActs = []muster.CountKind{muster.Rung, muster.Told, muster.Searched, muster.Rescue}

func actOptions() (options []view.Option) {
	for _, act := range hallActs {
		options = append(options, view.Option{Value: string(act), Text: act.Text()})
	}
	return options
}

// markText is what is said of a name; of one that nobody marked, that too.
func markText(kind muster.MarkKind) message.Text {
	if kind == "" {
		return view.T("team.unmarked")
	}
	return kind.Text()
}

func (r *request) teamPeople(s outside.Sheet) (people []view.TeamPerson) {
	for _, line := range s.Lines {
		people = append(people, r.teamPerson(s, line))
	}
	return people
}

func (r *request) teamPerson(s outside.Sheet, line outside.Line) view.TeamPerson {
	return view.TeamPerson{ID: line.ID.String(), Name: line.Name, Path: r.event().TeamOne(s.Team.Number, line.ID.String()), Mark: markText(line.Mark),
		Marked: line.Mark != "", Missed: line.Mark == muster.Out && s.Standing.State == muster.Short, At: r.local(line.At), Notes: teamNotes(s, line)}
}

func (r *request) teamLog(log []outside.Entry) (entries []view.TeamEntry) {
	for _, l := range log {
		v := view.TeamEntry{Text: l.Kind.Text(), By: l.By, At: r.local(l.At), Remarks: l.Remarks}
		if l.Heads != nil {
			key := "team.log.heads"
			if l.Kind == muster.HandIn {
				key = "team.log.collections"
			}
			v.Text = view.T(key, "what", l.Kind.Text(), "n", *l.Heads)
		}
		if l.Late() {
			v.Typed = r.local(l.Recorded)
		}
		entries = append(entries, v)
	}
	return entries
}

// leanOn are the people of the team who may be somebody's guardian or driver.
func leanOn(s outside.Sheet, but foray.ID, guardian, driver string) (guardians, drivers []view.Option) {
	for _, line := range s.Lines {
		id := line.ID.String()
		if line.ID == but || !line.RemovedAt.IsZero() {
			continue
		}
		if !line.Minor {
			guardians = append(guardians, view.Option{Value: id, Label: line.Name, Chosen: id == guardian})
		}
		if line.Drives {
			drivers = append(drivers, view.Option{Value: id, Label: line.Name, Chosen: id == driver})
		}
	}
	return guardians, drivers
}

// teamForm serves one form of a team's page: after a good one the page says so, after a wrong one it comes back.
func teamForm(form string, do func(r *request, cmd hall.Command, team string) error) func(*request) (string, templ.Component, error) {
	return func(r *request) (string, templ.Component, error) {
		cmd, err := r.command()
		if err != nil {
			return "", nil, err
		}
		cmd.BaseVersion = nil
		if err = do(r, cmd, r.echo.Param("number")); err == nil {
			if back := r.event().Back(); r.value("then") == back {
				return back, nil, nil
			}
			return r.event().Team() + "/" + r.echo.Param("number"), nil, nil
		}
		return r.teamAgain(form, err, func(teams outside.Teams) (templ.Component, error) { return r.teamPage(teams, form, r.keptCommand(err)) })
	}
}

// teamAgain draws a page of the team anew, with what was wrong, for those who may see it at all.
func (r *request) teamAgain(form string, err error, draw func(outside.Teams) (templ.Component, error)) (string, templ.Component, error) {
	if !mendable(err) || fault.Is(err, fault.NotAllowed) {
		return "", nil, err
	}
	teams, seeErr := r.seeTeam()
	if seeErr != nil {
		return "", nil, err
	}
	r.teamWrong(form, err)
	page, pageErr := draw(teams)
	return again(page, err, pageErr)
}

// teamWrong says what is wrong at the field, where the form has it, and above where it has not.
func (r *request) teamWrong(form string, err error) {
	f := fault.From(err)
	r.errors = view.Errors{Form: form, Summary: f.Text, Fields: map[string]message.Text{}}
	for name, text := range f.Fields {
		if slices.Contains(view.TeamFields[form], name) {
			r.errors.Fields[name] = text
		} else {
			r.errors.Summary = text
		}
	}
}

// heads is what was tapped, or typed instead; nil where nobody counted.
func (r *request) heads() *int {
	text := r.value("heads")
	if typed := r.value("heads_typed"); typed != "" {
		text = typed
	}
	if text == "" {
		return nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		n = -1 // which no rule takes
	}
	return &n
}

// optionalCount is a number that may be left out.
func (r *request) optionalCount(name string) *int {
	if r.value(name) == "" {
		return nil
	}
	n := r.count(name)
	return &n
}

// marked are the marks of the names that the form showed.
func (r *request) marked(box string, on, off muster.MarkKind) (marks []outside.Mark, err error) {
	ticked := r.all(box)
	listed := r.all("listed")
	if off == "" {
		listed = ticked
	}
	for _, text := range listed {
		id, err := foray.ParseID(text)
		if err != nil {
			return nil, fault.Missing()
		}
		kind := off
		if slices.Contains(ticked, text) {
			kind = on
		}
		marks = append(marks, outside.Mark{Member: id, Kind: kind})
	}
	return marks, nil
}

func teamOut(r *request, cmd hall.Command, team string) error {
	marks, err := r.marked("going", muster.Out, muster.NotGoing)
	if err != nil {
		return err
	}
	_, err = outside.GoOut(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Out{Team: team, Heads: r.heads(), Marks: marks})
	return err
}

func teamBack(r *request, cmd hall.Command, team string) error {
	in := outside.Back{Team: team, Heads: r.heads(), All: r.ticked("all")}
	if !in.All {
		var err error
		if in.Marks, err = r.marked("here", muster.Back, ""); err != nil {
			return err
		}
	}
	_, err := outside.ComeBack(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	return err
}

func teamHeard(r *request, cmd hall.Command, team string) error {
	_, err := outside.HearFrom(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Heard{Team: team, Remarks: r.value("remarks")})
	return err
}

func teamHandIn(r *request, cmd hall.Command, team string) error {
	_, err := outside.TakeIn(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.HandIn{Team: team, Collections: r.optionalCount("collections"), Remarks: r.value("remarks")})
	return err
}

func teamAct(r *request, cmd hall.Command, team string) error {
	_, err := outside.ActFor(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Act{Team: team, Act: muster.CountKind(r.value("act")), Remarks: r.value("remarks")})
	return err
}

// about reads what the form says of somebody.
func (r *request) about() (a outside.About, err error) {
	a = outside.About{Name: r.value("name"), Minor: r.ticked("minor"), Vulnerable: r.ticked("vulnerable"), Drives: r.ticked("drives")}
	if a.Guardian, err = optionalID(r.value("guardian")); err != nil {
		return a, err
	}
	a.Driver, err = optionalID(r.value("driver"))
	return a, err
}

func teamAdd(r *request, cmd hall.Command, team string) error {
	about, err := r.about()
	if err != nil {
		return err
	}
	_, err = outside.AddMember(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Join{Team: team, About: about, Out: r.ticked("out")})
	return err
}
