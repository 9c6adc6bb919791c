package printing

import (
	"fmt"
	"io"
	"time"

	"forayhall/internal/message"
)

// Booklet is an event's list as it is bound and put on a shelf: a title page, and chapters in two columns.
type Booklet struct {
	Society  string
	Event    string
	Code     string
	Place    string
	Days     string // as they are written
	Heading  string // what it is: a version, or a draft
	Draft    bool   // stamped on every page
	Figures  []Figure
	Facts    []string // who signed it, what was said of it, of when it is
	Digest   string   // by which a copy is checked; empty: none
	Link     string   // the permanent address; empty: no code
	LinkWhy  string
	Contents string // heading of the contents
	Chapters []Chapter
	Caution  message.Text // at the foot of every page; zero: the standing one
	At       time.Time
}

// Figure is one number with what it counts.
type Figure struct {
	N     string
	Label string
}

// Chapter is one part of a booklet or a letter.
type Chapter struct {
	Title string
	Why   string // beneath it
	Items []Item
}

// Item is what chapters are made of: a Heading, a Paragraph, a Row or an Entry.
type Item interface {
	blocks(s *setter) []*block
}

// Heading stands above what follows it, and again above what of it stands in the next column. Level 1 is the widest.
type Heading struct {
	Text  string
	Level int
}

// Paragraph is running text.
type Paragraph string

// Row is a short thing with what is said of it: a time, a number, a place.
type Row struct {
	Label string
	Name  Name // stands before Text
	Text  string
}

// Entry is one taxon of a list.
type Entry struct {
	Name       Name
	Common     string
	Severity   int      // of its hazard; 0 draws nothing: no entry is no word in its favour
	Marks      []string // in short, explained by a legend
	Determined []Name   // as determined, where that differs
	As         string   // the word before those
	Details    string   // how many, where, by whom
	Note       string   // why it adds nothing
}

// Worth is what the day was worth, as sentences that a member understands and the figures they rest on.
type Worth struct {
	Sentences []string
	Rows      []Row
}

// Items gives it as a chapter takes it.
func (w Worth) Items() (items []Item) {
	for _, s := range w.Sentences {
		items = append(items, Paragraph(s))
	}
	for _, r := range w.Rows {
		items = append(items, r)
	}
	return items
}

// WriteBooklet sets a booklet and writes it as a PDF.
func WriteBooklet(w io.Writer, b Booklet, p Paper) error {
	c, err := newCanvas(p.Size.mm())
	if err != nil {
		return err
	}
	if err := drawBooklet(c, b, p); err != nil {
		return fmt.Errorf("set the booklet of %s: %w", b.Code, err)
	}
	return c.write(w)
}

func drawBooklet(c *canvas, b Booklet, p Paper) error {
	c.describe(joined(" · ", b.Event, b.Heading), b.Society, b.At, p.Say)
	l, err := layBooklet(&c.ruler, b, p)
	if err != nil {
		return err
	}
	l.draw(c)
	return c.pdf.Error()
}

// bookMargin is at the sides of a booklet, in millimetres: room for staples.
const bookMargin = 14.0

// bookSizes are in points; a booklet is read sitting.
var bookSizes = sizes{section: 15, band: 11, name: 9.5, body: 9, detail: 7.8}

func (z sizes) times(scale float64) sizes {
	return sizes{section: z.section * scale, band: z.band * scale, name: z.name * scale, body: z.body * scale, detail: z.detail * scale}
}

func bookSetter(r *ruler, p Paper, width float64) *setter {
	return &setter{ruler: r, say: p.Say, width: width, sizes: bookSizes.times(p.scale()), stage: stage{print: print{leading: tight}}}
}

// bound is a booklet with everything in its place.
type bound struct {
	spots map[int][]spot
	pages int
	heads map[int]string // what a page tells at its head, from the second on
	edges *bookEdges
}

// layBooklet sets the chapters first, since the title page tells on which pages they begin.
func layBooklet(r *ruler, b Booklet, p Paper) (*bound, error) {
	width, _ := p.Size.mm()
	edges := newBookEdges(r, b, p)
	n := float64(p.columns())
	column := (width - 2*bookMargin - columnSpace*(n-1)) / n
	var inside []spot
	pages := 0
	if blocks := chapterBlocks(bookSetter(r, p, column), b.Chapters); len(blocks) > 0 {
		inside, pages = flowInto(blocks, edges.columns(p.columns(), column))
	}
	begins := beginnings(inside)
	wide := bookSetter(r, p, width-2*bookMargin)
	first := 1 // pages of the title, which are more where there is much to tell
	for range 2 {
		title, err := titleBlocks(wide, b, begins, first)
		if err != nil {
			return nil, err
		}
		spots, n := flowInto(title, edges.columns(1, wide.width))
		if n == first {
			return bind(spots, first, inside, pages, edges, b.Chapters), nil
		}
		first = n
	}
	title, err := titleBlocks(wide, b, begins, first)
	if err != nil {
		return nil, err
	}
	spots, first := flowInto(title, edges.columns(1, wide.width))
	return bind(spots, first, inside, pages, edges, b.Chapters), nil
}

// beginnings are the pages, from 0, on which chapters begin.
func beginnings(spots []spot) map[int]int {
	begins := map[int]int{}
	for _, s := range spots {
		if _, known := begins[s.block.chapter]; s.block.chapter > 0 && !known {
			begins[s.block.chapter] = s.page
		}
	}
	return begins
}

func bind(title []spot, first int, inside []spot, pages int, edges *bookEdges, chapters []Chapter) *bound {
	l := &bound{spots: map[int][]spot{}, pages: first + pages, heads: map[int]string{}, edges: edges}
	for _, s := range title {
		l.spots[s.page] = append(l.spots[s.page], s)
	}
	last := ""
	for _, s := range inside {
		page := s.page + first
		begun := s.block.chapter > 0
		if begun {
			last = chapters[s.block.chapter-1].Title
		}
		if len(l.spots[page]) == 0 {
			l.heads[page] = last
		}
		l.spots[page] = append(l.spots[page], s)
	}
	return l
}

func (l *bound) draw(c *canvas) {
	for page := range l.pages {
		c.newPage()
		l.edges.draw(c, page, l.pages, l.heads[page])
		for _, s := range l.spots[page] {
			s.block.draw(c, s.x, s.y)
		}
	}
}

// chapterBlocks are all chapters one after the other.
func chapterBlocks(s *setter, chapters []Chapter) (blocks []*block) {
	for i, chapter := range chapters {
		head := s.section(chapter.Title, chapter.Why)
		head.chapter = i + 1
		head.keep = len(chapter.Items) > 0
		blocks = append(append(blocks, head), itemBlocks(s, chapter.Items)...)
	}
	return blocks
}

// leads reports whether an item is a heading, or what is said right beneath one: neither is left alone at the foot of a
// column.
func leads(items []Item, i int) bool {
	switch items[i].(type) {
	case Heading:
		return true
	case Paragraph:
		return i > 0 && leads(items, i-1)
	}
	return false
}

// itemBlocks sets items; what goes on in the next column bears its heading again.
func itemBlocks(s *setter, items []Item) (blocks []*block) {
	var above [4]string
	for i, item := range items {
		if h, ok := item.(Heading); ok {
			level := min(max(h.Level, 1), 3)
			above[level] = h.Text
			clear(above[level+1:])
		}
		made := item.blocks(s)
		if more := i+1 < len(items); leads(items, i) {
			made[0].keep = more
		} else if again := s.again(above[:]); again != nil {
			for _, b := range made {
				b.column, b.newPage = again, again
			}
		}
		blocks = append(blocks, made...)
	}
	return blocks
}
