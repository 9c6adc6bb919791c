package pages

import (
	"bytes"
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/a-h/templ"
	"github.com/labstack/echo/v4"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

// societyAt begins an open answer of a society, with what it is made of.
func (s *Site) societyAt(c echo.Context) (r *request, events []hall.PublicEvent, err error) {
	if r, err = s.beginOpen(c); err != nil {
		return r, nil, err
	}
	society, events, err := r.hall().SocietyEvents(r.ctx, c.Param("society"))
	if err != nil {
		return r, nil, err
	}
	r.at.Society, r.at.Scope.Society = society, society.ID
	r.known, err = s.Hall.For(r.ctx, society.ID)
	return r, events, err
}

// wholeTag says from what a society's pages are made: any change of any event, what it says of itself, the hour (what
// was to come is running) and, as elsewhere, knowledge, language and program.
func (r *request) wholeTag(events []hall.PublicEvent) (string, error) {
	sum, err := r.hall().ChangeSeqs(r.ctx, r.at.Society.ID)
	return fmt.Sprintf(`W/"%s-%d-%d-%x-%x-%s-%s-%s"`, r.at.Society.ID, sum, len(events), r.hall().Now().Unix()/3600,
		shortSum(fmt.Sprintf("%q", r.at.Says())), message.From(r.ctx).Language(), r.hall().Knowledge.Revision, program()), err
}

// ofSociety serves a page that is made from all events of a society, from memory where nothing changed.
func (s *Site) ofSociety(h handler) echo.HandlerFunc {
	return s.ofSocietyRaw(func(r *request, tag string) error {
		if kept := s.kept.get(keptKey(r.echo), tag); kept != nil {
			return kept.answer(r.echo)
		}
		component, err := h(r)
		if err != nil {
			return err
		}
		var page bytes.Buffer
		if err := component.Render(r.ctx, &page); err != nil {
			return fmt.Errorf("render %s: %w", r.echo.Path(), err)
		}
		return s.keepPage(r, tag, nil, page.Bytes()).answer(r.echo)
	})
}

// ofSocietyRaw is ofSociety for what is no page.
func (s *Site) ofSocietyRaw(h func(r *request, tag string) error) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, events, err := s.societyAt(c)
		if err != nil {
			return r.fail(err)
		}
		tag, err := r.wholeTag(events)
		if err != nil {
			return r.fail(err)
		}
		if r.keeps(tag) {
			return c.NoContent(http.StatusNotModified)
		}
		if err := h(r, tag); err != nil {
			return r.fail(err)
		}
		return nil
	}
}

func (r *request) society() view.Society {
	return view.Society{Name: r.at.Society.Name, Path: "/" + r.at.Society.Code}
}

// societyLayout is the frame of a society's pages.
func (r *request) societyLayout(title, about message.Text, namesFungi bool) (view.Layout, error) {
	l, err := r.layout(title, namesFungi)
	l.Nav, l.Head.About = view.SocietyNav(r.society()), about
	return l, err
}

func societyPage(r *request) (templ.Component, error) {
	news, err := list.SeeNews(r.ctx, r.hall(), r.actor, r.at.Society.ID)
	if err != nil {
		return nil, err
	}
	name := r.at.Society.Name
	l, err := r.societyLayout(view.T("society.title"), view.T("society.about", "society", name), false)
	if err != nil {
		return nil, err
	}
	l.Head.Feeds = []view.Feed{{Type: atomType, Path: r.society().Feed(), Title: view.T("society.feed.title", "society", name)},
		{Type: calendarType, Path: r.society().Calendar(), Title: view.T("society.calendar.title", "society", name)}}
	s := r.at.Society
	p := view.SocietyFront{Layout: l, About: s.About, Mail: s.DataMail, Contact: s.DataContact, Web: s.WebAddress}
	for _, e := range news.Events {
		switch r.stage(e.Event) {
		case 0:
			p.Running = append(p.Running, r.societyCard(e))
		case 1:
			p.Upcoming = append([]view.EventCard{r.societyCard(e)}, p.Upcoming...) // the next one first
		default:
			p.Seasons = r.intoSeason(p.Seasons, e)
		}
	}
	return view.SocietyFrontPage(p), nil
}

// stage is 1 before an event, 0 on its days, -1 after.
func (r *request) stage(e hall.Event) int {
	today := r.hall().Now().In(hall.Zone(e)).Format(time.DateOnly)
	switch {
	case today < e.StartsOn:
		return 1
	case today <= cmp.Or(e.EndsOn, e.StartsOn):
		return 0
	}
	return -1
}

func (r *request) societyCard(e list.NewsEvent) view.EventCard {
	from, to := days(e.Event)
	return view.EventCard{Path: r.society().Event(e.Event.Code), Code: e.Event.Code, Name: e.Event.Name, Place: e.Event.Place, From: from, To: to,
		Open: e.Event.State == "open" && r.stage(e.Event) == 0}
}

func (r *request) intoSeason(seasons []view.Season, e list.NewsEvent) []view.Season {
	year := yearOf(e.Event)
	if len(seasons) == 0 || seasons[len(seasons)-1].Year != year {
		seasons = append(seasons, view.Season{Year: year, Path: r.society().Season(year)})
	}
	s := &seasons[len(seasons)-1]
	s.Events = append(s.Events, r.seasonEvent(e))
	return seasons
}

func yearOf(e hall.Event) string { return e.StartsOn[:min(4, len(e.StartsOn))] }

func (r *request) seasonEvent(e list.NewsEvent) view.SeasonEvent {
	from, to := days(e.Event)
	v := view.SeasonEvent{Code: e.Event.Code, Name: e.Event.Name, Path: r.society().Event(e.Event.Code), Place: e.Event.Place, From: from, To: to}
	for _, version := range e.Versions {
		v.Versions = append(v.Versions, view.Version{N: version.Version, Path: view.Event{Path: v.Path}.Version(version.Version)})
	}
	return v
}

// asked is how the address narrows the list of a society.
type asked struct {
	list.Choice
	find string
}

func (r *request) asked() asked {
	q := r.echo.QueryParams()
	a := asked{list.Choice{Year: q.Get("year"), Site: q.Get("site")}, strings.TrimSpace(q.Get("find"))}
	if len(a.find) > longestFind {
		a.find = strings.ToValidUTF8(a.find[:longestFind], "")
	}
	return a
}

// whole reads the list of a society. A season without an event is as unknown as a site of which nobody is told.
func (r *request) whole(a asked) (list.Whole, error) {
	w, err := list.SeeSociety(r.ctx, r.hall(), r.actor, r.at.Society.ID, a.Choice)
	if err != nil {
		return w, err
	}
	known := func(s list.Site) bool { return strings.EqualFold(s.Code, a.Site) }
	if a.Year != "" && !slices.Contains(w.Years, a.Year) || a.Site != "" && !slices.ContainsFunc(w.Sites, known) {
		return w, fault.Missing()
	}
	return w, nil
}

func societyList(r *request) (templ.Component, error) {
	a := r.asked()
	w, err := r.whole(a)
	if err != nil {
		return nil, err
	}
	l, err := r.societyLayout(view.T("society.list.title"), view.T("society.list.about", "society", r.at.Society.Name), true)
	p := r.listOfSociety(w, a)
	l.Head.Data = r.datasetOfSociety(w)
	p.Layout, p.Pick.Action = l, r.society().List()
	for _, year := range w.Years {
		p.Pick.Years = append(p.Pick.Years, view.Option{Value: year, Label: year, Chosen: year == a.Year})
	}
	for _, s := range w.Sites {
		p.Pick.Sites = append(p.Pick.Sites, view.Option{Value: s.Code, Label: s.Name, Chosen: strings.EqualFold(s.Code, a.Site)})
	}
	return view.SocietyListPage(p), err
}

func societyListCSV(r *request, _ string) error {
	a := r.asked()
	w, err := r.whole(a)
	if err != nil {
		return err
	}
	lines := slices.DeleteFunc(slices.Clone(w.List.Lines), func(l tally.Line) bool { return !r.names(l, a.find) })
	data, err := w.CSV(lines)
	if err != nil {
		return err
	}
	r.header("Content-Disposition", fmt.Sprintf(`inline; filename="%s-list.csv"`, r.at.Society.Code))
	return r.echo.Blob(http.StatusOK, "text/csv; charset=utf-8", data)
}

// names reports whether a part of a name is of a line: of its current name, a name as determined or its common name.
func (r *request) names(l tally.Line, find string) bool {
	v := view.ListLine{Name: sciNamed(l.Named), Common: r.printed(l.Current)}
	for _, d := range l.Determined {
		v.Determined = append(v.Determined, sciNamed(d))
	}
	return listPick{find: find}.named(listed{ListLine: v})
}

// listOfSociety draws the lines that are asked for under their groups. The totals are those of the whole.
func (r *request) listOfSociety(w list.Whole, a asked) view.SocietyList {
	p := view.SocietyList{Events: len(w.Events), AnyName: len(w.List.Lines) > 0, Pick: view.SocietyPick{Part: a.Year != "" || a.Site != "", Find: a.find, Of: len(w.List.Lines)}}
	p.Total = view.List{Total: w.List.Total, Rule: message.T("tally.rule")}
	groups, apart := map[string]*view.SocietyGroup{}, map[string]*view.SocietyGroup{}
	into := func(all map[string]*view.SocietyGroup, key string, l view.SocietyLine) {
		if all[key] == nil {
			all[key] = &view.SocietyGroup{Key: key}
		}
		all[key].Lines = append(all[key].Lines, l)
		if l.Counts {
			all[key].Count++
		}
	}
	for _, line := range w.List.Lines {
		if !r.names(line, a.find) {
			continue
		}
		p.Pick.Shown++
		if line.Apart != tally.Counted {
			into(apart, string(line.Apart), r.societyLine(w, line))
		} else {
			into(groups, string(line.Realm), r.societyLine(w, line))
		}
	}
	for _, realm := range tally.Realms {
		if n := w.List.Totals[realm]; n > 0 {
			p.Total.Totals = append(p.Total.Totals, view.ListTotal{Key: string(realm), Count: n})
		}
		if g := groups[string(realm)]; g != nil {
			p.Groups = append(p.Groups, *g)
		}
	}
	for _, reason := range tally.AllApart {
		if g := apart[string(reason)]; g != nil {
			p.Apart = append(p.Apart, *g)
		}
	}
	p.Kept = keptBack(w.Kept())
	p.CSV = r.society().ListCSV()
	if q := (url.Values{"year": {a.Year}, "site": {a.Site}, "find": {a.find}}); a != (asked{}) {
		for name := range q {
			if q.Get(name) == "" {
				q.Del(name)
			}
		}
		p.CSV += "?" + q.Encode()
	}
	return p
}

func keptBack(all []list.Kept) (out []view.KeptBack) {
	for _, k := range all {
		out = append(out, view.KeptBack{Kilometres: kilometres(k.GridM), Finds: k.Finds})
	}
	return out
}

// kilometres of a grid, never less than it is.
func kilometres(m int) int { return (m + 999) / 1000 }

func (r *request) societyLine(w list.Whole, line tally.Line) view.SocietyLine {
	span := w.SpanOf(line)
	v := view.SocietyLine{Name: sciNamed(line.Named), Path: r.societyNamePath(line.Current, line.Key), Common: r.printedMarked(line.Current),
		Hazard: r.hazardIn(list.Written(line.Named), w.Events), State: view.Naming(line.State), Plates: line.Plates(), Fields: line.Fields(),
		First: span.First, Last: span.Last, Counts: line.Counts, Why: line.Why}
	for _, d := range line.Determined {
		v.Determined = append(v.Determined, sciNamed(d))
	}
	for _, code := range span.Events {
		v.Events = append(v.Events, r.eventLink(code))
	}
	for _, s := range span.Sites {
		v.Sites = append(v.Sites, view.Link{Label: s.Name, Path: r.society().Site(s.Code)})
	}
	return v
}

func (r *request) eventLink(code string) view.Link {
	return view.Link{Label: code, Path: r.society().Event(code)}
}

// hazardIn is what a name may bring, in the region of the newest of some events.
func (r *request) hazardIn(written string, events []hall.Event) *view.Hazard {
	region := ""
	if len(events) > 0 {
		region = events[0].Region
	}
	return hazardOf(r.hall().Knowledge.Hazards.Worst([]hazard.Question{{Text: written}}, region))
}

// societyNamePath leads to a name's page over all events. What is no name but a group of the hall has none.
func (r *request) societyNamePath(current *taxon.Name, key string) string {
	switch {
	case current != nil:
		return r.society().Taxon(current.Name)
	case key == "" || strings.HasPrefix(key, string(taxon.Form)+":"):
		return ""
	}
	return r.society().Taxon(key)
}

func seasonPage(r *request) (templ.Component, error) {
	a := asked{Choice: list.Choice{Year: r.echo.Param("year")}}
	w, err := r.whole(a)
	if err != nil {
		return nil, err
	}
	news, err := list.SeeNews(r.ctx, r.hall(), r.actor, r.at.Society.ID)
	if err != nil {
		return nil, err
	}
	l, err := r.societyLayout(view.T("society.season", "year", a.Year), view.T("society.season.about", "society", r.at.Society.Name, "year", a.Year), true)
	l.Head.Data = r.datasetOfSociety(w)
	p := view.SeasonPage{SocietyList: r.listOfSociety(w, a), Year: a.Year}
	p.Layout = l
	if i := slices.Index(w.Years, a.Year); i >= 0 {
		p.Before, p.After = r.seasonLink(w.Years, i+1), r.seasonLink(w.Years, i-1)
	}
	for _, e := range news.Events {
		if yearOf(e.Event) != a.Year || err != nil {
			continue
		}
		one := r.seasonEvent(e)
		one.Walks, err = r.seasonWalks(news, e.Event)
		p.Events = append(p.Events, one)
	}
	return view.SeasonView(p), err
}

func (r *request) seasonLink(years []string, i int) *view.Link {
	if i < 0 || i >= len(years) {
		return nil
	}
	return &view.Link{Text: view.T("society.season", "year", years[i]), Path: r.society().Season(years[i])}
}

// walksOf is the walks of one event, with the places that no event of the society keeps back.
func (r *request) walksOf(news list.News, e hall.Event) ([]outside.Walk, error) {
	scope := r.scope()
	scope.Event = e.ID
	seen, err := outside.SeeWalks(r.ctx, r.hall(), r.actor, scope)
	for i, w := range seen.Walks {
		if w.Place != "" && news.Hides(w.Place) {
			seen.Walks[i].Place, seen.Walks[i].KeptBack = "", true
		}
	}
	return seen.Walks, err
}

func (r *request) seasonWalks(news list.News, e hall.Event) (out []view.SeasonWalk, err error) {
	walks, err := r.walksOf(news, e)
	for _, w := range walks {
		out = append(out, view.SeasonWalk{Title: w.Title, At: w.StartsAt.In(hall.Zone(e)), Place: w.Place, KeptBack: w.KeptBack, CalledOff: w.CalledOff})
	}
	return out, err
}

func sitesPage(r *request) (templ.Component, error) {
	g, err := list.SeeGrounds(r.ctx, r.hall(), r.actor, r.at.Society.ID)
	if err != nil {
		return nil, err
	}
	l, err := r.societyLayout(view.T("society.sites.title"), view.T("society.sites.about", "society", r.at.Society.Name), false)
	p := view.SitesPage{Layout: l, Map: r.siteMap(g, ""), Grid: kilometres(foray.FinestGridM), Coarse: kilometres(hall.FlaggedGridM)}
	numbers := map[string]int{}
	for _, spot := range p.Map.Spots {
		numbers[spot.Path] = spot.Number
	}
	for _, s := range g.Sites {
		line := view.SiteLine{Name: s.Name, Code: s.Code, Path: r.society().Site(s.Code), Finds: s.Finds}
		line.Number = numbers[line.Path]
		for _, code := range s.Events {
			line.Events = append(line.Events, r.eventLink(code))
		}
		p.Sites = append(p.Sites, line)
	}
	return view.SitesView(p), err
}

// siteMap is the public points of the sites, numbered in the order of their names.
func (r *request) siteMap(g list.Grounds, here string) (m view.SiteMap) {
	for _, s := range g.Sites {
		if lat, lon, _, ok := s.Place.Point(); ok {
			m.Spots = append(m.Spots, view.MapSpot{Number: len(m.Spots) + 1, Name: s.Name, Path: r.society().Site(s.Code), Latitude: lat, Longitude: lon, Here: s.Code == here})
		}
	}
	return m
}

func sitePage(r *request) (templ.Component, error) {
	w, one, all, err := list.SeeGround(r.ctx, r.hall(), r.actor, r.at.Society.ID, r.echo.Param("code"))
	if err != nil {
		return nil, err
	}
	l, err := r.societyLayout(view.T("society.site.title", "site", one.Name), view.T("society.site.about", "site", one.Name, "society", r.at.Society.Name), true)
	p := view.SitePage{SocietyList: r.listOfSociety(w, asked{Choice: list.Choice{Site: one.Code}}), Name: one.Name, Code: one.Code, Map: r.siteMap(all, one.Code),
		Sites: r.society().Sites(), Coarse: kilometres(hall.FlaggedGridM)}
	p.Layout = l
	p.OnlyHere()
	if lat, lon, uncertainty, ok := one.Place.Point(); ok {
		p.Point = &view.SitePoint{Latitude: degrees(lat), Longitude: degrees(lon), UncertaintyM: uncertainty}
	} else {
		p.Map = view.SiteMap{}
	}
	for _, code := range one.Events {
		p.Found = append(p.Found, r.eventLink(code))
	}
	return view.SiteView(p), err
}
