package pages

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
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

// signInForm asks who is there. Whoever came from a page that is the same for everybody may be known already, and is
// led on.
func signInForm(r *request) error {
	next := nextPath(r.echo.QueryParam("next"))
	if r.actor.SignedIn() && r.echo.QueryParam("next") != "" {
		to, err := r.landsOn(r.actor, next)
		if err != nil {
			return err
		}
		return r.redirect(to)
	}
	page, err := r.signInPage("", next, r.echo.QueryParam("out") != "")
	if err != nil {
		return err
	}
	return r.render(http.StatusOK, page)
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
	token, _, err := r.site.Desk.SignInOn(r.ctx, r.value("name"), r.echo.FormValue("password"), device(r))
	if err == nil {
		r.site.setCookie(r.echo, token)
		to, err := r.landsAfter(token, next)
		return to, nil, err
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

func (r *request) landsAfter(token, next string) (string, error) {
	actor, _, err := r.site.Desk.Who(r.ctx, token, "browser")
	if err != nil {
		return "", err
	}
	return r.landsOn(actor, next)
}

// landsOn leads whoever signed in from a public page to what they have to do there: to the hall of its event, or to
// their own finds; from a page outside any event to the newest of their society.
func (r *request) landsOn(actor access.Actor, next string) (string, error) {
	u, err := url.Parse(next)
	if err != nil || u.RawQuery != "" || u.Fragment != "" {
		return next, nil
	}
	parts := strings.FieldsFunc(u.EscapedPath(), func(c rune) bool { return c == '/' })
	switch {
	case len(parts) < 2:
		return r.newestOf(actor, next)
	case len(parts) == 2, len(parts) == 3 && parts[2] == "hall":
		return r.placeOf(actor, parts[0], parts[1])
	}
	return next, nil
}

// newestOf is the newest event of somebody's society; where it has none they stay where they were.
func (r *request) newestOf(actor access.Actor, next string) (string, error) {
	all, err := r.hall().PublicEvents(r.ctx)
	if err != nil {
		return "", err
	}
	for _, e := range all {
		if e.Society.ID == actor.Society {
			return r.placeOf(actor, e.Society.Code, e.Event.Code)
		}
	}
	return next, nil
}

func (r *request) placeOf(actor access.Actor, society, event string) (string, error) {
	at, err := r.hall().FindEvent(r.ctx, society, event)
	if fault.Is(err, fault.NotFound) {
		return "/" + society + "/" + event, nil
	}
	if err != nil {
		return "", err
	}
	held, err := r.hall().HeldIn(r.ctx, actor, at.Scope)
	path := view.Event{Path: "/" + at.Society.Code + "/" + at.Event.Code}
	switch {
	case held.Staff():
		return path.Hall(), err
	case held.Can(access.NameOwn):
		return path.Own(), err
	}
	return path.Path, err
}

func signOut(r *request) (string, templ.Component, error) {
	if err := r.site.Desk.SignOut(r.ctx, r.actor); err != nil {
		return "", nil, err
	}
	r.site.dropCookie(r.echo)
	return "/sign-in?out=1", nil, nil
}
