package printing

import (
	"slices"
	"strings"

	"forayhall/internal/message"
)

// setter makes blocks of what a sheet says, for one width of column and one choice of sizes.
type setter struct {
	*ruler
	say   message.Printer
	width float64
	sizes sizes
	stage stage
}

// stage is how much of what a deadly fungus is taken for stands in its own line; the rest stands further on.
type stage struct {
	told  int // so many are told apart
	named int // so many more are named
}

// sizes are in points. Body and names are for somebody who stands; details are read with a finger on the line.
type sizes struct {
	section, band, name, body, detail float64
}

func sizesFor(scale, detail float64) sizes {
	return sizes{section: 17 * scale, band: 13 * scale, name: 14 * scale, body: 11 * scale, detail: detail * scale}
}

const (
	tight   = 1.15 // leading of running text
	display = 1.1  // leading of names and headings
)

func (s *setter) body() style   { return style{upright, s.sizes.body, black} }
func (s *setter) detail() style { return style{upright, s.sizes.detail, black} }

// unit is a length in millimetres at body size, grown with it.
func (s *setter) unit(mm float64) float64 { return mm * s.sizes.body / 11 }

// gutter is where shapes stand, left of the text.
func (s *setter) gutter() float64 { return s.unit(7.4) }

// text makes one part of each line, moved right by indent.
func (s *setter) text(spans []span, indent, leading, hang float64) []part {
	lines := s.set(spans, 0, even(s.width-indent), setting{leading, hang})
	parts := make([]part, len(lines))
	for i, l := range lines {
		parts[i] = part{l.height, func(c *canvas, x, y float64) { c.draw(l, x+indent, y) }, i > 0}
	}
	return parts
}

func gap(mm float64) part { return part{h: mm} }

// named is a name with its common name behind it.
func (s *setter) named(n Name, common string, size float64) []span {
	main := style{bold, size, black}
	spans := n.spans(main, style{upright, s.sizes.detail, black})
	if common != "" {
		spans = append(spans, span{"  " + unbroken(common), style{upright, s.sizes.body, grey}})
	}
	return spans
}

// common is a common name before what is said of its plates.
func (s *setter) common(name string) []span {
	if name == "" {
		return nil
	}
	return []span{{unbroken(name) + "  ", s.body().inked(grey)}}
}

// where says where plates stand: by table, and within it by state, in the order given.
func (s *setter) where(plates []Plate) []span {
	word, digits := s.body(), style{number, s.sizes.body, black}
	var spans []span
	for i, group := range byTable(plates) {
		if i > 0 {
			spans = append(spans, span{" · ", word})
		}
		spans = append(spans, span{s.table(group[0].Table) + ":", word.bold()})
		for j, p := range group {
			spans = append(spans, span{" ", word}, span{unbroken(p.Number), digits})
			last := j+1 == len(group)
			switch {
			case last || group[j+1].State != p.State:
				spans = append(spans, span{" " + p.State.say(s.say), word})
				if !last {
					spans = append(spans, span{",", word})
				}
			default:
				spans = append(spans, span{",", word})
			}
		}
	}
	return spans
}

func (s *setter) table(table string) string {
	if table == "" {
		return s.say.Say("printing.no-table")
	}
	return s.say.Say("pages.sheet.table", "table", unbroken(table))
}

// unbroken keeps a number on one line.
func unbroken(text string) string { return strings.ReplaceAll(strings.TrimSpace(text), " ", "\u00A0") }

// byTable puts plates of one table together, and those of one state within it; tables and states keep the order of
// their first plate.
func byTable(plates []Plate) [][]Plate {
	var groups [][]Plate
	for _, p := range plates {
		i := slices.IndexFunc(groups, func(g []Plate) bool { return g[0].Table == p.Table })
		if i < 0 {
			groups = append(groups, []Plate{p})
			continue
		}
		at := len(groups[i])
		for at > 0 && !slices.ContainsFunc(groups[i][:at], func(q Plate) bool { return q.State == p.State }) {
			at = 0
		}
		if at > 0 {
			for groups[i][at-1].State != p.State {
				at--
			}
			groups[i] = slices.Insert(groups[i], at, p)
			continue
		}
		groups[i] = append(groups[i], p)
	}
	return groups
}

// labels are the words by which differences are told apart in the knowledge, set bold so that the eye finds them.
var labels = []string{"Gathered:", "Poisonous:"}

func emphasised(text string, s style) []span {
	var spans []span
	for text != "" {
		at, found := len(text), ""
		for _, l := range labels {
			if i := strings.Index(text, l); i >= 0 && i < at {
				at, found = i, l
			}
		}
		spans = append(spans, span{text[:at], s})
		if found != "" {
			spans = append(spans, span{found, s.bold()})
		}
		text = text[at+len(found):]
	}
	return spans
}

// band is a hazard's band: shape, word and what it does, on a filled or framed ground.
func (s *setter) band(severity int, beside string) part {
	filled := severity >= 3 && severity <= 5
	colour := brick
	if filled {
		colour = white
	}
	spans := []span{{severityWord(s.say, severity), style{bold, s.sizes.band, colour}}}
	if beside != "" {
		spans = append(spans, span{"  " + beside, style{bold, s.sizes.body * 0.86, colour}})
	}
	lines := s.set(spans, 0, even(s.width-s.gutter()-s.unit(1.5)), setting{display, 0})
	pad := s.unit(0.9)
	h := heightOf(lines) + 2*pad
	return part{h: h, draw: func(c *canvas, x, y float64) {
		s.ground(c, severity, filled, x, y, h)
		c.lines(lines, x+s.gutter(), y+pad)
	}}
}

func (s *setter) ground(c *canvas, severity int, filled bool, x, y, h float64) {
	size := s.unit(5.2)
	top := y + (h-size)/2
	switch {
	case filled:
		c.fill(brick, x, y, s.width, h)
		c.frame(pen{s.unit(0.8), black, nil}, x, y, s.width, h)
		c.hazardShape(severity, x+s.unit(1.4), top, size, white, brick)
	case severity >= 1:
		c.frame(pen{s.unit(0.8), brick, nil}, x, y, s.width, h)
		c.hazardShape(severity, x+s.unit(1.4), top, size, brick, white)
	default:
		c.frame(pen{s.unit(0.8), brick, []float64{s.unit(2), s.unit(1)}}, x, y, s.width, h)
		c.hazardShape(severity, x+s.unit(1.4), top, size, brick, white)
	}
}
