package pages

import (
	"net/http"
	"strconv"
	"strings"

	"github.com/a-h/templ"
	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// shownOnce serves a write whose answer is a page that holds a secret: it has no address that could be asked again.
func (s *Site) shownOnce(h func(*request) (templ.Component, error)) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.begin(c)
		if err != nil {
			return r.fail(err)
		}
		if _, err := c.FormParams(); err != nil {
			return r.fail(unreadable(err))
		}
		page, err := h(r)
		switch {
		case err == nil:
			return r.render(http.StatusOK, page)
		case page != nil:
			return r.render(status(fault.From(err).Kind), page)
		}
		return r.fail(err)
	}
}

// address is a path of this site as somebody elsewhere would type it.
func (r *request) address(path string) string {
	if r.site.Public != "" {
		return r.site.Public + path
	}
	scheme := r.echo.Scheme()
	if r.site.Secure {
		scheme = "https"
	}
	return scheme + "://" + r.echo.Request().Host + path
}

func peoplePage(r *request) (templ.Component, error) { return r.peoplePage("", "") }

// peoplePage draws the page; a form that comes back holds what was typed and its command.
func (r *request) peoplePage(form, command string) (templ.Component, error) {
	room, err := people.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("people.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.People{Layout: l}
	for _, h := range room.Holders {
		p.Holders = append(p.Holders, view.Holder{Name: h.Name, Roles: words(h.Rights), SignsIn: h.SignsIn, Pass: h.Pass, ByPass: cameBy(room, h.ID)})
	}
	for _, line := range room.History {
		p.History = append(p.History, view.HistoryLine{Text: historyText(line), By: line.By, At: r.local(line.At)})
	}
	if err := r.passesOf(&p, room); err != nil || !r.held.Can(access.SetUp) {
		return view.PeoplePage(p), err
	}
	if err := r.organisersForms(&p, room, form, command); err != nil {
		return nil, err
	}
	return view.PeoplePage(p), nil
}

func words(rights []access.Right) []string {
	list := make([]string, len(rights))
	for i, r := range rights {
		list[i] = string(r)
	}
	return list
}

func cameBy(room people.Room, person foray.ID) bool {
	for _, p := range room.Passes {
		for _, u := range p.Uses {
			if u.ID == person {
				return true
			}
		}
	}
	return false
}

// historyText is what was done, without who and when.
func historyText(h people.HistoryLine) message.Text {
	switch right, label, _ := strings.Cut(h.Detail, ": "); h.Kind {
	case "right.give":
		return view.T("people.act.give", "name", h.Subject, "right", view.RoleText(h.Detail))
	case "right.take":
		return view.T("people.act.take", "name", h.Subject, "right", view.RoleText(h.Detail))
	case "pass.make", "pass.end":
		about := view.RoleText(right)
		if label != "" {
			about = view.T("people.pass.title", "role", about, "label", label)
		}
		return view.T("people.act."+strings.ReplaceAll(h.Kind, ".", "-"), "label", about)
	}
	return view.T("people.act."+strings.ReplaceAll(h.Kind, ".", "-"), "name", h.By)
}

func (r *request) passesOf(p *view.People, room people.Room) error {
	end := func(ended bool) (*view.Form, error) {
		if ended || !r.held.Can(access.SetUp) {
			return nil, nil
		}
		f, err := r.newForm(r.event().People()+"/"+view.FormEndPass, 0)
		return &f, err
	}
	for _, pass := range room.Passes {
		v := view.Pass{ID: pass.ID.String(), Role: string(pass.Right), Label: pass.Label, Most: pass.MostUses, MadeBy: pass.MadeBy,
			MadeAt: r.local(pass.MadeAt), Ended: r.local(pass.EndedAt)}
		var err error
		if v.End, err = end(!pass.EndedAt.IsZero()); err != nil {
			return err
		}
		for _, u := range pass.Uses {
			s := view.Stay{ID: u.ID.String(), Name: u.Name, From: r.local(u.From), To: r.local(u.To)}
			if s.End, err = end(!u.To.IsZero()); err != nil {
				return err
			}
			v.Stays = append(v.Stays, s)
		}
		if v.End != nil && p.EndAll == nil {
			if p.EndAll, err = end(false); err != nil {
				return err
			}
		}
		p.Passes = append(p.Passes, v)
	}
	return nil
}

func (r *request) organisersForms(p *view.People, room people.Room, form, command string) (err error) {
	made := func(key string) (view.Form, error) {
		f, err := r.newForm(r.event().People()+"/"+key, 0)
		if form == key && command != "" {
			f.Command = command
		}
		return f, err
	}
	typed := func(key, name, usual string) string {
		if form == key {
			return r.value(name)
		}
		return usual
	}
	p.Make = &view.HallPassForm{Label: typed(view.FormHallPass, "label", ""), Uses: typed(view.FormHallPass, "uses", ""),
		Rights: rightOptions(people.PassRights, []string{typed(view.FormHallPass, "right", "")})}
	if p.Make.Form, err = made(view.FormHallPass); err != nil {
		return err
	}
	p.Invite = &view.InvitationForm{Name: typed(view.FormInvitation, "name", ""), Days: typed(view.FormInvitation, "days", "7")}
	var ticked []string
	if form == view.FormInvitation {
		ticked = r.echo.Request().PostForm["rights"]
	}
	p.Invite.Rights = rightOptions(access.Given, ticked)
	for _, n := range room.Unsigned {
		p.Invite.People = append(p.Invite.People, view.Option{Value: n.ID.String(), Label: n.Name, Chosen: n.ID.String() == typed(view.FormInvitation, "person", "")})
	}
	if p.Invite.Form, err = made(view.FormInvitation); err != nil {
		return err
	}
	for _, i := range room.Open {
		v := view.Invitation{ID: i.ID.String(), Name: i.Name, Roles: words(i.Rights), By: i.MadeBy, Ends: r.local(i.ExpiresAt), Expired: i.State == people.InvitationExpired}
		if v.Back, err = r.newForm(r.event().People()+"/"+view.FormTakeBack, 0); err != nil {
			return err
		}
		p.Open = append(p.Open, v)
	}
	return nil
}

func rightOptions(rights []access.Right, chosen []string) []view.Option {
	options := make([]view.Option, len(rights))
	for i, right := range rights {
		options[i] = view.Option{Value: string(right), Text: view.RoleText(string(right))}
		for _, c := range chosen {
			options[i].Chosen = options[i].Chosen || c == string(right)
		}
	}
	return options
}

// rightsTicked are the rights of the form's boxes.
func (r *request) rightsTicked() []access.Right {
	var rights []access.Right
	for _, word := range r.echo.Request().PostForm["rights"] {
		rights = append(rights, access.Right(word))
	}
	return rights
}

// count is a number that was typed; nothing typed is nought, and what is no number is -1, which no rule takes.
func (r *request) count(name string) int {
	text := r.value(name)
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return -1
	}
	return n
}

// againPeople draws the page anew with the form that was not taken.
func (r *request) againPeople(form string, err error) (templ.Component, error) {
	if !mendable(err) || !r.held.Can(access.SetUp) {
		return nil, err
	}
	r.wrong(form, err)
	page, pageErr := r.peoplePage(form, r.keptCommand(err))
	if pageErr != nil {
		return nil, pageErr
	}
	return page, err
}

func makeInvitation(r *request) (templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return nil, err
	}
	cmd.BaseVersion = nil
	in := people.Invitation{Name: r.value("name"), Rights: r.rightsTicked(), Days: r.count("days")}
	if id, err := foray.ParseID(r.value("person")); err == nil {
		in.Person, in.Name = id, ""
	}
	link, err := people.MakeInvitation(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	if err != nil {
		return r.againPeople(view.FormInvitation, err)
	}
	name := in.Name
	if opened, err := r.site.Desk.OpenInvitation(r.ctx, r.at.Society.Code, link.Path[strings.LastIndexByte(link.Path, '/')+1:]); err == nil {
		name = opened.Name
	}
	return r.linkPage(link, view.ShownLink{Key: "invitation", Name: name, Roles: words(in.Rights)})
}

func makePass(r *request) (templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return nil, err
	}
	cmd.BaseVersion = nil
	in := people.Pass{Right: access.Right(r.value("right")), Label: r.value("label"), Uses: r.count("uses")}
	link, err := people.MakePass(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	if err != nil {
		return r.againPeople(view.FormHallPass, err)
	}
	return r.linkPage(link, view.ShownLink{Key: "pass", Roles: []string{string(in.Right)}, Label: in.Label})
}

func (r *request) linkPage(link people.Link, p view.ShownLink) (templ.Component, error) {
	var err error
	if p.Layout, err = r.layout(view.T("people.link.title"), false); err != nil {
		return nil, err
	}
	p.Back, p.Ends = r.event().People(), r.local(link.ExpiresAt)
	if link.Path != "" {
		p.URL = r.address(link.Path)
		if p.Image, p.Pixels, err = codeImage(p.URL); err != nil {
			return nil, err
		}
	}
	return view.LinkPage(p), nil
}

func takeBackInvitation(r *request) (string, templ.Component, error) {
	return r.onPeople(func(cmd hall.Command) error {
		id, err := foray.ParseID(r.value("invitation"))
		if err != nil {
			return fault.Missing()
		}
		_, err = people.TakeBackInvitation(r.ctx, r.hall(), r.actor, r.scope(), cmd, people.Invited{Invitation: id})
		return err
	})
}

func endPass(r *request) (string, templ.Component, error) {
	return r.onPeople(func(cmd hall.Command) error {
		var in people.PassEnd
		for name, id := range map[string]*foray.ID{"pass": &in.Pass, "person": &in.Person} {
			if r.value(name) == "" {
				continue
			}
			var err error
			if *id, err = foray.ParseID(r.value(name)); err != nil {
				return fault.Missing()
			}
		}
		_, err := people.EndPass(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

// onPeople runs one of the page's small forms.
func (r *request) onPeople(do func(hall.Command) error) (string, templ.Component, error) {
	cmd, err := r.command()
	if err == nil {
		cmd.BaseVersion = nil
		err = do(cmd)
	}
	return r.event().People(), nil, err
}
