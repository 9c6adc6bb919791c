package pages

import (
	"net/http"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/hall"
	"forayhall/internal/hall/earlier"
	"forayhall/web/view"
)

// firstsPage is the first records of the event as anybody may know them.
func firstsPage(r *request) (templ.Component, error) {
	f, err := earlier.Firsts(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	return r.firsts(f, false)
}

// allFirstsPage tells those who keep the list of every site.
func allFirstsPage(r *request) (templ.Component, error) {
	f, err := earlier.AllFirsts(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	return r.firsts(f, true)
}

func (r *request) firsts(f earlier.FirstRecords, whole bool) (templ.Component, error) {
	l, err := r.layout(view.T("firsts.title"), true)
	p := view.FirstsPage{Layout: l, AsOf: r.local(r.hall().Now()), Whole: whole}
	if whole {
		p.Lists = r.event().SetupPart("earlier")
	} else {
		p.CSV = r.event().Firsts() + ".csv"
	}
	for _, t := range f.Taxa {
		p.Taxa = append(p.Taxa, r.firstLine(t))
	}
	for _, c := range f.Compared {
		p.Compared = append(p.Compared, compared(c))
	}
	return view.FirstsView(p), err
}

func (r *request) firstLine(t hall.FirstTaxon) view.FirstLine {
	v := view.FirstLine{Name: r.sciWritten(t.Written), Fields: t.Fields}
	if t.Name != nil {
		v.Name, v.Path = sciOfTaxon(t.Name), r.event().Taxon(t.Name.Name)
		if t.Written != t.Name.Name {
			written := r.sciWritten(t.Written)
			v.Written = &written
		}
	}
	for _, n := range t.Numbers {
		v.Numbers = append(v.Numbers, view.NumberTo{Number: r.numbered(n), Path: r.event().Find(n)})
	}
	for _, f := range t.Firsts {
		m := view.FirstMark{Text: f.Text(), Sure: f.Sure, Lacks: f.Missing(), Secret: f.Secret}
		if f.List != "" {
			m.Why = append(m.Why, view.T("firsts.against", "list", f.List))
		}
		if f.Before != "" {
			m.Why = append(m.Why, view.T("firsts.before", "event", f.Before))
		}
		v.Marks = append(v.Marks, m)
	}
	return v
}

// compared says what the finds were compared with; of many events the first and the last.
func compared(c hall.Compared) view.FirstCompared {
	v := view.FirstCompared{Of: view.T("firsts.of."+c.Scope, "place", c.Place), Nothing: c.Nothing, Secret: c.Secret}
	if c.Scope == hall.OfRecord && c.Place == "" {
		v.Of = view.T("firsts.of.no-record")
	}
	for _, title := range c.Lists {
		v.With = append(v.With, view.T("firsts.with.list", "title", title))
	}
	if n := len(c.Events); n > 0 {
		v.With = append(v.With, view.T("firsts.with.events", "n", n, "events", someEvents(c.Events)))
	}
	if !c.Nothing {
		v.With = append(v.With, view.T("firsts.with.names", "n", c.Names))
	}
	if c.Unread > 0 {
		v.With = append(v.With, view.T("firsts.with.unread", "n", c.Unread))
	}
	return v
}

func someEvents(codes []string) string {
	const few = 6
	if len(codes) > few {
		return codes[0] + " … " + codes[len(codes)-1]
	}
	return strings.Join(codes, ", ")
}

func firstsCSV(r *request) error {
	tag := r.eventTag()
	if r.keeps(tag) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	f, err := earlier.Firsts(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return err
	}
	data, err := f.CSV()
	if err != nil {
		return err
	}
	r.header("Content-Disposition", `inline; filename="`+r.at.Event.Code+`-first-records.csv"`)
	return r.echo.Blob(http.StatusOK, "text/csv; charset=utf-8", data)
}
