package printing

import "forayhall/internal/message"

// foot stands on every page, so that a loose one is still known.
type foot struct {
	lines  []line
	sheet  float64 // width of the paper
	bottom float64 // of the paper
	height float64
	say    message.Printer
	size   float64
}

func newFoot(r *ruler, s WarningSheet, p Paper, scale float64) *foot {
	width, height := p.Size.mm()
	f := &foot{sheet: width, bottom: height, say: p.Say, size: 10 + 3*(scale-1)}
	plain := style{upright, f.size, black}
	known := []span{{unbroken(s.Code) + " ", style{number, f.size, black}}, {p.Say.Say("pages.sheet.heading"), plain.bold()},
		{" · " + joined(" · ", p.Say.Say("pages.as-of")+" "+s.Made, s.Version), plain}}
	if !s.final() {
		known = append(known, span{" · " + p.Say.Say("hazard.sheet.not-final"), plain.bold()})
	}
	f.add(r, known, r.width(f.page(88, 88), style{bold, f.size, black})+4)
	if s.Contact.Phone != "" {
		f.add(r, []span{{p.Say.Say("pages.sheet.contact") + ": ", plain}, {s.Contact.Name + " ", plain.bold()}, {unbroken(s.Contact.Phone), style{number, f.size, black}}}, 0)
	}
	caution := s.Caution
	if caution.IsZero() {
		caution = message.T("hazard.caution")
	}
	f.caution(r, p.Say.Text(caution), plain.sized(f.size-1.5))
	f.height = heightOf(f.lines) + 3
	return f
}

// caution takes one line where a slightly smaller size makes it one.
func (f *foot) caution(r *ruler, text string, s style) {
	for size := s.size; size >= s.size-1; size -= 0.25 {
		if lines := r.set([]span{{text, s.sized(size)}}, 0, even(f.sheet-2*edge), setting{tight, 0}); len(lines) == 1 {
			f.lines = append(f.lines, lines...)
			return
		}
	}
	f.add(r, []span{{text, s}}, 0)
}

func (f *foot) add(r *ruler, spans []span, less float64) {
	f.lines = append(f.lines, r.set(spans, 0, even(f.sheet-2*edge-less), setting{tight, 0})...)
}

func (f *foot) draw(c *canvas, page, of int) {
	y := f.bottom - edge - f.height + 1
	c.rule(pen{0.4, black, nil}, edge, y, f.sheet-edge, y)
	y += 1
	c.lines(f.lines, edge, y)
	bold := style{bold, f.size, black}
	text := f.page(page, of)
	for _, l := range c.set([]span{{text, bold}}, 0, even(f.sheet), setting{tight, 0}) {
		c.draw(l, f.sheet-edge-l.width, y)
	}
}

// page says which of how many a page is, in one line.
func (f *foot) page(n, of int) string {
	return unbroken(f.say.Say("printing.page", "page", n, "pages", of))
}
