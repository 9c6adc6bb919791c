package printing

import "strings"

// wide makes block B, a genus or a group a line: its plates, and the worst that it could turn out to be.
func (s *setter) wide(lines []WideLine) []*block {
	if len(lines) == 0 {
		return nil
	}
	d := s.detail()
	blocks := []*block{s.section(s.say.Say("pages.sheet.block.b"), s.say.Say("pages.sheet.block.b.why"))}
	for _, l := range lines {
		spans := append(s.named(l.Name.withoutAuthor(), l.Common, s.sizes.body), span{"  ", d})
		spans = append(spans, s.where(l.Plates, d)...)
		spans = append(append(spans, span{". ", d}), s.worst(l)...)
		blocks = append(blocks, s.row(l.Worst.Severity, spans))
	}
	return blocks
}

// row is an entry in one run of text with its shape before it.
func (s *setter) row(severity int, spans []span) *block {
	b := &block{gap: s.unit(0.8), parts: s.text(spans, s.unit(5.4), s.leading(), 0)}
	b.back = func(c *canvas, x, y, h float64) {
		c.hazardShape(severity, x+s.unit(0.3), y+s.unit(0.1), s.unit(4.2), brick, white)
	}
	return b
}

func (s *setter) worst(l WideLine) []span {
	spans := s.member(s.say.Say("printing.worst", "name", placeholder), l.Worst)
	if l.OutOfRegion {
		spans = append(spans, span{" " + s.say.Say("pages.sheet.out-of-region"), s.detail().bold()})
	}
	if l.Nearer != nil {
		spans = append(append(spans, span{" ", s.detail()}), s.member(s.say.Say("printing.nearer", "name", placeholder), *l.Nearer)...)
	}
	if notes := s.notes(noText, "", false, l.Contested); len(notes) > 0 {
		spans = append(append(spans, span{" ", s.detail()}), notes...)
	}
	return spans
}

// member says one that a wide name could be: its name within the text, how bad it is, and in one sentence what it does.
func (s *setter) member(text string, m Member) []span {
	d := s.detail()
	spans := rich(text, d, m.Name.withoutAuthor().spans(d.bold(), d))
	spans = append(spans, span{" " + severityWord(s.say, m.Severity) + ".", d.bold().inked(brick)})
	if m.Plain != "" {
		spans = append(spans, span{" " + firstSentence(m.Plain), d})
	}
	return spans
}

// firstSentence is what of a description stands where the whole is too long.
func firstSentence(text string) string {
	if at := strings.Index(text, ". "); at >= 0 {
		return text[:at+1]
	}
	return text
}

// noEntry lists the names of which the knowledge says nothing, table by table in running text.
func (s *setter) noEntry(list []Unlisted) []*block {
	if len(list) == 0 {
		return nil
	}
	blocks := []*block{
		s.section(s.say.Say("pages.sheet.no-entry"), s.say.Say("pages.sheet.no-entry.why")),
		{keep: true, parts: []part{s.band(0, ""), gap(s.unit(0.5))}},
	}
	for _, table := range unlistedByTable(list) {
		blocks = append(blocks, &block{gap: s.unit(0.5), parts: s.text(s.unlisted(table), 0, s.leading(), 0)})
	}
	return blocks
}

// unlistedAt is a name with its plates of one table and one state.
type unlistedAt struct {
	name   Name
	table  string
	state  State
	plates []Plate
}

// unlistedByTable makes one entry of the plates of one name, table and state; tables, states and names keep the order of
// their first plate.
func unlistedByTable(list []Unlisted) [][]unlistedAt {
	var plates []Plate
	names := map[Plate][]Name{}
	for _, u := range list {
		for _, p := range u.Plates {
			plates = append(plates, p)
			names[p] = append(names[p], u.Name.withoutAuthor())
		}
	}
	var tables [][]unlistedAt
	for _, group := range byTable(plates) {
		var table []unlistedAt
		for _, p := range group {
			name := names[p][0]
			names[p] = names[p][1:]
			table = add(table, name, p)
		}
		tables = append(tables, table)
	}
	return tables
}

func add(table []unlistedAt, name Name, p Plate) []unlistedAt {
	for i, s := range table {
		if s.state == p.State && s.name.String() == name.String() {
			table[i].plates = append(s.plates, p)
			return table
		}
	}
	return append(table, unlistedAt{name, p.Table, p.State, []Plate{p}})
}

func (s *setter) unlisted(table []unlistedAt) []span {
	d := s.detail()
	digits := style{number, d.size, black}
	spans := []span{{s.table(table[0].table) + ":", d.bold()}}
	for i, one := range table {
		spans = append(append(spans, span{" ", d}), one.name.spans(d, d)...)
		for j, p := range one.plates {
			if j > 0 {
				spans = append(spans, span{",", d})
			}
			spans = append(spans, span{"\u00A0", d}, span{unbroken(p.Number), digits})
		}
		switch {
		case i+1 == len(table):
			spans = append(spans, span{" " + one.state.say(s.say) + ".", d})
		case table[i+1].state != one.state:
			spans = append(spans, span{" " + one.state.say(s.say) + ";", d})
		default:
			spans = append(spans, span{",", d})
		}
	}
	return spans
}
