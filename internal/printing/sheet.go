package printing

import (
	"fmt"
	"io"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Edges of a sheet that printers leave white, and the space between columns, in millimetres.
const (
	edge        = 10.0
	columnSpace = 4.5
)

var noText message.Text

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
			l.top.draw(c)
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

	entries []hereEntry
	ends    int // the page on which block A ends, at best roomForA
}

// prints are the sizes that are tried, in points. The smallest is read with a finger on the line.
var prints = []print{{14, 11, 11, tight, false}, {14, 11, 10, tight, false}, {13, 10.5, 9.5, tight, false}, {12, 10, 9, tight, false}, {12, 10, 9, dense, true}, {11, 9.5, 9, dense, true}, {10.5, 9, 9, dense, true}}

// mostTold is how much of what a deadly fungus is taken for is told apart in block A; less is tried, and what to look for
// is put further on, before the block takes a third page.
const mostTold = 2

// roomForA is how many pages block A may take; it is what a visitor reads standing.
const roomForA = 2

// layOut tells apart as much as it can in block A, in the largest print, so that the block takes no more than its pages;
// where it is longer whatever is done, as few pages as can be.
func layOut(c *canvas, s WarningSheet, p Paper) (layout, error) {
	l := layout{}
	if err := l.head(&c.ruler, s, p); err != nil {
		return l, err
	}
	tables, doubles := shortTables(s.allPlates()), doublesTold(s.Doubles)
	for _, stage := range p.stages() {
		set := l.setter(&c.ruler, p, stage)
		set.tables, set.told.doubles = tables, doubles
		entries := set.entries(s.Here)
		if pages := l.endOfA(set, entries, p); l.set == nil || pages < l.ends {
			l.set, l.ends, l.entries = set, pages, entries
		}
		if l.ends == roomForA {
			break
		}
	}
	l.spots, l.pages = flowInto(l.blocks(l.set, s), l.columns(l.set.width, p))
	return l, nil
}

func (l *layout) setter(r *ruler, p Paper, stage stage) *setter {
	width, _ := p.Size.mm()
	n := float64(p.columns())
	return &setter{ruler: r, say: p.Say, width: (width - 2*edge - columnSpace*(n-1)) / n, sizes: sizesFor(p.scale(), stage.print), stage: stage, told: told{above: map[string]Name{}}}
}

// endOfA is the page on which block A ends, at best roomForA.
func (l *layout) endOfA(set *setter, entries []hereEntry, p Paper) int {
	_, pages := flowInto(l.blockA(set, entries), l.columns(set.width, p))
	return max(pages, roomForA)
}

// leastScale is how far the top is made smaller before it is given up; its body is then in six points.
const leastScale = 0.55

// head sets top and foot; a top that is longer than a page is tried in smaller type.
func (l *layout) head(r *ruler, s WarningSheet, p Paper) (err error) {
	_, height := p.Size.mm()
	for scale := p.scale(); scale > leastScale; scale *= 0.93 {
		if l.top, err = newTop(r, s, p, scale); err != nil {
			return err
		}
		l.foot = newFoot(r, s, p, scale)
		if l.top.bottom < height-edge-l.foot.height && l.foot.height < height/3 {
			return nil
		}
	}
	return fault.New(fault.Refused, "printing.sheet.top")
}

// stages are what is tried: rather smaller print than less told. Large print is not cramped into two pages.
func (p Paper) stages() []stage {
	if p.Large {
		return []stage{{mostTold, false, true, print{11, 9.5, 9, 1.1, false}}}
	}
	var stages []stage
	for _, amount := range []stage{{told: mostTold, signs: true}, {told: mostTold}, {told: 1}, {told: 1, deadly: true}, {}} {
		for _, print := range prints {
			amount.print = print
			stages = append(stages, amount)
		}
	}
	return stages
}

func (l *layout) blockA(set *setter, entries []hereEntry) []*block {
	if len(entries) == 0 {
		return nil
	}
	why := set.say.Say("pages.sheet.block.a.why") + " " + set.say.Say("printing.further", "mark", furtherOn)
	return append([]*block{set.section(set.say.Say("pages.sheet.block.a"), why)}, set.here(entries)...)
}

func (l *layout) blocks(set *setter, s WarningSheet) []*block {
	blocks := l.blockA(set, l.entries)
	blocks = append(blocks, set.nameless(s.Nameless)...)
	blocks = append(blocks, set.tableKey()...)
	blocks = append(blocks, set.wide(s.Wide)...)
	blocks = append(blocks, set.apart(s.Here)...)
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
			y = l.top.bottom + 3
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
