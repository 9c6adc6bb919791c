package printing

import "slices"

// apart makes the section of differences that block A had no room for, a fungus after the other. What stands among
// the doubles of this sheet is not said twice.
func (s *setter) apart(lines []HereLine, doubles []DoubleLine) []*block {
	var blocks []*block
	seen := map[string]bool{}
	for _, l := range lines {
		_, others := s.parted(l)
		others = slices.DeleteFunc(others, func(t Taken) bool {
			pair := t.Gathered.String() + "|" + l.Name.String()
			again := seen[pair]
			seen[pair] = true
			return again || t.Differences == "" || amongDoubles(doubles, l.Name, t)
		})
		if len(others) > 0 {
			blocks = append(blocks, s.apartFrom(l, others)...)
		}
	}
	if len(blocks) == 0 {
		return nil
	}
	return append([]*block{s.section(s.say.Say("printing.differences"), s.say.Say("printing.differences.why"))}, blocks...)
}

func amongDoubles(doubles []DoubleLine, poisonous Name, t Taken) bool {
	return slices.ContainsFunc(doubles, func(d DoubleLine) bool {
		return d.Differences == t.Differences && d.Poisonous.String() == poisonous.String() && d.Gathered.String() == t.Gathered.String()
	})
}

func (s *setter) apartFrom(l HereLine, list []Taken) []*block {
	head := s.entry(l.Severity)
	head.gap, head.keep = s.unit(3), true
	spans := append(s.named(l.Name.withoutAuthor(), l.Common, s.sizes.name), span{"  " + severityWord(s.say, l.Severity), s.body().bold().inked(brick)})
	head.parts = append(head.parts, s.text(spans, s.gutter(), display, 0)...)
	blocks := []*block{head}
	for _, t := range list {
		b := &block{gap: s.unit(0.8), parts: s.text(s.taken(t), s.gutter(), tight, s.unit(2.5)), column: head, newPage: head}
		blocks = append(blocks, b)
	}
	return blocks
}
