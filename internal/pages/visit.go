package pages

import (
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/visit"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

func tablePage(r *request) (templ.Component, error) {
	n, err := strconv.Atoi(r.echo.Param("number"))
	if err != nil || n < 1 {
		return nil, fault.Missing()
	}
	t, err := visit.SeeTable(r.ctx, r.hall(), r.actor, r.scope(), n)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("table.title", "table", t.Number), true)
	p := view.OneTable{Layout: l, AsOf: r.local(t.At), Name: titled(t.Number, t.Title), Hazards: t.Hazards, Before: r.tableLink(t.Before), After: r.tableLink(t.After),
		Jump: r.jump("")}
	for _, plate := range t.Plates {
		p.Plates = append(p.Plates, r.standing(plate))
	}
	return view.OneTablePage(p), err
}

func titled(number int, title string) string {
	return strings.TrimSpace(strconv.Itoa(number) + " " + title)
}

func (r *request) tableLink(n int) *view.Link {
	if n == 0 {
		return nil
	}
	return &view.Link{Text: view.T("table.heading", "table", n), Path: r.event().Table(n)}
}

func (r *request) standing(t visit.TablePlate) view.Standing {
	s := view.Standing{Position: t.Plate.Where.Position, Number: r.numbered(t.Number), Path: r.event().Find(t.Number), Group: t.Group, Names: r.publicNames(t.Plate),
		State: view.Naming(t.State), Hazard: hazardOfPlate(t.Plate), Marks: publicMarks(t.Plate), Determiners: t.Determiners}
	for _, d := range t.Doubles {
		s.Doubles = append(s.Doubles, r.confusion(d))
	}
	return s
}

// hazardOfPlate draws none on what is no fungus.
func hazardOfPlate(p visit.Plate) *view.Hazard {
	if p.State == string(foray.NotAFungus) {
		return nil
	}
	return hazardOf(p.Assessment)
}

// numbered is a number that comes as text.
func (r *request) numbered(text string) view.Number {
	n, err := foray.ParseNumber(text, r.at.Event.Code)
	if err != nil {
		return view.Number{Code: r.at.Event.Code, Digits: text}
	}
	return r.number(n)
}

func (r *request) publicNames(p visit.Plate) []view.InQuestion {
	var names []view.InQuestion
	for _, n := range p.Names {
		q := view.InQuestion{Name: sciOf(n.SlipName), Common: r.printed(n.Current), Hazard: r.hazardOfName(n.Written()),
			Kind: view.SlipKind(n.Kind), Path: r.namePath(n.Current, n.SlipName.Key)}
		if n.Kind == foray.FieldName {
			q.Rank = n.Rank
		}
		names = append(names, q)
	}
	return names
}

// namePath leads to a name's page: the current name's, or that of a name which only this event knows. What is no name
// but a group of the hall has none.
func (r *request) namePath(current *taxon.Name, key string) string {
	switch {
	case current != nil:
		return r.event().Taxon(current.Name)
	case key == "" || strings.HasPrefix(key, string(taxon.Form)+":"):
		return ""
	}
	return r.event().Taxon(key)
}

// writtenPath leads to the page of a name that is known as a text only, where the classification has it.
func (r *request) writtenPath(text string) string {
	if n, ok := r.hall().Knowledge.Names.Lookup(taxon.Key(taxon.Read(text).Canonical)); ok {
		return r.event().Taxon(n.Current().Name)
	}
	return ""
}

func publicMarks(p visit.Plate) []view.Mark {
	var marks []view.Mark
	if p.Outside {
		marks = append(marks, view.Mark{Key: "outside"})
	}
	if p.Cultivated {
		marks = append(marks, view.Mark{Key: "cultivated"})
	}
	for _, flag := range p.Flags {
		marks = append(marks, view.Mark{Key: flag})
	}
	return marks
}

func (r *request) confusion(d visit.Double) view.Confusion {
	c := view.Confusion{TakenFor: d.Role == hazard.Poisonous, This: r.sciWritten(d.Matched), Other: r.sciWritten(d.Other), Path: r.writtenPath(d.Other),
		Common: r.commonWritten(d.Other), Differences: d.Differences, Source: d.Source, Contested: contestLines(d.Contests)}
	if !c.TakenFor {
		c.Hazard = &view.Hazard{Severity: d.Severity}
		if d.Syndrome != nil {
			c.Hazard.Syndrome = d.Syndrome.Name
		}
	}
	for _, s := range d.Stands {
		c.Stands = append(c.Stands, view.Stand{Number: r.numbered(s.Number), Path: r.event().Find(s.Number), Table: titled(s.Table, s.Title), TablePath: r.event().Table(s.Table)})
	}
	return c
}

func (r *request) publicWhere(w visit.Where) (where view.Where, tablePath string) {
	where = view.Where{Place: string(w.Place)}
	if w.Table > 0 {
		where.Detail, where.Position, tablePath = titled(w.Table, w.Title), w.Position, r.event().Table(w.Table)
	}
	return where, tablePath
}

func findPage(r *request) (templ.Component, error) {
	n, err := foray.ParseNumber(r.echo.Param("number"), r.at.Event.Code)
	if err != nil {
		return nil, fault.Missing()
	}
	f, err := visit.SeeFind(r.ctx, r.hall(), r.actor, r.scope(), n)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("find.title", "number", f.Number), true)
	p := view.Find{Layout: l, AsOf: r.local(f.At), Number: r.numbered(f.Number), There: f.There, Fate: f.Fate, Parts: r.numberLinks(f.Parts...),
		Helpers: signInFor(r.event().Collection(f.Number)), Jump: r.jump("")}
	if f.Into != "" {
		p.Into = &r.numberLinks(f.Into)[0]
	}
	if f.There {
		r.fillFind(&p, f)
		b, err := photographs.SeeBeside(r.ctx, r.hall(), r.actor, r.scope(), n)
		if err != nil {
			return nil, err
		}
		p.Photos, p.Piles = r.photos(b.Find), r.piles(b.Piles)
	}
	return view.FindPage(p), err
}

func (r *request) numberLinks(numbers ...string) []view.Stand {
	links := make([]view.Stand, len(numbers))
	for i, n := range numbers {
		links[i] = view.Stand{Number: r.numbered(n), Path: r.event().Find(n)}
	}
	return links
}

func (r *request) fillFind(p *view.Find, f visit.Find) {
	p.Group, p.State, p.Hazard, p.Marks = f.Group, view.Naming(f.State), hazardOfPlate(f.Plate), publicMarks(f.Plate)
	p.Where, p.TablePath = r.publicWhere(f.Where)
	p.Names, p.Facts = r.publicNames(f.Plate), r.publicFacts(f)
	p.Warnings, p.NoEntry = r.worstOf(f.Assessment), f.Assessment.NoEntry
	for _, d := range f.Doubles {
		p.Doubles = append(p.Doubles, r.confusion(d))
	}
	for _, s := range f.Slips {
		p.Slips = append(p.Slips, r.publicSlip(s))
	}
}

// worstOf is one warning a syndrome: the first of each is the worst.
func (r *request) worstOf(a hazard.Assessment) []view.SheetLine {
	var lines []view.SheetLine
	told := map[*hazard.Syndrome]bool{}
	for _, f := range a.Findings {
		if !told[f.Syndrome] {
			told[f.Syndrome] = true
			lines = append(lines, r.warningOf(f.Finding))
		}
	}
	return lines
}

func (r *request) warningOf(f hazard.Finding) view.SheetLine {
	l := r.finding(f.Matched, f, nil)
	l.Contested = contestLines(f.Contests)
	if f.Via != hazard.Listed {
		l.Name = r.sciWritten(f.Entry.Taxon)
		l.Path = r.writtenPath(f.Entry.Taxon)
		l.Common = r.commonWritten(f.Entry.Taxon)
	}
	return l
}

func (r *request) publicFacts(f visit.Find) []view.Fact {
	facts := []view.Fact{{Key: "found-at", Value: f.Site.Name, Text: siteText(f.Site)}}
	if f.PickedOn != "" {
		d := day(f.PickedOn)
		facts = append(facts, view.Fact{Key: "picked-on", Text: view.Day(d)})
	}
	if f.Collector != "" {
		facts = append(facts, view.Fact{Key: "collector", Value: f.Collector})
	}
	if len(f.Determiners) > 0 {
		facts = append(facts, view.Fact{Key: "determined-by", Value: strings.Join(f.Determiners, ", ")})
	}
	return facts
}

// siteText says why no site is named; it is empty where one is.
func siteText(s visit.Site) (t message.Text) {
	switch {
	case s.KeptBack:
		return view.T("place.kept-back")
	case s.Name == "":
		return view.T("place.not-said")
	}
	return t
}

func (r *request) publicSlip(s visit.Slip) view.Slip {
	v := view.Slip{Kind: view.SlipKind(s.Did), Determiner: s.Determiner, At: r.local(s.At), Basis: string(s.Basis), Unsettled: s.Unsettled}
	if s.Struck {
		v.Struck = &view.Struck{}
	}
	for _, n := range s.Names {
		v.Names = append(v.Names, r.slipName(n.SlipName))
	}
	return v
}
