package pages

import (
	"math"
	"strconv"
	"strings"

	"forayhall/internal/hall/worth"
	"forayhall/internal/message"
	"forayhall/internal/tally/richness"
	"forayhall/web/view"
)

// numbered ticks whole numbers from 1 (or the first) to the last, at most about eight of them.
func numbered(from, to int) (ticks []view.PlotTick) {
	step := max(1, int(math.Ceil(float64(to-from)/8)))
	for n := from; n <= to; n += step {
		ticks = append(ticks, view.PlotTick{At: float64(n), Label: strconv.Itoa(n)})
	}
	return ticks
}

// upTo is an axis from 0 to just above the most.
func upTo(label string, most float64) view.PlotAxis {
	ticks, to := view.PlotTicks(most)
	return view.PlotAxis{Label: view.T("worth.axis." + label), To: to, Ticks: ticks}
}

func (w worthBook) evenness() view.Plot {
	p := view.Plot{Key: "plot-individuals", Title: view.T("worth.figure.individuals"), About: view.T("worth.about.individuals")}
	styles := []string{view.PlotWhole, view.PlotDashed, view.PlotThin}
	lines := map[int][]view.PlotPoint{}
	most, far := 0.0, 0
	for _, q := range w.day.Effective {
		if q.Expected.OK {
			lines[q.Order] = append(lines[q.Order], view.PlotPoint{X: float64(q.Size), Y: q.Expected.Value})
			most, far = max(most, q.Expected.Value), max(far, q.Size)
		}
		if q.Method == richness.Observed && q.Expected.OK {
			p.Dots = append(p.Dots, view.PlotDot{X: float64(q.Size), Y: q.Expected.Value, Style: view.PlotRound})
		}
	}
	for order, style := range styles {
		p.Lines = append(p.Lines, view.PlotLine{Style: style, Points: lines[order]})
		p.Legend = append(p.Legend, view.PlotKey{Style: style, Text: view.T("worth.key.q" + strconv.Itoa(order))})
	}
	p.Legend = append(p.Legend, view.PlotKey{Style: view.PlotRound, Text: view.T("worth.key.done")})
	p.Y = upTo("taxa", most)
	ticks, _ := view.PlotTicks(float64(far))
	p.X = view.PlotAxis{Label: view.T("worth.axis.meetings"), To: float64(far), Ticks: within(ticks, float64(far))}
	return p
}

func within(ticks []view.PlotTick, to float64) (some []view.PlotTick) {
	for _, t := range ticks {
		if t.At <= to {
			some = append(some, t)
		}
	}
	return some
}

func (w worthBook) effort() []view.WorthFigure {
	return []view.WorthFigure{w.accumulation(), w.days(), w.curve()}
}

func (w worthBook) accumulation() view.WorthFigure {
	f := w.figure("accumulation")
	units := w.day.Units.Units
	n := len(units)
	if n < 2 || w.day.Taxa == 0 {
		f.None = view.T("worth.no-curve")
		return f
	}
	expected := w.day.Expected()
	key := "worth.accumulation"
	if w.day.Units.Kind == worth.BySite {
		key = "worth.accumulation-site-day"
	}
	total := units[n-1].Step.Total
	f.Says = []message.Text{view.T(key, "first", rounded(expected[0]), "total", total, "last", rounded(expected[n-1]-expected[n-2]))}
	p := view.Plot{Key: "plot-accumulation", Title: view.T("worth.figure.accumulation"),
		About:  view.T("worth.about.accumulation", "first", units[0].Step.Total, "total", total, "n", n),
		X:      view.PlotAxis{Label: view.T("worth.axis." + string(w.day.Units.Kind)), To: float64(n), Ticks: numbered(0, n)},
		Y:      upTo("taxa", float64(total)),
		Legend: []view.PlotKey{{Style: view.PlotRound, Text: view.T("worth.key.order")}, {Style: view.PlotWhole, Text: view.T("worth.key.average")}}}
	line := view.PlotLine{Style: view.PlotWhole, Points: []view.PlotPoint{{}}}
	for i, u := range units {
		p.Dots = append(p.Dots, view.PlotDot{X: float64(i + 1), Y: float64(u.Step.Total), Style: view.PlotRound})
		line.Points = append(line.Points, view.PlotPoint{X: float64(i + 1), Y: expected[i]})
	}
	p.Lines = []view.PlotLine{line}
	f.Plots = []view.Plot{p}
	return f
}

func (w worthBook) days() view.WorthFigure {
	f := w.figure("days")
	f.Open = true
	f.Says = []message.Text{view.T("worth.days")}
	if len(f.Table.Rows) == 0 {
		f.Says, f.None = nil, view.T("worth.nothing")
	}
	return f
}

func (w worthBook) curve() view.WorthFigure {
	f := w.figure("curve")
	points := w.day.Curve
	if len(points) == 0 {
		f.None = view.T("worth.no-curve")
		return f
	}
	last := points[len(points)-1]
	fewer, more := view.PlotLine{Style: view.PlotWhole, Points: []view.PlotPoint{{}}}, view.PlotLine{Style: view.PlotDashed}
	var band view.PlotBand
	p := view.Plot{Key: "plot-curve", Title: view.T("worth.figure.curve")}
	most, done, first := 0.0, 0, points[0]
	for _, q := range points {
		if !q.Expected.OK {
			continue
		}
		at := view.PlotPoint{X: float64(q.Size), Y: q.Expected.Value}
		most = max(most, at.Y)
		if q.Method != richness.Extrapolation {
			fewer.Points = append(fewer.Points, at)
		}
		if q.Method != richness.Rarefaction {
			more.Points = append(more.Points, at)
		}
		if q.Method == richness.Observed {
			done = q.Size
			p.Dots = []view.PlotDot{{X: at.X, Y: at.Y, Style: view.PlotRound}}
		}
		if q.Low.OK && q.High.OK {
			band.Low, band.High = append(band.Low, view.PlotPoint{X: at.X, Y: q.Low.Value}), append(band.High, view.PlotPoint{X: at.X, Y: q.High.Value})
			most = max(most, q.High.Value)
		}
	}
	p.Lines = []view.PlotLine{fewer, more}
	if p.Legend = keysOf(view.PlotWhole, "fewer", view.PlotRound, "done"); len(more.Points) > 1 {
		p.Legend = append(p.Legend, keysOf(view.PlotDashed, "more")...)
	}
	if len(band.Low) > 1 {
		p.Bands, p.Legend = []view.PlotBand{band}, append(p.Legend, keysOf(view.PlotBands, "band")...)
	}
	p.X = view.PlotAxis{Label: view.T("worth.axis." + string(w.day.Units.Kind)), To: float64(last.Size), Ticks: numbered(0, last.Size)}
	p.Y = upTo("taxa", most)
	p.About = view.T("worth.about.curve", "first", whole(first.Expected), "total", len(w.day.Units.Units), "n", done, "more", whole(last.Expected), "twice", last.Size)
	if last.Expected.OK && last.Low.OK && last.High.OK && last.Method == richness.Extrapolation {
		f.Says = []message.Text{view.T("worth.curve", "n", whole(last.Expected), "low", whole(last.Low), "high", whole(last.High))}
	}
	f.Plots = []view.Plot{p}
	return f
}

// keysOf is a legend of styles and what they stand for.
func keysOf(pairs ...string) (keys []view.PlotKey) {
	for i := 0; i+1 < len(pairs); i += 2 {
		keys = append(keys, view.PlotKey{Style: pairs[i], Text: view.T("worth.key." + pairs[i+1])})
	}
	return keys
}

func (w worthBook) years() view.WorthFigure {
	f := w.figure("years")
	years := w.day.Years
	if w.day.Undated > 0 {
		f.Says = append(f.Says, view.T("worth.undated", "n", w.day.Undated))
	}
	n := len(years)
	if n < 2 {
		f.None = view.T("worth.years-none")
		return f
	}
	first, last := years[0], years[n-1]
	f.Says = append([]message.Text{view.T("worth.years", "n", n, "total", last.Total, "year", last.Year, "new", last.New)}, f.Says...)
	p := view.Plot{Key: "plot-years", Title: view.T("worth.figure.years"),
		About: view.T("worth.about.years", "first", first.Total, "from", first.Year, "total", last.Total, "to", last.Year),
		X:     view.PlotAxis{Label: view.T("worth.axis.year"), From: float64(first.Year) - 0.6, To: float64(last.Year) + 0.6, Ticks: numbered(first.Year, last.Year)},
		Y:     upTo("species", float64(last.Total))}
	line := view.PlotLine{Style: view.PlotWhole}
	for _, y := range years {
		p.Bars = append(p.Bars, view.PlotBar{X: float64(y.Year), Y: float64(y.Met), Style: view.PlotHollow})
		line.Points = append(line.Points, view.PlotPoint{X: float64(y.Year), Y: float64(y.Total)})
	}
	p.Lines = []view.PlotLine{line}
	p.Legend = keysOf(view.PlotWhole, "total", view.PlotBarred, "year")
	f.Plots = []view.Plot{p}
	return f
}

func (w worthBook) turnover(key string, t worth.Turnovers) view.WorthFigure {
	f := w.figure(key)
	if len(t.Labels) < 2 {
		f.None = view.T("worth.turnover-one")
		return f
	}
	said := "worth.turnover-sites"
	if key == "year-turnover" {
		said = "worth.turnover-years"
	}
	f.Says = []message.Text{view.T(said)}
	if t.Older > 0 {
		f.Says = append(f.Says, view.T("worth.turnover-older", "n", t.Older))
	}
	m := view.Matrix{}
	for i, l := range t.Labels {
		label := cellOf(l.Cell())
		label.Number = false
		m.Labels = append(m.Labels, label)
		row := make([]view.MatrixCell, len(t.Labels))
		for j := range row {
			row[j] = matrixCell(t, i, j)
		}
		m.Cells = append(m.Cells, row)
	}
	f.Matrix = &m
	return f
}

func matrixCell(t worth.Turnovers, i, j int) view.MatrixCell {
	pair := t.Between(i, j)
	switch {
	case i == j:
		return view.MatrixCell{Same: true}
	case pair == nil || !pair.Jaccard.OK:
		return view.MatrixCell{None: true}
	}
	return view.MatrixCell{Share: int(math.Round(100 * pair.Jaccard.Value)), Shared: pair.Shared}
}

func (w worthBook) season() view.WorthFigure {
	f := w.figure("season")
	s := w.day.Season
	if len(s.Groups)+len(s.Genera) == 0 {
		f.None = view.T("worth.season-none")
		return f
	}
	f.Says = []message.Text{view.T("worth.season", "n", s.Dated)}
	if s.Visited < 3 {
		f.Says = append(f.Says, view.T("worth.season-few", "n", s.Visited))
	}
	strips := view.Strips{Key: "plot-season", Title: view.T("worth.figure.season"), About: view.T("worth.about.season"), Now: s.Now}
	for _, g := range s.Groups {
		strips.Rows = append(strips.Rows, view.Strip{Text: view.T("worth.word." + string(g.Group)), Bars: g.In[:], Most: g.Most()})
	}
	for _, g := range s.Genera {
		strips.Rows = append(strips.Rows, view.Strip{Name: g.Genus, Bars: g.In[:], Most: g.Most()})
	}
	f.Strips = &strips
	return f
}

// mostHosts is how many trees a drawing holds.
const mostHosts = 12

func (w worthBook) hosts() view.WorthFigure {
	f := w.figure("hosts")
	hosts := w.day.Hosts
	if len(hosts) == 0 {
		f.None = view.T("worth.hosts-none")
		return f
	}
	f.Says = []message.Text{view.T("worth.hosts")}
	if len(hosts) > mostHosts {
		f.Says = append(f.Says, view.T("worth.hosts-more", "n", mostHosts))
		hosts = hosts[:mostHosts]
	}
	s := view.Shares{Key: "plot-hosts", Title: view.T("worth.figure.hosts"), About: view.T("worth.about.hosts"), Axis: view.T("worth.axis.hosts")}
	for _, h := range hosts {
		s.Rows = append(s.Rows, view.Share{Label: h.Name, N: len(h.Taxa)})
		s.Most = max(s.Most, len(h.Taxa))
	}
	f.Shares = &s
	return f
}

func (w worthBook) rain() view.WorthFigure {
	f := w.figure("rain")
	days := w.day.Rain.Days
	if w.day.Rain.Entered == 0 {
		f.None = view.T("worth.rain-none")
		return f
	}
	for _, e := range w.day.After.Events {
		switch {
		case e.Here && e.Before != nil:
			f.Says = append(f.Says, view.T("worth.rain", "mm", rounded(*e.Before)))
		case e.Here:
			f.Says = append(f.Says, view.T("worth.rain-part", "n", e.Entered))
		}
	}
	wet := view.Plot{Key: "plot-rain", Title: view.T("worth.figure.rain"), About: view.T("worth.about.rain")}
	found := view.Plot{Key: "plot-rain-finds", Title: view.T("worth.axis.finds"), About: view.T("worth.about.rain-finds")}
	most, finds, before := 0.0, 0, 0
	for _, d := range days {
		if !d.Event {
			before++
		}
	}
	for i, d := range days {
		x := float64(i - before) // 0 is the first day of the event
		label := message.From(w.r.ctx).Say("pages.worth.axis.tick-day", "day", strings.TrimPrefix(d.Day[8:], "0"), "month", strings.TrimPrefix(d.Day[5:7], "0"))
		if (i-before)%7 == 0 {
			wet.X.Ticks = append(wet.X.Ticks, view.PlotTick{At: x, Label: label})
		}
		bar := view.PlotBar{X: x, Style: view.PlotGap}
		if d.MM != nil {
			bar = view.PlotBar{X: x, Y: *d.MM, Style: view.PlotWhole}
			most = max(most, *d.MM)
		}
		wet.Bars = append(wet.Bars, bar)
		if d.Event {
			found.Bars = append(found.Bars, view.PlotBar{X: x, Y: float64(d.Finds), Style: view.PlotHollow})
			found.X.Ticks = append(found.X.Ticks, view.PlotTick{At: x, Label: label})
			finds = max(finds, d.Finds)
		}
	}
	wet.X.From, wet.X.To = -float64(before)-0.6, float64(len(days)-before)-0.4
	wet.X.Label = view.T("worth.axis.before")
	wet.Y = upTo("mm", most)
	found.X.From, found.X.To, found.X.Label = -0.6, wet.X.To, view.T("worth.axis.day")
	found.Y = upTo("finds", float64(finds))
	if w.day.Rain.Entered < len(days) {
		wet.Legend = keysOf(view.PlotGap, "gap")
	}
	wet.Lines = []view.PlotLine{{Style: view.PlotDashed, Points: []view.PlotPoint{{X: -0.5}, {X: -0.5, Y: wet.Y.To}}}}
	wet.Legend = append(wet.Legend, keysOf(view.PlotDashed, "begins")...)
	if f.Plots = []view.Plot{wet}; len(found.Bars) > 1 {
		f.Plots = append(f.Plots, found)
	}
	return f
}

func (w worthBook) rainEvents() view.WorthFigure {
	f := w.figure("rain-events")
	a := w.day.After
	switch {
	case len(a.Events) == 0:
		f.None = view.T("worth.rain-events-none")
		return f
	case a.Known < a.Needed:
		f.Says = []message.Text{view.T("worth.rain-events-few", "n", a.Known, "needed", a.Needed)}
	case a.Rank == nil:
		f.Says = []message.Text{view.T("worth.rain-events-same", "n", a.Known)}
	default:
		f.Says = []message.Text{view.T("worth.rain-events", "n", a.Known, "rank", strconv.FormatFloat(*a.Rank, 'f', 2, 64))}
	}
	if a.Known < 2 {
		return f
	}
	p := view.Plot{Key: "plot-rain-events", Title: view.T("worth.figure.rain-events"), About: view.T("worth.about.rain-events"),
		Legend: keysOf(view.PlotSquare, "now", view.PlotHollow, "other-event")}
	wettest, most := 0.0, 0
	for _, e := range a.Events {
		if e.Before == nil {
			continue
		}
		dot := view.PlotDot{X: *e.Before, Y: float64(e.Species), Style: view.PlotHollow, Label: e.Code}
		if e.Here {
			dot.Style = view.PlotSquare
		}
		p.Dots = append(p.Dots, dot)
		wettest, most = max(wettest, *e.Before), max(most, e.Species)
	}
	p.X, p.Y = upTo("rain14", wettest), upTo("species", float64(most))
	f.Plots = []view.Plot{p}
	return f
}
