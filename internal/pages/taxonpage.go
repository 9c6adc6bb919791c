package pages

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/visit"
	"forayhall/internal/hazard"
	"forayhall/internal/knowledge"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

func taxonPage(r *request) (templ.Component, error) {
	t, err := visit.SeeTaxon(r.ctx, r.hall(), r.actor, r.scope(), strings.ReplaceAll(r.echo.Param("name"), "_", " "))
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("taxon.title"), true)
	if err != nil {
		return nil, err
	}
	p := view.TaxonHere{Layout: l, AsOf: r.local(t.At), Unknown: t.Name == nil, Name: sciOf(t.Here), Finds: t.Finds,
		Record: recordOf(t.Record), Glossary: glossaryOf(t.Words)}
	if t.Name != nil {
		r.classify(&p, t)
	} else {
		p.Name.Qualifier = ""
	}
	r.warnOf(&p, t)
	pictures, err := photographs.SeeTaxon(r.ctx, r.hall(), r.actor, r.scope(), t.Asked)
	if err != nil {
		return nil, err
	}
	p.Photos = r.otherPhotos(pictures)
	for _, d := range t.Doubles {
		p.Doubles = append(p.Doubles, r.confusion(d))
	}
	for _, s := range t.Sites {
		p.Sites = append(p.Sites, r.taxonSite(s, t))
	}
	for _, w := range t.Within {
		p.Within = append(p.Within, view.WithinLine{Name: sciOfTaxon(w.Name), Path: r.event().Taxon(w.Name.Name), Finds: w.Finds})
	}
	return view.TaxonPage(p), nil
}

// classify writes what the classification says of the name.
func (r *request) classify(p *view.TaxonHere, t visit.Taxon) {
	p.Name = sciOfTaxon(t.Name)
	if taxon.Key(t.Asked) != t.Name.Key {
		asked := r.sciWritten(t.Asked)
		p.Asked = &asked
	}
	for _, c := range t.Name.Common {
		if c.Language == message.English {
			p.Common = append(p.Common, view.Common{Name: c.Name, Language: c.Language, Borrows: borrowOf(r.hall().Knowledge.Borrows(c.Name, t.Name.Name))})
		}
	}
	p.Said, p.Disputed = t.Said, t.Name.Disputed
	for _, f := range t.Former {
		p.Former = append(p.Former, view.FormerName{Name: sciOfTaxon(f), Reason: f.Reason, Disputed: f.Disputed, Source: f.Source})
	}
	for _, w := range t.Wider() {
		p.Wider = append(p.Wider, view.WiderName{Key: string(w.Rank), Name: view.SciName{Name: w.Name, Rank: w.Rank}, Path: r.writtenPath(w.Name)})
	}
}

// recordOf writes what the society's events know of the name.
func recordOf(of visit.Record) view.TaxonRecord {
	out := view.TaxonRecord{Sure: of.Finds.Confirmed, Unsure: of.Finds.Unsure}
	years, sites, hosts := view.TaxonCounts{Key: "year"}, view.TaxonCounts{Key: "site"}, view.TaxonCounts{Key: "host"}
	for _, y := range of.Years {
		row := view.CountRow{Label: strconv.Itoa(y.Year), Sure: y.Confirmed, Unsure: y.Unsure}
		if y.Year == 0 {
			row.Text = view.T("taxon.year.none")
		}
		years.Rows = append(years.Rows, row)
	}
	for _, s := range of.Sites {
		sites.Rows = append(sites.Rows, view.CountRow{Label: s.Site.Name, Text: siteText(s.Site), Sure: s.Confirmed, Unsure: s.Unsure})
	}
	for _, h := range of.Hosts {
		row := view.CountRow{Label: h.Host, Sure: h.Confirmed, Unsure: h.Unsure}
		if h.Host == "" {
			row.Text = view.T("taxon.host.none")
		}
		hosts.Rows = append(hosts.Rows, row)
	}
	out.Tables = []view.TaxonCounts{years, sites, hosts}
	for _, n := range of.Names {
		out.Used = append(out.Used, view.NameUsed{Name: sciOf(n.SlipName), First: n.First, Last: n.Last, Finds: n.Plates})
	}
	return out
}

func glossaryOf(words []knowledge.Word) view.Glossary {
	var g view.Glossary
	var sources []string
	for _, w := range words {
		g.Words = append(g.Words, view.GlossaryWord{Word: w.Word, Plain: w.Plain})
		if !slices.Contains(sources, w.Source) {
			sources = append(sources, w.Source)
		}
	}
	g.Source = strings.Join(sources, "; ")
	return g
}

func (r *request) warnOf(p *view.TaxonHere, t visit.Taxon) {
	p.Hazard = &view.Hazard{}
	for _, f := range t.Findings {
		if f.Via == hazard.NoEntry {
			return
		}
		p.Warnings = append(p.Warnings, r.warningOf(f))
	}
	worst := t.Findings[0]
	p.Hazard = &view.Hazard{Severity: worst.Severity, Syndrome: worst.Syndrome.Name, Because: because(worst)}
}

func (r *request) taxonSite(s visit.SiteFinds, t visit.Taxon) view.TaxonSite {
	site := view.TaxonSite{Name: s.Site.Name, Text: siteText(s.Site)}
	for _, st := range s.States {
		state := view.TaxonState{State: view.Naming(st.State)}
		for _, p := range st.Plates {
			f := view.TaxonFind{Number: r.numbered(p.Number), Path: r.event().Find(p.Number), Name: r.otherwise(p, t)}
			f.Where, f.TablePath = r.publicWhere(p.Where)
			state.Finds = append(state.Finds, f)
		}
		site.States = append(site.States, state)
	}
	return site
}

// otherwise is the name as it is in question on a plate, where that says more than the taxon's own: a former name, or a
// doubt.
func (r *request) otherwise(p visit.Plate, t visit.Taxon) view.SciName {
	for _, n := range p.Names {
		same := t.Name == nil || n.Current == t.Name
		if same && (n.Qualifier != "" || t.Name != nil && n.SlipName.Key != t.Name.Key) {
			name := sciOf(n.SlipName)
			name.Author = ""
			return name
		}
	}
	return view.SciName{}
}

func (r *request) jump(typed string) view.Jump {
	return view.Jump{Action: r.event().Jump(), Typed: typed, Errors: r.errors}
}

// jumpTo leads to the number that was typed, or says what is wrong with it.
func jumpTo(r *request) error {
	typed := strings.TrimSpace(r.echo.QueryParam("number"))
	if !r.echo.QueryParams().Has("number") {
		return r.jumpPage(http.StatusOK, typed, message.Text{})
	}
	n, err := r.typedNumber(typed)
	if err == nil {
		_, err = visit.SeeFind(r.ctx, r.hall(), r.actor, r.scope(), n)
	}
	f := fault.From(err)
	switch {
	case err == nil:
		return r.redirect(r.event().Find(n.String()))
	case f.Kind != fault.NotFound && f.Kind != fault.Invalid:
		return err
	}
	text := f.Text
	if of, ok := f.Fields["number"]; ok {
		text = of
	}
	return r.jumpPage(status(f.Kind), typed, text)
}

func (r *request) typedNumber(typed string) (foray.Number, error) {
	if typed == "" {
		return foray.Number{}, fault.Wrong("number", "visit.no-number")
	}
	// A scanned label is an address that ends with the number.
	if u, err := url.Parse(typed); err == nil && strings.Contains(typed, "/") {
		typed = u.Path[strings.LastIndexByte(u.Path, '/')+1:]
	}
	return foray.ParseNumber(typed, r.at.Event.Code)
}

// jumpPage asks for a number. What is wrong with one stands at the field alone: nothing was sent that could be lost.
func (r *request) jumpPage(status int, typed string, wrong message.Text) error {
	l, err := r.layout(view.T("jump.title"), false)
	if err != nil {
		return err
	}
	if !wrong.IsZero() {
		r.errors = view.Errors{Fields: map[string]message.Text{"number": wrong}}
	}
	return r.render(status, view.JumpToPage(view.JumpPage{Layout: l, Jump: r.jump(typed)}))
}
