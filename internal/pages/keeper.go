package pages

import (
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/web/view"
)

func publishPage(r *request) (templ.Component, error) {
	if !r.held.Can(access.PublishList) {
		return nil, r.refuse(access.PublishList)
	}
	return r.publishPage("")
}

func (r *request) publishPage(note string) (templ.Component, error) {
	running, err := list.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	all, err := bench.All(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	a, err := r.around()
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("publish.title"), true)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm(r.event().Publish(), running.Seq)
	next := 1
	if len(running.Versions) > 0 {
		next = running.Versions[0].Version + 1
	}
	return view.PublishPage(view.Publish{Layout: l, Form: f, Next: next, List: r.listOf(running), Missing: publishMissing(all, contactTested(a.room), r.event()),
		Ready: true, Signer: r.person.Name, Note: note}), err
}

func publish(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	var done list.Published
	err = fault.Wrong("sign", "list.tick-to-sign")
	if r.ticked("sign") {
		in := list.Sign{Remarks: r.value("note"), Seq: int64(*cmd.BaseVersion)}
		done, err = list.Publish(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	}
	if err == nil {
		return r.event().Version(done.Version), nil, nil
	}
	if !mendable(err) || !r.held.Can(access.PublishList) {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.publishPage(r.value("note"))
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func setupPage(r *request) (templ.Component, error) { return r.setupPage("") }

func (r *request) setupPage(form string) (templ.Component, error) {
	room, err := setup.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("setup.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.Setup{Layout: l, People: peopleRows(room)}
	people := map[foray.ID]hall.Person{}
	for _, person := range room.People {
		people[person.ID] = person
	}
	if len(room.Contacts) > 0 {
		p.Contact = r.contact(room.Contacts[0], people)
	}
	for _, t := range room.Tables {
		p.Tables = append(p.Tables, view.TableRow{Name: tableName(t), Hazards: t.Hazards, Plates: room.Plates[t.ID]})
	}
	typed := func(key, name string) string {
		if form == key {
			return r.value(name)
		}
		return ""
	}
	if err := r.setupForms(&p, room, typed); err != nil {
		return nil, err
	}
	return view.SetupPage(p), nil
}

func (r *request) contact(c hall.Contact, people map[foray.ID]hall.Person) view.Contact {
	return view.Contact{Name: c.Name, Phone: c.Phone, Hours: c.Hours, TypedBy: people[c.TypedBy].Name, TypedAt: r.local(c.TypedAt.Time),
		TestedBy: people[c.TestedBy].Name, TestedAt: r.local(c.TestedAt.Time)}
}

func (r *request) setupForms(p *view.Setup, room setup.Room, typed func(key, name string) string) error {
	form := func(key string, version int) view.Form {
		f, err := r.newForm(r.event().Setup()+"/"+key, int64(version))
		if err != nil {
			r.site.Log.Error("make a form", "error", err)
		}
		return f
	}
	if r.held.Can(access.TendHazards) {
		p.Edit = &view.ContactForm{Form: form(view.FormContact, 0), Name: typed(view.FormContact, "name"), Phone: typed(view.FormContact, "phone"), Hours: typed(view.FormContact, "hours")}
		if len(room.Contacts) > 0 {
			p.Tested = &view.TestedForm{Form: form(view.FormTested, room.Contacts[0].Seq)}
		}
	}
	if !r.held.Can(access.SetUp) {
		return nil
	}
	next := 1
	if n := len(room.Tables); n > 0 {
		next = room.Tables[n-1].Number + 1
	}
	p.Add = &view.TableForm{Form: form(view.FormTable, 0), Number: strconv.Itoa(next), Name: typed(view.FormTable, "name"), Hazards: typed(view.FormTable, "hazards") != ""}
	p.Give = &view.RightForm{Form: form(view.FormRight, 0)}
	for _, person := range room.People {
		if person.Kind == "person" {
			p.Give.People = append(p.Give.People, view.Option{Value: person.ID.String(), Label: person.Name, Chosen: person.ID.String() == typed(view.FormRight, "person")})
		}
	}
	for _, right := range access.Given {
		p.Give.Roles = append(p.Give.Roles, view.Option{Value: string(right), Text: view.RoleText(string(right)), Chosen: string(right) == typed(view.FormRight, "role")})
	}
	return nil
}

func peopleRows(room setup.Room) []view.PersonRow {
	roles := map[foray.ID][]string{}
	for _, right := range room.Rights {
		roles[right.PersonID] = append(roles[right.PersonID], string(right.Held))
	}
	var rows []view.PersonRow
	for _, p := range room.People {
		if len(roles[p.ID]) > 0 {
			rows = append(rows, view.PersonRow{Name: p.Name, Account: room.Accounts[p.ID], Roles: roles[p.ID]})
		}
	}
	return rows
}

// doSetup runs one form of the set-up page.
func (r *request) doSetup(form string, do func(cmd hall.Command) error) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	err = do(cmd)
	if err == nil || !mendable(err) || !r.held.Staff() {
		return r.event().Setup(), nil, err
	}
	r.wrong(form, err)
	page, pageErr := r.setupPage(form)
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func typeContact(r *request) (string, templ.Component, error) {
	return r.doSetup(view.FormContact, func(cmd hall.Command) error {
		_, err := safety.TypeContact(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Contact{Name: r.value("name"), Phone: r.value("phone"), Hours: r.value("hours")})
		return err
	})
}

func testContact(r *request) (string, templ.Component, error) {
	return r.doSetup(view.FormTested, func(cmd hall.Command) error {
		if !r.ticked("answered") {
			return fault.Wrong("answered", "safety.tick-answered")
		}
		_, err := safety.TestContact(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Typed{Seq: *cmd.BaseVersion})
		return err
	})
}

func addTable(r *request) (string, templ.Component, error) {
	return r.doSetup(view.FormTable, func(cmd hall.Command) error {
		n, err := strconv.Atoi(r.value("number"))
		if err != nil {
			return fault.Wrong("number", "setup.table-number")
		}
		_, err = setup.AddTable(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.Table{Number: n, Title: r.value("name"), Hazards: r.ticked("hazards")})
		return err
	})
}

func giveRight(r *request) (string, templ.Component, error) {
	return r.doSetup(view.FormRight, func(cmd hall.Command) error {
		person, err := foray.ParseID(r.value("person"))
		if err != nil {
			return fault.Wrong("person", "setup.person-missing")
		}
		_, err = setup.GiveRight(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.Right{Person: person, Right: access.Right(r.value("role"))})
		return err
	})
}
