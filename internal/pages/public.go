package pages

import (
	"forayhall/internal/hall"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

func day(iso string) time.Time {
	t, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return time.Time{}
	}
	return t
}

// days gives an event's first and last day; one of a single day has no last.
func days(e hall.Event) (from, to time.Time) {
	from, to = day(e.StartsOn), day(e.EndsOn)
	if from.Equal(to) {
		to = time.Time{}
	}
	return from, to
}

func start(r *request) (templ.Component, error) {
	events, err := r.hall().PublicEvents(r.ctx)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("start.title"), false)
	if err != nil {
		return nil, err
	}
	return view.StartPage(view.Start{Layout: l, Events: cards(events)}), nil
}

func cards(events []hall.PublicEvent) []view.EventCard {
	var cards []view.EventCard
	for _, e := range events {
		from, to := days(e.Event)
		society := "/" + e.Society.Code
		cards = append(cards, view.EventCard{Path: society + "/" + e.Event.Code, Code: e.Event.Code, Name: e.Event.Name,
			Society: e.Society.Name, SocietyPath: society, Place: e.Event.Place, From: from, To: to, Open: e.Event.State == "open" && e.Version == 0, Version: e.Version})
	}
	return cards
}

func landing(r *request) (templ.Component, error) {
	running, err := list.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	display, err := tables.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	sheet, err := safety.WarningSheet(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("landing.title"), true)
	if err != nil {
		return nil, err
	}
	l.Head.Data, l.Head.About = r.eventData(), r.aboutEvent("landing.about")
	from, to := days(r.at.Event)
	return view.LandingPage(view.Landing{Layout: l, Place: r.at.Event.Place, From: from, To: to, Open: r.at.Event.State == "open",
		AsOf: r.local(r.hall().Now()), Collections: running.List.Finds - running.List.Fields + running.Unnamed, Taxa: running.List.Total,
		Tables: len(display.Tables), Warned: len(sheet.Here) + len(sheet.Wide), SheetFinal: sheet.Final,
		Versions: r.versions(running.Versions), Jump: r.jump(""), Own: signInFor(r.event().Own())}), nil
}

func (r *request) versions(published []hall.Publication) []view.Version {
	var versions []view.Version
	for _, p := range published {
		versions = append(versions, view.Version{N: p.Version, At: r.local(p.SignedAt.Time), Path: r.event().Version(p.Version), Digest: p.CanonicalSha256})
	}
	return versions
}

func runningList(r *request) (templ.Component, error) {
	pick := r.listPick()
	running, err := list.SeePart(r.ctx, r.hall(), r.actor, r.scope(), list.Part{Site: pick.site, Day: pick.day})
	if err != nil {
		return nil, err
	}
	if !pick.partOf(running) {
		return nil, fault.Missing() // as for a site that nobody is told of
	}
	l, err := r.layout(view.T("list.title"), true)
	if err != nil {
		return nil, err
	}
	l.Head.Data, l.Head.About = r.runningData(running), r.aboutEvent("list.about")
	p := r.listOf(running, pick)
	p.Layout, p.Why, p.Part = l, r.event().ListWhy(), partText(running, pick)
	p.Pick = r.pickForm(p.Pick, pick, running)
	p.Links = r.listLinks()
	return view.ListPage(p), nil
}

func (r *request) listOf(running list.Running, pick listPick) view.List {
	lines := make([]listed, len(running.List.Lines))
	for i, line := range running.List.Lines {
		lines[i] = r.listedLine(line)
	}
	p := arrange(lines, pick)
	p.AsOf, p.Total, p.Rule = r.local(r.hall().Now()), running.List.Total, message.T("tally.rule")
	p.CSV, p.JSON = r.event().Running()+".csv", r.event().Running()+".json"
	p.Versions = r.versions(running.Versions)
	return p
}

func (r *request) listedLine(line tally.Line) listed {
	v := view.ListLine{Name: sciNamed(line.Named), Path: r.namePath(line.Current, line.Key), State: view.Naming(line.State), Sites: line.Places, Determiners: line.Determiners,
		Common: r.printedMarked(line.Current), Counts: line.Counts, Why: line.Why, Hazard: r.hazardOfName(list.Written(line.Named)),
		Vouchers: line.Vouchers(), Photographs: line.Photographs()}
	for _, d := range line.Determined {
		v.Determined = append(v.Determined, sciNamed(d))
	}
	for _, first := range line.Firsts {
		v.Firsts = append(v.Firsts, first.Text)
	}
	numbers := make([]string, 0, len(line.Finds))
	for i := range line.Finds {
		if f := &line.Finds[i]; !f.Field {
			numbers = append(numbers, f.Number)
		}
	}
	r.addNumbers(&v, numbers)
	v.Fields, v.Seen = line.Fields(), line.Seen()
	v.Asked, v.Answered = line.Signs()
	l := listed{ListLine: v, realm: string(line.Realm), apart: string(line.Apart), family: line.Family, finds: len(line.Finds)}
	if n := line.Current; n != nil {
		l.class, l.order = n.Class, n.Order
	}
	return l
}

// addNumbers are numbers as we write them ourselves.
func (r *request) addNumbers(v *view.ListLine, numbers []string) {
	event := r.event()
	v.Collections, v.Paths = make([]view.Number, len(numbers)), make([]string, len(numbers))
	for i, number := range numbers {
		digits := strings.TrimRight(number, "abcdefghijklmnopqrstuvwxyz")
		v.Collections[i] = view.Number{Code: event.Code, Digits: digits, Suffix: number[len(digits):]}
		v.Paths[i] = event.Find(number)
	}
}

func sciNamed(n tally.Named) view.SciName {
	return view.SciName{Name: n.Name, Author: n.Author, Rank: n.Rank, Qualifier: n.Qualifier, Position: n.Position}
}

func (r *request) version() (hall.Publication, list.Canonical, error) {
	n, err := strconv.Atoi(r.echo.Param("version"))
	if err != nil || n < 1 {
		return hall.Publication{}, list.Canonical{}, fault.Missing()
	}
	return list.Version(r.ctx, r.hall(), r.actor, r.scope(), n)
}

// listVersion renders a published list from its frozen bytes and from nothing else.
func listVersion(r *request) (templ.Component, error) {
	p, c, err := r.version()
	if err != nil {
		return nil, err
	}
	lines := make([]listed, len(c.Lines))
	for i, line := range c.Lines {
		lines[i] = r.frozenLine(line)
	}
	l, err := r.layout(view.T("list.title"), true)
	if err != nil {
		return nil, err
	}
	l.Head.Data, l.Head.About = r.versionData(c), r.aboutEvent("list.about")
	pick := r.listPick()
	pick.site, pick.day = "", "" // a version is of the whole
	page := arrange(lines, pick)
	page.Pick = r.pickForm(page.Pick, pick, list.Running{})
	page.Links = r.versionLinks(c.Version)
	page.Layout, page.Version, page.AsOf, page.By, page.Digest = l, c.Version, r.local(c.SignedAt), c.SignedBy, p.CanonicalSha256
	page.Total, page.Rule = c.Total, message.T("data.as-is", "text", c.Rule)
	page.Changes, page.Today = r.event().VersionChanges(c.Version), r.event().VersionToday(c.Version)
	page.CSV, page.JSON = r.event().Version(c.Version)+"/csv", r.event().Version(c.Version)+"/json"
	return view.ListPage(page), nil
}

func (r *request) frozenLine(line list.CanonicalLine) listed {
	v := view.ListLine{Path: r.writtenPath(line.Name), Name: view.SciName{Name: line.Name, Author: line.Author, Rank: taxon.Rank(line.Rank), Qualifier: taxon.Qualifier(line.Qualifier),
		Position: taxon.Rank(line.Position)}, State: view.Naming(line.State), Sites: line.Places, Determiners: line.Determiners,
		Common: view.Common{Name: line.Common, Borrows: borrowOf(r.hall().Knowledge.Borrows(line.Common, line.Name))}, Counts: line.Counts, Why: message.T("data.as-is", "text", line.Why), Hazard: r.hazardOfName(line.Written)}
	for _, d := range line.DeterminedAs {
		v.Determined = append(v.Determined, r.sciWritten(d))
	}
	r.addNumbers(&v, line.Numbers)
	for _, first := range line.Firsts {
		v.Firsts = append(v.Firsts, message.T("data.as-is", "text", first))
	}
	v.Fields, v.Seen, v.Vouchers, v.Photographs = len(line.FieldRecords), line.Seen, len(line.Vouchers), line.Photographs
	return listed{ListLine: v, realm: line.Group, apart: line.Apart, class: line.Class, order: line.Order, family: line.Family, finds: len(line.Numbers) + len(line.FieldRecords)}
}

func versionCSV(r *request) error {
	p, c, err := r.version()
	if err != nil {
		return err
	}
	return r.frozen("text/csv; charset=utf-8", r.at.Event.Code+"-list-"+strconv.Itoa(c.Version)+".csv", p.CSV, p.CSVSha256)
}

func versionJSON(r *request) error {
	p, c, err := r.version()
	if err != nil {
		return err
	}
	return r.frozen("application/json", r.at.Event.Code+"-list-"+strconv.Itoa(c.Version)+".json", p.Canonical, p.CanonicalSha256)
}

// frozen serves bytes that never change.
func (r *request) frozen(kind, file string, data []byte, sha string) error {
	h := r.echo.Response().Header()
	h.Set("ETag", `"`+sha+`"`)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("Content-Disposition", `inline; filename="`+file+`"`)
	return r.echo.Blob(http.StatusOK, kind, data)
}

func draftCSV(r *request) error {
	c, err := list.Draft(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return err
	}
	data, err := list.CSV(c)
	if err != nil {
		return err
	}
	r.echo.Response().Header().Set("Content-Disposition", `inline; filename="`+r.at.Event.Code+`-not-final.csv"`)
	return r.echo.Blob(http.StatusOK, "text/csv; charset=utf-8", data)
}

func draftJSON(r *request) error {
	c, err := list.Draft(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return err
	}
	return r.echo.JSON(http.StatusOK, c)
}

func tablesPage(r *request) (templ.Component, error) {
	d, err := tables.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("tables.title"), true)
	if err != nil {
		return nil, err
	}
	p := view.Tables{Layout: l, AsOf: r.local(r.hall().Now())}
	for _, t := range d.Tables {
		v := view.Table{Key: "table-" + strconv.Itoa(t.Number), Name: tableName(t), Hazards: t.Hazards, Path: r.event().Table(t.Number)}
		for _, s := range d.Plates[t.ID] {
			v.Plates = append(v.Plates, r.plateOf(s))
		}
		p.Tables = append(p.Tables, v)
	}
	return view.TablesPage(p), nil
}

func (r *request) plateOf(s tables.Standing) view.Plate {
	p := s.Plate
	v := view.Plate{Path: r.event().Find(p.Number().String()), Position: p.Position, Number: r.number(p.Number()), Group: p.FormGroup, State: stateOf(p), Hazard: hazardOf(s.Assessment), Size: p.Collection.Plate}
	if len(p.Standing.Question) > 0 {
		first := p.Standing.Question[0].SlipName
		v.Name, v.Common, v.NamePath = sciOf(first), r.commonOf(first), r.namePath(r.hall().Current(first), first.Key)
	}
	return v
}

// suggestNames answers the type-ahead of every field for a name.
func suggestNames(r *request) error {
	type suggestion struct {
		Name   string `json:"name"`
		Value  string `json:"value"` // what is written down: of homonyms with the author
		Author string `json:"author"`
		Family string `json:"family"`
		Note   string `json:"note"`
	}
	found := []suggestion{}
	q := r.echo.QueryParam("q")
	if len(q) > 200 {
		q = q[:200]
	}
	say := message.From(r.ctx)
	offered := r.hall().Knowledge.Names.Suggest(q, 10)
	spelt := map[string]int{}
	for _, s := range offered {
		spelt[s.Name.Key]++
	}
	for _, s := range offered {
		n := suggestion{Name: s.Name.Name, Value: s.Name.Name, Author: s.Name.Author, Family: s.Name.Family, Note: s.Common}
		if s.Former {
			n.Note = say.Say("names.former", "current", s.Name.Current().Name)
		}
		if spelt[s.Name.Key] > 1 {
			n.Value += " " + s.Name.Author
		}
		found = append(found, n)
	}
	return r.echo.JSON(http.StatusOK, found)
}
