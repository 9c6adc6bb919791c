package pages

import (
	"cmp"
	"net/url"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/web/view"
)

func planPage(r *request) (templ.Component, error) {
	find := strings.TrimSpace(r.echo.QueryParam("find"))
	p, err := tables.SeePlan(r.ctx, r.hall(), r.actor, r.scope(), find)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("plan.title"), false)
	if err != nil {
		return nil, err
	}
	e := r.event()
	v := view.HallPlan{Layout: l, AsOf: r.local(r.hall().Now()), Find: find, Width: p.Hall.Width, Height: p.Hall.Height, Back: p.Back, Here: e.Plan()}
	if p.Held.Can(access.PlacePlates) {
		v.Place, v.Papers = e.Put(), e.Papers()
	}
	if p.Held.Can(access.RemovePlates) {
		v.Clear = e.Clear()
	}
	for i, t := range p.Tables {
		box := p.Hall.Boxes[i] // both by number
		row := view.PlanTable{Number: t.Number, Name: tableName(t.Table), Path: e.Tables() + "/" + strconv.Itoa(t.Number), X: box.X, Y: box.Y,
			Width: box.Width, Height: box.Height, Plates: t.Plates, Slots: t.Slots, Unnamed: t.Unnamed, Hazards: t.Hazards,
			Worst: t.Worst >= hazard.Dangerous, Found: t.Found, SweptAt: r.local(t.SweptAt)}
		if v.Place != "" {
			row.Sweep = e.Sweep(t.Number)
		}
		v.Tables = append(v.Tables, row)
	}
	return view.HallPlanPage(v), nil
}

// spots reads numbers as people write them one after another: "0417 0421:4, HB26 0430".
func spots(written, event string) []tables.Spot {
	var out []tables.Spot
	fields := strings.FieldsFunc(written, func(r rune) bool { return strings.ContainsRune(" \t\r\n,;", r) })
	for i := 0; i < len(fields); i++ {
		word := fields[i]
		if strings.EqualFold(word, event) && i+1 < len(fields) {
			i++
			word = fields[i]
		}
		number, position, _ := strings.Cut(word, ":")
		out = append(out, tables.Spot{Number: number, Position: position})
	}
	return out
}

// plateErrors says everything that is wrong with single plates at the one field where they were typed.
func (r *request) plateErrors(err error, written []tables.Spot) {
	e := fault.From(err)
	said := map[string]message.Text{}
	var lines []string
	say := message.From(r.ctx)
	for i := range written {
		if text, ok := e.Fields["plates."+strconv.Itoa(i)]; ok {
			lines = append(lines, say.Text(text))
		}
	}
	for key, text := range e.Fields {
		if !strings.HasPrefix(key, "plates.") {
			said[key] = text
		}
	}
	if len(lines) > 0 {
		said["plates"] = message.T("data.as-is", "text", say.Say("put.some-wrong")+" "+strings.Join(lines, " "))
	}
	r.errors = view.Errors{Summary: e.Text, Fields: said}
}

func putPage(r *request) (templ.Component, error) {
	if done := r.echo.QueryParam("done"); done != "" {
		r.flash = view.T("put.done", "n", len(strings.Fields(done)), "numbers", done)
	}
	return r.putPage(r.echo.QueryParam("where"), r.echo.QueryParam("table"), "", "")
}

func (r *request) putPage(where, table, numbers, command string) (templ.Component, error) {
	if !r.held.Can(access.PlacePlates) {
		return nil, r.refuse(access.PlacePlates)
	}
	room, err := tables.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("put.title"), false)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm(r.event().Put(), 0)
	if command != "" {
		f.Command = command
	}
	p := view.PutPlates{Layout: l, Form: f, Numbers: numbers, Places: view.Options("where", []string{"table", "back_table", "bench", "desk"}, cmp.Or(where, "table")),
		Tables: tableOptions(room.Tables, table)}
	return view.PutPlatesPage(p), err
}

func tableOptions(all []hall.Table, chosen string) []view.Option {
	var options []view.Option
	for _, t := range all {
		number := strconv.Itoa(t.Number)
		options = append(options, view.Option{Value: number, Label: tableName(t), Chosen: number == chosen})
	}
	return options
}

func putPlates(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	plates := spots(r.value("plates"), r.at.Event.Code)
	in := tables.Several{Plates: plates, Where: foray.Whereabouts(r.value("where")), Table: r.value("table")}
	done, err := tables.PlaceSeveral(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	if err == nil {
		return r.event().Put() + "?where=" + url.QueryEscape(string(in.Where)) + "&table=" + url.QueryEscape(in.Table) + "&done=" + url.QueryEscape(strings.Join(done.Numbers, " ")), nil, nil
	}
	if !mendable(err) {
		return "", nil, err
	}
	r.plateErrors(err, plates)
	page, pageErr := r.putPage(string(in.Where), in.Table, r.value("plates"), r.keptCommand(err))
	return again(page, err, pageErr)
}

// again is a page that comes back with what was typed.
func again(page templ.Component, err, pageErr error) (string, templ.Component, error) {
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func sweepPage(r *request) (templ.Component, error) {
	q := r.echo.QueryParams()
	if table := q.Get("swept"); table != "" {
		r.flash = view.T("sweep.done", "table", table, "seen", q.Get("seen"))
		if moved := q.Get("moved"); moved != "" {
			r.flash = joined(r, r.flash, view.T("sweep.moved", "numbers", moved))
		}
		if missing := q.Get("missing"); missing != "" {
			r.flash = joined(r, r.flash, view.T("sweep.missing", "numbers", missing))
		}
	}
	return r.sweepPage(q.Get("table"), "", "")
}

// joined says two texts one after the other.
func joined(r *request, a, b message.Text) message.Text {
	say := message.From(r.ctx)
	return message.T("data.as-is", "text", say.Text(a)+" "+say.Text(b))
}

func (r *request) sweepPage(table, numbers, command string) (templ.Component, error) {
	if !r.held.Can(access.PlacePlates) {
		return nil, r.refuse(access.PlacePlates)
	}
	room, err := tables.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("sweep.title"), false)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm(r.event().Path+"/sweep?table="+url.QueryEscape(table), 0)
	if command != "" {
		f.Command = command
	}
	p := view.Sweep{Layout: l, Form: f, Numbers: numbers}
	for _, t := range room.Tables {
		p.Tables = append(p.Tables, view.Link{Label: tableName(t), Path: r.event().Sweep(t.Number)})
		if strconv.Itoa(t.Number) == table {
			p.Table = tableName(t)
			for _, s := range room.Plates[t.ID] {
				p.Thought = append(p.Thought, r.planPlate(s.Plate, s.Assessment, nil))
			}
		}
	}
	return view.SweepPage(p), err
}

func (r *request) planPlate(p hall.Plate, a hazard.Assessment, all map[foray.ID]hall.Table) view.PlanPlate {
	v := view.PlanPlate{Number: r.number(p.Number()), Path: r.event().Collection(p.Number().String()), Group: p.FormGroup, State: stateOf(p),
		Hazard: hazardOf(a), Where: r.where(p.Collection, all), Position: p.Position}
	if len(p.Standing.Question) > 0 {
		v.Name = sciOf(p.Standing.Question[0].SlipName)
	}
	return v
}

func sweepTable(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	table := r.echo.QueryParam("table")
	plates := spots(r.value("plates"), r.at.Event.Code)
	done, err := tables.SweepTable(r.ctx, r.hall(), r.actor, r.scope(), cmd, tables.Sweep{Table: table, Plates: plates})
	if err == nil {
		q := url.Values{"table": {table}, "swept": {strconv.Itoa(done.Table)}, "seen": {strconv.Itoa(done.Seen)},
			"moved": {strings.Join(done.Moved, " ")}, "missing": {strings.Join(done.Missing, " ")}}
		return r.event().Path + "/sweep?" + q.Encode(), nil, nil
	}
	if !mendable(err) {
		return "", nil, err
	}
	r.plateErrors(err, plates)
	page, pageErr := r.sweepPage(table, r.value("plates"), r.keptCommand(err))
	return again(page, err, pageErr)
}
