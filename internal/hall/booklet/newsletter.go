package booklet

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/printing"
	"forayhall/internal/tally"
)

// Newsletter is the list as plain text for the society's own leaf: how many, what is new, what was found, and thanks.
func Newsletter(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in In) (string, error) {
	var text string
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		m, err := newMaker(l, in)
		if err != nil {
			return err
		}
		text, err = m.newsletter()
		return err
	})
	return text, err
}

func (m *maker) newsletter() (string, error) {
	p := &plain{}
	p.line(joined(" ", strings.ToUpper(m.event.Name), "("+m.event.Code+")"), 0, 0)
	p.line(joined(" · ", m.society.Name, m.event.Place, m.days()), 0, 0)
	if m.list.draft() {
		p.paragraph(m.say.Say("booklet.not-final") + ". " + m.say.Say("booklet.not-final.why"))
	}
	p.paragraph(m.totals())
	p.items([]printing.Item{printing.Paragraph(m.say.Say("newsletter.groups"))})
	for _, realm := range tally.Realms {
		if n := m.list.Totals[string(realm)]; n > 0 {
			p.line(strconv.Itoa(n)+" "+m.say.Say("pages.kingdom."+string(realm)), 2, 2)
		}
	}
	news, err := m.firsts()
	if err != nil {
		return "", err
	}
	if news.Why = ""; len(news.Items) > 0 {
		p.chapter(news)
	}
	p.chapter(m.shortList())
	if n := m.leftApart(); n > 0 {
		p.paragraph(m.say.Say("newsletter.apart", "n", n))
	}
	names, unnamed, err := m.takers()
	if err != nil {
		return "", err
	}
	p.chapter(m.thanks(names, unnamed))
	p.paragraph(m.say.Say("hazard.caution"))
	if m.in.Link != "" {
		p.paragraph(m.say.Say("newsletter.link"))
		p.line(m.in.Link, 0, 0)
	}
	return p.b.String(), nil
}

func (m *maker) totals() string {
	said := m.say.Say("newsletter.total", "n", m.list.Total, "from", m.outOf())
	if m.list.draft() {
		return said
	}
	return joined(" ", said, m.say.Say("booklet.signed", "version", m.list.Version, "who", m.list.SignedBy, "when", m.date(m.list.SignedAt)))
}

// outOf is what the list was made from.
func (m *maker) outOf() string {
	collections := m.say.Say("booklet.collections", "n", m.list.Finds-m.list.FieldRecords)
	if m.list.FieldRecords == 0 {
		return collections
	}
	return m.say.Say("booklet.and", "one", collections, "other", m.say.Say("booklet.fields", "n", m.list.FieldRecords))
}

// shortList is what counts, by group, under names that people know.
func (m *maker) shortList() printing.Chapter {
	c := printing.Chapter{Title: m.say.Say("booklet.species")}
	lines := slices.DeleteFunc(m.list.counted(), func(l line) bool { return !l.Counts })
	if len(lines) == 0 {
		c.Items = []printing.Item{printing.Paragraph(m.say.Say("booklet.species.none"))}
	}
	for _, realm := range tally.Realms {
		headed := false
		for _, l := range lines {
			if l.Group != string(realm) {
				continue
			}
			if !headed {
				headed = true
				c.Items = append(c.Items, printing.Heading{Level: 1, Text: m.say.Say("pages.kingdom." + string(realm))})
			}
			c.Items = append(c.Items, printing.Entry{Name: printing.Upright(l.bare()), Common: l.Common})
		}
	}
	return c
}

// leftApart is how many lines are apart.
func (m *maker) leftApart() (n int) {
	for _, why := range tally.AllApart {
		n += len(m.list.apart(why))
	}
	return n
}

func (m *maker) thanks(names []string, unnamed int) printing.Chapter {
	c := printing.Chapter{Title: m.say.Say("newsletter.thanks")}
	if len(names) > 0 {
		c.Items = append(c.Items, printing.Paragraph(m.say.Say("newsletter.thanks.to", "names", strings.Join(names, ", "))))
	}
	if unnamed > 0 {
		c.Items = append(c.Items, printing.Paragraph(m.say.Say("booklet.people.unnamed", "n", unnamed)))
	}
	return c
}
