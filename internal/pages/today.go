package pages

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/hall/list"
	"forayhall/web/view"
)

func (r *request) renamings() (list.Renamings, error) {
	n, err := strconv.Atoi(r.echo.Param("version"))
	if err != nil || n < 1 {
		return list.Renamings{}, fault.Missing()
	}
	return list.SeeToday(r.ctx, r.hall(), r.actor, r.scope(), n)
}

// versionToday is what the names of a version would be by today's classification: what changed first.
func versionToday(r *request) (templ.Component, error) {
	today, err := r.renamings()
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("today.title"), true)
	p := view.TodayPage{Layout: l, Version: today.Version, Lines: len(today.Lines), Remade: today.Then != today.Now,
		CSV: r.event().VersionToday(today.Version) + "/csv"}
	for _, t := range today.Lines {
		if t.Change == list.Unchanged {
			continue
		}
		line := view.TodayLine{Change: string(t.Change), Was: r.versionName(t.Name), WasIn: t.Family, NowIn: t.NowIn, Reason: t.Reason, Source: t.Source, With: t.With, Disputed: t.Dispute}
		if t.Now != "" && t.Now != t.Name {
			now := r.versionName(t.Now)
			line.Now = &now
		}
		p.Changed = append(p.Changed, line)
	}
	return view.VersionTodayPage(p), err
}

func versionTodayCSV(r *request) error {
	today, err := r.renamings()
	if err != nil {
		return err
	}
	data, err := today.CSV()
	if err != nil {
		return err
	}
	if r.keeps(r.eventTag()) {
		return r.echo.NoContent(http.StatusNotModified)
	}
	r.header("Content-Disposition", fmt.Sprintf(`inline; filename="%s-list-%d-today.csv"`, r.at.Event.Code, today.Version))
	return r.echo.Blob(http.StatusOK, "text/csv; charset=utf-8", data)
}
