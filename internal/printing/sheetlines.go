package printing

import (
	"slices"
	"strings"

	"forayhall/internal/message"
)

// setter makes blocks of what a sheet says, for one width of column and one choice of sizes.
type setter struct {
	*ruler
	say    message.Printer
	width  float64
	sizes  sizes
	tables map[string]string // how a table is called in the lines, by its whole name
	stage  stage
	told   told
}

// stage is how densely block A is set.
type stage struct {
	told   int  // of what a deadly fungus is taken for, so many are told apart in its own line
	deadly bool // of nothing else so
	signs  bool // what to look for stands there too, not further on
	print  print
}

// room is for how much a fungus is told apart in its own line: the less dangerous, the less.
func (s stage) room(severity int) int {
	switch {
	case severity < dangerous || s.deadly && severity < 5:
		return 0
	case severity == dangerous:
		return max(s.told-1, 0)
	}
	return s.told
}

// print are the sizes of one way to set a sheet, in points at their plain scale.
type print struct {
	name, body, detail, leading float64
	runIn                       bool // what is less dangerous stands in running text
}

// sizes are in points. Body and names are for somebody who stands; details are read with a finger on the line.
type sizes struct {
	section, band, name, body, detail float64
}

func sizesFor(scale float64, p print) sizes {
	return sizes{section: (p.name + 3) * scale, band: (p.body + 2) * scale, name: p.name * scale, body: p.body * scale, detail: p.detail * scale}
}

// leading is that of running text.
func (s *setter) leading() float64 { return s.stage.print.leading }

const (
	tight   = 1.15 // leading of running text
	dense   = 1.03 // the same where room is short
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
		parts[i] = l.part(indent)
		parts[i].with = i > 0
	}
	return parts
}

func (l line) part(indent float64) part {
	return part{h: l.height, draw: func(c *canvas, x, y float64) { c.draw(l, x+indent, y) }}
}

func gap(mm float64) part { return part{h: mm} }

// named is a name with its common name behind it.
func (s *setter) named(n Name, common string, size float64) []span {
	main, beside := style{bold, size, black}, s.detail()
	if !slices.ContainsFunc(n, func(r Run) bool { return r.Italic }) {
		beside = main
	}
	spans := n.spans(main, beside)
	return append(spans, s.common(common)...)
}

// common is a common name behind a scientific one.
func (s *setter) common(name string) []span {
	if name == "" {
		return nil
	}
	return []span{{"  " + unbroken(name), s.detail().inked(grey)}}
}

// where says where plates stand: by table, and within it by state, in the order given.
func (s *setter) where(plates []Plate, word style) []span {
	digits := style{number, word.size, black}
	var spans []span
	for i, group := range byTable(plates) {
		if i > 0 {
			spans = append(spans, span{" · ", word})
		}
		spans = append(spans, span{s.table(group[0].Table) + ":", word.bold()})
		for j, p := range group {
			spans = append(spans, span{" ", word}, span{unbroken(p.Number), digits})
			spans = append(spans, s.state(group, j, word)...)
		}
	}
	return spans
}

// state stands behind the last plate of several of one state.
func (s *setter) state(group []Plate, at int, word style) []span {
	state := group[at].State
	switch {
	case at+1 == len(group):
		return []span{{" " + state.say(s.say), word}}
	case group[at+1].State != state:
		return []span{{" " + state.say(s.say) + ";", word}}
	}
	return []span{{",", word}}
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
