package printing

import (
	"fmt"
	"io"
	"time"

	"forayhall/internal/message"
)

// SiteLetter is a letter of the society to the manager of a site's land.
type SiteLetter struct {
	Society  string
	From     []string // who writes, a line each
	Date     string
	Subject  string
	Greeting string
	Parts    []Chapter
	Closing  []string // a line each
	Caution  string
	At       time.Time
}

// letterMargin is at the sides of a letter, in millimetres.
const letterMargin = 24.0

// letterSizes are in points.
var letterSizes = sizes{section: 12, band: 11, name: 10.5, body: 10.5, detail: 9}

// WriteLetter sets a letter and writes it as a PDF.
func WriteLetter(w io.Writer, l SiteLetter, p Paper) error {
	c, err := newCanvas(p.Size.mm())
	if err != nil {
		return err
	}
	if err := drawLetter(c, l, p); err != nil {
		return fmt.Errorf("set a letter: %w", err)
	}
	return c.write(w)
}

func drawLetter(c *canvas, l SiteLetter, p Paper) error {
	width, height := p.Size.mm()
	c.describe(l.Subject, l.Society, l.At, p.Say)
	s := bookSetter(&c.ruler, p, width-2*letterMargin)
	s.sizes = letterSizes.times(p.scale())
	top, bottom := letterMargin*0.8, height-letterMargin*0.8
	spots, pages := flowInto(l.blocks(s), func(int) []column { return []column{{letterMargin, top, s.width, bottom - top}} })
	foot := style{upright, 8, grey}
	for page := range pages {
		c.newPage()
		for _, spot := range spots {
			if spot.page == page {
				spot.block.draw(c, spot.x, spot.y)
			}
		}
		if pages > 1 {
			for _, line := range c.set([]span{{unbroken(p.Say.Text(message.T("printing.page", "page", page+1, "pages", pages))), foot}}, 0, even(width), setting{tight, 0}) {
				c.draw(line, width-letterMargin-line.width, bottom+3)
			}
		}
	}
	return c.pdf.Error()
}

func (l SiteLetter) blocks(s *setter) []*block {
	text := func(space float64, said string, style style) *block {
		return &block{gap: s.unit(space), parts: twoAtLeast(s.text([]span{{said, style}}, 0, s.leading(), 0))}
	}
	var blocks []*block
	for i, from := range l.From {
		style := s.body()
		if i == 0 {
			style = style.bold()
		}
		blocks = append(blocks, text(0.3, from, style))
	}
	blocks = append(blocks, text(9, l.Date, s.body()), text(8, l.Subject, s.body().bold()), text(5, l.Greeting, s.body()))
	for _, part := range l.Parts {
		if part.Title != "" {
			head := text(5, part.Title, style{bold, s.sizes.section, black})
			head.keep = true
			blocks = append(blocks, head)
		}
		if part.Why != "" {
			why := text(1.5, part.Why, s.body())
			why.keep = len(part.Items) > 0
			blocks = append(blocks, why)
		}
		blocks = append(blocks, itemBlocks(s, part.Items)...)
	}
	for i, closing := range l.Closing {
		space := 0.5
		if i == 0 {
			space = 7
		}
		b := text(space, closing, s.body())
		b.keep = i+1 < len(l.Closing)
		blocks = append(blocks, b)
	}
	return append(blocks, text(6, l.Caution, s.detail().inked(grey)))
}
