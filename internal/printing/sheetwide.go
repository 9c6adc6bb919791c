package printing

import "slices"

// wide makes block B: a genus or a group, its plates, and the worst that it could turn out to be.
func (s *setter) wide(lines []WideLine) []*block {
	if len(lines) == 0 {
		return nil
	}
	blocks := []*block{s.section(s.say.Say("pages.sheet.block.b"), s.say.Say("pages.sheet.block.b.why"))}
	for _, l := range lines {
		b := s.entry(l.Worst.Severity)
		in := s.gutter()
		spans := append(s.named(l.Name, l.Common, s.sizes.name), span{"  ", s.body()})
		b.parts = append(b.parts, s.text(append(spans, s.where(l.Plates)...), in, tight, 0)...)
		b.parts = append(b.parts, s.text(s.worst(l), in, tight, 0)...)
		blocks = append(blocks, b)
	}
	return blocks
}

func (s *setter) worst(l WideLine) []span {
	spans := s.member(s.say.Say("printing.worst", "name", placeholder), l.Worst)
	if l.OutOfRegion {
		spans = append(spans, span{" " + s.say.Say("pages.sheet.out-of-region"), s.detail().bold()})
	}
	if l.Nearer != nil {
		spans = append(append(spans, span{" ", s.detail()}), s.member(s.say.Say("pages.sheet.nearer", "name", placeholder), *l.Nearer)...)
	}
	return append(spans, s.notes(noText, "", false, l.Contested)...)
}

// member says one that a wide name could be: its name within the text, how bad it is, and what it does.
func (s *setter) member(text string, m Member) []span {
	d := s.detail()
	spans := rich(text, d, m.Name.spans(d.bold(), d))
	spans = append(spans, span{" " + severityWord(s.say, m.Severity) + ".", d.bold().inked(brick)})
	if m.Plain != "" {
		spans = append(spans, span{" " + m.Plain, d})
	}
	return spans
}

// doubles makes block D: each species that people look for, once, with all that it is mistaken for.
func (s *setter) doubles(lines []DoubleLine) []*block {
	if len(lines) == 0 {
		return nil
	}
	blocks := []*block{s.section(s.say.Say("pages.sheet.doubles"), s.say.Say("pages.sheet.doubles.why"))}
	for _, group := range byGathered(lines) {
		blocks = append(blocks, s.gathered(group)...)
	}
	return blocks
}

// gathered is one species that people look for: first the doubles that stand in the hall, then those that do not.
func (s *setter) gathered(group []DoubleLine) []*block {
	first := group[0]
	head := &block{gap: s.unit(3.5), keep: true, parts: []part{gap(s.unit(0.7))}}
	head.back = func(c *canvas, x, y, h float64) { c.fill(black, x, y, s.width, s.unit(0.5)) }
	spans := append(s.named(first.Gathered, first.Common, s.sizes.name), span{"  ", s.body()})
	head.parts = append(head.parts, s.text(append(spans, s.where(first.Plates)...), 0, tight, 0)...)
	again := &block{keep: true, parts: s.text(s.named(first.Gathered.withoutAuthor(), first.Common, s.sizes.body), 0, tight, 0)}
	blocks := []*block{head}
	absent := slices.Clone(group)
	absent = slices.DeleteFunc(absent, func(l DoubleLine) bool { return len(l.Here) > 0 })
	for _, l := range group {
		if len(l.Here) > 0 {
			blocks = append(blocks, s.double(l))
		}
	}
	if len(absent) > 0 {
		blocks = append(blocks, &block{gap: s.unit(1.2), keep: true, parts: s.text([]span{{s.say.Say("printing.not-seen"), s.detail().bold()}}, 0, tight, 0)})
	}
	for _, l := range absent {
		blocks = append(blocks, s.double(l))
	}
	for _, b := range blocks[1:] {
		b.column, b.newPage = again, again
	}
	return blocks
}

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
	return groups
}

func (s *setter) double(l DoubleLine) *block {
	b := s.entry(l.Severity)
	in, d := s.gutter(), s.detail()
	spans := []span{{s.say.Say("pages.sheet.double") + " ", d}}
	spans = append(spans, s.named(l.Poisonous.withoutAuthor(), l.PoisonousCommon, (s.sizes.body+s.sizes.name)/2)...)
	spans = append(spans, span{"  " + severityWord(s.say, l.Severity), s.body().bold().inked(brick)})
	if l.Syndrome != "" {
		spans = append(spans, span{": " + l.Syndrome, d})
	}
	spans = append(spans, span{". ", d})
	spans = append(spans, s.where(l.Here)...)
	b.parts = append(b.parts, s.text(spans, in, tight, 0)...)
	b.parts = append(b.parts, s.text(emphasised(l.Differences, d), in, tight, 0)...)
	for i := range b.parts {
		b.parts[i].with = i > 0
	}
	return b
}

// noEntry lists the names of which the knowledge says nothing.
func (s *setter) noEntry(list []Unlisted) []*block {
	if len(list) == 0 {
		return nil
	}
	blocks := []*block{
		s.section(s.say.Say("pages.sheet.no-entry"), s.say.Say("pages.sheet.no-entry.why")),
		{keep: true, parts: []part{s.band(0, ""), gap(s.unit(1))}},
	}
	for _, u := range list {
		spans := append(s.named(u.Name, "", s.sizes.body), span{"  ", s.body()})
		b := &block{gap: s.unit(0.6), parts: s.text(append(spans, s.where(u.Plates)...), 0, tight, s.unit(4))}
		blocks = append(blocks, b)
	}
	return blocks
}
