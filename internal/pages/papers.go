package pages

import (
	"net/url"
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
	"forayhall/web/view"
)

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
	p := view.Papers{Layout: l, Print: r.printLinks(r.echo.QueryParam("hung")), May: r.held.Can(access.PlacePlates), Standing: all.Standing, Digest: all.Sheet, Warnings: e.Warnings(),
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
	return view.PaperJob{Paper: j.Paper.String(), Kind: j.Kind, Table: j.Table, Was: j.Was, Is: j.Is, Differs: j.Differs, Ready: j.Ready}
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

// printLinks lead to the prints of a registered sheet.
func (r *request) printLinks(hung string) []view.Link {
	if _, err := foray.ParseID(hung); err != nil {
		return nil
	}
	return r.event().PrintLinks(hung)
}

func hangSheet(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	hung, err := tables.HangSheet(r.ctx, r.hall(), r.actor, r.scope(), cmd, tables.Hang{Digest: r.value("digest")})
	if err != nil {
		return r.papersAgain(err)
	}
	return r.event().Papers() + "?hung=" + hung.Paper.String(), nil, nil
}

// mostPrinted is how many cards one address can carry.
const mostPrinted = 120

func printCards(r *request) (templ.Component, error) {
	papers, err := r.paperIDs()
	if err != nil {
		return nil, err
	}
	cards, err := tables.SeeCards(r.ctx, r.hall(), r.actor, r.scope(), papers)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("cards.title"), true)
	if err != nil {
		return nil, err
	}
	p := view.Cards{Layout: l}
	stocks, err := setup.Stocks(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	for _, s := range stocks {
		p.Stocks = append(p.Stocks, view.Option{Value: s.Name, Text: view.T("stocks.name", "name", s.Name)})
	}
	for _, id := range papers {
		p.Papers = append(p.Papers, id.String())
	}
	for _, c := range cards {
		p.Cards = append(p.Cards, r.card(c))
	}
	return view.CardsPage(p), nil
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
