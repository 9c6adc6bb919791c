package pages

import (
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/web/view"
)

func eatenPage(r *request) (templ.Component, error) { return r.eatenPage("") }

func (r *request) eatenPage(command string) (templ.Component, error) {
	help, err := safety.SeeHelp(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("incident.title"), true)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm(r.event().Eaten(), 0)
	p := view.Eaten{Layout: l, Form: f, Eaten: help.Eaten, Others: help.Others, Contact: r.helpContact(help),
		Values: view.EatenValues{Number: r.echo.QueryParam("number")}}
	if command != "" {
		p.Form.Command = command
		p.Values = view.EatenValues{Number: r.value("number"), What: r.value("what"), Who: r.value("who"), At: r.value("eaten_at"), When: r.value("eaten_text"),
			HowMuch: r.value("how_much"), Signs: r.value("signs")}
	}
	for _, i := range help.Known {
		p.Open = append(p.Open, view.IncidentRow{Path: r.event().Eaten() + "/" + i.ID.String(), Who: i.Who, At: r.local(i.OpenedAt.Time), Closed: !i.ClosedAt.IsZero()})
	}
	return view.EatenPage(p), err
}

// helpContact is whom to call, as the warning sheet has it.
func (r *request) helpContact(help safety.Help) view.Contact {
	if help.Contact == nil {
		return view.Contact{}
	}
	return r.contact(*help.Contact, help.Staff)
}

func openIncident(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	in := safety.Eaten{Number: r.value("number"), What: r.value("what"), Who: r.value("who"), EatenText: r.value("eaten_text"), HowMuch: r.value("how_much"), Signs: r.value("signs")}
	if in.EatenAt, err = r.eatenAt(); err == nil {
		var done safety.Opened
		if done, err = safety.OpenIncident(r.ctx, r.hall(), r.actor, r.scope(), cmd, in); err == nil {
			return r.event().Eaten() + "/" + done.Incident.String(), nil, nil
		}
	}
	if !mendable(err) {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.eatenPage(r.value("command"))
	return again(page, err, pageErr)
}

func (r *request) eatenAt() (time.Time, error) {
	written := r.value("eaten_at")
	if written == "" {
		return time.Time{}, nil
	}
	at, err := time.ParseInLocation("2006-01-02T15:04", written, hall.Zone(r.at.Event))
	if err != nil {
		return at, fault.Wrong("eaten_at", "incident.not-yet")
	}
	return at, nil
}

func incidentPage(r *request) (templ.Component, error) { return r.incidentPage("") }

func (r *request) incidentPage(command string) (templ.Component, error) {
	id, err := foray.ParseID(r.echo.Param("incident"))
	if err != nil {
		return nil, fault.Missing()
	}
	c, err := safety.SeeIncident(r.ctx, r.hall(), r.actor, r.scope(), id)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("incident.title"), true)
	if err != nil {
		return nil, err
	}
	l.Live = view.Live{} // each reading is written down: a page must not read by itself
	i := c.Incident
	p := view.Incident{Layout: l, Contact: r.helpContact(c.Help), Eaten: c.Help.Eaten, Who: i.Who, At: r.local(i.OpenedAt.Time), EatenAt: r.local(i.EatenAt.Time),
		EatenText: i.EatenText, HowMuch: i.HowMuch, Signs: i.Signs, What: i.What, Closed: r.local(i.ClosedAt.Time), ClosedBy: c.People[i.ClosedBy].Name, Plate: r.incidentPlate(c)}
	for _, n := range c.Notes {
		p.Notes = append(p.Notes, view.IncidentNote{At: r.local(n.HappenedAt.Time), By: c.People[n.NotedBy].Name, Words: n.Words})
	}
	for _, n := range c.Identifiers {
		p.Identifiers = append(p.Identifiers, view.NearBy{Name: n.Person.Name, Last: r.local(n.Last)})
	}
	if !i.ClosedAt.IsZero() {
		return view.IncidentPage(p), nil
	}
	f, err := r.newForm(r.event().Eaten()+"/"+id.String(), 0)
	if command != "" {
		f.Command, p.Words = command, r.value("words")
	}
	p.Note = &f
	if c.Held.Can(access.TendHazards) {
		p.Close = &f
	}
	return view.IncidentPage(p), err
}

func (r *request) incidentPlate(c safety.Case) *view.IncidentPlate {
	if c.Plate == nil {
		return nil
	}
	p := view.IncidentPlate{PlanPlate: r.planPlate(*c.Plate, c.Assessment, c.Tables), Names: r.inQuestion(*c.Plate, c.People)}
	for _, part := range c.Parts {
		p.Parts = append(p.Parts, r.planPlate(part, r.hall().Knowledge.Hazards.Worst(part.Questions(), c.Event.Region), c.Tables))
	}
	for _, f := range c.Assessment.Findings {
		if f.Syndrome != nil {
			p.Worst = append(p.Worst, view.SheetLine{Name: r.sciWritten(f.Matched), Syndrome: f.Syndrome.Name, Plain: f.Syndrome.Plain, Onset: hazard.Onset(f.Syndrome)})
		}
	}
	for _, d := range c.Doubles {
		gathered, poisonous := d.Matched, d.Other
		if d.Role == hazard.Poisonous {
			gathered, poisonous = d.Other, d.Matched
		}
		p.Doubles = append(p.Doubles, message.T("incident.double", "gathered", gathered, "poisonous", poisonous, "differences", d.Differences))
	}
	return &p
}

func noteIncident(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	id, err := foray.ParseID(r.echo.Param("incident"))
	if err != nil {
		return "", nil, fault.Missing()
	}
	in := safety.Said{Incident: id, Words: r.value("words"), Number: r.value("number")}
	do := safety.NoteIncident
	if r.ticked("close") {
		do = safety.CloseIncident
	}
	if _, err = do(r.ctx, r.hall(), r.actor, r.scope(), cmd, in); err == nil {
		return r.event().Eaten() + "/" + id.String(), nil, nil
	}
	if !mendable(err) {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.incidentPage(r.keptCommand(err))
	return again(page, err, pageErr)
}
