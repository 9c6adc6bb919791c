package printing

import (
	"slices"

	"forayhall/internal/message"
)

// section is a heading with its explanation, kept with what follows.
func (s *setter) section(title, why string) *block {
	head := style{bold, s.sizes.section, black}
	b := &block{gap: s.unit(5), keep: true}
	b.parts = s.text([]span{{title, head}}, 0, display, 0)
	if why != "" {
		b.parts = append(b.parts, s.text([]span{{why, s.detail()}}, 0, tight, 0)...)
	}
	b.parts = append(b.parts, gap(s.unit(1)))
	b.back = func(c *canvas, x, y, h float64) {
		c.fill(black, x, y, s.width, s.unit(0.7))
	}
	b.parts = append([]part{gap(s.unit(1))}, b.parts...)
	return b
}

// here makes block A: a band and a description for each syndrome, and its lines beneath.
func (s *setter) here(lines []HereLine) []*block {
	var blocks []*block
	for _, group := range bySyndrome(lines) {
		head := s.syndrome(group[0])
		again := &block{gap: head.gap, keep: true, parts: head.parts[:1]}
		loose := &block{gap: head.gap, keep: true, parts: append(slices.Clone(head.parts[:2]), s.onset(group[0])...)}
		blocks = append(blocks, head)
		for _, l := range group {
			b := s.hereLine(l)
			b.column, b.newPage = again, loose
			blocks = append(blocks, b)
		}
	}
	return blocks
}

// bySyndrome puts lines together that have severity, syndrome, description and onset in common, in the order of
// their first line; more dangerous ones come first as they do in the input.
func bySyndrome(lines []HereLine) [][]HereLine {
	type kind struct {
		severity               int
		syndrome, plain, onset string
	}
	english := message.For(message.English)
	at := map[kind]int{}
	var groups [][]HereLine
	for _, l := range lines {
		k := kind{l.Severity, l.Syndrome, l.Plain, said(english, l.Onset)}
		i, known := at[k]
		if !known {
			i = len(groups)
			at[k], groups = i, append(groups, nil)
		}
		groups[i] = append(groups[i], l)
	}
	return groups
}

func said(say message.Printer, t message.Text) string {
	if t.IsZero() {
		return ""
	}
	return say.Text(t)
}

func (s *setter) syndrome(l HereLine) *block {
	b := &block{gap: s.unit(2.8), keep: true, parts: []part{s.band(l.Severity, l.Syndrome)}}
	spans := []span{{l.Plain + " ", s.body()}, {sentence(said(s.say, l.Onset)), s.body().bold()}}
	b.parts = append(b.parts, gap(s.unit(0.5)))
	b.parts = append(b.parts, s.text(spans, 0, tight, 0)...)
	return b
}

// onset is what a page that continues a syndrome says of it again.
func (s *setter) onset(l HereLine) []part {
	return s.text([]span{{sentence(said(s.say, l.Onset)), s.body().bold()}}, 0, tight, 0)
}

// sentence ends a text with a full stop where it has none.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	switch text[len(text)-1] {
	case '.', '!', '?':
		return text
	}
	return text + "."
}

func (s *setter) hereLine(l HereLine) *block {
	b := s.entry(l.Severity)
	in := s.gutter()
	b.rest = append([]part{gap(s.unit(0.5))}, s.text(s.named(l.Name.withoutAuthor(), l.Common, s.sizes.body), in, tight, 0)...)
	b.parts = append(b.parts, s.text(s.named(l.Name, "", s.sizes.name), in, display, 0)...)
	b.parts = append(b.parts, s.text(append(s.common(l.Common), s.where(l.Plates)...), in, tight, 0)...)
	if !l.Exposure.IsZero() {
		how := s.say.Say("printing.exposure", "exposure", s.say.Text(l.Exposure))
		b.parts = append(b.parts, s.text([]span{{how, s.body().bold()}}, in, tight, 0)...)
	}
	if l.Signs != "" {
		d := s.detail()
		b.parts = append(b.parts, s.text([]span{{s.say.Say("printing.signs") + " ", d.bold()}, {l.Signs, d}}, in, tight, 0)...)
	}
	for i := range b.parts {
		b.parts[i].with = i > 0
	}
	told, others := s.parted(l)
	for _, t := range told {
		b.parts = append(b.parts, s.text(s.taken(t), in, tight, s.unit(2.5))...)
	}
	if len(others) > 0 {
		b.parts = append(b.parts, s.text(s.alsoTaken(others, len(told) > 0), in, tight, s.unit(2.5))...)
	}
	if notes := s.notes(l.Via, l.Matched, l.OutOfRegion, l.Contested); len(notes) > 0 {
		b.parts = append(b.parts, s.text(notes, in, tight, 0)...)
	}
	return b
}

// parted are those that are told apart here, and those of which the differences stand further on: the less
// dangerous the fungus, the more of them.
func (s *setter) parted(l HereLine) (told, others []Taken) {
	n := max(s.stage.told-max(4-l.Severity, 0), 0)
	for _, t := range l.Taken {
		if t.Differences != "" && len(told) < n {
			told = append(told, t)
		} else {
			others = append(others, t)
		}
	}
	return told, others
}

// entry is a line of a block with its shape and a bar at its side as long as it is.
func (s *setter) entry(severity int) *block {
	b := &block{gap: s.unit(1.2), parts: []part{gap(s.unit(0.5))}}
	b.back = func(c *canvas, x, y, h float64) {
		c.rule(pen{0.2, grey, nil}, x, y, x+s.width, y)
		if severity >= 3 && severity <= 5 {
			c.fill(brick, x, y, s.unit(1.1), h)
		} else {
			c.fill(brick, x, y, s.unit(0.4), h)
		}
		c.hazardShape(severity, x+s.unit(1.8), y+s.unit(1.4), s.unit(4.8), brick, white)
	}
	return b
}

// taken says what the poisonous one is taken for, and how the two are told apart.
func (s *setter) taken(t Taken) []span {
	d := s.detail()
	spans := []span{{s.say.Say("pages.sheet.mistaken") + " ", d.bold()}}
	spans = append(append(spans, s.mistaken(t)...), span{". ", d})
	return append(spans, emphasised(t.Differences, d)...)
}

func (s *setter) mistaken(t Taken) []span {
	d := s.detail()
	spans := t.Gathered.withoutAuthor().spans(d.bold(), d)
	if t.Common != "" {
		spans = append(spans, span{" (" + t.Common + ")", d})
	}
	return spans
}

// alsoTaken lists by name those of which the differences stand in a section of their own, or are not known.
func (s *setter) alsoTaken(list []Taken, also bool) []span {
	d := s.detail()
	begin := s.say.Say("pages.sheet.mistaken")
	if also {
		begin = s.say.Say("printing.also-taken")
	}
	spans, further := []span{{begin + " ", d.bold()}}, len(list) > s.stage.named
	for i, t := range list[:min(len(list), s.stage.named)] {
		if i > 0 {
			spans = append(spans, span{", ", d})
		}
		spans = append(spans, s.mistaken(t)...)
		further = further || t.Differences != ""
	}
	if more := len(list) - s.stage.named; more > 0 {
		spans = append(spans, span{", " + s.say.Say("printing.more", "n", more), d})
	}
	if further {
		return append(spans, span{"\u00A0" + furtherOn, d.bold()})
	}
	return append(spans, span{".", d})
}

// furtherOn is the mark of what this sheet says on a later page; the head of block A explains it.
const furtherOn = "→"

// notes say why a line is here and what is held against it.
func (s *setter) notes(via message.Text, matched string, outOfRegion bool, contested string) []span {
	var said []string
	if !via.IsZero() {
		said = append(said, s.say.Say("pages.sheet.because", "via", s.say.Text(via), "matched", matched))
	}
	if outOfRegion {
		said = append(said, s.say.Say("pages.sheet.out-of-region"))
	}
	if contested != "" {
		said = append(said, s.say.Say("printing.contested", "reason", contested))
	}
	var spans []span
	for _, text := range said {
		spans = append(spans, span{text + " ", s.detail().inked(grey)})
	}
	return spans
}

// nameless makes block C: one boxed sentence and where the plates stand.
func (s *setter) nameless(plates []Plate) []*block {
	if len(plates) == 0 {
		return nil
	}
	pad := s.unit(3)
	inner := *s
	inner.width = s.width - 2*pad
	b := &block{gap: s.unit(5), parts: []part{gap(pad)}}
	text := []span{{s.say.Say("pages.sheet.nameless", "n", len(plates)), style{bold, s.sizes.name, black}}}
	b.parts = append(b.parts, shifted(inner.text(text, 0, display, 0), pad)...)
	b.parts = append(b.parts, gap(s.unit(1)))
	b.parts = append(b.parts, shifted(inner.text(s.where(plates), 0, tight, 0), pad)...)
	b.parts = append(b.parts, gap(pad))
	b.back = func(c *canvas, x, y, h float64) { c.frame(pen{s.unit(1.2), black, nil}, x, y, s.width, h) }
	return []*block{b}
}

func shifted(parts []part, by float64) []part {
	out := make([]part, len(parts))
	for i, p := range parts {
		out[i] = part{p.h, func(c *canvas, x, y float64) { p.draw(c, x+by, y) }, p.with}
	}
	return out
}
