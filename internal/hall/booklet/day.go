package booklet

import (
	"cmp"
	"slices"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/printing"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// programme is the walks with their times and places.
func (m *maker) programme() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.programme"), Why: m.today()}
	walks, err := m.look.Tx.Walks(m.look.Scope.Society, m.look.Scope.Event)
	if err != nil {
		return c, err
	}
	slices.SortStableFunc(walks, func(a, b store.Walk) int {
		return cmp.Or(a.StartsAt.Compare(b.StartsAt.Time), cmp.Compare(a.Number, b.Number))
	})
	day := ""
	for _, w := range walks {
		if on := m.date(w.StartsAt.Time); !w.StartsAt.IsZero() && on != day {
			day = on
			c.Items = append(c.Items, printing.Heading{Level: 2, Text: on})
		}
		c.Items = append(c.Items, m.walk(w))
	}
	return c, nil
}

func (m *maker) walk(w store.Walk) printing.Row {
	row := printing.Row{Label: m.hours(w)}
	off := ""
	if !w.CalledOffAt.IsZero() {
		off = m.say.Say("booklet.called-off")
	}
	place := ""
	if !w.SiteID.IsZero() {
		place = cmp.Or(m.places.Of(w.SiteID).Name(), m.say.Say("booklet.withheld"))
	}
	row.Text = joined(" · ", m.say.Say("booklet.walk", "number", w.Number), w.Title, place, off)
	return row
}

func (m *maker) hours(w store.Walk) string {
	clock := func(t store.Stamp) string {
		if t.IsZero() {
			return ""
		}
		return t.In(m.zone).Format("15:04")
	}
	return joined("–", clock(w.StartsAt), clock(w.DueAt))
}

// atSites is where people walked, as far as the public may know, with what the list has from there.
func (m *maker) atSites() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.sites")}
	taxa := map[string]int{}
	for _, l := range m.list.Lines {
		for _, p := range l.Places {
			if l.Counts {
				taxa[p]++
			}
		}
	}
	hidden := 0
	for _, s := range m.sites {
		name := m.places.Of(s.ID).Name()
		if name == "" {
			hidden++
			continue
		}
		c.Items = append(c.Items, printing.Row{Label: name, Text: m.say.Say("booklet.site.taxa", "n", taxa[name])})
	}
	if hidden > 0 {
		c.Items = append(c.Items, printing.Paragraph(m.say.Say("booklet.sites.hidden", "n", hidden)))
	}
	return c, nil
}

// who is everybody who took part, as they wish to appear, in the order of the alphabet.
func (m *maker) who() (printing.Chapter, error) {
	names, unnamed, err := m.takers()
	c := printing.Chapter{Title: m.say.Say("booklet.people"), Why: joined(" ", m.say.Say("booklet.people.why"), m.today())}
	if len(names) > 0 {
		c.Items = append(c.Items, printing.Paragraph(joined(", ", names...)+"."))
	}
	if unnamed > 0 {
		c.Items = append(c.Items, printing.Paragraph(m.say.Say("booklet.people.unnamed", "n", unnamed)))
	}
	return c, err
}

// takers are those whom the records of the event name: who found, saw, determined, photographed or led, and who held a
// right. Sheets of teams are for safety and are not read here.
func (m *maker) takers() (names []string, unnamed int, err error) {
	took, err := m.took()
	if err != nil {
		return nil, 0, err
	}
	once := map[string]bool{}
	for id := range took {
		p, known := m.people[id]
		if !known || p.Kind != "person" {
			continue
		}
		switch name := hall.CreditedName(p); {
		case name == "":
			unnamed++
		case !once[name]:
			once[name] = true
			names = append(names, name)
		}
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(taxon.Fold(a), taxon.Fold(b)), cmp.Compare(a, b)) })
	return names, unnamed, nil
}

func (m *maker) took() (map[foray.ID]bool, error) {
	took := map[foray.ID]bool{}
	l, society, event := m.look, m.look.Scope.Society, m.look.Scope.Event
	plates, err := l.AllNumbered()
	if err != nil {
		return nil, err
	}
	for _, p := range plates {
		took[p.CollectorID] = true
		for _, s := range p.Slips {
			took[s.Determiner] = true
		}
	}
	seen, err := l.SeenThere()
	if err != nil {
		return nil, err
	}
	for _, s := range seen {
		took[s.ObserverID] = true
		for _, w := range s.Stands {
			took[w.PersonID] = true
		}
	}
	walks, err := l.Tx.Walks(society, event)
	if err != nil {
		return nil, err
	}
	for _, w := range walks {
		took[w.LeaderID] = true
	}
	helped, err := l.Tx.Helped(society, event)
	if err != nil {
		return nil, err
	}
	for _, person := range helped {
		took[person] = true
	}
	pictures, err := l.Tx.Photographs(society, event)
	for _, p := range pictures {
		if !p.Private && p.HiddenAt.IsZero() {
			took[p.TakenBy] = true
		}
	}
	delete(took, foray.ID{})
	return took, err
}

// cautions are what stands on every paper that names a fungus, and whom to call: only where somebody called them.
func (m *maker) cautions() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.cautions")}
	for _, key := range []string{"hazard.caution", "pages.caution.text", "booklet.caution.law"} {
		c.Items = append(c.Items, printing.Paragraph(m.say.Say(key)))
	}
	contacts, err := m.look.Tx.PoisonContacts(m.look.Scope.Society, m.look.Scope.Event)
	if err != nil || len(contacts) == 0 || contacts[0].TestedAt.IsZero() {
		return c, err
	}
	tested := contacts[0]
	c.Items = append(c.Items, printing.Row{Label: m.say.Say("pages.sheet.contact"), Text: m.say.Say("booklet.contact", "name", tested.Name, "phone", tested.Phone,
		"hours", tested.Hours, "when", m.date(tested.TestedAt.Time))})
	return c, nil
}

// rule is how the list counts, in the words under which it was signed.
func (m *maker) rule() (printing.Chapter, error) {
	return printing.Chapter{Title: m.say.Say("booklet.rule"), Items: []printing.Item{printing.Paragraph(m.list.Rule)}}, nil
}

// cite is how the list is cited, on which terms it may be used, and whom to ask.
func (m *maker) cite() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.cite")}
	c.Items = append(c.Items, printing.Paragraph(m.citation()), printing.Row{Label: m.say.Say("booklet.licence"), Text: m.licence()})
	if contact := m.contact(); contact != "" {
		c.Items = append(c.Items, printing.Row{Label: m.say.Say("booklet.ask"), Text: contact})
	}
	return c, nil
}

func (m *maker) publisher() string { return cmp.Or(m.society.PublisherName, m.society.Name) }

// citation is of the version, or says that a draft is not cited.
func (m *maker) citation() string {
	if m.list.draft() {
		return m.say.Say("booklet.citation.draft")
	}
	return joined(" ", m.say.Say("booklet.citation", "society", m.publisher(), "year", m.list.SignedAt.In(m.zone).Year(), "event", m.event.Name, "code", m.event.Code,
		"days", m.days(), "version", m.list.Version), m.in.Link)
}

func (m *maker) licence() string {
	licence, known := archive.LicenceBy(m.society.Licence)
	if !known {
		return m.say.Say("booklet.licence.open")
	}
	return joined(" ", licence.Title, licence.URL)
}

func (m *maker) contact() string {
	return joined(", ", m.society.DataContact, m.society.DataMail, m.society.WebAddress)
}
