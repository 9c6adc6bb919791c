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
	return r.publishPage("", "")
}

// publishPage draws the list as it is now; command is the id that the form had when it comes back to be mended.
func (r *request) publishPage(note, command string) (templ.Component, error) {
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
	if command != "" {
		f.Command = command
	}
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
	page, pageErr := r.publishPage(r.value("note"), r.keptCommand(err))
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func setupPage(r *request) (templ.Component, error) { return r.setupPage("", "") }

// setupPage draws the page; where one of its forms comes back to be mended, it holds what was typed and its command.
func (r *request) setupPage(form, command string) (templ.Component, error) {
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
	made := func(key string, version int64) (f view.Form, err error) {
		f, err = r.newForm(r.event().Setup()+"/"+key, version)
		if form == key && command != "" {
			f.Command = command
		}
		return f, err
	}
	if err := r.setupForms(&p, room, typed, made); err != nil {
		return nil, err
	}
	return view.SetupPage(p), nil
}

func (r *request) contact(c hall.Contact, people map[foray.ID]hall.Person) view.Contact {
	return view.Contact{Name: c.Name, Phone: c.Phone, Hours: c.Hours, TypedBy: people[c.TypedBy].Name, TypedAt: r.local(c.TypedAt.Time),
		TestedBy: people[c.TestedBy].Name, TestedAt: r.local(c.TestedAt.Time)}
}

func (r *request) setupForms(p *view.Setup, room setup.Room, typed func(key, name string) string, made func(string, int64) (view.Form, error)) (err error) {
	if r.held.Can(access.TendHazards) {
		if err = r.contactForms(p, room, typed, made); err != nil {
			return err
		}
	}
	if !r.held.Can(access.SetUp) {
		return nil
	}
	next := 1
	if n := len(room.Tables); n > 0 {
		next = room.Tables[n-1].Number + 1
	}
	p.Add = &view.TableForm{Number: strconv.Itoa(next), Name: typed(view.FormTable, "name"), Hazards: typed(view.FormTable, "hazards") != ""}
	if number := typed(view.FormTable, "number"); number != "" {
		p.Add.Number = number
	}
	if p.Add.Form, err = made(view.FormTable, 0); err != nil {
		return err
	}
	p.Give = &view.RightForm{}
	for _, person := range room.People {
		if person.Kind == "person" {
			p.Give.People = append(p.Give.People, view.Option{Value: person.ID.String(), Label: person.Name, Chosen: person.ID.String() == typed(view.FormRight, "person")})
		}
	}
	for _, right := range access.Given {
		p.Give.Roles = append(p.Give.Roles, view.Option{Value: string(right), Text: view.RoleText(string(right)), Chosen: string(right) == typed(view.FormRight, "role")})
	}
	p.Give.Form, err = made(view.FormRight, 0)
	return err
}

func (r *request) contactForms(p *view.Setup, room setup.Room, typed func(key, name string) string, made func(string, int64) (view.Form, error)) (err error) {
	p.Edit = &view.ContactForm{Name: typed(view.FormContact, "name"), Phone: typed(view.FormContact, "phone"), Hours: typed(view.FormContact, "hours")}
	if p.Edit.Form, err = made(view.FormContact, 0); err != nil || len(room.Contacts) == 0 {
		return err
	}
	p.Tested = &view.TestedForm{}
	p.Tested.Form, err = made(view.FormTested, int64(room.Contacts[0].Seq))
	return err
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
	page, pageErr := r.setupPage(form, r.keptCommand(err))
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
