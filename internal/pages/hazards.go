package pages

import (
	"cmp"
	"net/url"
	"slices"
	"strconv"
	"strings"

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

func hazardsPage(r *request) (templ.Component, error) {
	if done := r.echo.QueryParam("done"); slices.Contains([]string{view.FormOwnHazard, view.FormOwnPair, view.FormContest, view.FormWithdraw}, done) {
		r.flash = view.T("hazards.done." + done)
	}
	if added, err := strconv.Atoi(r.echo.QueryParam("added")); err == nil {
		already, _ := strconv.Atoi(r.echo.QueryParam("already")) // no number is none
		r.flash = view.T("hazards.done.import", "n", added, "already", already)
	}
	return r.hazards(r.echo.QueryParam("name"), typedAct{}, nil)
}

// hazards draws the page; a form that comes back to be mended holds what was typed.
func (r *request) hazards(asked string, typed typedAct, refused []safety.RefusedLine) (templ.Component, error) {
	k, err := safety.SeeHazards(r.ctx, r.hall(), r.actor, r.scope(), asked)
	if err != nil {
		return nil, err
	}
	p := view.KnownHazards{Asked: k.Asked, Unknown: k.Unknown}
	if p.Layout, err = r.layout(view.T("hazards.title"), true); err != nil {
		return nil, err
	}
	for _, n := range k.Nearest {
		p.Nearest = append(p.Nearest, view.Link{Label: n, Path: r.event().HazardsOf(n)})
	}
	for _, f := range k.Rows {
		if row := r.knownRow(f, k.Asked); f.Wide {
			p.Wide = append(p.Wide, row)
		} else {
			p.Rows = append(p.Rows, row)
		}
	}
	for _, d := range k.Pairs {
		p.Pairs = append(p.Pairs, r.knownPair(d, k.Asked))
	}
	for _, e := range k.Entries {
		if line := r.ownLine(e, k); e.Withdrawn != nil {
			p.Gone = append(p.Gone, line)
		} else {
			p.Entries = append(p.Entries, line)
		}
	}
	if err := r.hazardForms(&p, k, typed); err != nil {
		return nil, err
	}
	for _, l := range refused {
		p.Import.Refused = append(p.Import.Refused, view.RefusedLine{Line: l.Line, Column: l.Column, Reason: l.Reason})
	}
	return view.KnownHazardsPage(p), nil
}

// knownRow is a row with the explanation: which name it was taken for, by which rule, how it harms, where, how firm.
func (r *request) knownRow(f hazard.Finding, asked string) view.KnownRow {
	e := f.Entry
	row := view.KnownRow{Hazard: view.Hazard{Severity: f.Severity}, Name: r.sciWritten(e.Taxon), Syndrome: f.Syndrome.Name, Words: e.Note, Source: e.Source,
		Own: e.Own != "", Contested: contestLines(f.Contests), Contest: r.contestWay(e.ID, asked), Withdraw: r.backWay(e.Own, asked)}
	row.Why = append([]message.Text{view.T("hazards.matched", "rule", f.Via.Text(), "matched", f.Matched)}, r.rowFacts(e.Row)...)
	if f.OutOfRegion {
		row.Why = append(row.Why, view.T("sheet.out-of-region"))
	}
	return row
}

func (r *request) rowFacts(row hazard.Row) []message.Text {
	facts := []message.Text{row.Exposure.Text(), r.regionOf(row.Region), view.T("hazards.firm", "evidence", view.T("hazards.evidence."+row.Evidence))}
	if row.Scope == hazard.Unnamed {
		facts = append(facts, view.T("hazards.reach", "scope", view.T("hazards.scope."+string(row.Scope))))
	}
	return facts
}

// regionOf says where a row holds; one that says no place holds everywhere.
func (r *request) regionOf(region string) message.Text {
	var words []string
	for part := range strings.SplitSeq(cmp.Or(region, "world"), ";") {
		words = append(words, message.From(r.ctx).Text(view.T("region."+strings.TrimSpace(part))))
	}
	return view.T("hazards.where", "region", strings.Join(words, ", "))
}

func (r *request) knownPair(d hazard.Double, asked string) view.KnownRow {
	gathered, poisonous := d.Matched, d.Other
	if d.Role == hazard.Poisonous {
		gathered, poisonous = poisonous, gathered
	}
	other := r.sciWritten(poisonous)
	row := view.KnownRow{Hazard: view.Hazard{Severity: d.Severity}, Name: r.sciWritten(gathered), Other: &other, Words: d.Differences, Source: d.Source,
		Why: []message.Text{r.regionOf(d.Region)}, Own: d.Own != "", Contested: contestLines(d.Contests),
		Contest: r.contestWay(d.ID, asked), Withdraw: r.backWay(d.Own, asked)}
	if d.Syndrome != nil {
		row.Syndrome = d.Syndrome.Name
	}
	return row
}

func contestLines(all []hazard.Contest) []view.ContestLine {
	var lines []view.ContestLine
	for _, c := range all {
		lines = append(lines, view.ContestLine{Reason: c.Reason, Source: c.Source})
	}
	return lines
}

func (r *request) contestWay(id, asked string) string {
	return r.event().Hazards() + "?" + url.Values{"name": {asked}, "contest": {id}}.Encode() + "#form-" + view.FormContest
}

func (r *request) backWay(entry, asked string) string {
	if entry == "" {
		return ""
	}
	return r.event().Hazards() + "?" + url.Values{"name": {asked}, "withdraw": {entry}}.Encode() + "#form-" + view.FormWithdraw
}

// ownLine is an entry of the society, with who wrote it and what became of it.
func (r *request) ownLine(e safety.Entry, k safety.Known) view.OwnLine {
	said := func(key string, o hall.OwnEntry) message.Text {
		return view.T(key, "who", k.People[o.WrittenBy].Name, "when", r.when(o.RecordedAt.Time))
	}
	l := view.OwnLine{Kind: e.Kind, About: readable(e.About), Source: e.Source, By: said("hazards.written", e.OwnEntry), Left: e.Left, Back: r.backWay(e.ID.String(), k.Asked)}
	l.Row = view.KnownRow{Name: r.sciWritten(e.Name), Hazard: view.Hazard{Severity: e.Severity}, Syndrome: e.Syndrome, Contested: contestLines(e.Contests)}
	switch e.Kind {
	case view.FormOwnHazard:
		l.Words, l.Row.Why = e.Note, r.rowFacts(hall.OwnRow(e.OwnEntry))
	case view.FormOwnPair:
		other := r.sciWritten(e.Other)
		l.Words, l.Row.Other, l.Row.Why = e.Differences, &other, []message.Text{r.regionOf(e.Region)}
	default:
		l.Words = e.Reason
	}
	if w := e.Withdrawn; w != nil {
		l.Gone, l.Reason, l.Back = said("hazards.taken-back", *w), w.Reason, ""
	}
	return l
}

// readable is the id of a row without the id of the entry that made it.
func readable(about string) string {
	parts := strings.Split(about, " / ")
	if _, err := foray.ParseID(parts[len(parts)-1]); err == nil {
		parts = parts[:len(parts)-1]
	}
	return strings.Join(parts, " / ")
}

func (r *request) hazardForm(key string, typed typedAct) (view.Form, error) {
	f, err := r.newForm(r.event().Hazards()+"/"+key, 0)
	if typed.form == key && typed.command != "" {
		f.Command = typed.command
	}
	return f, err
}

func (r *request) hazardForms(p *view.KnownHazards, k safety.Known, typed typedAct) (err error) {
	forms := map[string]*view.Form{view.FormOwnHazard: &p.Add.Form, view.FormOwnPair: &p.Pair.Form, view.FormOwnEntries: &p.Import.Form}
	if about := typed.or(view.FormContest, "about", r.echo.QueryParam("contest")); about != "" {
		p.Contest = &view.WordsForm{About: about, Said: readable(about), Reason: typed.of(view.FormContest, "reason"), Source: typed.of(view.FormContest, "source")}
		forms[view.FormContest] = &p.Contest.Form
	}
	if entry := typed.or(view.FormWithdraw, "entry", r.echo.QueryParam("withdraw")); entry != "" {
		p.Withdraw = &view.WordsForm{About: entry, Said: entrySaid(k, entry), Reason: typed.of(view.FormWithdraw, "reason")}
		forms[view.FormWithdraw] = &p.Withdraw.Form
	}
	for key, form := range forms {
		if *form, err = r.hazardForm(key, typed); err != nil {
			return err
		}
	}
	of := func(name, usual string) string { return typed.or(view.FormOwnHazard, name, usual) }
	add, names, regions := &p.Add, r.event().Names(), hazard.Regions()
	add.Names, add.Regions, add.Taxon, add.Region, add.Source, add.Note = names, regions, of("taxon", k.Asked), of("region", ""), of("source", ""), of("note", "")
	add.Scopes = view.Options("hazards.scope", []string{string(hazard.AllOfIt), string(hazard.Unnamed)}, of("scope", string(hazard.AllOfIt)))
	add.Evidences = view.Options("hazards.evidence", hazard.Evidences(), of("evidence", hazard.Reported))
	for _, e := range hazard.Exposures() {
		add.Exposures = append(add.Exposures, view.Option{Value: string(e), Text: e.Text(), Chosen: string(e) == of("exposure", string(hazard.Meal))})
	}
	for _, s := range k.Syndromes {
		add.Syndromes = append(add.Syndromes, view.Option{Value: s.Key, Chosen: s.Key == of("syndrome", ""),
			Text: view.T("hazards.syndrome.of", "name", s.Name, "severity", hazard.SeverityText(s.Severity))})
	}
	pair := func(name string) string { return typed.of(view.FormOwnPair, name) }
	p.Pair.Names, p.Pair.Regions, p.Pair.Gathered, p.Pair.Poisonous = names, regions, pair("gathered"), pair("poisonous")
	p.Pair.Region, p.Pair.Differences, p.Pair.Source = pair("region"), pair("differences"), pair("source")
	p.Import.Lines = typed.of(view.FormOwnEntries, "lines")
	return nil
}

// entrySaid is what an entry says, for who takes it back.
func entrySaid(k safety.Known, id string) string {
	for _, e := range k.Entries {
		switch {
		case e.ID.String() != id:
		case e.Kind == view.FormContest:
			return readable(e.About)
		case e.Kind == view.FormOwnPair:
			return e.Name + " / " + e.Other
		default:
			return e.Name + " / " + e.Syndrome
		}
	}
	return ""
}

// doHazard runs one form of the page. Who may not is told before anything is read.
func (r *request) doHazard(form string, do func(cmd hall.Command) (done url.Values, err error)) (string, templ.Component, error) {
	if !r.held.Can(access.TendHazards) {
		return "", nil, r.refuse(access.TendHazards)
	}
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	done, err := do(cmd)
	if err == nil {
		done.Set("name", r.value("asked"))
		return r.event().Hazards() + "?" + done.Encode(), nil, nil
	}
	if !mendable(err) {
		return "", nil, err
	}
	refused, _ := r.wrong(form, err).Other.([]safety.RefusedLine)
	page, pageErr := r.hazards(r.value("asked"), typedAct{form: form, command: r.keptCommand(err), values: r.value}, refused)
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func done(form string) url.Values { return url.Values{"done": {form}} }

func addOwnHazard(r *request) (string, templ.Component, error) {
	return r.doHazard(view.FormOwnHazard, func(cmd hall.Command) (url.Values, error) {
		_, err := safety.AddHazard(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Hazard{Taxon: r.value("taxon"), Scope: r.value("scope"), Syndrome: r.value("syndrome"),
			Exposure: r.value("exposure"), Region: r.value("region"), Evidence: r.value("evidence"), Source: r.value("source"), Note: r.value("note")})
		return done(view.FormOwnHazard), err
	})
}

func addOwnPair(r *request) (string, templ.Component, error) {
	return r.doHazard(view.FormOwnPair, func(cmd hall.Command) (url.Values, error) {
		_, err := safety.AddPair(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Lookalike{Gathered: r.value("gathered"), Poisonous: r.value("poisonous"),
			Region: r.value("region"), Differences: r.value("differences"), Source: r.value("source")})
		return done(view.FormOwnPair), err
	})
}

func contestHazard(r *request) (string, templ.Component, error) {
	return r.doHazard(view.FormContest, func(cmd hall.Command) (url.Values, error) {
		_, err := safety.ContestRow(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Contest{About: r.value("about"), Reason: r.value("reason"), Source: r.value("source")})
		return done(view.FormContest), err
	})
}

func withdrawHazard(r *request) (string, templ.Component, error) {
	return r.doHazard(view.FormWithdraw, func(cmd hall.Command) (url.Values, error) {
		entry, err := foray.ParseID(r.value("entry"))
		if err != nil {
			return nil, fault.Missing()
		}
		_, err = safety.Withdraw(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Withdrawal{Entry: entry, Reason: r.value("reason")})
		return done(view.FormWithdraw), err
	})
}

func importHazards(r *request) (string, templ.Component, error) {
	return r.doHazard(view.FormOwnEntries, func(cmd hall.Command) (url.Values, error) {
		in, err := r.sentEntries()
		if err != nil {
			return nil, err
		}
		taken, err := safety.Import(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return url.Values{"added": {strconv.Itoa(taken.Added)}, "already": {strconv.Itoa(taken.Already)}}, err
	})
}

// sentEntries are the lines of the spreadsheet that was sent, or those that were copied into the form.
func (r *request) sentEntries() (safety.Entries, error) {
	head, err := r.echo.FormFile("file")
	if err == nil && head.Size > 0 {
		file, err := head.Open()
		if err != nil {
			return safety.Entries{}, err
		}
		defer file.Close()
		return safety.ReadEntries(file, head.Filename)
	}
	if lines := r.value("lines"); lines != "" {
		return safety.ReadEntries(strings.NewReader(lines), "lines")
	}
	return safety.Entries{}, fault.Wrong("file", "hazards.nothing-sent")
}
