package pages

import (
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/worth"
	"forayhall/internal/message"
	"forayhall/web/view"
)

func setupRain(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartRain)
	if err != nil {
		return nil, err
	}
	entered, err := worth.SeeRain(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	p := view.SetupRain{Part: part, Worth: r.event().Worth()}
	sources := []string{}
	for _, d := range entered.Days {
		p.Days = append(p.Days, r.rainLine(d))
		if d.Source != "" && len(sources) == 0 {
			sources = append(sources, d.Source)
		}
	}
	if entered.Edit {
		f, err := r.setupForm(view.FormRain, 0, typed)
		if err != nil {
			return nil, err
		}
		or := func(name string) string { return typed.or(view.FormRain, name, "") }
		p.Edit = &view.RainForm{Form: f, Day: or("day"), MM: or("mm"), Lines: or("lines"), Source: or("source"),
			Back: typed.ticked(view.FormRain, "back", false), Sources: sources}
	}
	return view.SetupRainPage(p), nil
}

func (r *request) rainLine(d worth.RainEntry) view.RainLine {
	last := len(d.Entries) - 1
	l := view.RainLine{Day: view.Day(day(d.Day)), MM: fell(d.MM), Source: d.Source, By: view.T("rain.by", "who", d.Entries[last].By, "when", r.enteredAt(d.Entries[last]))}
	for _, e := range d.Entries[:last] {
		l.History = append(l.History, view.T("rain.entry", "mm", fell(e.MM), "who", e.By, "when", r.enteredAt(e)))
	}
	return l
}

func (r *request) enteredAt(e worth.Entered) message.Text {
	at := r.local(e.At)
	return view.T("date.moment", "day", view.Day(at), "time", at.Format("15:04"))
}

func fell(mm *float64) message.Text {
	if mm == nil {
		return view.T("rain.taken")
	}
	return view.T("rain.amount", "mm", strconv.FormatFloat(*mm, 'f', -1, 64))
}

func sendRain(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartRain, setupRain, view.FormRain, func(cmd hall.Command) error {
		in := worth.Rain{Lines: r.value("lines"), Source: r.value("source")}
		day, back := r.value("day"), r.value("back") != ""
		mm, err := worth.ReadMM(r.value("mm"))
		if err != nil {
			return fault.Wrong("mm", "rain.no-number", "text", r.value("mm"))
		}
		if day != "" || mm != nil || back {
			in.Days = []worth.RainDay{{Day: day, MM: mm, Back: back}}
		}
		_, err = worth.EnterRain(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}
