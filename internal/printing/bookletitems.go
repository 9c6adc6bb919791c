package printing

import "strings"

// headingSizes are of the levels, times the size of names.
var headingSizes = [4]float64{0, 1.35, 1.1, 1}

func (h Heading) blocks(s *setter) []*block {
	level := min(max(h.Level, 1), 3)
	style := style{bold, s.sizes.name * headingSizes[level], black}
	if level == 3 {
		style = style.inked(grey)
	}
	b := &block{gap: s.unit(4 - float64(level)*0.7), parts: s.text([]span{{h.Text, style}}, 0, display, 0)}
	if level == 1 {
		b.back = func(c *canvas, x, y, h float64) { c.rule(pen{0.3, black, nil}, x, y+h, x+s.width, y+h) }
		b.parts = append(b.parts, gap(s.unit(0.6)))
	}
	return []*block{b}
}

// again is the nearest heading, for what of it stands in another column.
func (s *setter) again(above []string) *block {
	for level := len(above) - 1; level > 0; level-- {
		if above[level] != "" {
			spans := []span{{above[level] + " ", style{bold, s.sizes.detail, grey}}, {s.say.Say("printing.continued"), style{upright, s.sizes.detail, grey}}}
			return &block{keep: true, parts: append(s.text(spans, 0, display, 0), gap(s.unit(0.8)))}
		}
	}
	return nil
}

func (p Paragraph) blocks(s *setter) []*block {
	return []*block{{gap: s.unit(1.6), parts: twoAtLeast(s.text([]span{{string(p), s.body()}}, 0, s.leading(), 0))}}
}

func (r Row) blocks(s *setter) []*block {
	var spans []span
	if r.Label != "" {
		spans = append(spans, span{r.Label + "  ", s.body().bold()})
	}
	if !r.Name.IsZero() {
		spans = append(append(spans, r.Name.spans(s.body(), s.detail().inked(grey))...), span{"  ", s.body()})
	}
	return []*block{{gap: s.unit(1), parts: s.text(append(spans, span{r.Text, s.body()}), 0, s.leading(), s.unit(4))}}
}

func (e Entry) blocks(s *setter) []*block {
	in, hang := s.unit(5.6), s.unit(3)
	name := style{upright, s.sizes.name, black}
	spans := e.Name.spans(name, s.beside(e.Name, name))
	spans = append(spans, s.common(e.Common)...)
	if len(e.Marks) > 0 {
		spans = append(spans, span{"  " + unbroken(strings.Join(e.Marks, " ")), s.detail().bold()})
	}
	b := &block{gap: s.unit(1.2), parts: s.text(spans, in, tight, hang)}
	for _, more := range [][]span{s.determined(e), s.small(e.Details), s.small(e.Note)} {
		if len(more) > 0 {
			b.parts = append(b.parts, shifted(s.narrower(hang).text(more, in, 1.08, 0), hang)...)
		}
	}
	for i := range b.parts {
		b.parts[i].with = i > 0 && i < 4
	}
	if e.Severity > 0 {
		b.back = func(c *canvas, x, y, h float64) {
			c.hazardShape(e.Severity, x+s.unit(0.3), y+s.unit(0.1), s.unit(4.4), brick, white)
		}
	}
	return []*block{b}
}

// beside is how what is upright in a name is set: smaller beside italics, as large where the name has none.
func (s *setter) beside(n Name, name style) style {
	for _, r := range n {
		if r.Italic {
			return s.detail()
		}
	}
	return name
}

func (s *setter) narrower(by float64) *setter {
	inner := *s
	inner.width -= by
	return &inner
}

func (s *setter) small(text string) []span {
	if text == "" {
		return nil
	}
	return []span{{text, s.detail()}}
}

func (s *setter) determined(e Entry) []span {
	if len(e.Determined) == 0 {
		return nil
	}
	d := s.detail()
	spans := []span{{e.As + " ", d.inked(grey)}}
	for i, n := range e.Determined {
		if i > 0 {
			spans = append(spans, span{", ", d})
		}
		spans = append(spans, n.spans(d, d)...)
	}
	return spans
}
