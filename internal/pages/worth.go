package pages

import (
	"math"
	"net/http"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/worth"
	"forayhall/internal/message"
	"forayhall/internal/tally"
	"forayhall/internal/tally/richness"
	"forayhall/web/view"
)

// worthPage is what the day was worth, as anybody may know it.
func worthPage(r *request) (templ.Component, error) {
	d, err := worth.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("worth.title"), true)
	return view.WorthView(r.worth(d, l)), err
}

func (r *request) worth(d worth.Day, l view.Layout) view.WorthPage {
	p := view.WorthPage{Layout: l, Final: d.Event.State == hall.EventClosed, Lead: []message.Text{view.T("worth.lead")},
		Facts: []view.WorthFact{worthFact("worth.fact.collections", d.Collections), worthFact("worth.fact.fields", d.Fields), worthFact("worth.fact.taxa", d.Taxa),
			{Label: view.T("worth.fact.units." + string(d.Units.Kind)), Value: strconv.Itoa(len(d.Units.Units))}}}
	if d.Waiting > 0 {
		p.Lead = append(p.Lead, view.T("worth.waiting", "n", d.Waiting))
	}
	w := worthBook{r: r, day: d}
	p.Sections = []view.WorthSection{
		{Key: "found", Figures: []view.WorthFigure{w.sites(), w.teams(), w.groups()}},
		{Key: "missing", Figures: w.missing()},
		{Key: "effort", Figures: w.effort()},
		{Key: "beside", Figures: []view.WorthFigure{w.years(), w.turnover("site-turnover", d.SiteLess), w.turnover("year-turnover", d.YearLess)}},
		{Key: "season", Figures: []view.WorthFigure{w.season(), w.hosts()}},
		{Key: "weather", Figures: []view.WorthFigure{w.rain(), w.rainEvents()}},
	}
	for _, s := range p.Sections {
		for i := range s.Figures {
			if f := &s.Figures[i]; !f.None.IsZero() && len(f.Table.Rows) == 0 {
				f.When = message.Text{} // it would speak of what is not there
			}
		}
	}
	return p
}

func worthFact(key string, n int) view.WorthFact {
	return view.WorthFact{Label: view.T(key), Value: strconv.Itoa(n)}
}

// worthBook draws the figures of a day.
type worthBook struct {
	r   *request
	day worth.Day
}

// figure begins one: its heading, when it means anything, its table and where its data are had.
func (w worthBook) figure(key string) view.WorthFigure {
	path := w.r.event().Worth() + "/" + key
	return view.WorthFigure{Key: key, When: view.T("worth.when." + key), Table: tableOf(w.day.Figure(key)), CSV: path + ".csv", JSON: path + ".json"}
}

// tableOf leaves out a column of reasons where there is none.
func tableOf(f worth.Figure) view.WorthTable {
	var t view.WorthTable
	var kept []int
	for i, c := range f.Columns {
		for _, row := range f.Rows {
			if row[i] != nil {
				t.Columns, kept = append(t.Columns, c), append(kept, i)
				break
			}
		}
	}
	for _, row := range f.Rows {
		cells := make([]view.WorthCell, len(kept))
		for at, i := range kept {
			cells[at] = cellOf(row[i])
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

func cellOf(cell any) view.WorthCell {
	switch c := cell.(type) {
	case int:
		return view.WorthCell{Data: strconv.Itoa(c), Number: true}
	case float64:
		return view.WorthCell{Data: rounded(c), Number: true}
	case worth.Word:
		return view.WorthCell{Text: view.T("worth.word." + string(c))}
	case tally.Realm:
		return view.WorthCell{Text: view.T("worth.word." + string(c))}
	case richness.Reason:
		return view.WorthCell{Text: view.T("worth.reason." + string(c))}
	case tally.Named:
		name := sciNamed(c)
		return view.WorthCell{Name: &name}
	case string:
		return view.WorthCell{Data: c}
	}
	return view.WorthCell{Data: "–", Number: true}
}

func noEstimate(r richness.Reason) message.Text { return message.T("richness.why." + string(r)) }

// rounded keeps what a reader can use: two places of a share, one of a number.
func rounded(v float64) string {
	if math.Abs(v) <= 1 && v != math.Trunc(v) {
		return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	}
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}

func whole(e richness.Estimate) int { return int(math.Round(e.Value)) }

func (w worthBook) sites() view.WorthFigure {
	f := w.figure("sites")
	f.Open = true
	if len(f.Table.Rows) == 0 {
		f.None = view.T("worth.nothing")
	}
	for _, p := range w.day.Sites {
		if p.Place.Word == worth.KeptBack {
			f.Says = append(f.Says, view.T("worth.kept-back"))
		}
	}
	return f
}

func (w worthBook) teams() view.WorthFigure {
	f := w.figure("teams")
	f.Open = true
	if len(f.Table.Rows) == 0 {
		f.None = view.T("worth.no-teams")
	}
	return f
}

func (w worthBook) groups() view.WorthFigure {
	f := w.figure("groups")
	f.Open = true
	if len(f.Table.Rows) == 0 {
		f.None = view.T("worth.nothing")
	}
	return f
}

func (w worthBook) units() message.Text {
	return view.T("worth.units."+string(w.day.Units.Kind), "n", len(w.day.Units.Units))
}

func (w worthBook) missing() []view.WorthFigure {
	f := w.figure("estimates")
	d := w.day
	chao, coverage := worth.Of(d.Estimates, "chao2"), worth.Of(d.Estimates, "coverage")
	switch {
	case d.Taxa == 0:
		f.None = view.T("worth.nothing")
	case !chao.OK:
		f.Says = append(f.Says, view.T("worth.estimate-none", "n", whole(worth.Of(d.Estimates, "observed").Estimate), "units", w.units(), "why", noEstimate(chao.Why)))
	case chao.Low.OK && chao.High.OK:
		f.Says = append(f.Says, view.T("worth.estimate", "n", whole(worth.Of(d.Estimates, "observed").Estimate), "units", w.units(), "least", whole(chao.Estimate), "low", whole(chao.Low), "high", whole(chao.High)))
	default:
		f.Says = append(f.Says, view.T("worth.estimate-bare", "n", whole(worth.Of(d.Estimates, "observed").Estimate), "units", w.units(), "least", whole(chao.Estimate)))
	}
	if coverage.OK {
		f.Says = append(f.Says, view.T("worth.coverage", "n", int(math.Round(100*coverage.Value))))
	}
	if d.Units.Stray > 0 {
		f.Says = append(f.Says, view.T("worth.stray-team", "n", d.Units.Stray))
	}
	if d.Units.Lost > 0 {
		f.Says = append(f.Says, view.T("worth.lost", "n", d.Units.Lost))
	}
	return append([]view.WorthFigure{f}, w.abundance()...)
}

func (w worthBook) abundance() []view.WorthFigure {
	f := w.figure("abundance")
	d := w.day
	if d.Abundance == nil {
		f.None, f.When = view.T("worth.not-everything"), message.Text{}
		return []view.WorthFigure{f}
	}
	chao := worth.Of(d.Abundance, "chao1-small-sample")
	taxa := whole(worth.Of(d.Abundance, "observed").Estimate)
	if chao.OK {
		f.Says = append(f.Says, view.T("worth.abundance", "n", d.Counted, "taxa", taxa, "once", whole(worth.Of(d.Abundance, "singletons").Estimate), "least", whole(chao.Estimate)))
	} else {
		f.Says = append(f.Says, view.T("worth.abundance-none", "n", d.Counted, "taxa", taxa, "why", noEstimate(chao.Why)))
	}
	if len(d.Effective) == 0 {
		return []view.WorthFigure{f}
	}
	even := w.figure("individuals")
	even.When = view.T("worth.when.individuals", "n", worth.Replicates)
	even.Says = []message.Text{view.T("worth.effective", "all", taxa, "one", rounded(worth.Of(d.Abundance, "hill1").Value), "two", rounded(worth.Of(d.Abundance, "hill2").Value))}
	even.Plots = []view.Plot{w.evenness()}
	return []view.WorthFigure{f, even}
}

// worthData answers one figure as CSV or JSON, by the end of its address.
func worthData(r *request) error {
	tag := r.eventTag()
	key, kind, _ := strings.Cut(r.echo.Param("figure"), ".")
	if kind != "csv" && kind != "json" {
		return fault.Missing()
	}
	if r.keeps(tag) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	f, err := worth.FigureOf(r.ctx, r.hall(), r.actor, r.scope(), key)
	if err != nil {
		r.unkept()
		return err
	}
	if kind == "json" {
		return r.echo.JSON(http.StatusOK, f.Objects())
	}
	data, err := f.CSV()
	if err != nil {
		return err
	}
	r.header("Content-Disposition", `inline; filename="`+r.at.Event.Code+`-`+key+`.csv"`)
	return r.echo.Blob(http.StatusOK, "text/csv; charset=utf-8", data)
}
