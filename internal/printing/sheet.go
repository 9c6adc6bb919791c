package printing

import (
	"fmt"
	"io"
	"unicode"
	"unicode/utf8"

	"forayhall/internal/message"
)

// Edges of a sheet that printers leave white, and the space between columns, in millimetres.
const (
	edge        = 10.0
	columnSpace = 4.5
)

var noText message.Text

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// Sheet sets a warning sheet and writes it as a PDF: whom to call and what to do, then what is here or may be here,
// what has no name, what is named too widely, the doubles of what people look for, and what nobody has an entry for.
func Sheet(w io.Writer, s WarningSheet, p Paper) error {
	width, height := p.Size.mm()
	c, err := newCanvas(width, height)
	if err != nil {
		return err
	}
	if err := drawSheet(c, s, p); err != nil {
		return fmt.Errorf("set the warning sheet of %s: %w", s.Code, err)
	}
	return c.write(w)
}

func drawSheet(c *canvas, s WarningSheet, p Paper) error {
	c.describe(p.Say.Say("pages.sheet.heading")+" "+s.Code, s.Society, s.At, p.Say)
	l, err := layOut(c, s, p)
	if err != nil {
		return err
	}
	for page := range l.pages {
		c.newPage()
		if page == 0 {
			if err := l.top.draw(c); err != nil {
				return err
			}
		}
		for _, spot := range l.spots {
			if spot.page == page {
				spot.block.draw(c, spot.x, spot.y)
			}
		}
		l.foot.draw(c, page+1, l.pages)
	}
	return c.pdf.Error()
}

// layout is a sheet with everything in its place.
type layout struct {
	top   *top
	foot  *foot
	spots []spot
	pages int
	set   *setter
	ends  int // the page on which block A ends, at best roomForA
}

// What is tried, in this order: how much of what fungi are taken for stands in their own lines, and the sizes of the
// finer print in points.
var (
	stages  = []stage{{1000, 1000}, {4, 1000}, {3, 1000}, {2, 1000}, {2, 6}, {1, 6}, {1, 3}, {0, 3}, {0, 2}}
	details = []float64{11, 10.5, 10, 9.5, 9}
)

// roomForA is how many pages block A may take; it is what a visitor reads standing.
const roomForA = 2

// layOut tells apart as much as it can in block A, in the largest finer print, so that the block takes no more than
// its pages; where it is longer whatever is done, as few pages as can be.
func layOut(c *canvas, s WarningSheet, p Paper) (layout, error) {
	top, err := newTop(&c.ruler, s, p)
	if err != nil {
		return layout{}, err
	}
	l := layout{top: top, foot: newFoot(&c.ruler, s, p)}
	for _, stage := range stages {
		for _, detail := range p.details() {
			if l.ends != roomForA {
				l.try(&c.ruler, s, p, stage, detail)
			}
		}
	}
	l.spots, l.pages = flowInto(l.blocks(l.set, s), l.columns(l.set.width, p))
	return l, nil
}

// try keeps a way of setting block A if it takes fewer pages than those before it.
func (l *layout) try(r *ruler, s WarningSheet, p Paper, stage stage, detail float64) {
	width, _ := p.Size.mm()
	n := float64(p.columns())
	set := &setter{ruler: r, say: p.Say, width: (width - 2*edge - columnSpace*(n-1)) / n, sizes: sizesFor(p.scale(), detail), stage: stage}
	_, pages := flowInto(l.blockA(set, s), l.columns(set.width, p))
	if pages = max(pages, roomForA); l.set == nil || pages < l.ends {
		l.set, l.ends = set, pages
	}
}

// details are the sizes that are tried; large print keeps its size.
func (p Paper) details() []float64 {
	if p.Large {
		return details[:1]
	}
	return details
}

func (l *layout) blockA(set *setter, s WarningSheet) []*block {
	if len(s.Here) == 0 {
		return nil
	}
	why := set.say.Say("pages.sheet.block.a.why")
	if set.stage.told < stages[0].told {
		why += " " + set.say.Say("printing.further", "mark", furtherOn)
	}
	title := set.section(set.say.Say("pages.sheet.block.a"), why)
	return append([]*block{title}, set.here(s.Here)...)
}

func (l *layout) blocks(set *setter, s WarningSheet) []*block {
	blocks := l.blockA(set, s)
	blocks = append(blocks, set.nameless(s.Nameless)...)
	blocks = append(blocks, set.wide(s.Wide)...)
	blocks = append(blocks, set.apart(s.Here, s.Doubles)...)
	blocks = append(blocks, set.doubles(s.Doubles)...)
	return append(blocks, set.noEntry(s.NoEntry)...)
}

// columns are those of each page: below the top on the first, from edge to foot on the others.
func (l *layout) columns(width float64, p Paper) func(page int) []column {
	_, height := p.Size.mm()
	bottom := height - edge - l.foot.height
	return func(page int) []column {
		y := edge
		if page == 0 {
			y = l.top.bottom + 4
		}
		columns := make([]column, p.columns())
		for i := range columns {
			columns[i] = column{edge + float64(i)*(width+columnSpace), y, width, usable(bottom - y)}
		}
		return columns
	}
}

// usable is a column's height; a stump beneath the top is left empty.
func usable(height float64) float64 {
	if height < 30 {
		return 0
	}
	return height
}
