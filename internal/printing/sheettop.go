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
	acts  []func(c *canvas) error

	bottom float64
}

// liveCode is the side of the code of the live sheet, in millimetres.
const liveCode = 24.0

func newTop(r *ruler, s WarningSheet, p Paper) (*top, error) {
	width, _ := p.Size.mm()
	t := &top{r: r, s: s, say: p.Say, scale: p.scale(), large: p.Large, width: width - 2*edge}
	y := t.heading() + 2.5
	if !s.final() {
		y = t.notFinal(y) + 3
	}
	var err error
	t.bottom, err = t.panels(y)
	return t, err
}

func (t *top) draw(c *canvas) error {
	for _, act := range t.acts {
		if err := act(c); err != nil {
			return err
		}
	}
	return nil
}

// write sets spans at a place and gives the height that they take.
func (t *top) write(spans []span, x, y, width, leading float64) float64 {
	lines := t.r.set(spans, y, even(width), setting{leading, 0})
	t.acts = append(t.acts, func(c *canvas) error { c.lines(lines, x, y); return nil })
	return heightOf(lines)
}

func (t *top) frame(p pen, x, y, w, h float64) {
	t.acts = append(t.acts, func(c *canvas) error { c.frame(p, x, y, w, h); return nil })
}

func (t *top) set(size float64) style { return style{upright, size * t.scale, black} }

func (t *top) heading() float64 {
	width := t.width
	title := []span{{t.say.Say("pages.sheet.heading") + "  ", t.set(26).bold()}, {unbroken(t.s.Code), style{number, 26 * t.scale, black}}}
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

// live is the code of the sheet as it is now, with its address beside it for whoever has no camera.
func (t *top) live(x, y, width float64) (float64, error) {
	if t.s.Live == "" {
		return 0, nil
	}
	q, err := newCode(t.s.Live)
	if err != nil {
		return 0, err
	}
	quiet := (q.whole(liveCode) - liveCode) / 2
	t.acts = append(t.acts, func(c *canvas) error { return c.place(q, x, y+quiet/2, liveCode) })
	left := liveCode + quiet
	h := quiet
	h += t.write([]span{{t.say.Say("printing.live"), t.set(10).bold()}}, x+left, y+h, width-left, tight) + 0.5
	h += t.write([]span{{t.s.Live, t.set(9)}}, x+left, y+h, width-left, tight)
	return max(h, liveCode+quiet/2), nil
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

// panels are whom to call and what to do; in large print one above the other.
func (t *top) panels(y float64) (float64, error) {
	left, x := t.width*0.35, edge
	if t.large {
		left = t.width
	}
	h := t.contact(x, y, left) + 1
	coded, err := t.live(x, y+h, left)
	h += coded
	if t.large {
		return y + h + 4 + t.eaten(edge, y+h+4, t.width), err
	}
	return y + max(h, t.eaten(x+left+columnSpace, y, t.width-left-columnSpace)), err
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
	h := t.write([]span{{t.say.Say("pages.eaten.heading"), t.set(17).bold()}}, x, y, width, display) + 1
	in := 6.5 * t.scale
	for i, text := range t.s.Eaten {
		s := t.set(11)
		if i == 0 {
			s = t.set(13).bold()
		}
		t.write([]span{{strconv.Itoa(i+1) + ".", s.bold()}}, x, y+h, in, tight)
		h += t.write([]span{{t.say.Text(text), s}}, x+in, y+h, width-in, tight) + 0.7
	}
	return h
}

// foot stands on every page, so that a loose one is still known.
type foot struct {
	lines  []line
	sheet  float64 // width of the paper
	bottom float64 // of the paper
	height float64
	say    message.Printer
	size   float64
}

func newFoot(r *ruler, s WarningSheet, p Paper) *foot {
	width, height := p.Size.mm()
	f := &foot{sheet: width, bottom: height, say: p.Say, size: 10 + 3*(p.scale()-1)}
	plain := style{upright, f.size, black}
	known := []span{{unbroken(s.Code) + " ", style{number, f.size, black}}, {p.Say.Say("pages.sheet.heading"), plain.bold()},
		{" · " + joined(" · ", p.Say.Say("pages.as-of")+" "+s.Made, s.Version), plain}}
	if !s.final() {
		known = append(known, span{" · " + p.Say.Say("hazard.sheet.not-final"), plain.bold()})
	}
	f.add(r, known, 30)
	if s.Contact.Phone != "" {
		f.add(r, []span{{p.Say.Say("pages.sheet.contact") + ": ", plain}, {s.Contact.Name + " ", plain.bold()}, {unbroken(s.Contact.Phone), style{number, f.size, black}}}, 0)
	}
	caution := s.Caution
	if caution.IsZero() {
		caution = message.T("hazard.caution")
	}
	f.add(r, []span{{p.Say.Text(caution), plain.sized(f.size - 1.5)}}, 0)
	f.height = heightOf(f.lines) + 3
	return f
}

func (f *foot) add(r *ruler, spans []span, less float64) {
	f.lines = append(f.lines, r.set(spans, 0, even(f.sheet-2*edge-less), setting{tight, 0})...)
}

func (f *foot) draw(c *canvas, page, of int) {
	y := f.bottom - edge - f.height + 1
	c.rule(pen{0.4, black, nil}, edge, y, f.sheet-edge, y)
	y += 1
	c.lines(f.lines, edge, y)
	text := f.say.Say("printing.page", "page", page, "pages", of)
	right := c.set([]span{{text, style{bold, f.size, black}}}, 0, even(30), setting{tight, 0})
	for _, l := range right {
		c.draw(l, f.sheet-edge-l.width, y)
		y += l.height
	}
}
