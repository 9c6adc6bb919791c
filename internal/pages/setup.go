package pages

import (
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/web/view"
)

func setupPage(r *request) (templ.Component, error) {
	room, err := setup.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("setup.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.Setup{Layout: l, Parts: r.partLinks(room, ""), Missing: r.missing(room, "")}
	for part, n := range map[setup.Part]int{setup.PartSites: len(room.Sites), setup.PartWalks: len(room.Walks), setup.PartTeams: len(room.Teams),
		setup.PartTables: len(room.Tables), setup.PartNumbers: len(room.Blocks), setup.PartStocks: len(room.Stocks), setup.PartEarlier: room.Earlier, setup.PartFlags: len(room.Flags)} {
		p.Facts = append(p.Facts, view.SetupFact{Key: string(part), N: n})
	}
	if len(room.Contacts) > 0 {
		p.Contact = r.contact(room.Contacts[0], byName(room))
	}
	if r.held.Can(access.SetUp) {
		p.Close, p.Next = r.event().Close(), "/"+r.at.Society.Code+"/events/new?from="+r.at.Event.Code
	}
	return view.SetupPage(p), nil
}

func byName(room setup.Room) map[foray.ID]hall.Person {
	people := map[foray.ID]hall.Person{}
	for _, p := range room.People {
		people[p.ID] = p
	}
	return people
}

// partLinks is the way round the parts; here is the one that is open.
func (r *request) partLinks(room setup.Room, here setup.Part) []view.PartLink {
	missing := map[setup.Part]int{}
	for _, m := range room.Missing() {
		missing[m.Part]++
	}
	links := make([]view.PartLink, len(setup.Parts))
	for i, part := range setup.Parts {
		links[i] = view.PartLink{Key: string(part), Path: r.event().SetupPart(string(part)), Missing: missing[part], Here: part == here}
	}
	return links
}

// missing is what is still to be done, in one part or, with none, in all.
func (r *request) missing(room setup.Room, in setup.Part) (missing []view.Missing) {
	for _, m := range room.Missing() {
		if in != "" && m.Part != in {
			continue
		}
		path := r.event().SetupPart(string(m.Part))
		switch {
		case m.Part == setup.PartNumbers && !m.Row.IsZero():
			path += "?team=" + m.Row.String()
		case !m.Row.IsZero():
			path += "?change=" + m.Row.String()
		}
		missing = append(missing, view.Missing{Text: m.Text, Path: path + "#form"})
	}
	return missing
}

// part is what the page of any part begins with.
func (r *request) part(room setup.Room, key setup.Part) (view.Part, error) {
	if r.echo.QueryParam("done") != "" {
		r.flash = view.T("setup.done")
	}
	l, err := r.layout(view.T("setup.part."+string(key)), false)
	return view.Part{Layout: l, Key: string(key), Parts: r.partLinks(room, key), Missing: r.missing(room, key)}, err
}

// partPage draws one part; a form that comes back to be mended holds what was typed.
type partPage func(r *request, room setup.Room, typed typedAct) (templ.Component, error)

func setupPart(draw partPage) handler {
	return func(r *request) (templ.Component, error) { return r.drawPart(draw, typedAct{}) }
}

func (r *request) drawPart(draw partPage, typed typedAct) (templ.Component, error) {
	room, err := setup.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	return draw(r, room, typed)
}

// doSetup runs one form of a part: a good one leads back to the part, a wrong one comes back with what was typed.
func (r *request) doSetup(part setup.Part, draw partPage, form string, do func(cmd hall.Command) error) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	err = do(cmd)
	if err == nil || !mendable(err) || !r.held.Staff() {
		return r.event().SetupPart(string(part)) + "?done=yes", nil, err
	}
	r.wrong(form, err)
	page, pageErr := r.drawPart(draw, typedAct{form: form, command: r.keptCommand(err), values: r.value})
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

// setupForm is a form of the set-up; one that came back keeps its command id.
func (r *request) setupForm(key string, version int64, typed typedAct) (view.Form, error) {
	f, err := r.newForm(r.event().SetupPart(key), version)
	if typed.form == key && typed.command != "" {
		f.Command = typed.command
	}
	return f, err
}

// or is what was typed into a form that came back, else what is stored.
func (t typedAct) or(form, name, stored string) string {
	if t.form == form && t.values != nil {
		return t.values(name)
	}
	return stored
}

func (t typedAct) ticked(form, name string, stored bool) bool {
	if t.form == form && t.values != nil {
		return t.values(name) != ""
	}
	return stored
}

// changing is the id of the row whose form is open: of the form that came back, else of the address; zero: a new one.
func (r *request) changing(form string, typed typedAct) foray.ID {
	id, err := foray.ParseID(typed.or(form, "id", r.echo.QueryParam("change")))
	if err != nil {
		return foray.ID{}
	}
	return id
}

// reading reads what is no plain text out of a form, and gathers what cannot be read.
type reading struct {
	r     *request
	wrong map[string]message.Text
}

func (r *request) reading() *reading { return &reading{r, map[string]message.Text{}} }

func (w *reading) err() error {
	if len(w.wrong) == 0 {
		return nil
	}
	return fault.Many(w.wrong)
}

// number is a whole number; nothing written is 0.
func (w *reading) number(name string) int {
	text := w.r.value(name)
	n, err := strconv.Atoi(text)
	if err != nil && text != "" {
		w.wrong[name] = message.T("setup.whole-number")
	}
	return n
}

// degrees takes the comma of other countries too; nothing written is nil.
func (w *reading) degrees(name string) *float64 {
	text := strings.Replace(w.r.value(name), ",", ".", 1)
	if text == "" {
		return nil
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil {
		w.wrong[name] = message.T("setup.point")
	}
	return &n
}

// moment is a date and time of the event's place; nothing written is no time.
func (w *reading) moment(name string) time.Time {
	text := w.r.value(name)
	if text == "" {
		return time.Time{}
	}
	at, err := time.ParseInLocation(pickedForm, text, hall.Zone(w.r.at.Event))
	if err != nil {
		w.wrong[name] = message.T("setup.moment")
	}
	return at
}

// id is the row that a form changes; zero: it adds one.
func (w *reading) id() foray.ID {
	id, err := optionalID(w.r.value("id"))
	if err != nil {
		w.wrong["id"] = message.T("fault.not-found")
	}
	return id
}

func setupContact(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartContact)
	if err != nil {
		return nil, err
	}
	p := view.SetupContact{Part: part}
	if len(room.Contacts) > 0 {
		p.Contact = r.contact(room.Contacts[0], byName(room))
	}
	if !r.held.Can(access.TendHazards) {
		return view.SetupContactPage(p), nil
	}
	of := func(name string) string { return typed.of(view.FormContact, name) }
	p.Edit = &view.ContactForm{Name: of("name"), Phone: of("phone"), Hours: of("hours")}
	if p.Edit.Form, err = r.setupForm(view.FormContact, 0, typed); err != nil {
		return nil, err
	}
	if len(room.Contacts) > 0 {
		p.Tested = &view.TestedForm{}
		p.Tested.Form, err = r.setupForm(view.FormTested, int64(room.Contacts[0].Seq), typed)
	}
	return view.SetupContactPage(p), err
}

func typeContact(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartContact, setupContact, view.FormContact, func(cmd hall.Command) error {
		_, err := safety.TypeContact(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Contact{Name: r.value("name"), Phone: r.value("phone"), Hours: r.value("hours")})
		return err
	})
}

func testContact(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartContact, setupContact, view.FormTested, func(cmd hall.Command) error {
		if !r.ticked("answered") {
			return fault.Wrong("answered", "safety.tick-answered")
		}
		_, err := safety.TestContact(r.ctx, r.hall(), r.actor, r.scope(), cmd, safety.Typed{Seq: *cmd.BaseVersion})
		return err
	})
}
