package pages

import (
	"net/url"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/foray"
	"forayhall/internal/hall/tables"
	"forayhall/web/view"
)

func clearPage(r *request) (templ.Component, error) {
	if done := r.echo.QueryParam("done"); done != "" {
		r.flash = view.T("clear.done", "n", len(strings.Fields(done)), "numbers", done)
	}
	return r.clearPage("", nil, "")
}

func (r *request) clearPage(where string, ticked []string, command string) (templ.Component, error) {
	left, err := tables.SeeClearing(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	room, err := tables.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("clear.title"), false)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm(r.event().Clear(), 0)
	if command != "" {
		f.Command = command
	}
	p := view.Clearing{Layout: l, Form: f, Places: view.Options("where", []string{"discarded", "dryer", "sent"}, where), Ticked: map[string]bool{}}
	if command != "" {
		p.With, p.Tray = r.value("with"), r.value("tray")
	}
	for _, n := range ticked {
		p.Ticked[n] = true
	}
	all := byID(room.Tables)
	for _, c := range left {
		v := r.planPlate(c.Plate, c.Assessment, all)
		v.Kept = c.Kept
		if c.First {
			p.Hazards++
		}
		p.Plates = append(p.Plates, v)
	}
	return view.ClearingPage(p), err
}

func clearPlates(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	form, err := r.echo.FormParams()
	if err != nil {
		return "", nil, unreadable(err)
	}
	in := tables.Several{Where: foray.Whereabouts(r.value("where")), With: r.value("with")}
	for _, n := range form["plate"] {
		in.Plates = append(in.Plates, tables.Spot{Number: n, Position: r.value("tray")})
	}
	done, err := tables.PlaceSeveral(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	if err == nil {
		return r.event().Clear() + "?done=" + url.QueryEscape(strings.Join(done.Numbers, " ")), nil, nil
	}
	if !mendable(err) {
		return "", nil, err
	}
	r.plateErrors(err, in.Plates)
	page, pageErr := r.clearPage(string(in.Where), form["plate"], r.keptCommand(err))
	return again(page, err, pageErr)
}
