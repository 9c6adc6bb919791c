// Package booklet makes the papers and spreadsheets in which a list goes out: the booklet that is bound, the spreadsheet,
// the text for a newsletter and the letter to the manager of a site's land. What stands on a signed list is read from the
// bytes in which it was signed, so that it says the same for ever; everything else is of the day on which the paper is
// made, and says so. It must never tell more of a place than its public form, nor name a person otherwise than they chose.
package booklet

import (
	"cmp"
	"context"
	"io"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/internal/store"
)

// In is from what a paper is made, and for whom.
type In struct {
	List  hall.Publication // as it was signed, or as it would be: version 0
	Paper printing.Paper
	Link  string          // the address of the list; empty: not known
	Worth *printing.Worth // what the day was worth, where somebody reckoned it
}

// WriteBooklet writes the list with all that belongs to it as a PDF.
func WriteBooklet(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in In, w io.Writer) error {
	var b printing.Booklet
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		m, err := newMaker(l, in)
		if err != nil {
			return err
		}
		b, err = m.booklet()
		return err
	})
	if err != nil {
		return err
	}
	return printing.WriteBooklet(w, b, in.Paper)
}

// maker has what papers are made from.
type maker struct {
	look    *hall.Look
	in      In
	say     message.Printer
	list    frozen
	society store.Society
	event   store.Event
	zone    *time.Location
	people  map[foray.ID]store.Person
	places  hall.Places
	sites   []store.Site
}

func newMaker(l *hall.Look, in In) (*maker, error) {
	m := &maker{look: l, in: in, say: in.Paper.Say}
	var err error
	if m.list, err = thaw(in.List); err != nil {
		return nil, err
	}
	if m.event, err = l.Event(); err != nil {
		return nil, err
	}
	m.zone = hall.Zone(m.event)
	if m.society, err = l.Tx.SocietyByID(l.Scope.Society); err != nil {
		return nil, err
	}
	if m.people, err = l.PeopleNames(); err != nil {
		return nil, err
	}
	if m.sites, err = l.Tx.Sites(l.Scope.Society, l.Scope.Event); err != nil {
		return nil, err
	}
	m.warn()
	m.places, err = l.Places()
	return m, err
}

// warn marks lines by what is known of their names today, where that is worse than what a version was signed with: paper
// that is made today warns as a page does.
func (m *maker) warn() {
	for i := range m.list.Lines {
		l := &m.list.Lines[i]
		worst := m.look.Hall.Knowledge.Hazards.Worst([]hazard.Question{{Text: cmp.Or(l.Written, l.Name)}}, m.event.Region)
		l.Severity = max(l.Severity, worst.Severity)
	}
}

func (m *maker) booklet() (printing.Booklet, error) {
	b := printing.Booklet{Society: m.society.Name, Event: m.event.Name, Code: m.event.Code, Place: m.event.Place, Days: m.days(), At: m.look.Now,
		Heading: m.heading(), Draft: m.list.draft(), Figures: m.figures(), Facts: m.facts(), Link: m.in.Link, Contents: m.say.Say("booklet.contents")}
	if b.Link != "" {
		b.LinkWhy = m.say.Say("booklet.link")
		if m.list.draft() {
			b.LinkWhy = m.say.Say("booklet.link.draft")
		}
	}
	if !m.list.draft() {
		b.Digest = m.say.Say("booklet.digest", "sha", m.in.List.CanonicalSha256)
	}
	for _, chapter := range []func() (printing.Chapter, error){m.programme, m.atSites, m.species, m.apart, m.firsts, m.worth, m.vouchers, m.who, m.cautions,
		m.rule, m.cite} {
		c, err := chapter()
		if err != nil {
			return b, err
		}
		if len(c.Items) > 0 {
			b.Chapters = append(b.Chapters, c)
		}
	}
	return b, nil
}

func (m *maker) heading() string {
	if m.list.draft() {
		return m.say.Say("booklet.heading.draft")
	}
	return m.say.Say("booklet.heading.version", "version", m.list.Version)
}

// figures begin with the number that everybody asks for.
func (m *maker) figures() []printing.Figure {
	all := []printing.Figure{{N: strconv.Itoa(m.list.Total), Label: m.say.Say("booklet.figure.taxa", "n", m.list.Total)}}
	for _, f := range []struct {
		n   int
		key string
	}{{m.list.Finds - m.list.FieldRecords, "booklet.figure.collections"}, {m.list.FieldRecords, "booklet.figure.fields"}} {
		if f.n > 0 {
			all = append(all, printing.Figure{N: strconv.Itoa(f.n), Label: m.say.Say(f.key, "n", f.n)})
		}
	}
	return all
}

// facts are who stands behind the list, and of when the paper is.
func (m *maker) facts() (facts []string) {
	if !m.list.draft() {
		facts = append(facts, m.say.Say("booklet.signed", "version", m.list.Version, "who", m.list.SignedBy, "when", m.moment(m.list.SignedAt)))
	}
	if m.list.Remarks != "" {
		facts = append(facts, m.list.Remarks)
	}
	return append(facts, m.asOf())
}

// asOf says what of the paper is of today: of a draft everything, of a signed list all but the list.
func (m *maker) asOf() string {
	key := "booklet.as-of"
	if m.list.draft() {
		key = "booklet.as-of.draft"
	}
	return m.say.Say(key, "when", m.moment(m.look.Now))
}

// today stands beneath a chapter that was not signed with the list.
func (m *maker) today() string {
	if m.list.draft() {
		return ""
	}
	return m.say.Say("booklet.today", "when", m.date(m.look.Now))
}

func (m *maker) date(t time.Time) string {
	t = t.In(m.zone)
	return m.day(t.Day(), t.Month(), t.Year())
}

func (m *maker) day(day int, month time.Month, year int) string {
	return m.say.Say("printing.date", "day", strconv.Itoa(day), "month", message.T("pages.date.month."+strconv.Itoa(int(month))), "year", strconv.Itoa(year))
}

func (m *maker) moment(t time.Time) string {
	return m.say.Say("booklet.moment", "date", m.date(t), "time", t.In(m.zone).Format("15:04"))
}

// days are the event's as one writes them.
func (m *maker) days() string {
	from, err1 := time.Parse(time.DateOnly, m.event.StartsOn)
	to, err2 := time.Parse(time.DateOnly, m.event.EndsOn)
	written := func(t time.Time) string { return m.day(t.Day(), t.Month(), t.Year()) }
	switch {
	case err1 != nil:
		return m.event.StartsOn
	case err2 != nil || from.Equal(to):
		return written(from)
	case from.Year() == to.Year() && from.Month() == to.Month():
		return strconv.Itoa(from.Day()) + "–" + written(to)
	}
	return m.say.Say("booklet.days", "from", written(from), "to", written(to))
}

func joined(between string, parts ...string) string {
	var said []string
	for _, p := range parts {
		if p != "" {
			said = append(said, p)
		}
	}
	return strings.Join(said, between)
}
