package booklet

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/hall"
	"forayhall/internal/printing"
	"forayhall/internal/store"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// species is the list itself.
func (m *maker) species() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.species")}
	lines := m.list.counted()
	if len(lines) == 0 {
		c.Items = []printing.Item{printing.Paragraph(m.say.Say("booklet.species.none"))}
		return c, nil
	}
	c.Why = m.say.Say("booklet.species.why")
	c.Items = append(m.legend(lines), m.bySystem(lines)...)
	return c, nil
}

// legend explains what stands beside the names of this list.
func (m *maker) legend(lines []line) (items []printing.Item) {
	if !m.list.marked() {
		items = append(items, printing.Paragraph(m.say.Say("booklet.legend.unmarked")))
	}
	severities := map[int]bool{}
	var voucher, photograph, first bool
	for _, l := range m.list.Lines {
		severities[l.Severity] = true
		voucher, photograph, first = voucher || len(l.Vouchers) > 0, photograph || l.Photographs > 0, first || len(l.Firsts) > 0
	}
	for _, mark := range []struct {
		there bool
		key   string
	}{{voucher, "voucher"}, {photograph, "photograph"}, {first, "first"}} {
		if mark.there {
			items = append(items, printing.Row{Label: m.say.Say("booklet.mark." + mark.key), Text: m.say.Say("booklet.legend." + mark.key)})
		}
	}
	for severity := 5; severity > 0; severity-- {
		if severities[severity] {
			items = append(items, printing.Entry{Severity: severity, Name: printing.Upright(m.say.Say("pages.hazard." + strconv.Itoa(severity)))})
		}
	}
	return append(items, printing.Paragraph(m.say.Say("booklet.legend.no-entry")))
}

// bySystem sets lines under their groups, orders and families; those of a list that was signed without orders under
// their families.
func (m *maker) bySystem(lines []line) (items []printing.Item) {
	for _, realm := range tally.Realms {
		of := slices.DeleteFunc(slices.Clone(lines), func(l line) bool { return l.Group != string(realm) })
		if len(of) == 0 {
			continue
		}
		items = append(items, printing.Heading{Level: 1, Text: m.realm(realm, of)})
		slices.SortStableFunc(of, func(a, b line) int {
			return cmp.Or(placed(a.Order, b.Order), placed(a.Family, b.Family))
		})
		items = append(items, m.underFamilies(of)...)
	}
	return items
}

// placed puts what is nowhere placed behind what is.
func placed(a, b string) int {
	if (a == "") != (b == "") {
		return strings.Compare(b, a)
	}
	return strings.Compare(a, b)
}

func (m *maker) realm(realm tally.Realm, lines []line) string {
	counts := 0
	for _, l := range lines {
		if l.Counts {
			counts++
		}
	}
	word := m.say.Say("pages.kingdom." + string(realm))
	if counts == 0 {
		return word
	}
	return m.say.Say("booklet.realm", "group", word, "count", counts)
}

func (m *maker) underFamilies(lines []line) (items []printing.Item) {
	order, family := "\x00", "\x00"
	for _, l := range lines {
		if l.Order != order {
			if order, family = l.Order, "\x00"; order != "" {
				items = append(items, printing.Heading{Level: 2, Text: order})
			}
		}
		if l.Family != family {
			family = l.Family
			items = append(items, printing.Heading{Level: 3, Text: cmp.Or(family, m.say.Say("booklet.no-family"))})
		}
		items = append(items, m.entry(l))
	}
	return items
}

func (m *maker) entry(l line) printing.Entry {
	e := printing.Entry{Name: l.printed(), Common: l.Common, Severity: l.Severity, Marks: m.marks(l), As: m.say.Say("booklet.as"), Details: m.details(l)}
	for _, written := range l.DeterminedAs {
		e.Determined = append(e.Determined, determined(m.look.Hall, written))
	}
	if !l.Counts && l.Apart == string(tally.Counted) {
		e.Note = l.Why
	}
	return e
}

// determined is a name as it was written, without an author: in italics as far as the words go.
func determined(h *hall.Hall, written string) printing.Name {
	s := h.Setting(written)
	s.Author = ""
	if name := printedName(s); name.String() == written {
		return name
	}
	return printedName(taxon.Setting{Name: written, Rank: s.Rank})
}

func (m *maker) marks(l line) (marks []string) {
	for _, mark := range []struct {
		there bool
		key   string
	}{{len(l.Vouchers) > 0, "voucher"}, {l.Photographs > 0, "photograph"}, {len(l.Firsts) > 0, "first"}} {
		if mark.there {
			marks = append(marks, m.say.Say("booklet.mark."+mark.key))
		}
	}
	return marks
}

// details say how many, where and by whom.
func (m *maker) details(l line) string {
	by := ""
	if len(l.Determiners) > 0 {
		by = m.say.Say("booklet.determined", "who", strings.Join(l.Determiners, ", "))
	}
	return joined(" · ", m.counts(l), strings.Join(l.Places, ", "), by)
}

func (m *maker) counts(l line) string {
	var plates, fields string
	if n := len(l.Numbers); n > 0 {
		plates = m.say.Say("booklet.collections", "n", n)
	}
	switch n := len(l.FieldRecords); {
	case n > 0 && l.Seen > 0:
		fields = m.say.Say("booklet.fields-seen", "n", n, "seen", l.Seen)
	case n > 0:
		fields = m.say.Say("booklet.fields", "n", n)
	}
	return joined(" · ", plates, fields)
}

// apart is what adds nothing to the count, with why.
func (m *maker) apart() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("pages.list.apart"), Why: m.say.Say("pages.list.apart.why")}
	for _, why := range tally.AllApart {
		lines := m.list.apart(why)
		if len(lines) == 0 {
			continue
		}
		c.Items = append(c.Items, printing.Heading{Level: 1, Text: m.say.Say("pages.apart." + string(why))},
			printing.Paragraph(m.say.Say("pages.apart."+string(why)+".why")))
		for _, l := range lines {
			c.Items = append(c.Items, m.entry(l))
		}
	}
	return c, nil
}

// firsts are what the list says is new somewhere, possibly or surely.
func (m *maker) firsts() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.firsts"), Why: m.say.Say("booklet.firsts.why")}
	for _, l := range m.list.Lines {
		if len(l.Firsts) > 0 {
			c.Items = append(c.Items, printing.Entry{Name: l.printed(), Common: l.Common, Severity: l.Severity, Details: strings.Join(l.Firsts, "; ")})
		}
	}
	return c, nil
}

// worth is what the list adds up to, and what more can be said of the day.
func (m *maker) worth() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.worth")}
	for _, realm := range tally.Realms {
		if n := m.list.Totals[string(realm)]; n > 0 {
			c.Items = append(c.Items, printing.Row{Label: strconv.Itoa(n), Text: m.say.Say("pages.kingdom." + string(realm))})
		}
	}
	if m.in.Worth != nil {
		if today := m.today(); today != "" {
			c.Items = append(c.Items, printing.Paragraph(today))
		}
		c.Items = append(c.Items, m.in.Worth.Items()...)
	}
	return c, nil
}

// vouchers are what is kept, under the name that the list has for it, and where.
func (m *maker) vouchers() (printing.Chapter, error) {
	c := printing.Chapter{Title: m.say.Say("booklet.vouchers"), Why: joined(" ", m.say.Say("booklet.vouchers.why"), m.today())}
	kept, err := m.look.Vouchers()
	if err != nil {
		return c, err
	}
	plates, err := m.look.AllNumbered()
	names := m.list.names()
	for _, p := range plates {
		if v := kept[p.ID]; v.Chosen && p.Fate == store.Live {
			row := printing.Row{Label: p.Number().String(), Text: m.keptAt(v)}
			if l, ok := names[p.Number()]; ok {
				row.Name = l.printed()
			}
			c.Items = append(c.Items, row)
		}
	}
	return c, err
}

func (m *maker) keptAt(v hall.Voucher) string {
	switch {
	case v.Institution != "" && v.Accession != "":
		return m.say.Say("booklet.kept.accession", "where", v.Institution, "number", v.Accession)
	case v.Institution != "":
		return m.say.Say("booklet.kept.at", "where", v.Institution)
	}
	return m.say.Say("booklet.kept.society")
}
