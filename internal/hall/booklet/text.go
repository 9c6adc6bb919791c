package booklet

import (
	"strings"

	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/width"

	"forayhall/internal/printing"
)

// textColumns is how wide lines of plain text are: what mail programs show without breaking it anew.
const textColumns = 72

// plain sets paragraphs as text without any markup.
type plain struct{ b strings.Builder }

// line writes words, broken into lines that are as wide as the text at most; later ones begin further in. A word that is
// wider stands on a line of its own, so that an address stays whole.
func (p *plain) line(text string, indent, hang int) {
	used, first := 0, true
	for _, word := range strings.Fields(norm.NFC.String(text)) {
		w := columns(word)
		switch {
		case first:
			used, first = indent, false
			p.b.WriteString(strings.Repeat(" ", indent))
		case used+1+w > textColumns:
			used = indent + hang
			p.b.WriteString("\n" + strings.Repeat(" ", used))
		default:
			used++
			p.b.WriteByte(' ')
		}
		p.b.WriteString(word)
		used += w
	}
	if !first {
		p.b.WriteByte('\n')
	}
}

func (p *plain) gap() {
	if s := p.b.String(); s != "" && !strings.HasSuffix(s, "\n\n") {
		p.b.WriteByte('\n')
	}
}

func (p *plain) paragraph(text string) {
	if strings.TrimSpace(text) != "" {
		p.gap()
		p.line(text, 0, 0)
	}
}

// columns is how many of a terminal's columns a word takes.
func columns(word string) (n int) {
	for _, r := range word {
		switch width.LookupRune(r).Kind() {
		case width.EastAsianWide, width.EastAsianFullwidth:
			n += 2
		default:
			n++
		}
	}
	return n
}

// chapter writes what papers are made of; names stand without italics.
func (p *plain) chapter(c printing.Chapter) {
	if c.Title != "" {
		p.gap()
		p.gap()
		p.line(strings.ToUpper(c.Title), 0, 0)
	}
	p.paragraph(c.Why)
	p.items(c.Items)
}

func (p *plain) items(items []printing.Item) {
	for i, item := range items {
		switch x := item.(type) {
		case printing.Heading:
			p.gap()
			p.line(x.Text, 0, 0)
		case printing.Paragraph:
			p.paragraph(string(x))
		case printing.Row:
			if i > 0 && !listed(items[i-1]) {
				p.gap()
			}
			p.line(joined(" ", x.Label, joined(", ", x.Name.String(), x.Text)), 2, 2)
		case printing.Entry:
			if i > 0 && !listed(items[i-1]) {
				p.gap()
			}
			p.line(entryText(x), 2, 2)
		}
	}
}

// listed reports whether an item is one of a list, or stands right above one.
func listed(item printing.Item) bool {
	_, paragraph := item.(printing.Paragraph)
	return !paragraph
}

func entryText(e printing.Entry) string {
	text := joined(", ", e.Name.String(), e.Common)
	if e.Details != "" {
		text += " (" + e.Details + ")"
	}
	return joined(" ", text, e.Note)
}
