package printing

import (
	"slices"
	"strings"

	"forayhall/internal/message"
)

// fitted is a card laid out at one size, relative to the card's corner.
type fitted struct {
	*ruler
	card    Card
	say     message.Printer
	w, h    float64 // of the card
	inset   float64 // from the card's edge to its frame
	pad     float64 // from the frame's outer edge to the text
	growth  float64
	dropped []Line
	q       *code
	side    float64 // of the code

	y        float64 // where the next line stands
	over     bool    // something did not fit in its width
	unfit    bool
	smallest float64
	acts     []func(c *canvas, x, y float64)
}

func newFitted(r *ruler, card Card, run CardRun, q *code, dropped []Line, growth float64) *fitted {
	s := run.Stock
	f := &fitted{ruler: r, card: card, say: run.Say, w: s.CardW, h: s.CardH, growth: growth, dropped: dropped}
	small := min(s.CardW, s.CardH)
	f.inset = min(2, small*0.035)
	f.pad = min(2.6, small*0.045) + 0.6
	f.y = f.inset + f.pad
	if q != nil && !f.without(CodeLine) {
		f.q = q
		f.side = max(smallestCode, min(24, 0.32*small), float64(q.modules)*0.36)
	}
	return f
}

func (f *fitted) without(l Line) bool { return slices.Contains(f.dropped, l) }

// size is a size of type at this growth, never below the smallest print.
func (f *fitted) size(points float64) float64 {
	size := max(points*f.growth, smallestPrint)
	if f.smallest == 0 || size < f.smallest {
		f.smallest = size
	}
	return size
}

func (f *fitted) style(points float64) style { return style{upright, f.size(points), black} }

func (f *fitted) left() float64   { return f.inset + f.pad }
func (f *fitted) bottom() float64 { return f.h - f.inset - f.pad }

// codeTop and codeLeft are the corner of the code with its quiet zone.
func (f *fitted) codeTop() float64  { return f.h - f.inset - 0.8 - f.q.whole(f.side) }
func (f *fitted) codeLeft() float64 { return f.w - f.inset - 0.8 - f.q.whole(f.side) }

// room is how wide a line may be: beside the code it ends before its quiet zone.
func (f *fitted) room(y, height float64) float64 {
	if f.q != nil && y+height > f.codeTop() {
		return f.codeLeft() - f.left()
	}
	return f.w - 2*f.left()
}

// write sets spans where the card stands and goes on beneath them.
func (f *fitted) write(spans []span, indent, leading float64) {
	m := func(y, h float64) float64 { return f.room(y, h) - indent }
	lines := f.set(spans, f.y, m, setting{leading, 0})
	at := f.y
	for _, l := range lines {
		f.over = f.over || l.width > m(f.y, l.height)+0.01
		f.y += l.height
	}
	f.acts = append(f.acts, func(c *canvas, x, y float64) {
		c.lines(lines, x+f.left()+indent, y+at)
	})
}

func (f *fitted) lay() {
	f.band()
	f.names()
	f.state()
	f.teaching()
	f.origin()
	if !f.without(CautionLine) {
		f.write([]span{{f.say.Say("pages.cards.touch"), f.style(7.5)}}, 0, tight)
	}
	f.number()
}

func (f *fitted) fits() bool { return !f.over && f.y <= f.bottom()+1e-6 }

// band is the hazard's, as wide as the card is there.
func (f *fitted) band() {
	h := f.card.Hazard
	if h == nil {
		return
	}
	filled, colour := h.Severity >= 3 && h.Severity <= 5, brick
	if filled {
		colour = white
	}
	word := severityWord(f.say, h.Severity)
	if h.Severity < 1 || h.Severity > 5 {
		word = f.say.Say("printing.card.no-entry")
	}
	spans := []span{{word, style{bold, f.size(13), colour}}}
	if h.Syndrome != "" && !f.without(SyndromeLine) {
		spans = append(spans, span{"  " + h.Syndrome, style{bold, f.size(9.5), colour}})
	}
	pad := f.size(13) * mmPerPoint * 0.2
	mark := f.size(13) * mmPerPoint * 1.15
	in, top := mark+2.2*pad, f.y
	width := f.room(top, mark+2*pad)
	lines := f.set(spans, top, even(width-in-pad), setting{display, 0})
	f.over = f.over || widest(lines) > width-in-pad+0.01
	height := max(heightOf(lines), mark) + 2*pad
	f.over = f.over || f.room(top, height) < width
	f.y += height + pad
	f.acts = append(f.acts, func(c *canvas, x, y float64) {
		x, y = x+f.left(), y+top
		c.ground(h.Severity, filled, x, y, width, height, pad, mark)
		c.lines(lines, x+in, y+(height-heightOf(lines))/2)
	})
}

func (c *canvas) ground(severity int, filled bool, x, y, w, h, pad, mark float64) {
	line, under := brick, white
	edge := pen{0.6, brick, nil}
	switch {
	case filled:
		line, under, edge.ink = white, brick, black
		c.fill(brick, x, y, w, h)
	case severity < 1 || severity > 5:
		edge.dash = []float64{1.6, 0.9}
	}
	c.frame(edge, x, y, w, h)
	c.hazardShape(severity, x+1.3*pad, y+(h-mark)/2, mark, line, under)
}

// names sets the first name large, and those of a dispute alike.
func (f *fitted) names() {
	if len(f.card.Names) == 0 {
		f.write([]span{{f.card.Group, f.style(17).bold()}}, 0, display)
		return
	}
	kept := f.card.kept()
	for i, n := range f.card.Names {
		if i >= kept && f.without(MoreNamesLine) {
			f.write([]span{{f.say.Say("printing.card.more", "n", len(f.card.Names)-kept), f.style(9)}}, 0, tight)
			break
		}
		large := 20.0
		if i >= kept {
			large = 13
		}
		f.write(f.name(n, i > 0, large), 0, display)
	}
	if !f.without(CurrentLine) && !f.card.Current.IsZero() {
		s := f.style(10)
		f.write(rich(f.say.Say("pages.cards.now", "name", placeholder), s, f.card.Current.spans(s, s)), 0, tight)
	}
	if !f.without(CommonLine) && f.card.Common != "" {
		f.write([]span{{f.card.Common, f.style(13)}}, 0, tight)
	}
}

func (f *fitted) name(n Name, further bool, large float64) []span {
	var spans []span
	if further {
		spans = []span{{f.say.Say("printing.card.or") + " ", f.style(9)}}
	}
	if f.without(AuthorLine) {
		n = n.withoutAuthor()
	}
	return append(spans, n.spans(f.style(large).bold(), f.style(large*0.6))...)
}

// teaching is what a visitor is to look at and to beware of.
func (f *fitted) teaching() {
	if !f.without(NoticeLine) && f.card.Notice != "" {
		s := f.style(10.5)
		f.write([]span{{f.say.Say("printing.card.notice") + " ", s.bold()}, {f.card.Notice, s}}, 0, tight)
	}
	if f.without(DoublesLine) {
		return
	}
	s := f.style(10.5)
	for _, d := range f.card.Doubles {
		text := f.say.Say("pages.cards.double", "name", placeholder, "table", unbroken(d.Table))
		if d.Table == "" {
			text = f.say.Say("pages.cards.double.not-here", "name", placeholder)
		}
		f.write(rich(text, s, d.Name.spans(s.bold(), s)), 0, tight)
	}
}

// origin is where the plate comes from and who named it.
func (f *fitted) origin() {
	var facts []string
	add := func(l Line, text string) {
		if text != "" && !f.without(l) {
			facts = append(facts, text)
		}
	}
	add(FamilyLine, f.card.Family)
	add(HostLine, f.card.Host)
	add(HostLine, f.card.Substrate)
	add(PlaceLine, f.card.Place)
	if f.card.Collector != "" {
		add(CollectorLine, f.say.Say("pages.cards.found-by", "name", f.card.Collector))
	}
	if f.card.Determiner != "" {
		add(DeterminerLine, f.say.Say("pages.cards.named-by", "name", f.card.Determiner))
	}
	if len(facts) > 0 {
		f.write([]span{{strings.Join(facts, " · "), f.style(9)}}, 0, tight)
	}
}
