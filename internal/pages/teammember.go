package pages

import (
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/outside"
	"forayhall/internal/muster"
	"forayhall/web/view"
)

// teamMemberPage is one person of a team.
func teamMemberPage(r *request) (templ.Component, error) {
	teams, err := r.seeTeam()
	if err != nil {
		return nil, err
	}
	return r.teamMember(teams, r.echo.QueryParam("id"), "", "")
}

func (r *request) teamMember(all outside.Teams, id, form, command string) (templ.Component, error) {
	s := all.Sheets[0]
	for _, line := range s.Lines {
		if line.ID.String() == id {
			return r.drawMember(all, s, line, form, command)
		}
	}
	return nil, fault.Missing()
}

func (r *request) drawMember(all outside.Teams, s outside.Sheet, line outside.Line, form, command string) (templ.Component, error) {
	l, err := r.layout(view.T("team.one.title"), false)
	made := func(key string) (f view.Form) {
		if err == nil {
			f, err = r.newForm(r.event().TeamAct(s.Team.Number, key), 0)
		}
		if form == key && command != "" {
			f.Command = command
		}
		return f
	}
	p := view.TeamMemberPage{Layout: l, Team: r.teamHead(all, s), Person: r.teamPerson(s, line)}
	for _, kind := range muster.MarkKinds {
		if kind != line.Mark {
			p.Marks = append(p.Marks, view.TeamMarkForm{Form: made(view.FormTeamMark), Kind: string(kind), Text: kind.Text()})
		}
	}
	a := outside.About{Name: line.Name, Minor: line.Minor, Vulnerable: line.Vulnerable, Drives: line.Drives, Guardian: line.GuardianID, Driver: line.DriverID}
	if form == view.FormTeamAbout {
		if typed, typedErr := r.about(); typedErr == nil {
			a = typed
		}
	}
	p.About = view.TeamAbout{Form: made(view.FormTeamAbout), Name: a.Name, Minor: a.Minor, Vulnerable: a.Vulnerable, Drives: a.Drives}
	p.About.Guardians, p.About.Drivers = leanOn(s, line.ID, a.Guardian.String(), a.Driver.String())
	if line.Mark == "" {
		off := made(view.FormTeamTakeOff)
		p.Off = &off
	}
	return view.TeamMemberSlip(p), err
}

// memberForm serves a form of a member's page.
func memberForm(form string, do func(r *request, cmd hall.Command, team string, member foray.ID) error) func(*request) (string, templ.Component, error) {
	return func(r *request) (string, templ.Component, error) {
		cmd, err := r.command()
		if err != nil {
			return "", nil, err
		}
		cmd.BaseVersion = nil
		member, err := foray.ParseID(r.value("member"))
		if err != nil {
			return "", nil, fault.Missing()
		}
		if err = do(r, cmd, r.echo.Param("number"), member); err == nil {
			return r.event().Team() + "/" + r.echo.Param("number"), nil, nil
		}
		return r.teamAgain(form, err, func(teams outside.Teams) (templ.Component, error) {
			return r.teamMember(teams, member.String(), form, r.keptCommand(err))
		})
	}
}

func markMember(r *request, cmd hall.Command, team string, member foray.ID) error {
	_, err := outside.MarkOne(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.One{Team: team, Member: member, Kind: muster.MarkKind(r.value("kind")), Remarks: r.value("remarks")})
	return err
}

func aboutMember(r *request, cmd hall.Command, _ string, member foray.ID) error {
	about, err := r.about()
	if err != nil {
		return err
	}
	_, err = outside.ChangeMember(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Member{ID: member, About: about})
	return err
}

func takeMemberOff(r *request, cmd hall.Command, _ string, member foray.ID) error {
	_, err := outside.TakeOff(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Taken{ID: member})
	return err
}

// teamPrivatePage reads what is private: each time it is opened, that is written down.
func teamPrivatePage(r *request) (templ.Component, error) { return r.teamPrivate("", "") }

func (r *request) teamPrivate(line, command string) (templ.Component, error) {
	sheet, err := outside.ReadPrivate(r.ctx, r.hall(), r.actor, r.scope(), r.echo.Param("number"))
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("team.private.title"), false)
	l.Live = view.Live{} // a page that asked for itself again would be a reading that nobody did
	e := r.event()
	p := view.TeamPrivatePage{Layout: l, Team: view.TeamHead{Number: sheet.Team.Number, Name: sheet.Team.Name, Path: e.OneTeam(sheet.Team.Number)}}
	for i, m := range sheet.Lines {
		f, formErr := r.newForm(e.TeamAct(sheet.Team.Number, view.FormTeamPrivate), 0)
		if formErr != nil {
			return nil, formErr
		}
		v := view.TeamPrivateLine{Form: f, ID: m.ID.String(), Name: m.Name, Known: m.Known, Phone: m.Phone, Car: m.Car, Emergency: m.Emergency, Medical: m.Medical}
		if line == strconv.Itoa(i) {
			v.Form.Command = command
			v.Phone, v.Car, v.Emergency, v.Medical = r.value("phone"), r.value("car"), r.value("emergency"), r.value("medical")
		}
		p.Lines = append(p.Lines, v)
	}
	return view.TeamPrivateSheet(p), err
}

func setPrivate(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	member, err := foray.ParseID(r.value("member"))
	if err != nil {
		return "", nil, fault.Missing()
	}
	_, err = outside.SetPrivate(r.ctx, r.hall(), r.actor, r.scope(), cmd, outside.Private{ID: member, Phone: r.value("phone"), Car: r.value("car"),
		Emergency: r.value("emergency"), Medical: r.value("medical")})
	if err == nil {
		return r.event().Team() + "/" + r.echo.Param("number") + "/private", nil, nil
	}
	if !mendable(err) || fault.Is(err, fault.NotAllowed) {
		return "", nil, err
	}
	n, _ := strconv.Atoi(r.value("line"))
	r.teamWrong(view.FormTeamPrivate, err)
	r.errors.Form = view.TeamPrivateForm(n)
	page, pageErr := r.teamPrivate(r.value("line"), r.keptCommand(err))
	return again(page, err, pageErr)
}

// readsPage lists who read what is private.
func readsPage(r *request) (templ.Component, error) {
	reads, err := outside.SeeReadings(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("team.reads"), false)
	p := view.TeamReads{Layout: l}
	for _, read := range reads {
		what := view.T("team.read.team", "number", read.Team)
		if read.Team == 0 {
			what = view.T("team.read.other")
		}
		p.Reads = append(p.Reads, view.TeamRead{At: r.local(read.At), By: read.By, What: what})
	}
	return view.TeamReadsPage(p), err
}
