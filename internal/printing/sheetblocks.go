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
		b.parts = append(b.parts, s.text([]span{{why, s.detail()}}, 0, s.leading(), 0)...)
	}
	b.parts = append(b.parts, gap(s.unit(1)))
	b.back = func(c *canvas, x, y, h float64) {
		c.fill(black, x, y, s.width, s.unit(0.7))
	}
	b.parts = append([]part{gap(s.unit(1))}, b.parts...)
	return b
}

// here makes block A: a band for each severity, beneath it a description of each syndrome with its lines.
func (s *setter) here(entries []hereEntry) []*block {
	var blocks []*block
	for i, group := range bySyndrome(entries) {
		l := group[0].HereLine
		bare := &block{gap: s.unit(2), keep: true, parts: []part{s.band(l.Severity, ""), gap(s.unit(0.5))}}
		if i == 0 || l.Severity != blocks[len(blocks)-1].severity {
			blocks = append(blocks, bare)
		}
		head := s.syndrome(l)
		head.column, head.newPage = bare, bare
		blocks = append(append(blocks, head), s.lines(group)...)
		blocks[len(blocks)-1].severity = l.Severity
	}
	return blocks
}

// lines are those of one syndrome, each with an entry of its own; of less dangerous ones in running text.
func (s *setter) lines(group []hereEntry) []*block {
	l := group[0].HereLine
	again := &block{keep: true, parts: []part{s.band(l.Severity, l.Syndrome), gap(s.unit(0.5))}}
	loose := again
	var blocks []*block
	if l.Severity < dangerous {
		blocks = s.lesser(group)
	} else {
		loose = &block{keep: true, parts: append(slices.Clone(again.parts), s.onset(l)...)}
		for _, e := range group {
			blocks = append(blocks, s.hereLine(e))
		}
	}
	for _, b := range blocks {
		b.column, b.newPage = again, loose
	}
	return blocks
}

// bySyndrome puts lines together that have severity, syndrome, description and onset in common, in the order of
// their first line; more dangerous ones come first as they do in the input.
func bySyndrome(lines []hereEntry) [][]hereEntry {
	type kind struct {
		severity               int
		syndrome, plain, onset string
	}
	english := message.For(message.English)
	at := map[kind]int{}
	var groups [][]hereEntry
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

// syndrome says what it does, and when.
func (s *setter) syndrome(l HereLine) *block {
	d := s.detail()
	spans := []span{{sentence(l.Syndrome) + " ", d.bold().inked(brick)}, {l.Plain + " ", d}, {sentence(said(s.say, l.Onset)), d.bold()}}
	return &block{gap: s.unit(1.2), keep: true, parts: s.text(spans, 0, s.leading(), 0)}
}

// onset is what a page that continues a syndrome says of it again.
func (s *setter) onset(l HereLine) []part {
	return s.text([]span{{sentence(said(s.say, l.Onset)), s.detail().bold()}}, 0, s.leading(), 0)
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

func (s *setter) hereLine(e hereEntry) *block {
	b, in, d := s.entry(e.Severity), s.gutter(), s.detail()
	b.loose = true
	further := append(s.named(e.Name.withoutAuthor(), e.Common, s.sizes.body), span{" " + s.say.Say("printing.continued"), d})
	b.rest = append([]part{gap(s.unit(0.5))}, s.text(further, in, s.leading(), 0)...)
	spans := append(s.named(e.Name, e.Common, s.sizes.name), span{"  ", s.body()})
	b.parts = append(b.parts, s.text(append(spans, s.where(e.Plates, s.body())...), in, s.leading(), 0)...)
	if !e.Exposure.IsZero() {
		how := s.say.Say("printing.exposure", "exposure", s.say.Text(e.Exposure))
		b.parts = append(b.parts, s.text([]span{{how, d.bold()}}, in, s.leading(), 0)...)
	}
	for i := range b.parts {
		b.parts[i].with = i > 0
	}
	if e.Signs != "" && s.stage.signs {
		b.parts = append(b.parts, s.text(s.signs(e.Signs), in, s.leading(), 0)...)
	}
	spans = nil
	for _, t := range e.told {
		spans = append(append(spans, s.taken(t)...), span{" ", d})
	}
	if len(e.others) > 0 {
		spans = append(append(spans, s.alsoTaken(e)...), span{" ", d})
	}
	spans = append(spans, s.notes(e.Via, e.Matched, e.OutOfRegion, e.Contested)...)
	b.parts = append(b.parts, twoAtLeast(s.text(spans, in, s.leading(), 0))...)
	return b
}

// twoAtLeast lets a paragraph be parted where two lines of it stand on either side.
func twoAtLeast(lines []part) []part {
	for i := range lines {
		lines[i].with = i < 2 || i == len(lines)-1
	}
	return lines
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
		c.hazardShape(severity, x+s.unit(1.7), y+s.unit(0.9), s.unit(4.6), brick, white)
	}
	return b
}

func (s *setter) signs(signs string) []span {
	return []span{{s.say.Say("printing.signs") + " ", s.detail().bold()}, {sentence(signs), s.detail()}}
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

// alsoTaken lists by name those of which the differences stand elsewhere, or are not told.
func (s *setter) alsoTaken(e hereEntry) []span {
	d := s.detail()
	begin := s.say.Say("pages.sheet.mistaken")
	if len(e.told) > 0 {
		begin = s.say.Say("printing.also-taken")
	}
	spans := []span{{begin + " ", d.bold()}}
	further, rest := s.sorted(e)
	for i, t := range append(further, rest...) {
		switch {
		case i == 0:
		case i == len(further):
			spans = append(spans, span{"\u00A0" + furtherOn, d.bold()}, span{"; ", d})
		default:
			spans = append(spans, span{", ", d})
		}
		spans = append(spans, s.known(t)...)
	}
	if len(further) > 0 && len(rest) == 0 {
		spans = append(spans, span{"\u00A0" + furtherOn, d.bold()})
	}
	return append(spans, span{".", d})
}

// sorted parts those that are told apart elsewhere on this sheet from those that are not.
func (s *setter) sorted(e hereEntry) (further, rest []Taken) {
	for _, t := range e.others {
		if s.elsewhere(e.Severity, t) {
			further = append(further, t)
		} else {
			rest = append(rest, t)
		}
	}
	return further, rest
}

// known is what a species that people look for is called among people: its common name, else the scientific one.
func (s *setter) known(t Taken) []span {
	d := s.detail()
	if t.Common != "" {
		return []span{{t.Common, d}}
	}
	return t.Gathered.withoutAuthor().spans(d, d)
}

// furtherOn is the mark of what this sheet tells in another place; the head of block A explains it.
const furtherOn = "→"

// notes say why a line is here and what is held against it.
func (s *setter) notes(via message.Text, matched string, outOfRegion bool, contested string) []span {
	var said []string
	if !via.IsZero() {
		said = append(said, s.say.Say("printing.because", "via", s.say.Text(via), "matched", matched))
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
	b.parts = append(b.parts, shifted(inner.text(s.where(plates, s.body()), 0, s.leading(), 0), pad)...)
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
