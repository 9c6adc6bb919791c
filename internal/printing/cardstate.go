package printing

// state sets the state's word as it is drawn on a slip: stamped, in a broken frame, beside crossed slips, outlined.
func (f *fitted) state() {
	s := f.style(11).bold()
	word := unbroken(tidy(f.card.State.say(f.say)))
	if word == "" {
		return
	}
	height := s.size * mmPerPoint
	pad, mark := height*0.4, 0.0
	if f.card.State.plain() == Disputed {
		mark = height * 1.9
	}
	lines := f.set([]span{{word, s}}, f.y, even(f.room(f.y, 2*height)-mark-2*pad), setting{display, 0})
	box, tall := widest(lines)+2*pad, max(heightOf(lines)+height*0.5, mark*0.9)
	at := f.y + height*0.2
	f.over = f.over || mark+box > f.room(f.y, tall+height*0.4)+0.01
	f.acts = append(f.acts, func(c *canvas, x, y float64) {
		x, y = x+f.left(), y+at
		if mark > 0 {
			c.crossedSlips(black, x, y+(tall-mark*0.9)/2, mark*0.9)
		}
		c.stateFrame(f.card.State, x+mark, y, box, tall)
		c.lines(lines, x+mark+pad, y+height*0.25)
	})
	f.beside(mark+box+pad, at, tall)
	f.y = at + tall + height*0.3
}

// beside says of what is not confirmed that it is not certain, where there is room at the word's side.
func (f *fitted) beside(x, y, tall float64) {
	if f.card.State.plain() == Confirmed || len(f.card.Names) == 0 {
		return
	}
	lines := f.set([]span{{f.say.Say("pages.cards.not-certain"), f.style(9)}}, y, even(max(f.room(y, tall)-x, 1)), setting{tight, 0})
	if len(lines) == 1 && x+lines[0].width <= f.room(y, tall) {
		f.acts = append(f.acts, func(c *canvas, cx, cy float64) {
			c.lines(lines, cx+f.left()+x, cy+y+(tall-lines[0].height)/2)
		})
	}
}

func (c *canvas) stateFrame(s State, x, y, w, h float64) {
	switch s.plain() {
	case Confirmed: // an inked stamp has a double frame
		c.frame(pen{h * 0.07, black, nil}, x, y, w, h)
		d := h * 0.12
		c.frame(pen{h * 0.03, black, nil}, x+d, y+d, w-2*d, h-2*d)
	case Provisional:
		c.frame(pen{0.35, black, []float64{1.2, 0.8}}, x, y, w, h)
	default:
		c.frame(pen{0.2, black, nil}, x, y, w, h)
	}
}

// outline is the card's own frame, by state, so that a provisional card is told from a confirmed one across a table.
func (f *fitted) outline(c *canvas, x, y float64) {
	x, y, w, h := x+f.inset, y+f.inset, f.w-2*f.inset, f.h-2*f.inset
	switch f.card.State.plain() {
	case Confirmed:
		c.frame(pen{0.6, black, nil}, x, y, w, h)
	case Provisional:
		c.frame(pen{0.6, black, []float64{2.4, 1.6}}, x, y, w, h)
	case Disputed:
		c.frame(pen{0.25, black, nil}, x, y, w, h)
		c.frame(pen{0.25, black, nil}, x+0.6, y+0.6, w-1.2, h-1.2)
	default:
		c.frame(pen{0.25, grey, nil}, x, y, w, h)
	}
}

// number stands at the lower left, as large as it is there: it is read aloud.
func (f *fitted) number() {
	s := style{number, f.size(20), black}
	text := unbroken(tidy(f.card.Number))
	height := s.size * mmPerPoint * display
	room := f.room(f.bottom()-height, height)
	if w := f.width(text, s); w > room {
		s = s.sized(max(s.size*room/w, smallestPrint))
		f.smallest = min(f.smallest, s.size)
	}
	lines := f.set([]span{{text, s}}, 0, even(room), setting{display, 0})
	f.over = f.over || widest(lines) > room+0.01
	f.y += heightOf(lines)
	at := f.bottom() - heightOf(lines)
	f.acts = append(f.acts, func(c *canvas, x, y float64) {
		c.lines(lines, x+f.left(), y+at)
	})
}

// draw puts the card on the page with its corner at x, y.
func (f *fitted) draw(c *canvas, x, y float64) {
	f.outline(c, x, y)
	for _, act := range f.acts {
		act(c, x, y)
	}
	if f.q == nil {
		return
	}
	quiet := (f.q.whole(f.side) - f.side) / 2
	c.place(f.q, x+f.codeLeft()+quiet, y+f.codeTop()+quiet, f.side)
}

func (f *fitted) missing() bool { return f.unfit || len(f.dropped) > 0 }

func (f *fitted) report() CardReport {
	return CardReport{Number: f.card.Number, Dropped: f.dropped, Unfit: f.unfit, Size: f.smallest}
}
