package archive

import (
	_ "embed"
	"fmt"
	"strings"

	"forayhall/internal/message"
)

//go:embed columns.txt
var columnsFile string

// A field is what a column means, by the word before the colon in columns.txt.
type field string

var headings = mustReadHeadings(columnsFile)

func mustReadHeadings(data string) map[field][]string {
	all := map[field][]string{}
	for i, line := range strings.Split(data, "\n") {
		if line == "" || strings.HasPrefix(line, "//") {
			continue
		}
		name, list, ok := strings.Cut(line, ": ")
		if !ok || all[field(name)] != nil {
			panic(fmt.Sprintf("archive: columns.txt line %d: no colon, or a field twice", i+1))
		}
		all[field(name)] = strings.Split(list, ", ")
	}
	return all
}

// layout is where the fields of a collection stand in a table, and which columns are no field.
type layout struct {
	header []string
	at     map[field]int
	extra  []int
}

func findLayout(t *Table) layout {
	l := layout{header: t.Header, at: map[field]int{}}
	taken := map[int]bool{}
	for f, names := range headings {
		if i, ok := t.Column(names...); ok {
			l.at[f] = i
			taken[i] = true
		}
	}
	for i := range t.Header {
		if !taken[i] {
			l.extra = append(l.extra, i)
		}
	}
	return l
}

func (l layout) has(f field) bool {
	_, ok := l.at[f]
	return ok
}

// cell is a cell without the white space around it, which includes the no-break space that web pages leave behind.
func (l layout) cell(row Row, f field) string {
	i, ok := l.at[f]
	if !ok {
		return ""
	}
	return strings.TrimSpace(row.Cells[i])
}

// heading is the column of a field as the file has it; where it has none, the heading that would be read.
func (l layout) heading(f field) string {
	if i, ok := l.at[f]; ok {
		return l.header[i]
	}
	return headings[f][0]
}

func (l layout) notes() []message.Text {
	if len(l.extra) == 0 {
		return nil
	}
	names := make([]string, len(l.extra))
	for i, at := range l.extra {
		names[i] = l.header[at]
	}
	return []message.Text{message.T("archive.note-extra", "columns", strings.Join(names, ", "))}
}
