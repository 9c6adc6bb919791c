package pages

import (
	"net/url"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/web/view"
)

// nextPath keeps only an address of this site.
func nextPath(s string) string {
	u, err := url.Parse(s)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(s, "/") || strings.HasPrefix(s, "//") || strings.Contains(s, `\`) {
		return "/"
	}
	return s
}

func signInForm(r *request) (templ.Component, error) {
	return r.signInPage("", nextPath(r.echo.QueryParam("next")), r.echo.QueryParam("out") != "")
}

func (r *request) signInPage(login, next string, out bool) (templ.Component, error) {
	l, err := r.layout(view.T("sign-in.title"), false)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm("/sign-in", 0)
	return view.SignInPage(view.SignIn{Layout: l, Form: f, Name: login, Next: next, SignedOut: out}), err
}

func signIn(r *request) (string, templ.Component, error) {
	next := nextPath(r.value("next"))
	token, _, err := r.site.Desk.SignIn(r.ctx, r.value("name"), r.echo.FormValue("password"))
	if err == nil {
		r.site.setCookie(r.echo, token)
		return r.landsOn(next), nil, nil
	}
	if k := fault.From(err).Kind; k != fault.Refused && k != fault.TooMany {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.signInPage(r.value("name"), next, false)
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

// landsOn leads whoever signed in from an event's public page to the hall behind it.
func (r *request) landsOn(next string) string {
	u, err := url.Parse(next)
	if err != nil || u.RawQuery != "" || u.Fragment != "" {
		return next
	}
	if parts := strings.Split(strings.Trim(u.EscapedPath(), "/"), "/"); len(parts) == 2 {
		return "/" + strings.Join(parts, "/") + "/hall"
	}
	return next
}

func signOut(r *request) (string, templ.Component, error) {
	if err := r.site.Desk.SignOut(r.ctx, r.actor); err != nil {
		return "", nil, err
	}
	r.site.dropCookie(r.echo)
	return "/sign-in?out=1", nil, nil
}
