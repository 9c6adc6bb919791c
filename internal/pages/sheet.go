package pages

import (
	"cmp"
	"slices"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/hall/safety"
	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

func warningSheet(r *request) (templ.Component, error) {
	s, err := safety.WarningSheet(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("sheet.title"), true)
	if err != nil {
		return nil, err
	}
	p := view.Sheet{Layout: l, Place: r.at.Event.Place, AsOf: r.local(r.hall().Now()), Version: s.Seq, Revision: r.hall().Knowledge.Revision[:8],
		Lacks: s.Lacks, Nameless: r.sheetPlaces(s.Nameless), Eaten: s.Eaten}
	if s.Contact != nil {
		p.Contact = r.contact(*s.Contact, s.People)
		p.Contact.TypedBy, p.Contact.TestedBy = s.Sheet.Contact.TypedBy, s.Sheet.Contact.TestedBy // as they chose to be named
	}
	p.Blocks = []view.SheetBlock{{Key: "a"}, {Key: "b"}}
	for _, here := range s.Here {
		p.Blocks[0].Lines = append(p.Blocks[0].Lines, r.hereLine(here))
	}
	for _, wide := range s.Wide {
		p.Blocks[1].Lines = append(p.Blocks[1].Lines, r.wideLine(wide))
	}
	p.Doubles = r.gatheredHere(s.Doubles, s.Here)
	for _, plate := range s.NoEntry {
		p.NoEntry = append(p.NoEntry, view.SheetLine{Name: r.sciWritten(strings.Join(plate.Names, ", ")), Where: r.sheetPlaces([]hazard.Standing{plate})})
	}
	return view.SheetPage(p), nil
}

func (r *request) sheetPlaces(plates []hazard.Standing) []view.SheetPlace {
	places := make([]view.SheetPlace, len(plates))
	for i, p := range plates {
		places[i] = view.SheetPlace{Number: r.numbered(p.Number), Path: r.event().Find(p.Number), Where: p.Table,
			State: view.Naming(strings.ReplaceAll(string(p.State), " ", "_"))}
	}
	return places
}

// finding is the part of a line that a finding gives.
func (r *request) finding(name string, f hazard.Finding, plates []hazard.Standing) view.SheetLine {
	l := view.SheetLine{Name: r.sciWritten(name), Path: r.writtenPath(name), Common: r.commonWritten(name), Where: r.sheetPlaces(plates), Hazard: view.Hazard{Severity: f.Severity},
		Onset: hazard.Onset(f.Syndrome), Matched: f.Matched, OutOfRegion: f.OutOfRegion, Contested: contestLines(f.Contests)}
	if f.Syndrome != nil {
		l.Syndrome, l.Plain = f.Syndrome.Name, f.Syndrome.Plain
	}
	if f.Via != hazard.Listed {
		l.Via = f.Via.Text()
	}
	if f.Entry != nil {
		l.Source = f.Entry.Source
		if f.Entry.Exposure != hazard.Meal {
			l.Exposure = f.Entry.Exposure.Text()
		}
	}
	return l
}

func (r *request) hereLine(h hazard.HereLine) view.SheetLine {
	l := r.finding(h.Taxon, h.Finding, h.Plates)
	l.Onset = h.Onset
	for _, d := range h.MistakenFor {
		into := &l.MistakenFor
		if d.Differences == "" {
			into = &l.AlsoFor
		}
		*into = append(*into, view.SheetPair{Gathered: r.sciWritten(d.Other), Common: r.commonWritten(d.Other), Differences: d.Differences})
	}
	return l
}

func (r *request) wideLine(w hazard.WideLine) view.SheetLine {
	l := r.finding(w.Name, w.Worst, w.Plates)
	if w.Nearer != nil {
		l.Nearer = w.Nearer.Matched
	}
	return l
}

// gatheredHere puts the doubles of each species that people look for under it, the most dangerous first; the species by the
// names under which people look for them.
func (r *request) gatheredHere(doubles []hazard.DoubleLine, here []hazard.HereLine) []view.SheetGathered {
	var list []view.SheetGathered
	at := map[string]int{}
	for _, d := range doubles {
		i, there := at[d.Matched]
		if !there {
			i = len(list)
			at[d.Matched] = i
			list = append(list, view.SheetGathered{Name: r.sciWritten(d.Matched), Common: r.commonWritten(d.Matched), Where: r.sheetPlaces(d.Plates)})
		}
		into := &list[i].Doubles
		if d.Differences == "" {
			into = &list[i].Also
		}
		*into = append(*into, r.doubleLine(d, here))
	}
	soughtAs := func(g view.SheetGathered) string { return strings.ToLower(cmp.Or(g.Common.Name, g.Name.Name)) }
	slices.SortStableFunc(list, func(a, b view.SheetGathered) int { return strings.Compare(soughtAs(a), soughtAs(b)) })
	return list
}

func (r *request) doubleLine(d hazard.DoubleLine, here []hazard.HereLine) view.SheetDouble {
	v := view.SheetDouble{Poisonous: r.sciWritten(d.Other), Common: r.commonWritten(d.Other), Hazard: view.Hazard{Severity: d.Severity, Syndrome: d.Syndrome.Name}, Differences: d.Differences}
	for _, h := range here {
		if h.Taxon == d.Other {
			v.Here = r.sheetPlaces(h.Plates)
		}
	}
	return v
}

func (r *request) commonWritten(name string) view.Common {
	return view.Common{Name: r.hall().CommonWritten(name, func(n *taxon.Name) string { return r.printed(n).Name })}
}
