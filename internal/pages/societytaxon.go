package pages

import (
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/hall"
	"forayhall/internal/hall/list"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

// societyTaxon is a name over all events of a society. What is known against it and what it is mistaken for stands on
// the page of the newest event at which it was found.
func societyTaxon(r *request) (templ.Component, error) {
	t, err := list.SeeSocietyTaxon(r.ctx, r.hall(), r.actor, r.at.Society.ID, strings.ReplaceAll(r.echo.Param("name"), "_", " "))
	if err != nil {
		return nil, err
	}
	name := sciNamed(t.Written)
	if t.Name != nil {
		name = sciOfTaxon(t.Name)
	} else {
		name.Qualifier = ""
	}
	l, err := r.societyLayout(view.T("society.taxon.title", "name", name.Name), view.T("society.taxon.about", "name", name.Name, "society", r.at.Society.Name), true)
	p := view.SocietyTaxon{Layout: l, Name: name, Unknown: t.Name == nil, Sure: t.Sure, Unsure: t.Unsure, Kept: keptBack(t.Kept), Unsaid: t.Unsaid, Flagged: t.Flagged,
		Tens: view.Tens{Finds: t.Tens, Undated: t.Undated}}
	r.nameSocietyTaxon(&p, t)
	var events []hall.Event
	for _, e := range t.Events {
		from, to := days(e.Event)
		p.Events = append(p.Events, view.TaxonEventLine{Code: e.Event.Code, Name: e.Event.Name, Path: r.society().Event(e.Event.Code), From: from, To: to, Plates: e.Plates, Fields: e.Fields})
		events = append(events, e.Event)
	}
	if len(events) > 0 {
		p.Last, p.First, p.NewestCode = yearOf(events[0]), yearOf(events[len(events)-1]), events[0].Code
		p.Newest = &view.Link{Path: view.Event{Path: p.Events[0].Path}.Taxon(name.Name)}
	}
	p.Hazard = r.hazardIn(name.Name, events)
	for _, s := range t.Sites {
		p.Sites = append(p.Sites, view.SiteFound{Name: s.Name, Path: r.society().Site(s.Code), Finds: s.Finds})
	}
	for _, w := range t.Within {
		p.Within = append(p.Within, view.WithinLine{Name: sciOfTaxon(w.Name), Path: r.society().Taxon(w.Name.Name), Finds: w.Finds})
	}
	return view.SocietyTaxonView(p), err
}

// nameSocietyTaxon writes what the classification says of the name.
func (r *request) nameSocietyTaxon(p *view.SocietyTaxon, t list.Taxon) {
	if t.Name == nil {
		return
	}
	p.Common = r.printedMarked(t.Name)
	if taxon.Key(t.Asked) != t.Name.Key {
		asked := r.sciWritten(t.Asked)
		p.Asked = &asked
	}
	for _, f := range t.Former {
		p.Former = append(p.Former, view.FormerName{Name: sciOfTaxon(f), Reason: f.Reason, Disputed: f.Disputed, Source: f.Source})
	}
}
