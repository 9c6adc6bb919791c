package pages

import (
	"slices"
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/checklist"
	"forayhall/internal/hall/setup"
	"forayhall/web/view"
)

func setupEvent(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartEvent)
	if err != nil {
		return nil, err
	}
	p := view.SetupEvent{Part: part}
	may := r.held.Can(access.SetUp)
	if !may {
		p.Rows = []view.SetupRow{eventRow(room.Event)}
	} else if p.Edit, err = r.eventForm(setup.DetailsOf(room.Event), typed); err != nil {
		return nil, err
	}
	for i, g := range room.Groups {
		move := view.GroupMove{Group: g, First: i == 0, Last: i == len(room.Groups)-1}
		if may {
			f, err := r.setupForm(view.FormGroup, 0, typedAct{})
			if err != nil {
				return nil, err
			}
			move.Form = &f
		}
		p.Groups = append(p.Groups, move)
	}
	p.Personal = r.personal(room.Personal, byName(room))
	if p.Borrowed, err = r.borrowed(room, typed); err == nil && may {
		p.Follow, err = r.follow(typed)
	}
	return view.SetupEventPage(p), err
}

// eventRow is the details for who may not change them.
func eventRow(e hall.Event) view.SetupRow {
	row := view.SetupRow{Head: view.T("setup.line.event", "code", e.Code, "name", e.Name)}
	row.Lines = append(row.Lines, view.T("setup.line.days", "from", e.StartsOn, "to", e.EndsOn, "zone", e.TimeZone),
		view.T("setup.line.ladder", "ring", e.RingMin, "tell", e.TellMin, "search", e.SearchMin, "sunset", e.SunsetMin, "silence", e.SilenceMin))
	if e.Jurisdiction != "" {
		row.Lines = append(row.Lines, view.T("setup.line.jurisdiction", "name", e.Jurisdiction))
	}
	if e.DeletePersonalOn != "" {
		row.Lines = append(row.Lines, view.T("setup.line.delete", "day", e.DeletePersonalOn))
	}
	return row
}

func (r *request) eventForm(d setup.Details, typed typedAct) (*view.EventForm, error) {
	f, err := r.setupForm(view.FormEvent, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormEvent, name, stored) }
	return &view.EventForm{Form: f, Name: or("name", d.Name), Place: or("place", d.Place), From: or("starts_on", d.StartsOn), To: or("ends_on", d.EndsOn),
		Zone: or("time_zone", d.TimeZone), Jurisdiction: or("jurisdiction", d.Jurisdiction), Laws: setup.Jurisdictions(r.hall()), Delete: or("delete_personal_on", d.DeletePersonalOn),
		Regions: view.Options("region", setup.Regions, or("region", d.Region)), Ring: or("ring_min", strconv.Itoa(d.RingMin)),
		Tell: or("tell_min", strconv.Itoa(d.TellMin)), Search: or("search_min", strconv.Itoa(d.SearchMin)), Sunset: or("sunset_min", strconv.Itoa(d.SunsetMin)),
		Silence: or("silence_min", strconv.Itoa(d.SilenceMin)), Everything: typed.ticked(view.FormEvent, "everything_recorded", d.EverythingRecorded),
		DeleteReason: or("delete_reason", ""), PersonalMonths: or("personal_months", strconv.Itoa(d.PersonalMonths)), ContactMonths: or("contact_months", strconv.Itoa(d.ContactMonths))}, err
}

func changeEvent(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartEvent, setupEvent, view.FormEvent, func(cmd hall.Command) error {
		w := r.reading()
		in := setup.Details{Name: r.value("name"), Place: r.value("place"), StartsOn: r.value("starts_on"), EndsOn: r.value("ends_on"), TimeZone: r.value("time_zone"),
			Region: r.value("region"), Jurisdiction: r.value("jurisdiction"), EverythingRecorded: r.ticked("everything_recorded"), RingMin: w.number("ring_min"),
			TellMin: w.number("tell_min"), SearchMin: w.number("search_min"), SunsetMin: w.number("sunset_min"), SilenceMin: w.number("silence_min"),
			DeletePersonalOn: r.value("delete_personal_on"), DeleteReason: r.value("delete_reason"), PersonalMonths: w.number("personal_months"), ContactMonths: w.number("contact_months")}
		if err := w.err(); err != nil {
			return err
		}
		_, err := setup.ChangeEvent(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

// borrowed is the common names that borrow, and the form in which the society says whether they are printed.
func (r *request) borrowed(room setup.Room, typed typedAct) (b view.Borrowed, err error) {
	for _, c := range room.Borrowed {
		b.Names = append(b.Names, view.Common{Name: c.Name, Borrows: borrowOf(c.Borrows)})
	}
	b.Choices = view.Options("borrowed", setup.BorrowedChoices, typed.or(view.FormBorrowed, "choice", r.at.Society.BorrowedNames))
	if r.held.Can(access.SetUp) {
		form, err := r.setupForm(view.FormBorrowed, 0, typed)
		b.Form = &form
		return b, err
	}
	return b, nil
}

func chooseBorrowed(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartEvent, setupEvent, view.FormBorrowed, func(cmd hall.Command) error {
		_, err := setup.ChooseBorrowedNames(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.BorrowedNames{Choice: r.value("choice")})
		return err
	})
}

// follow is the form in which the society chooses whose names it follows.
func (r *request) follow(typed typedAct) (*view.FollowForm, error) {
	shelf, err := checklist.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	form, err := r.setupForm(view.FormFollow, 0, typed)
	f := &view.FollowForm{Form: form, Choices: []view.Option{{Text: view.T("setup.follow.shipped"), Chosen: shelf.Followed.IsZero()}}}
	for _, c := range shelf.Lists {
		f.Choices = append(f.Choices, view.Option{Value: c.ID.String(), Chosen: c.ID == shelf.Followed,
			Text: view.T("setup.follow.list", "title", c.Title, "edition", c.Edition, "accepted", c.Accepted, "former", c.Former)})
	}
	return f, err
}

func chooseChecklist(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartEvent, setupEvent, view.FormFollow, func(cmd hall.Command) (err error) {
		var in checklist.Choice
		if chosen := r.value("checklist"); chosen != "" {
			if in.Checklist, err = foray.ParseID(chosen); err != nil {
				return fault.Wrong("checklist", "checklist.unknown")
			}
		}
		_, err = checklist.Choose(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

func moveGroup(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartEvent, setupEvent, view.FormGroup, func(cmd hall.Command) error {
		_, err := setup.MoveGroupOnTables(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.MoveGroup{Group: r.value("group"), Up: r.value("way") == "up"})
		return err
	})
}

// ofSociety finds the society of the address, which is the actor's own: in another nothing can be made.
func (r *request) ofSociety() ([]hall.PublicEvent, error) {
	if !r.actor.SignedIn() {
		return nil, fault.New(fault.NotSignedIn, "fault.not-signed-in")
	}
	if _, err := r.hall().FindOwn(r.ctx, r.actor, r.echo.Param("society"), ""); err != nil {
		return nil, err
	}
	society, events, err := r.hall().SocietyEvents(r.ctx, r.echo.Param("society"))
	r.at.Society, r.at.Scope.Society = society, society.ID
	return events, err
}

func newEventPage(r *request) (templ.Component, error) {
	events, err := r.ofSociety()
	if err != nil {
		return nil, err
	}
	return r.newEvent(events, typedAct{})
}

// formNewEvent is the form of the page: the only one, so that its fields have no prefix.
const formNewEvent = ""

func (r *request) newEvent(events []hall.PublicEvent, typed typedAct) (templ.Component, error) {
	l, err := r.layout(view.T("new-event.title"), false)
	if err != nil {
		return nil, err
	}
	path := "/" + r.at.Society.Code + "/events/new"
	p := view.NewEvent{Layout: l, Reload: path + "#form"}
	var like hall.Event
	if p.Earlier, like, err = r.earlier(events, typed); err != nil {
		return nil, err
	}
	or := func(name, stored string) string { return typed.or(formNewEvent, name, stored) }
	p.From, p.Code, p.Name, p.Place = like.Code, or("code", ""), or("name", like.Name), or("place", like.Place)
	p.StartsOn, p.EndsOn, p.Zone = or("starts_on", ""), or("ends_on", ""), or("time_zone", like.TimeZone)
	p.Regions = view.Options("region", setup.Regions, or("region", like.Region))
	p.Form, err = r.newForm(path, 0)
	if typed.command != "" {
		p.Form.Command = typed.command
	}
	return view.NewEventPage(p), err
}

// earlier is the events that this person works in, and the one that is to be copied.
func (r *request) earlier(events []hall.PublicEvent, typed typedAct) (options []view.Option, like hall.Event, err error) {
	from := typed.or(formNewEvent, "from", r.echo.QueryParam("from"))
	for _, e := range events {
		held, err := r.hall().HeldIn(r.ctx, r.actor, access.Scope{Society: e.Society.ID, Event: e.Event.ID})
		if err != nil {
			return nil, like, err
		}
		if !held.Staff() {
			continue
		}
		options = append(options, view.Option{Value: e.Event.Code, Label: e.Event.Code + " " + e.Event.Name, Chosen: e.Event.Code == from})
		if e.Event.Code == from {
			like = e.Event
		}
	}
	return options, like, nil
}

func makeEvent(r *request) (string, templ.Component, error) {
	events, err := r.ofSociety()
	if err != nil {
		return "", nil, err
	}
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	made, err := r.makeEvent(cmd)
	if err == nil {
		return r.toEvent(made)
	}
	if !mendable(err) {
		return "", nil, err
	}
	r.wrong(formNewEvent, err)
	page, pageErr := r.newEvent(events, typedAct{command: r.keptCommand(err), values: r.value})
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func (r *request) makeEvent(cmd hall.Command) (setup.Made, error) {
	if from := r.value("from"); from != "" {
		return setup.AddEventFrom(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.EventFrom{From: from, Code: r.value("code"), StartsOn: r.value("starts_on"),
			EndsOn: r.value("ends_on"), Name: r.value("name"), Place: r.value("place"), TimeZone: r.value("time_zone"), Region: r.value("region")})
	}
	return setup.AddEvent(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.Event{Code: r.value("code"), Name: r.value("name"), Place: r.value("place"),
		StartsOn: r.value("starts_on"), EndsOn: r.value("ends_on"), TimeZone: r.value("time_zone"), Region: r.value("region")})
}

// toEvent leads to the set-up of an event that was just made.
func (r *request) toEvent(made setup.Made) (string, templ.Component, error) {
	_, events, err := r.hall().SocietyEvents(r.ctx, r.at.Society.Code)
	if err != nil {
		return "", nil, err
	}
	i := slices.IndexFunc(events, func(e hall.PublicEvent) bool { return e.Event.ID == made.ID })
	if i < 0 {
		return "", nil, fault.Missing()
	}
	r.at.Event = events[i].Event
	return r.event().Setup(), nil, nil
}
