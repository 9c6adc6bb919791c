package printing

import (
	"strings"
	"unicode/utf8"
)

// fragment is a stretch of one line in one style.
type fragment struct {
	x     float64 // from the start of the line, mm
	width float64
	text  string
	style style
}

// line is one line of set text.
type line struct {
	fragments []fragment
	width     float64
	height    float64 // to the next line
	base      float64 // from its top to the baseline
}

// word is what is not broken unless it is wider than a whole line.
type word struct {
	pieces []span
	space  float64 // before it, mm
}

// measure says how wide a line may be whose top is at y.
type measure func(y, height float64) float64

func even(width float64) measure { return func(float64, float64) float64 { return width } }

// setting is how a paragraph is set.
type setting struct {
	leading float64 // of the largest size in a line
	hang    float64 // indent of all lines but the first, mm
}

// Ascent and depth of the type, of its size: what the letters with their accents need.
const (
	ascent = 0.93
	depth  = 0.27
)

// words cuts spans into words; a word may have several styles.
func (r *ruler) words(spans []span) []word {
	var words []word
	var space style // of the last space
	open := false
	for _, s := range spans {
		for i, part := range strings.Split(tidy(s.text), " ") {
			if i > 0 {
				space, open = s.style, false
			}
			if part == "" {
				continue
			}
			if open {
				last := &words[len(words)-1]
				last.pieces = append(last.pieces, span{part, s.style})
				continue
			}
			words, open = append(words, word{pieces: []span{{part, s.style}}, space: r.gap(words, space, s.style)}), true
		}
	}
	return words
}

// gap is the space before the next word: the style's own between two words of it, so that they can be drawn as one,
// else that of the larger, so that two words do not run into one.
func (r *ruler) gap(before []word, space, next style) float64 {
	if len(before) == 0 {
		return 0
	}
	pieces := before[len(before)-1].pieces
	last := pieces[len(pieces)-1].style
	switch {
	case last == next:
		space = next
	case last.size > space.size:
		space = last
	case next.size > space.size:
		space = next
	}
	return r.width(" ", space)
}

func (r *ruler) widthOf(w word) float64 {
	sum := 0.0
	for _, p := range w.pieces {
		sum += r.width(p.text, p.style)
	}
	return sum
}

func (w word) size() float64 {
	size := 0.0
	for _, p := range w.pieces {
		size = max(size, p.style.size)
	}
	return size
}

// set breaks spans into lines. y is where the first line stands, for measures that differ from line to line.
func (r *ruler) set(spans []span, y float64, m measure, how setting) []line {
	words := r.words(spans)
	var lines []line
	for len(words) > 0 {
		indent := 0.0
		if len(lines) > 0 {
			indent = how.hang
		}
		height := words[0].size() * mmPerPoint * how.leading
		room := max(m(y, height)-indent, 1)
		var taken []word
		taken, words = r.fill(words, room)
		l := r.line(taken, indent, how.leading)
		lines, y = append(lines, l), y+l.height
	}
	return lines
}

// fill takes the words of one line: at least one, of which only a part where it is wider than the line.
func (r *ruler) fill(words []word, room float64) (taken, rest []word) {
	used := 0.0
	for i, w := range words {
		width := r.widthOf(w)
		if i > 0 {
			width += w.space
		}
		if used+width > room+1e-9 {
			if i > 0 {
				return words[:i], words[i:]
			}
			head, tail := r.cut(w, room)
			if len(tail.pieces) == 0 {
				return []word{head}, words[1:]
			}
			return []word{head}, append([]word{tail}, words[1:]...)
		}
		used += width
	}
	return words, nil
}

// cut parts a word that is wider than a line, after a mark of an address if there is one in reach.
func (r *ruler) cut(w word, room float64) (head, tail word) {
	head.space = w.space
	used := 0.0
	for i, p := range w.pieces {
		n, marked := 0, 0
		for n < len(p.text) {
			c, size := utf8.DecodeRuneInString(p.text[n:])
			step := r.width(string(c), p.style)
			if used+step > room && (n > 0 || i > 0) {
				if marked > 0 {
					n = marked
				}
				if n > 0 {
					head.pieces = append(head.pieces, span{p.text[:n], p.style})
				}
				tail.pieces = append([]span{{p.text[n:], p.style}}, w.pieces[i+1:]...)
				return head, tail
			}
			used, n = used+step, n+size
			if strings.ContainsRune("/-?&=", c) {
				marked = n
			}
		}
		head.pieces = append(head.pieces, p)
	}
	return head, tail
}

// line sets words side by side; neighbours in one style become one fragment, so that they are found as one.
func (r *ruler) line(words []word, indent, leading float64) line {
	l := line{}
	x, size := indent, 0.0
	for i, w := range words {
		for j, p := range w.pieces {
			space := ""
			if j == 0 && i > 0 {
				x, space = x+w.space, " "
			}
			width := r.width(p.text, p.style)
			l.add(fragment{x, width, p.text, p.style}, space, w.space)
			x, size = x+width, max(size, p.style.size)
		}
	}
	l.width, l.height = x, size*mmPerPoint*leading
	l.base = l.height/2 + size*mmPerPoint*(ascent-depth)/2
	return l
}

func (l *line) add(f fragment, space string, gap float64) {
	if n := len(l.fragments); n > 0 && l.fragments[n-1].style == f.style {
		last := &l.fragments[n-1]
		last.text += space + f.text
		last.width += f.width
		if space != "" {
			last.width += gap
		}
		return
	}
	l.fragments = append(l.fragments, f)
}

func heightOf(lines []line) float64 {
	h := 0.0
	for _, l := range lines {
		h += l.height
	}
	return h
}

func widest(lines []line) float64 {
	w := 0.0
	for _, l := range lines {
		w = max(w, l.width)
	}
	return w
}
