package printing

import (
	"cmp"
	"slices"
	"strings"
)

// doubles makes block D: each species that people look for, once, with all that it is mistaken for.
func (s *setter) doubles(lines []DoubleLine) []*block {
	if len(lines) == 0 {
		return nil
	}
	why := s.say.Say("pages.sheet.doubles.why") + " " + s.say.Say("printing.not-seen")
	blocks := []*block{s.section(s.say.Say("pages.sheet.doubles"), why)}
	for _, group := range byGathered(lines) {
		blocks = append(blocks, s.gathered(group)...)
	}
	return blocks
}

// byGathered puts the lines of a species together, by the names under which people look for them.
func byGathered(lines []DoubleLine) [][]DoubleLine {
	var groups [][]DoubleLine
	for _, l := range lines {
		i := slices.IndexFunc(groups, func(g []DoubleLine) bool { return g[0].Gathered.String() == l.Gathered.String() })
		if i < 0 {
			groups = append(groups, []DoubleLine{l})
			continue
		}
		groups[i] = append(groups[i], l)
	}
	slices.SortStableFunc(groups, func(a, b []DoubleLine) int { return strings.Compare(soughtAs(a[0]), soughtAs(b[0])) })
	return groups
}

// soughtAs is the name under which somebody looks for a species on the sheet.
func soughtAs(l DoubleLine) string {
	return strings.ToLower(cmp.Or(l.Common, l.Gathered.withoutAuthor().String()))
}

// gathered is one species that people look for: the doubles that are told apart, then those that are only named.
func (s *setter) gathered(group []DoubleLine) []*block {
	first := group[0]
	head := &block{gap: s.unit(2.2), keep: true, parts: []part{gap(s.unit(0.6))}}
	head.back = func(c *canvas, x, y, h float64) { c.fill(black, x, y, s.width, s.unit(0.35)) }
	spans := append(s.named(first.Gathered.withoutAuthor(), first.Common, s.sizes.body), span{"  ", s.detail()})
	head.parts = append(head.parts, s.text(append(spans, s.where(first.Plates, s.detail())...), 0, s.leading(), 0)...)
	again := &block{keep: true, parts: s.text(s.named(first.Gathered.withoutAuthor(), first.Common, s.sizes.body), 0, s.leading(), 0)}
	blocks := []*block{head}
	var named []DoubleLine
	for _, l := range group {
		if l.Differences == "" {
			named = append(named, l)
			continue
		}
		blocks = append(blocks, s.double(l))
	}
	if len(named) > 0 {
		blocks = append(blocks, s.alsoDoubles(named))
	}
	for _, b := range blocks[1:] {
		b.column, b.newPage = again, again
	}
	return blocks
}

// double is one that is told apart here, or in block A.
func (s *setter) double(l DoubleLine) *block {
	d := s.detail()
	spans := l.Poisonous.withoutAuthor().spans(d.bold(), d)
	if l.PoisonousCommon != "" {
		spans = append(spans, span{" (" + l.PoisonousCommon + ")", d})
	}
	spans = append(spans, span{" " + severityWord(s.say, l.Severity), d.bold().inked(brick)})
	spans = append(append(spans, s.alsoHere(l)...), span{". ", d})
	if under, above := s.told.above[difference(l.Gathered, l.Differences)]; above {
		spans = append(spans, rich(s.say.Say("printing.told-above", "name", placeholder), d, under.spans(d, d))...)
	} else {
		spans = append(spans, emphasised(l.Differences, d)...)
	}
	return s.row(l.Severity, spans)
}

// alsoHere says at which tables a double stands, or that it is on none; nothing of one that has not been seen at this
// event. Its plates stand in block A.
func (s *setter) alsoHere(l DoubleLine) []span {
	var tables []string
	for _, group := range byTable(l.Here) {
		if group[0].Table != "" {
			tables = append(tables, s.table(group[0].Table))
		}
	}
	switch {
	case len(l.Here) == 0:
		return nil
	case len(tables) == 0:
		tables = []string{s.table("")}
	}
	return []span{{" (" + s.say.Say("printing.here", "tables", strings.Join(tables, ", ")) + ")", s.detail()}}
}

// alsoDoubles names those that are not told apart, by how bad they are.
func (s *setter) alsoDoubles(named []DoubleLine) *block {
	d := s.detail()
	named = slices.Clone(named)
	slices.SortStableFunc(named, func(a, b DoubleLine) int { return b.Severity - a.Severity })
	spans := []span{{s.say.Say("pages.sheet.double.also"), d.bold()}}
	for i, l := range named {
		switch {
		case i == 0 || named[i-1].Severity != l.Severity:
			if i > 0 {
				spans = append(spans, span{";", d})
			}
			spans = append(spans, span{" " + severityWord(s.say, l.Severity) + ":", d.bold().inked(brick)})
		default:
			spans = append(spans, span{",", d})
		}
		spans = append(append(spans, span{" ", d}), l.Poisonous.withoutAuthor().spans(d, d)...)
		if l.PoisonousCommon != "" {
			spans = append(spans, span{" (" + l.PoisonousCommon + ")", d})
		}
		spans = append(spans, s.alsoHere(l)...)
	}
	return s.row(named[0].Severity, append(spans, span{".", d}))
}
