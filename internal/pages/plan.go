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
		if c.Assessment.Severity >= hazard.Dangerous {
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

func papersPage(r *request) (templ.Component, error) {
	switch q := r.echo.QueryParams(); {
	case q.Get("made") == "0":
		r.flash = view.T("papers.make.none")
	case q.Has("made"):
		n, _ := strconv.Atoi(q.Get("made"))
		r.flash = view.T("papers.made", "n", n)
	case q.Has("hung"):
		r.flash = view.T("papers.sheet.hung")
	}
	return r.papersPage()
}

func (r *request) papersPage() (templ.Component, error) {
	all, err := tables.SeePapers(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("papers.title"), false)
	if err != nil {
		return nil, err
	}
	e := r.event()
	p := view.Papers{Layout: l, May: r.held.Can(access.PlacePlates), Standing: all.Standing, Digest: all.Sheet, Warnings: e.Warnings(),
		Tables: tableOptions(all.Tables, "")}
	if p.Cards, err = r.newForm(e.Papers()+"/cards", 0); err != nil {
		return nil, err
	}
	if p.Sheet, err = r.newForm(e.Papers()+"/sheet", 0); err != nil {
		return nil, err
	}
	for _, n := range all.Lacking {
		p.Lacking = append(p.Lacking, r.numberOf(n))
	}
	for _, j := range all.Jobs {
		f, err := r.newForm(e.Papers()+"/swap", 0)
		if err != nil {
			return nil, err
		}
		job := paperJob(j)
		job.Form, job.Number = f, r.numberOf(j.Number)
		p.Jobs = append(p.Jobs, job)
	}
	return view.PapersPage(p), nil
}

func (r *request) numberOf(written string) view.Number {
	n, err := foray.ParseNumber(written, "")
	if err != nil {
		return view.Number{}
	}
	return r.number(n)
}

func paperJob(j tables.Job) view.PaperJob {
	return view.PaperJob{Paper: j.Paper.String(), Kind: j.Kind, Table: j.Table, Was: j.Was, Is: j.Is, Ready: j.Ready}
}

// paperJobs is the jobs as the hall page says them in a line each.
func (r *request) paperJobs() ([]message.Text, error) {
	all, err := tables.SeePapers(r.ctx, r.hall(), r.actor, r.scope())
	var lines []message.Text
	for _, j := range all.Jobs {
		job := paperJob(j)
		job.Number = r.numberOf(j.Number)
		lines = append(lines, job.Text())
	}
	return lines, err
}

func makeCards(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	made, err := tables.MakeCards(r.ctx, r.hall(), r.actor, r.scope(), cmd, tables.Cards{Table: r.value("table"), Again: r.ticked("again"), ByHand: r.ticked("by_hand")})
	if err != nil {
		return r.papersAgain(err)
	}
	if r.ticked("by_hand") || len(made.Cards) == 0 {
		return r.event().Papers() + "?made=" + strconv.Itoa(len(made.Cards)), nil, nil
	}
	q := url.Values{}
	for _, c := range made.Cards {
		q.Add("p", c.Paper.String())
	}
	return r.event().Papers() + "/print?" + q.Encode(), nil, nil
}

func (r *request) papersAgain(err error) (string, templ.Component, error) {
	if !mendable(err) {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.papersPage()
	return again(page, err, pageErr)
}

func swapPaper(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	paper, err := foray.ParseID(r.value("paper"))
	if err != nil {
		return "", nil, fault.Missing()
	}
	_, err = tables.SwapPaper(r.ctx, r.hall(), r.actor, r.scope(), cmd, tables.Swap{Paper: paper, ByHand: r.ticked("by_hand")})
	if err != nil {
		return r.papersAgain(err)
	}
	return r.event().Papers(), nil, nil
}

func hangSheet(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	if _, err = tables.HangSheet(r.ctx, r.hall(), r.actor, r.scope(), cmd, tables.Hang{Digest: r.value("digest")}); err != nil {
		return r.papersAgain(err)
	}
	return r.event().Papers() + "?hung=yes", nil, nil
}

// mostPrinted is how many cards one address can carry.
const mostPrinted = 120

func printCards(r *request) (templ.Component, error) {
	var papers []foray.ID
	for _, p := range r.echo.QueryParams()["p"] {
		id, err := foray.ParseID(p)
		if err != nil || len(papers) == mostPrinted {
			return nil, fault.Missing()
		}
		papers = append(papers, id)
	}
	cards, err := tables.SeeCards(r.ctx, r.hall(), r.actor, r.scope(), papers)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("cards.title"), true)
	p := view.Cards{Layout: l}
	for _, c := range cards {
		p.Cards = append(p.Cards, r.card(c))
	}
	return view.CardsPage(p), err
}

func (r *request) card(c tables.Card) view.Card {
	v := view.Card{Number: r.numberOf(c.Number), Common: c.Common, Family: c.Family, Group: c.Group, Current: c.Current, State: view.Naming(c.State),
		Determiner: c.Determiner, Collector: c.Collector, Place: c.Place, Host: c.Host, Substrate: c.Substrate}
	switch {
	case c.NoEntry:
		v.Hazard = &view.Hazard{}
	case c.Severity > 0:
		v.Hazard = &view.Hazard{Severity: c.Severity, Syndrome: c.Syndrome}
	}
	for i, name := range c.Names {
		sci := r.sciWritten(name)
		if i < len(c.Authors) {
			sci.Author = c.Authors[i]
		}
		v.Names = append(v.Names, sci)
	}
	for _, d := range c.Doubles {
		key := "cards.double"
		if d.Table == "" {
			key = "cards.double.not-here"
		}
		v.Doubles = append(v.Doubles, view.T(key, "name", d.Name, "table", d.Table))
	}
	return v
}
