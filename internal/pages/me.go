package pages

import (
	"encoding/json"
	"fmt"
	"net/http"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// saidOn are what the page says after one of its forms was taken, by a word of its address.
var saidOn = map[string]bool{view.FormCredit: true, view.FormPassword: true, view.FormSession: true}

func mePage(r *request) (templ.Component, error) {
	if key := r.echo.QueryParam("saved"); saidOn[key] {
		r.flash = view.T("me." + key + ".saved")
	}
	return r.mePage("", "")
}

// mePage draws somebody's own page; a form that comes back holds what was typed and its command, but no password.
func (r *request) mePage(form, command string) (templ.Component, error) {
	me, err := people.SeeMe(r.ctx, r.hall(), r.actor)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("me.title"), false)
	if err != nil {
		return nil, err
	}
	made := func(key string) (f view.Form) {
		if err == nil {
			f, err = r.newForm("/me/"+key, 0)
		}
		if form == key && command != "" {
			f.Command = command
		}
		return f
	}
	initials := hall.CreditedName(hall.Person{Name: me.Person.Name, Credit: "initials"})
	p := view.Me{Layout: l, Name: me.Person.Name, Society: me.Society.Name, Login: me.Login, Leave: made(view.FormEverywhere),
		Credit: view.CreditForm{Form: made(view.FormCredit), Options: view.CreditOptions(r.ctx, me.Person.Name, initials, me.Person.Credit)},
		Erase:  view.EraseForm{Form: made(view.FormErase), Options: view.CreditOptions(r.ctx, me.Person.Name, initials, me.Person.Credit)}}
	for _, e := range me.LastIn {
		p.Last = append(p.Last, e.Code)
	}
	for _, s := range me.Sessions {
		p.Sessions = append(p.Sessions, r.sessionRow(s, made(view.FormSession)))
	}
	if me.Login != "" {
		password := made(view.FormPassword)
		p.Password = &password
		p.Token = &view.TokenForm{Form: made(view.FormToken), Days: "30"}
		if form == view.FormToken {
			p.Token.Label, p.Token.Days = r.value("label"), r.value("days")
		}
		p.Token.Rights = rightOptions(people.TokenRights, r.echo.Request().PostForm["rights"])
	}
	return view.MePage(p), err
}

func (r *request) sessionRow(s people.SessionSeen, end view.Form) view.SessionRow {
	row := view.SessionRow{Token: s.Token, Roles: words(s.Rights), Age: r.hall().Now().Sub(s.From), Ends: s.Until.UTC(), Here: s.Here, ID: s.ID.String(), End: end}
	key := "me.session." + s.Label
	switch {
	case s.Label == "":
		row.Label = view.T("me.session.some")
	case !s.Token && message.Has(view.T(key).Key):
		row.Label = view.T(key)
	default:
		row.Given = s.Label
	}
	return row
}

// onMe runs one of the page's forms.
func (r *request) onMe(form, next string, do func(hall.Command) error) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	if err = do(cmd); err == nil {
		return next, nil, nil
	}
	page, err := r.againMe(form, err)
	return "", page, err
}

func (r *request) againMe(form string, err error) (templ.Component, error) {
	if !mendable(err) && !fault.Is(err, fault.TooMany) {
		return nil, err
	}
	r.wrong(form, err)
	page, pageErr := r.mePage(form, r.keptCommand(err))
	if pageErr != nil {
		return nil, pageErr
	}
	return page, err
}

func setCredit(r *request) (string, templ.Component, error) {
	return r.onMe(view.FormCredit, "/me?saved="+view.FormCredit, func(cmd hall.Command) error {
		_, err := people.SetCredit(r.ctx, r.hall(), r.actor, r.scope(), cmd, people.Credit{Credit: r.value("credit")})
		return err
	})
}

func changePassword(r *request) (string, templ.Component, error) {
	return r.onMe(view.FormPassword, "/me?saved="+view.FormPassword, func(cmd hall.Command) error {
		return r.site.Desk.ChangePassword(r.ctx, r.actor, cmd, people.Passwords{Old: r.echo.FormValue("old"), New: r.echo.FormValue("password")})
	})
}

func endSession(r *request) (string, templ.Component, error) {
	return r.onMe(view.FormSession, "/me?saved="+view.FormSession, func(cmd hall.Command) error {
		id, err := foray.ParseID(r.value("session"))
		if err != nil {
			return fault.Missing()
		}
		_, err = people.EndSession(r.ctx, r.hall(), r.actor, r.scope(), cmd, people.SessionEnd{Session: id})
		return err
	})
}

func endSessions(r *request) (string, templ.Component, error) {
	next, page, err := r.onMe(view.FormEverywhere, "/sign-in?out=1", func(cmd hall.Command) error {
		_, err := people.EndSessions(r.ctx, r.hall(), r.actor, r.scope(), cmd, people.Nothing{})
		return err
	})
	if err == nil {
		r.site.dropCookie(r.echo)
	}
	return next, page, err
}

func eraseMe(r *request) (string, templ.Component, error) {
	next, page, err := r.onMe(view.FormErase, "/", func(cmd hall.Command) error {
		if !r.ticked("sure") {
			return fault.Wrong("sure", "people.tick-sure")
		}
		return people.EraseMe(r.ctx, r.hall(), r.actor, cmd, people.Leave{Credit: r.value("credit")})
	})
	if err == nil {
		r.site.dropCookie(r.echo)
	}
	return next, page, err
}

func makeToken(r *request) (templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return nil, err
	}
	cmd.BaseVersion = nil
	in := people.NewToken{Label: r.value("label"), Rights: r.rightsTicked(), Days: r.count("days")}
	token, ends, err := r.site.Desk.MakeToken(r.ctx, r.actor, cmd, in)
	if err != nil {
		return r.againMe(view.FormToken, err)
	}
	l, err := r.layout(view.T("me.title"), false)
	return view.TokenPage(view.ShownToken{Layout: l, Token: token, Label: in.Label, Ends: ends.UTC()}), err
}

// myData is everything that is kept of the reader, as a file.
func myData(r *request) error {
	told, err := people.Tell(r.ctx, r.hall(), r.actor)
	if err != nil {
		return err
	}
	data, err := json.MarshalIndent(told, "", "  ")
	if err != nil {
		return fmt.Errorf("write what is kept of somebody: %w", err)
	}
	r.echo.Response().Header().Set("Content-Disposition", `attachment; filename="my-data.json"`)
	return r.echo.Blob(http.StatusOK, "application/json; charset=utf-8", data)
}
