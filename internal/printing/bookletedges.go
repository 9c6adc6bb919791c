package printing

import (
	"strconv"

	"forayhall/internal/message"
)

// The side of the code on a title page, in millimetres.
const titleCode = 26.0

// titleBlocks is the title page: what it is, of what, by whom, how many, what is in it, and where it stands for ever.
func titleBlocks(s *setter, b Booklet, begins map[int]int, first int) ([]*block, error) {
	plain, large := style{upright, s.sizes.body * 1.2, black}, style{bold, s.sizes.section * 2, black}
	blocks := []*block{
		{gap: s.unit(14), parts: append([]part{gap(s.unit(20))}, s.text([]span{{b.Society, plain}}, 0, tight, 0)...)},
		{gap: s.unit(3), parts: s.text([]span{{b.Event + " ", large}, {unbroken(b.Code), style{number, s.sizes.section, black}}}, 0, display, 0)},
		{gap: s.unit(2), parts: s.text([]span{{joined(" · ", b.Place, b.Days), plain}}, 0, tight, 0)},
		{gap: s.unit(9), parts: s.text([]span{{b.Heading, style{bold, s.sizes.section * 1.3, black}}}, 0, display, 0)},
	}
	if b.Draft {
		blocks = append(blocks, s.stamp())
	}
	if len(b.Figures) > 0 {
		blocks = append(blocks, s.figures(b.Figures)...)
	}
	for _, fact := range b.Facts {
		blocks = append(blocks, &block{gap: s.unit(2.2), parts: s.text([]span{{fact, s.body().sized(s.sizes.body * 1.1)}}, 0, tight, 0)})
	}
	blocks = append(blocks, s.contents(b, begins, first)...)
	link, err := s.link(b)
	return append(blocks, link...), err
}

// stamp says that a draft is none but that.
func (s *setter) stamp() *block {
	spans := []span{{s.say.Say("booklet.not-final"), style{bold, s.sizes.section, black}}, {"  " + s.say.Say("booklet.not-final.why"), s.body()}}
	pad := s.unit(2)
	b := &block{gap: s.unit(4), parts: []part{gap(pad)}}
	b.parts = append(b.parts, shifted(s.narrower(2*pad).text(spans, 0, tight, 0), pad)...)
	b.parts = append(b.parts, gap(pad))
	b.back = func(c *canvas, x, y, h float64) { c.frame(pen{s.unit(0.8), black, nil}, x, y, s.width, h) }
	return b
}

// figures are the numbers, one a line, right behind one another.
func (s *setter) figures(all []Figure) (blocks []*block) {
	for i, f := range all {
		size, space := s.sizes.body*1.1, s.unit(0.8)
		if i == 0 {
			size, space = s.sizes.section*1.2, s.unit(7)
		}
		spans := []span{{f.N + " ", style{bold, size, black}}, {f.Label, style{upright, size, black}}}
		blocks = append(blocks, &block{gap: space, parts: s.text(spans, 0, tight, s.unit(6))})
	}
	return blocks
}

// contents tells the chapters with their pages.
func (s *setter) contents(b Booklet, begins map[int]int, first int) []*block {
	if len(b.Chapters) == 0 {
		return nil
	}
	blocks := []*block{{gap: s.unit(8), keep: true, parts: s.text([]span{{b.Contents, style{bold, s.sizes.band, black}}}, 0, display, 0)}}
	for i, chapter := range b.Chapters {
		page := strconv.Itoa(begins[i+1] + first + 1)
		spans := []span{{chapter.Title + "  ", s.body()}, {page, s.body().bold()}}
		blocks = append(blocks, &block{gap: s.unit(0.6), parts: s.text(spans, 0, tight, s.unit(6))})
	}
	return blocks
}

// link is the code of the permanent address with the address and what a copy is checked by.
func (s *setter) link(b Booklet) ([]*block, error) {
	var blocks []*block
	if b.Link != "" {
		q, err := newCode(b.Link)
		if err != nil {
			return nil, err
		}
		side := titleCode
		whole := q.whole(side)
		beside := s.set([]span{{b.LinkWhy + " ", s.body()}, {b.Link, s.body().bold()}}, 0, even(s.width-whole-s.unit(3)), setting{tight, 0})
		h := max(whole, heightOf(beside))
		blocks = append(blocks, &block{gap: s.unit(8), parts: []part{{h: h, draw: func(c *canvas, x, y float64) {
			quiet := (whole - side) / 2
			c.place(q, x+quiet, y+quiet, side)
			c.lines(beside, x+whole+s.unit(3), y+max(0, (h-heightOf(beside))/2))
		}}}})
	}
	if b.Digest != "" {
		blocks = append(blocks, &block{gap: s.unit(3), parts: s.text([]span{{b.Digest, s.detail().inked(grey)}}, 0, tight, 0)})
	}
	return blocks, nil
}

// bookEdges is the running head and the foot of a booklet's pages.
type bookEdges struct {
	r             *ruler
	say           message.Printer
	width, height float64
	left, stamp   string
	caution       []line
	size          float64
	top, bottom   float64 // where columns begin and end
}

func newBookEdges(r *ruler, b Booklet, p Paper) *bookEdges {
	width, height := p.Size.mm()
	e := &bookEdges{r: r, say: p.Say, width: width, height: height, left: joined(" · ", b.Code, b.Event, b.Heading), size: 8 + 2*(p.scale()-1)}
	if b.Draft {
		e.stamp = p.Say.Say("booklet.not-final")
	}
	caution := b.Caution
	if caution.IsZero() {
		caution = message.T("hazard.caution")
	}
	number := r.width(e.page(888, 888), style{bold, e.size, black}) + 6
	for smaller := 1.0; smaller <= 2; smaller += 0.25 { // one line where that can be read
		e.caution = r.set([]span{{p.Say.Text(caution), style{upright, e.size - smaller, black}}}, 0, even(width-2*bookMargin-number), setting{tight, 0})
		if len(e.caution) == 1 {
			break
		}
	}
	e.top = edge + e.size*mmPerPoint*tight + 4
	e.bottom = height - edge - max(heightOf(e.caution), e.size*mmPerPoint*tight) - 3
	return e
}

func (e *bookEdges) page(n, of int) string {
	return unbroken(e.say.Say("printing.page", "page", n, "pages", of))
}

func (e *bookEdges) columns(n int, width float64) func(int) []column {
	return func(int) []column {
		columns := make([]column, n)
		for i := range columns {
			columns[i] = column{bookMargin + float64(i)*(width+columnSpace), e.top, width, e.bottom - e.top}
		}
		return columns
	}
}

func (e *bookEdges) draw(c *canvas, page, of int, chapter string) {
	if page > 0 {
		e.head(c, chapter)
	} else if e.stamp != "" {
		e.right(c, e.stamp, style{bold, e.size, black}, edge)
	}
	y := e.bottom + 2
	c.rule(pen{0.2, grey, nil}, bookMargin, y, e.width-bookMargin, y)
	c.lines(e.caution, bookMargin, y+1)
	e.right(c, e.page(page+1, of), style{bold, e.size, black}, y+1)
}

// head tells what the sheet is of, in one line: what is too long for it stands on the title page in full.
func (e *bookEdges) head(c *canvas, chapter string) {
	plain := style{upright, e.size, grey}
	whole := e.width - 2*bookMargin
	right := chapter
	if e.stamp != "" {
		right = joined(" · ", right, e.stamp)
	}
	right = e.short(right, plain.bold(), whole*0.45)
	e.right(c, right, plain.bold(), edge)
	left := e.short(e.left, plain, whole-e.r.widthOfText(right, plain.bold())-6)
	for _, l := range e.r.set([]span{{left, plain}}, 0, even(whole), setting{tight, 0}) {
		c.draw(l, bookMargin, edge)
	}
	y := e.top - 2
	c.rule(pen{0.2, grey, nil}, bookMargin, y, e.width-bookMargin, y)
}

func (e *bookEdges) right(c *canvas, text string, s style, y float64) {
	for _, l := range e.r.set([]span{{unbroken(text), s}}, 0, even(e.width), setting{tight, 0}) {
		c.draw(l, e.width-bookMargin-l.width, y)
	}
}

// widthOfText is of a text in one line.
func (r *ruler) widthOfText(text string, s style) float64 {
	return widest(r.set([]span{{unbroken(text), s}}, 0, even(1e6), setting{tight, 0}))
}

// short cuts a text to one line of so many millimetres, and shows that it did.
func (e *bookEdges) short(text string, s style, room float64) string {
	letters := []rune(tidy(text))
	for n := len(letters); n > 0; n-- {
		cut := string(letters[:n])
		if n < len(letters) {
			cut += "…"
		}
		if e.r.widthOfText(cut, s) <= room {
			return cut
		}
	}
	return ""
}
