package pages

import (
	"github.com/a-h/templ"

	"forayhall/internal/hall/wall"
	"forayhall/internal/message"
	"forayhall/internal/muster"
	"forayhall/web/view"
)

func wallPage(r *request) (templ.Component, error) {
	w, err := wall.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("wall.title"), true)
	if err != nil {
		return nil, err
	}
	l.Live.AskAgain(w.Again)
	p := view.Wall{Layout: l, AsOf: r.local(w.Now), Waiting: w.Waiting, OnTables: w.OnTables, NoContact: !w.Contact, More: w.More, Wide: w.Wide, Nameless: w.Nameless}
	for _, state := range view.Namings {
		p.Counts = append(p.Counts, view.StateCount{State: state, N: w.States[string(state)]})
	}
	for _, s := range w.Spoiling {
		p.Spoiling = append(p.Spoiling, view.WallPlate{Number: r.number(s.Number), Group: s.Group, Left: s.At.Sub(w.Now)})
	}
	for _, t := range w.Teams {
		p.Teams = append(p.Teams, r.wallTeam(t))
	}
	for _, d := range w.Warnings {
		p.Warnings = append(p.Warnings, view.WallWarning{Name: r.sciWritten(d.Name), Hazard: view.Hazard{Severity: d.Severity}, Tables: d.Tables})
	}
	return view.WallPage(p), nil
}

func (r *request) wallTeam(t wall.Team) view.WallTeam {
	v := view.WallTeam{Number: t.Number, State: t.State.Text(), Out: t.Out, Late: t.Alert.Step > muster.Wait}
	if t.Due != nil {
		v.Due = r.local(*t.Due)
	}
	if v.Late {
		v.Steps = append([]message.Text{t.Alert.Reason}, t.Alert.Do...)
	}
	for _, f := range t.Told {
		if f.Member.IsZero() && f.Other.IsZero() { // a wall names no person
			v.Steps = append(v.Steps, f.Text)
		}
	}
	return v
}
