package printing

import (
	"strconv"

	"forayhall/internal/message"
)

// top is the head of the first page: what sheet this is, whom to call, what to do, and the code of the live sheet.
type top struct {
	r     *ruler
	s     WarningSheet
	say   message.Printer
	scale float64
	large bool
	width float64 // between the edges
	acts  []func(c *canvas)

	bottom float64
}

// The side of the code of the live sheet, and what its address takes beside it, in millimetres.
const (
	liveCode    = 20.0
	liveAddress = 42.0
)

func newTop(r *ruler, s WarningSheet, p Paper, scale float64) (*top, error) {
	width, _ := p.Size.mm()
	t := &top{r: r, s: s, say: p.Say, scale: scale, large: p.Large, width: width - 2*edge}
	y := t.heading()
	coded, err := t.live()
	if err != nil {
		return nil, err
	}
	y = max(y, coded) + 1
	if !s.final() {
		y = t.notFinal(y) + 3
	}
	t.bottom = t.panels(y)
	return t, nil
}

func (t *top) draw(c *canvas) {
	for _, act := range t.acts {
		act(c)
	}
}

// write sets spans at a place and gives the height that they take.
func (t *top) write(spans []span, x, y, width, leading float64) float64 {
	lines := t.r.set(spans, y, even(width), setting{leading, 0})
	t.acts = append(t.acts, func(c *canvas) { c.lines(lines, x, y) })
	return heightOf(lines)
}

func (t *top) frame(p pen, x, y, w, h float64) {
	t.acts = append(t.acts, func(c *canvas) { c.frame(p, x, y, w, h) })
}

func (t *top) set(size float64) style { return style{upright, size * t.scale, black} }

func (t *top) heading() float64 {
	width := t.width
	if t.s.Live != "" {
		width -= liveCode + liveAddress
	}
	size := 24.0
	if t.large {
		size = 23
	}
	title := []span{{t.say.Say("pages.sheet.heading") + "  ", t.set(size).bold()}, {unbroken(t.s.Code), style{number, size * t.scale, black}}}
	y := edge
	y += t.write(title, edge, y, width, display)
	y += t.write([]span{{t.s.Event + "  ", t.set(14).bold()}, {joined(" · ", t.s.Society, t.s.Place), t.set(11)}}, edge, y, width, tight)
	version := t.s.Knowledge
	if version != "" {
		version = t.say.Say("pages.sheet.revision", "revision", version)
	}
	made := joined(" · ", t.say.Say("pages.as-of")+" "+t.s.Made, t.s.Version, version)
	return y + t.write([]span{{made, t.set(10)}}, edge, y, width, tight)
}

func joined(between string, parts ...string) string {
	out := ""
	for _, p := range parts {
		switch {
		case p == "":
		case out == "":
			out = p
		default:
			out += between + p
		}
	}
	return out
}

// live is the code of the sheet as it is now, with its address beside it for whoever has no camera; it gives where
// they end.
func (t *top) live() (float64, error) {
	if t.s.Live == "" {
		return 0, nil
	}
	q, err := newCode(t.s.Live)
	if err != nil {
		return 0, err
	}
	quiet := (q.whole(liveCode) - liveCode) / 2
	x := edge + t.width - liveCode
	t.acts = append(t.acts, func(c *canvas) { c.place(q, x, edge, liveCode) })
	width := liveAddress - quiet - 2
	y := edge + t.write([]span{{t.say.Say("printing.live"), t.set(9).bold()}}, x-quiet-width, edge, width, tight)
	y += t.write([]span{{t.s.Live, t.set(8.5)}}, x-quiet-width, y, width, tight)
	return max(y, edge+liveCode+quiet-2), nil
}

// notFinal is a heavy frame that nobody overlooks, with what is missing.
func (t *top) notFinal(y float64) float64 {
	const pad = 3.5
	x, width := edge+pad, t.width-2*pad
	h := pad - 1
	h += t.write([]span{{t.say.Say("hazard.sheet.not-final"), t.set(20).bold()}}, x, y+h, width, display)
	for _, lack := range t.s.Lacks {
		h += t.write([]span{{t.say.Text(lack), t.set(11)}}, x, y+h, width, tight)
	}
	h += pad - 1
	t.frame(pen{1.6, black, nil}, edge, y, t.width, h)
	return y + h
}

// panels are whom to call and what to do; in large print one above the other. It gives where they end.
func (t *top) panels(y float64) float64 {
	if t.large {
		y += t.contact(edge, y, t.width) + 4
		return y + t.eaten(edge, y, t.width)
	}
	left := t.width * 0.35
	h := t.contact(edge, y, left)
	return y + max(h, t.eaten(edge+left+columnSpace, y, t.width-left-columnSpace))
}

func (t *top) contact(x, y, width float64) float64 {
	const pad = 3.5
	x, inner, h := x+pad, width-2*pad, pad
	h += t.write([]span{{t.say.Say("pages.sheet.contact"), t.set(13).bold()}}, x, y+h, inner, tight)
	if c := t.s.Contact; c.Phone != "" {
		h += 0.5
		h += t.write([]span{{unbroken(c.Phone), t.largest(c.Phone, 34, inner)}}, x, y+h, inner, display)
		h += t.write([]span{{c.Name, t.set(13).bold()}}, x, y+h, inner, tight)
		h += t.write([]span{{c.Hours, t.set(11)}}, x, y+h, inner, tight) + 1
		h += t.said("pages.sheet.typed", c.TypedBy, c.Typed, x, y+h, inner)
		h += t.said("pages.sheet.tested", c.TestedBy, c.Tested, x, y+h, inner)
	} else {
		h += t.write([]span{{t.say.Say("hazard.sheet.no-contact"), t.set(11)}}, x, y+h, inner, tight)
	}
	h += pad
	t.frame(pen{1.4, black, nil}, x-pad, y, width, h)
	return h
}

// said is who did something and when; nothing where nobody did.
func (t *top) said(key, who, when string, x, y, width float64) float64 {
	if who == "" {
		return 0
	}
	return t.write([]span{{t.say.Say(key, "who", who) + " " + when, t.set(9)}}, x, y, width, tight)
}

// largest is a number's style as large as its line allows, for it is dialled from where one stands.
func (t *top) largest(text string, most, width float64) style {
	s := style{number, most * t.scale, black}
	if w := t.r.width(unbroken(tidy(text)), s); w > width {
		s.size *= width / w
	}
	return s.sized(max(s.size, 11*t.scale))
}

func (t *top) eaten(x, y, width float64) float64 {
	h := t.write([]span{{t.say.Say("pages.eaten.heading"), t.set(16).bold()}}, x, y, width, display) + 0.7
	in := 6.5 * t.scale
	for i, text := range t.s.Eaten {
		s := t.set(10.25)
		if i == 0 {
			s = t.set(13).bold()
		}
		t.write([]span{{strconv.Itoa(i+1) + ".", s.bold()}}, x, y+h, in, tight)
		h += t.write([]span{{t.say.Text(text), s}}, x+in, y+h, width-in, tight) + 0.4
	}
	return h
}
