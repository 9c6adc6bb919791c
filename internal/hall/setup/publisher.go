package setup

import (
	"context"
	"net/mail"
	"net/url"
	"strings"
	"unicode/utf8"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Publisher is under whose name and on which terms a society gives its records out. All of it is shown publicly.
type Publisher struct {
	Licence     string `json:"licence"`               // CC0-1.0, CC-BY-4.0, CC-BY-NC-4.0; empty: not chosen yet
	Name        string `json:"name,omitempty"`        // as it is cited; empty: the society's own
	Contact     string `json:"contact,omitempty"`     // who answers questions about the records
	Mail        string `json:"mail,omitempty"`        // theirs
	Web         string `json:"web,omitempty"`         // the society's address
	About       string `json:"about,omitempty"`       // the society in a few sentences
	Institution string `json:"institution,omitempty"` // code of the fungarium where vouchers go
	Collection  string `json:"collection,omitempty"`  // and of the collection there
}

// mostAbout is in characters: what an abstract can hold without hiding the event.
const mostAbout = 1000

// SetPublisher says it for the whole society. The organiser of any of its events may, since a society has no rights of its
// own; the audit keeps what was there.
func SetPublisher(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Publisher) (Publisher, error) {
	cmd.Type, cmd.Body = "society.publisher.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Publisher, error) {
		in := in.tidied()
		if wrong := in.check(); len(wrong) > 0 {
			return Publisher{}, fault.Many(wrong)
		}
		society, err := w.Tx.SocietyByID(scope.Society)
		if err != nil {
			return Publisher{}, err
		}
		_, err = changed(w, "society", society.ID, PublisherOf(society), w.Tx.SetPublisher(society.ID, in.row()))
		return in, err
	})
}

// SeePublisher is what the society says of itself, for the event's staff.
func SeePublisher(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Publisher, error) {
	var p Publisher
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.SetUp)
		}
		society, err := l.Tx.SocietyByID(scope.Society)
		p = PublisherOf(society)
		return err
	})
	return p, err
}

// PublisherOf is what is stored.
func PublisherOf(s store.Society) Publisher {
	return Publisher{Licence: s.Licence, Name: s.PublisherName, Contact: s.DataContact, Mail: s.DataMail, Web: s.WebAddress, About: s.About,
		Institution: s.InstitutionCode, Collection: s.CollectionCode}
}

func (p Publisher) row() store.Publisher {
	return store.Publisher{Licence: p.Licence, PublisherName: p.Name, DataContact: p.Contact, DataMail: p.Mail, WebAddress: p.Web, About: p.About,
		InstitutionCode: p.Institution, CollectionCode: p.Collection}
}

func (p Publisher) tidied() Publisher {
	for _, text := range []*string{&p.Licence, &p.Name, &p.Contact, &p.Mail, &p.Web, &p.About, &p.Institution, &p.Collection} {
		*text = tidy(*text)
	}
	return p
}

// check is quiet about what is empty: a society may not have it.
func (p Publisher) check() map[string]message.Text {
	wrong := map[string]message.Text{}
	if _, known := archive.LicenceBy(p.Licence); !known && p.Licence != "" {
		wrong["licence"] = message.T("publisher.licence", "licences", strings.Join(archive.LicenceKeys(), ", "))
	}
	for name, text := range map[string]string{"name": p.Name, "contact": p.Contact, "mail": p.Mail, "web": p.Web, "institution": p.Institution, "collection": p.Collection} {
		if utf8.RuneCountInString(text) > mostName {
			wrong[name] = message.T("text.too-long", "most", mostName)
		}
	}
	if utf8.RuneCountInString(p.About) > mostAbout {
		wrong["about"] = message.T("text.too-long", "most", mostAbout)
	}
	if a, err := mail.ParseAddress(p.Mail); p.Mail != "" && (err != nil || a.Address != p.Mail) {
		wrong["mail"] = message.T("publisher.mail")
	}
	if u, err := url.Parse(p.Web); p.Web != "" && (err != nil || u.Host == "" || u.User != nil || u.Scheme != "http" && u.Scheme != "https") {
		wrong["web"] = message.T("publisher.web")
	}
	return wrong
}
