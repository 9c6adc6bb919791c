package pages

import (
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/hall/list"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// versionChanges is what is different in a signed version, from the frozen bytes and the slips.
func versionChanges(r *request) (templ.Component, error) {
	to, err := strconv.Atoi(r.echo.Param("version"))
	if err != nil || to < 1 {
		return nil, fault.Missing()
	}
	from := 0
	if asked := r.echo.QueryParam("from"); asked != "" {
		if from, err = strconv.Atoi(asked); err != nil || from < 1 {
			return nil, fault.Missing()
		}
	}
	c, err := list.SeeDifferences(r.ctx, r.hall(), r.actor, r.scope(), from, to)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("version.title"), true)
	return view.VersionDifferences(view.VersionPage{Layout: l, Version: to, First: c.First, Changes: r.differences(c.Differences)}), err
}

func (r *request) differences(d list.Differences) view.VersionChanges {
	v := view.VersionChanges{From: d.From, To: d.To, Before: d.Before, After: d.After, Remade: d.Measures[0].Checklist != d.Measures[1].Checklist,
		Added: r.versionNames(d.Added), Gone: r.versionNames(d.Gone)}
	for _, n := range d.Renamed {
		v.Renamed = append(v.Renamed, view.VersionRenamed{From: r.versionName(n.From), To: r.versionName(n.To)})
	}
	for _, t := range d.Turned {
		v.Turned = append(v.Turned, view.VersionTurned{VersionName: r.versionName(t.Name), Counts: t.Counts, Why: message.T("data.as-is", "text", t.Why)})
	}
	for _, m := range d.Moves {
		move := view.VersionMove{From: r.versionStands(m.From), To: r.versionStands(m.To), Why: m.Text()}
		if !m.Field {
			n := r.numbered(m.Find)
			move.Number, move.Path = &n, r.event().Find(m.Find)
		}
		v.Moves = append(v.Moves, move)
	}
	for _, q := range d.Requests {
		asked := view.VersionRequest{N: q.Seq, Line: q.Line, State: q.State, Words: q.Words}
		if q.Number != "" {
			n := r.numbered(q.Number)
			asked.Number, asked.Path = &n, r.event().Find(q.Number)
		}
		v.Requests = append(v.Requests, asked)
	}
	return v
}

func (r *request) versionNames(names []string) (out []view.VersionName) {
	for _, n := range names {
		out = append(out, r.versionName(n))
	}
	return out
}

func (r *request) versionName(written string) view.VersionName {
	return view.VersionName{Name: r.sciWritten(written), Path: r.writtenPath(written)}
}

func (r *request) versionStands(all []list.Stands) (out []view.VersionStands) {
	for _, s := range all {
		out = append(out, view.VersionStands{Name: r.sciWritten(s.Name), Apart: s.Apart})
	}
	return out
}

// listWhy is what makes up each total of the running list, and what does not, with the reasons.
func listWhy(r *request) (templ.Component, error) {
	running, err := list.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("list.why.title"), true)
	p := r.listOf(running, wholeList)
	v := view.ListWhy{Layout: l, AsOf: p.AsOf, Total: p.Total, Rule: p.Rule, Apart: p.Apart}
	for _, g := range p.Groups {
		counts := func(l view.ListLine) bool { return l.Counts }
		not := func(l view.ListLine) bool { return !l.Counts }
		v.Groups = append(v.Groups, view.WhyGroup{Key: g.Key, Counts: slices.DeleteFunc(slices.Clone(g.Lines), not), Not: slices.DeleteFunc(slices.Clone(g.Lines), counts)})
	}
	return view.ListWhyPage(v), err
}

// sinceLast is what is different from the last version; nil before there is one.
func (r *request) sinceLast() (*view.VersionChanges, error) {
	c, err := list.SeeDifferences(r.ctx, r.hall(), r.actor, r.scope(), 0, 0)
	if err != nil || c.First {
		return nil, err
	}
	v := r.differences(c.Differences)
	return &v, nil
}

// toFieldSlips leads from the numbers of a list to where their field data are put right.
func (r *request) toFieldSlips(p view.List) view.List {
	for _, g := range p.Groups {
		r.linesToFieldSlips(g.Lines)
	}
	for _, a := range p.Apart {
		r.linesToFieldSlips(a.Lines)
	}
	return p
}

func (r *request) linesToFieldSlips(lines []view.ListLine) {
	for _, l := range lines {
		for i, path := range l.Paths {
			l.Paths[i] = r.event().Collection(path[strings.LastIndex(path, "/")+1:]) + "/field"
		}
	}
}
