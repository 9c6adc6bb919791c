package printing

// apart makes the section of what block A had no room for and no double of this sheet tells, a dangerous fungus after
// the other.
func (s *setter) apart(lines []HereLine) []*block {
	var blocks []*block
	said := map[string]bool{}
	for _, l := range lines {
		if l.Severity < dangerous {
			continue
		}
		var left []Taken
		for _, t := range l.Taken {
			key := difference(t.Gathered, t.Differences)
			if _, above := s.told.above[key]; t.Differences == "" || above || s.told.doubles[key] || said[key] {
				continue
			}
			said[key] = true
			left = append(left, t)
		}
		blocks = append(blocks, s.apartFrom(l, left)...)
	}
	if len(blocks) == 0 {
		return nil
	}
	return append([]*block{s.section(s.say.Say("printing.differences"), s.say.Say("printing.differences.why"))}, blocks...)
}

func (s *setter) apartFrom(l HereLine, left []Taken) []*block {
	moved := l.Signs != "" && !s.stage.signs
	if len(left) == 0 && !moved {
		return nil
	}
	spans := append(s.named(l.Name.withoutAuthor(), l.Common, s.sizes.body), s.degree(l.Severity)...)
	head := s.entry(l.Severity)
	head.keep = true
	head.parts = append(head.parts, s.text(spans, s.gutter(), s.leading(), 0)...)
	blocks := []*block{head}
	if moved {
		blocks = append(blocks, &block{gap: s.unit(0.3), parts: s.text(s.signs(l.Signs), s.gutter(), s.leading(), s.unit(2.5)), column: head, newPage: head})
	}
	for _, t := range left {
		blocks = append(blocks, &block{gap: s.unit(0.3), parts: s.text(s.taken(t), s.gutter(), s.leading(), s.unit(2.5)), column: head, newPage: head})
	}
	return blocks
}

// degree says how bad something is, behind its name.
func (s *setter) degree(severity int) []span {
	return []span{{"  " + severityWord(s.say, severity), s.detail().bold().inked(brick)}}
}
