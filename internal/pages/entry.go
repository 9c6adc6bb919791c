package pages

import (
	"strings"

	"github.com/a-h/templ"
	"github.com/labstack/echo/v4"

	"forayhall/internal/fault"
	"forayhall/internal/hall/people"
	"forayhall/web/view"
)

// opensByItself reports whether the address of a request is itself what lets somebody in.
func opensByItself(c echo.Context) bool { return strings.HasSuffix(c.Path(), "/:secret") }

// loggedPath is a request's path for the log: of an address that lets somebody in, no more than its form.
func loggedPath(c echo.Context) string {
	if opensByItself(c) {
		return c.Path()
	}
	return c.Request().URL.Path
}

// device is what kind of device a browser says it is on, for the list of where somebody is signed in.
func device(r *request) string {
	if strings.Contains(r.echo.Request().UserAgent(), "Mobi") {
		return "phone"
	}
	return "computer"
}

func invitedPage(r *request) (templ.Component, error) { return r.invitedPage("") }

func (r *request) invitedPage(command string) (templ.Component, error) {
	o, err := r.site.Desk.OpenInvitation(r.ctx, r.echo.Param("society"), r.echo.Param("secret"))
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("invited.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.Invited{Layout: l, Society: o.Society.Name, By: o.By, Name: o.Name, Roles: words(o.Rights), Ends: o.ExpiresAt.UTC(), Login: r.value("login")}
	if !o.Event.ID.IsZero() {
		p.Event = o.Event.Name
		p.From, p.To = day(o.Event.StartsOn), day(o.Event.EndsOn)
	}
	if o.State != people.InvitationOpen {
		p.Closed = o.Refusal()
		return view.InvitedPage(p), nil
	}
	f, err := r.newForm(r.echo.Request().URL.Path, 0)
	if command != "" {
		f.Command = command
	}
	p.Form = &f
	return view.InvitedPage(p), err
}

func acceptInvitation(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	in := people.Chosen{Login: r.value("login"), Password: r.echo.FormValue("password")}
	token, _, err := r.site.Desk.Accept(r.ctx, r.echo.Param("society"), r.echo.Param("secret"), cmd, in)
	if err == nil {
		r.site.setCookie(r.echo, token)
		o, err := r.site.Desk.OpenInvitation(r.ctx, r.echo.Param("society"), r.echo.Param("secret"))
		if err != nil || o.Event.ID.IsZero() {
			return "/", nil, err
		}
		return "/" + o.Society.Code + "/" + o.Event.Code + "/hall", nil, nil
	}
	if k := fault.From(err).Kind; k != fault.Invalid && k != fault.Refused && k != fault.TooMany {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.invitedPage(r.value("command"))
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func passPage(r *request) (templ.Component, error) { return r.passPage("") }

func (r *request) passPage(command string) (templ.Component, error) {
	o, err := r.site.Desk.OpenPass(r.ctx, r.scope(), r.echo.Param("secret"))
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("entry.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.Entry{Layout: l, Role: string(o.Right), Label: o.Label, Closed: o.Closed, Name: r.value("name"), As: r.person.Name}
	if !o.Closed.IsZero() {
		return view.EntryPage(p), nil
	}
	f, err := r.newForm(r.echo.Request().URL.Path, 0)
	if command != "" {
		f.Command = command
	}
	p.Form = &f
	return view.EntryPage(p), err
}

func enterByPass(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	token, _, err := r.site.Desk.EnterByPass(r.ctx, r.scope(), r.echo.Param("secret"), cmd, r.value("name"))
	if err == nil {
		r.site.setCookie(r.echo, token)
		return r.event().Hall(), nil, nil
	}
	if k := fault.From(err).Kind; k != fault.Invalid && k != fault.Refused && k != fault.TooMany {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.passPage(r.value("command"))
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}
