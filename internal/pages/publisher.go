package pages

import (
	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall"
	"forayhall/internal/hall/setup"
	"forayhall/web/view"
)

func setupPublisher(r *request, room setup.Room, typed typedAct) (templ.Component, error) {
	part, err := r.part(room, setup.PartPublisher)
	if err != nil {
		return nil, err
	}
	p := view.SetupPublisher{Part: part}
	stands := setup.PublisherOf(r.at.Society)
	if r.held.Can(access.SetUp) {
		p.Edit, err = r.publisherForm(stands, typed)
	} else {
		p.Lines = publisherLines(stands)
	}
	return view.SetupPublisherPage(p), err
}

func publisherLines(p setup.Publisher) (lines []view.PublisherLine) {
	licence, _ := archive.LicenceBy(p.Licence)
	for _, l := range [][2]string{{"publisher.licence", licence.Title}, {"publisher.name", p.Name}, {"publisher.contact", p.Contact},
		{"publisher.mail", p.Mail}, {"publisher.web", p.Web}, {"publisher.about", p.About}, {"publisher.institution", p.Institution},
		{"publisher.collection", p.Collection}} {
		if l[1] != "" {
			lines = append(lines, view.PublisherLine{Label: l[0], Text: l[1]})
		}
	}
	return lines
}

func (r *request) publisherForm(p setup.Publisher, typed typedAct) (*view.PublisherForm, error) {
	f, err := r.setupForm(view.FormPublisher, 0, typed)
	or := func(name, stored string) string { return typed.or(view.FormPublisher, name, stored) }
	var licences []view.Option
	for _, key := range archive.LicenceKeys() {
		licences = append(licences, view.Option{Value: key, Text: view.T("publisher.licence." + key), Chosen: key == or("licence", p.Licence)})
	}
	return &view.PublisherForm{Form: f, Licences: licences, Society: r.at.Society.Name,
		Name: or("name", p.Name), Contact: or("contact", p.Contact), Mail: or("mail", p.Mail), Web: or("web", p.Web), About: or("about", p.About),
		Institution: or("institution", p.Institution), Collection: or("collection", p.Collection)}, err
}

func sendPublisher(r *request) (string, templ.Component, error) {
	return r.doSetup(setup.PartPublisher, setupPublisher, view.FormPublisher, func(cmd hall.Command) error {
		_, err := setup.SetPublisher(r.ctx, r.hall(), r.actor, r.scope(), cmd, setup.Publisher{Licence: r.value("licence"), Name: r.value("name"),
			Contact: r.value("contact"), Mail: r.value("mail"), Web: r.value("web"), About: r.value("about"), Institution: r.value("institution"),
			Collection: r.value("collection")})
		return err
	})
}
