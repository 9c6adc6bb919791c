package booklet

import (
	"context"
	"io"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/printing"
	"forayhall/internal/store"
	"forayhall/internal/tally"
)

// ForSite is a letter to the manager of one site's land. Its list is that of the site.
type ForSite struct {
	In
	Site string // its code, name or id
}

// LetterSite is a site of which a letter can be written.
type LetterSite struct {
	Code string
	Name string
}

// LetterSites lists the sites by code, for those who may write letters.
func LetterSites(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]LetterSite, error) {
	var all []LetterSite
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if err := l.May(access.PublishList, access.SetUp); err != nil {
			return err
		}
		sites, err := l.Tx.Sites(scope.Society, scope.Event)
		for _, s := range sites {
			all = append(all, LetterSite{s.Code, s.Name})
		}
		return err
	})
	return all, err
}

// WriteLetter writes the letter as a PDF.
func WriteLetter(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in ForSite, w io.Writer) error {
	letter, err := letterOf(ctx, h, actor, scope, in)
	if err != nil {
		return err
	}
	return printing.WriteLetter(w, letter, in.Paper)
}

// LetterText is the letter as plain text.
func LetterText(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in ForSite) (string, error) {
	letter, err := letterOf(ctx, h, actor, scope, in)
	if err != nil {
		return "", err
	}
	p := &plain{}
	for _, l := range letter.From {
		p.line(l, 0, 2)
	}
	p.paragraph(letter.Date)
	p.paragraph(letter.Subject)
	p.paragraph(letter.Greeting)
	for _, c := range letter.Parts {
		p.chapter(c)
	}
	p.gap()
	for _, l := range letter.Closing {
		p.line(l, 0, 2)
	}
	p.paragraph(letter.Caution)
	return p.b.String(), nil
}

func letterOf(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in ForSite) (letter printing.SiteLetter, err error) {
	err = h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if err := l.May(access.PublishList, access.SetUp); err != nil {
			return err
		}
		site, err := l.SiteWritten(in.Site)
		if fault.Is(err, fault.NotFound) {
			return fault.Wrong("site", "letter.site-unknown", "site", in.Site)
		}
		if err != nil {
			return err
		}
		m, err := newMaker(l, in.In)
		if err != nil {
			return err
		}
		letter, err = m.letter(site)
		return err
	})
	return letter, err
}

// letter names a place only as the public may know it: a letter is laid in files and passed on.
func (m *maker) letter(site store.Site) (printing.SiteLetter, error) {
	where := m.say.Say("letter.agreed")
	if name := m.places.Of(site.ID).Name(); name != "" {
		where = m.say.Say("letter.at", "site", name)
	}
	letter := printing.SiteLetter{Society: m.society.Name, Date: m.date(m.look.Now), At: m.look.Now, Greeting: m.say.Say("letter.greeting"),
		Subject: m.say.Say("letter.subject", "where", where, "days", m.days()), Caution: m.say.Say("hazard.caution"),
		Closing: []string{m.say.Say("letter.regards"), m.publisher(), m.contact()}}
	for _, l := range []string{m.publisher(), m.society.DataContact, m.society.DataMail, m.society.WebAddress} {
		if l != "" {
			letter.From = append(letter.From, l)
		}
	}
	there, err := m.there(site)
	if err != nil {
		return letter, err
	}
	letter.Parts = append(letter.Parts, printing.Chapter{Items: m.opening(site, where)})
	for _, part := range []printing.Chapter{m.guarded(there), m.taken(there), m.found(), m.doubtful(), m.further()} {
		if len(part.Items) > 0 {
			letter.Parts = append(letter.Parts, part)
		}
	}
	return letter, nil
}

// opening is thanks, how many, and what was asked of us.
func (m *maker) opening(site store.Site, where string) []printing.Item {
	items := []printing.Item{
		printing.Paragraph(m.say.Say("letter.thanks", "society", m.society.Name, "days", m.days(), "where", where, "event", m.event.Name)),
		printing.Paragraph(m.say.Say("letter.numbers", "n", m.list.Total, "from", m.outOf()) + " " + m.say.Say("letter.draft")),
	}
	if permit := strings.TrimSpace(site.Permit); permit != "" {
		items = append(items, printing.Paragraph(m.say.Say("letter.permit", "permit", permit)))
	}
	return items
}

// found there: what of the site bears a flag, and what is kept of it.
type there struct {
	flagged  []hall.Flagged
	vouchers []string
}

func (m *maker) there(site store.Site) (t there, err error) {
	flags, err := m.look.Tx.TaxonFlags(m.look.Scope.Society, m.look.Scope.Event)
	if err != nil {
		return t, err
	}
	plates, err := m.look.Plates()
	if err != nil {
		return t, err
	}
	kept, err := m.look.Vouchers()
	if err != nil {
		return t, err
	}
	seen, err := m.look.SeenThere()
	var names []foray.SlipName
	for _, p := range plates {
		if p.SiteID != site.ID || p.Outside || p.Cultivated {
			continue
		}
		names = append(names, p.Asked()...)
		if kept[p.ID].Chosen {
			t.vouchers = append(t.vouchers, p.Number().String())
		}
	}
	for _, s := range seen {
		if s.SiteID == site.ID && s.Struck == nil && !s.Outside {
			names = append(names, s.SlipName())
		}
	}
	for _, f := range m.look.Hall.FlagsOn(flags, names) {
		if f.Flag == hall.Protected && !f.Perhaps {
			t.flagged = append(t.flagged, f)
		}
	}
	return t, err
}

// guarded is what is protected there. Nothing says where on the land: a path trodden to it is its end.
func (m *maker) guarded(t there) printing.Chapter {
	c := printing.Chapter{Title: m.say.Say("letter.protected"), Why: m.say.Say("letter.protected.why")}
	for _, f := range t.flagged {
		c.Items = append(c.Items, printing.Row{Name: m.look.Hall.SetName(f.Name, ""), Text: m.say.Say("letter.protected.by", "source", f.Source)})
	}
	return c
}

func (m *maker) taken(t there) printing.Chapter {
	c := printing.Chapter{Title: m.say.Say("letter.vouchers")}
	if len(t.vouchers) > 0 {
		c.Items = []printing.Item{printing.Paragraph(m.say.Say("letter.vouchers.taken", "numbers", strings.Join(t.vouchers, ", "), "event", m.event.Code))}
	}
	return c
}

func (m *maker) found() printing.Chapter {
	c := printing.Chapter{Title: m.say.Say("letter.found")}
	lines := m.list.counted()
	if len(lines) == 0 {
		c.Items = []printing.Item{printing.Paragraph(m.say.Say("letter.found.none"))}
	}
	for _, realm := range tally.Realms {
		headed := false
		for _, l := range lines {
			if l.Group != string(realm) {
				continue
			}
			if !headed {
				headed = true
				c.Items = append(c.Items, printing.Heading{Level: 2, Text: m.say.Say("pages.kingdom." + string(realm))})
			}
			c.Items = append(c.Items, m.inLetter(l))
		}
	}
	return c
}

func (m *maker) inLetter(l line, more ...string) printing.Row {
	return printing.Row{Name: l.printed(), Text: joined(" · ", append(append([]string{l.Common, m.counts(l)}, l.Firsts...), more...)...)}
}

// doubtful is what has a name and is not sure of it.
func (m *maker) doubtful() printing.Chapter {
	c := printing.Chapter{Title: m.say.Say("letter.doubtful"), Why: m.say.Say("letter.doubtful.why")}
	for _, why := range []tally.Apart{tally.InDispute, tally.Unconfirmed, tally.Doubtful} {
		for _, l := range m.list.apart(why) {
			c.Items = append(c.Items, m.inLetter(l, m.say.Say("pages.apart."+string(why))))
		}
	}
	return c
}

// further is where the whole list is, and that corrections are welcome.
func (m *maker) further() printing.Chapter {
	c := printing.Chapter{Items: []printing.Item{printing.Paragraph(m.say.Say("letter.correct"))}}
	if m.in.Link != "" {
		c.Items = append(c.Items, printing.Paragraph(m.say.Say("letter.link", "link", m.in.Link)))
	}
	return c
}
