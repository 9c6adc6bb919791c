package pages

import (
	"fmt"
	"strconv"
	"strings"
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

// backPage is every team as the desk sees it.
func backPage(r *request) (templ.Component, error) {
	teams, err := outside.SeeTeams(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("back.title"), false)
	if err != nil {
		return nil, err
	}
	l.Live.AskAgain(teams.Again)
	e := r.event()
	p := view.TeamDesk{Layout: l, AsOf: r.local(teams.Now), Sheet: e.Back() + "/sheet"}
	if r.held.Can(access.TendHazards) || r.held.Can(access.SetUp) {
		p.Reads = e.TeamReads()
	}
	for _, s := range teams.Sheets {
		row, err := r.deskRow(teams, s)
		if err != nil {
			return nil, err
		}
		switch {
		case s.Alert.Step > muster.Wait:
			p.Late = append(p.Late, row)
		case silent(s):
			p.Silent = append(p.Silent, row)
		default:
			p.Rest = append(p.Rest, row)
		}
	}
	return view.TeamDeskPage(p), nil
}

func silent(s outside.Sheet) bool {
	for _, f := range s.Alert.Findings {
		if f.Kind == muster.NotHeard || f.Kind == muster.NotSignedOut {
			return true
		}
	}
	return false
}

// deskRow is a team with what the hall may do about it, where somebody is waited for.
func (r *request) deskRow(all outside.Teams, s outside.Sheet) (view.TeamRow, error) {
	row := view.TeamRow{Head: r.teamHead(all, s)}
	if s.Alert.Step > muster.Wait {
		row.Log = r.teamLog(s.Log)
	}
	if !s.Awaited() || s.Standing.State == muster.NotOut {
		return row, nil
	}
	heard, err := r.newForm(r.event().TeamAct(s.Team.Number, view.FormTeamHeard), 0)
	if err != nil {
		return row, err
	}
	heard.Then = r.event().Back()
	row.Heard = &heard
	if s.Alert.Step == muster.Wait {
		return row, nil
	}
	for _, act := range hallActs {
		f, err := r.newForm(r.event().TeamAct(s.Team.Number, view.FormTeamAct), 0)
		if err != nil {
			return row, err
		}
		f.Then = r.event().Back()
		row.Acts = append(row.Acts, view.TeamMarkForm{Form: f, Kind: string(act), Text: act.Text()})
	}
	return row, nil
}

// lateTeams are the loud lines of the hall page; the hall's board shows the same.
func (r *request) lateTeams() (lines []view.TeamLine, again time.Duration, err error) {
	late, again, err := outside.SeeLate(r.ctx, r.hall(), r.actor, r.scope())
	for _, t := range late {
		lines = append(lines, view.TeamLine{Number: t.Number, Step: t.Alert.Step.Text(), Reason: t.Alert.Reason})
	}
	return lines, again, err
}

// typedSheet is a paper sheet as it was typed.
type typedSheet struct {
	outDay, outAt, headsOut, backDay, backAt, headsBack string
	lines                                               []typedLine
}

type typedLine struct{ member, name, out, how, end string }

const (
	dayForm   = "2006-01-02"
	clockForm = "15:04"
	// blankLines are for names that stand on the paper alone.
	blankLines = 6
)

func (r *request) typedSheet() typedSheet {
	t := typedSheet{outDay: r.value("out_day"), outAt: r.value("out_at"), headsOut: r.value("heads_out"), backDay: r.value("back_day"),
		backAt: r.value("back_at"), headsBack: r.value("heads_back")}
	names, outs, hows, ends := r.all("line_name"), r.all("line_out"), r.all("line_how"), r.all("line_end")
	for i, member := range r.all("line_member") {
		at := func(list []string) string {
			if i < len(list) {
				return strings.TrimSpace(list[i])
			}
			return ""
		}
		t.lines = append(t.lines, typedLine{member, at(names), at(outs), at(hows), at(ends)})
	}
	return t
}

func paperPage(r *request) (templ.Component, error) {
	if number := r.echo.QueryParam("entered"); number != "" {
		r.flash = view.T("paper-sheet.done", "number", number)
	}
	teams, err := outside.SeeTeams(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	return r.paper(teams, r.echo.QueryParam("team"), nil, "")
}

func (r *request) paper(teams outside.Teams, team string, typed *typedSheet, command string) (templ.Component, error) {
	l, err := r.layout(view.T("paper-sheet.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.TeamPaper{Layout: l}
	for _, s := range teams.Sheets {
		if strconv.Itoa(s.Team.Number) == team {
			return r.paperOf(p, teams, s, typed, command)
		}
		p.Teams = append(p.Teams, view.Link{Text: view.T("team.heading", "number", s.Team.Number, "name", s.Team.Name), Path: r.event().TeamPaper(s.Team.Number)})
	}
	if team != "" {
		return nil, fault.Missing()
	}
	return view.TeamPaperPage(p), nil
}

func (r *request) paperOf(p view.TeamPaper, teams outside.Teams, s outside.Sheet, typed *typedSheet, command string) (templ.Component, error) {
	f, err := r.newForm(r.event().TeamPaper(s.Team.Number), 0)
	if command != "" {
		f.Command = command
	}
	p.Team, p.Form, p.Teams = r.teamHead(teams, s), f, nil
	if typed == nil {
		typed = freshSheet(s, r.local(teams.Now))
	}
	p.OutDay, p.OutAt, p.HeadsOut, p.BackDay, p.BackAt, p.HeadsBack = typed.outDay, typed.outAt, typed.headsOut, typed.backDay, typed.backAt, typed.headsBack
	for i, line := range typed.lines {
		p.Lines = append(p.Lines, view.TeamPaperLine{N: i + 1, Member: line.member, Name: line.name, OutAt: line.out, EndAt: line.end, Hows: howOptions(line.how)})
	}
	return view.TeamPaperPage(p), err
}

// freshSheet is an empty sheet of today with the names that are known, and some lines to write on.
func freshSheet(s outside.Sheet, now time.Time) *typedSheet {
	t := &typedSheet{outDay: now.Format(dayForm), backDay: now.Format(dayForm)}
	for _, line := range s.Lines {
		if line.RemovedAt.IsZero() {
			t.lines = append(t.lines, typedLine{member: line.ID.String(), name: line.Name, how: "none"})
		}
	}
	for range blankLines {
		t.lines = append(t.lines, typedLine{how: string(muster.Back)})
	}
	return t
}

// paperHows are how a line may end; none leaves the sheet saying nothing of that person, out says that they are out still.
var paperHows = []string{"none", string(muster.Back), "out", string(muster.LeftEarly), string(muster.NotGoing), string(muster.Found)}

func howOptions(chosen string) (options []view.Option) {
	for _, how := range paperHows {
		options = append(options, view.Option{Value: how, Text: view.T("paper-sheet.how." + how), Chosen: how == chosen})
	}
	return options
}

func enterPaper(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	typed, team := r.typedSheet(), r.echo.QueryParam("team")
	in, lines, err := r.paperSheet(typed, team)
	if err == nil {
		_, err = outside.EnterSheet(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	}
	if err == nil {
		return r.event().Back() + "/sheet?entered=" + team, nil, nil
	}
	if !mendable(err) || fault.Is(err, fault.NotAllowed) {
		return "", nil, err
	}
	teams, seeErr := outside.SeeTeams(r.ctx, r.hall(), r.actor, r.scope())
	if seeErr != nil {
		return "", nil, err
	}
	r.paperErrors(err, lines)
	page, pageErr := r.paper(teams, team, &typed, r.keptCommand(err))
	return again(page, err, pageErr)
}

// paperErrors says what is wrong with single lines in one place, in their order.
func (r *request) paperErrors(err error, lines []int) {
	f := fault.From(err)
	r.errors = view.Errors{Summary: f.Text, Fields: map[string]message.Text{}}
	say := message.From(r.ctx)
	var said []string
	for i := range lines {
		for _, field := range []string{"name", "how", "out_at", "ended_at"} {
			if text, ok := f.Fields[fmt.Sprintf("lines.%d.%s", i, field)]; ok {
				said = append(said, say.Text(text))
			}
		}
	}
	for field, text := range f.Fields {
		if !strings.HasPrefix(field, "lines.") {
			r.errors.Fields[field] = text
		}
	}
	if len(said) > 0 {
		r.errors.Fields["lines"] = message.T("data.as-is", "text", strings.Join(said, " "))
	}
}

// paperSheet reads what was typed; lines that say nothing are left out, and lines tells where each of the others stood.
func (r *request) paperSheet(t typedSheet, team string) (in outside.Paper, lines []int, err error) {
	wrong := map[string]message.Text{}
	at := func(field, day, clock string) (when time.Time) {
		if clock == "" {
			return when
		}
		when, err := time.ParseInLocation(dayForm+" "+clockForm, day+" "+clock, hall.Zone(r.at.Event))
		if err != nil {
			wrong[field] = message.T("field.not-a-time")
		}
		return when
	}
	in = outside.Paper{Team: team, OutAt: at("out_at", t.outDay, t.outAt), BackAt: at("back_at", t.backDay, t.backAt),
		HeadsOut: r.optionalCount("heads_out"), HeadsBack: r.optionalCount("heads_back")}
	for i, typed := range t.lines {
		if typed.how == "none" || typed.member == "" && typed.name == "" {
			continue
		}
		line := outside.PaperLine{Name: typed.name, OutAt: at("lines", t.outDay, typed.out), EndAt: at("lines", t.backDay, typed.end)}
		if typed.how != "out" {
			line.How = muster.MarkKind(typed.how)
		}
		if line.Member, err = optionalID(typed.member); err != nil {
			return in, nil, err
		}
		if line.Member != (foray.ID{}) {
			line.Name = ""
		}
		in.Lines, lines = append(in.Lines, line), append(lines, i)
	}
	if len(wrong) > 0 {
		return in, lines, fault.Many(wrong)
	}
	return in, lines, nil
}
