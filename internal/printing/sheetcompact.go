package printing

import (
	"slices"
	"strings"
)

// lesser makes of the lines of one syndrome of severity 1 or 2 a dense part of block A: an entry of a few lines each, and
// where room is short one run of text.
func (s *setter) lesser(group []hereEntry) []*block {
	if !s.stage.print.runIn {
		var blocks []*block
		for _, e := range group {
			blocks = append(blocks, s.barred(s.text(s.lesserEntry(e), s.unit(lesserIn), s.leading(), 0), s.unit(0.5)))
		}
		return blocks
	}
	var spans []span
	for _, e := range group {
		spans = append(append(spans, span{entryMark + "\u00A0", s.detail().bold().inked(brick)}), s.lesserEntry(e)...)
		spans = append(spans, span{" ", s.detail()})
	}
	return s.lineByLine(s.set(spans, 0, even(s.width-s.unit(lesserIn)), setting{s.leading(), 0}))
}

// entryMark stands before each name in running text.
const entryMark = "•"

// lesserIn is how far text stands from the bar at its side, in millimetres.
const lesserIn = 2.2

// lineByLine lets a run of text go on in the next column, two lines at least on either side; a line in which an entry
// begins stays with the next.
func (s *setter) lineByLine(lines []line) []*block {
	blocks := make([]*block, len(lines))
	kept := false
	for i, l := range lines {
		blocks[i] = s.barred([]part{l.part(s.unit(lesserIn))}, 0)
		begins := slices.ContainsFunc(l.fragments, func(f fragment) bool { return strings.HasPrefix(f.text, entryMark) })
		kept = i == 0 || i+2 == len(lines) || begins && !kept
		blocks[i].keep = kept && i+1 < len(lines)
	}
	if len(blocks) > 0 {
		blocks[0].gap = s.unit(0.5)
	}
	return blocks
}

func (s *setter) barred(parts []part, above float64) *block {
	b := &block{gap: above, parts: parts}
	b.back = func(c *canvas, x, y, h float64) { c.fill(brick, x, y, s.unit(0.4), h) }
	return b
}

func (s *setter) lesserEntry(e hereEntry) []span {
	d := s.detail()
	spans := s.named(e.Name.withoutAuthor(), e.Common, s.sizes.detail)
	if !e.Exposure.IsZero() {
		spans = append(spans, span{" (" + s.say.Text(e.Exposure) + ")", d.bold()})
	}
	spans = append(append(spans, span{"  ", d}), s.where(e.Plates, d)...)
	spans = append(spans, span{".", d})
	if len(e.others) > 0 {
		spans = append(append(spans, span{" ", d}), s.alsoTaken(e)...)
	}
	if notes := s.notes(e.Via, e.Matched, e.OutOfRegion, e.Contested); len(notes) > 0 {
		spans = append(append(spans, span{" ", d}), notes...)
	}
	return spans
}
