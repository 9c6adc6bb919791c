package archive

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Table is a file of rows under a header, whatever it was written with.
type Table struct {
	Header    []string // trimmed, none empty, no two alike under folding
	Rows      []Row    // blank ones left out
	Encoding  string   // UTF8, UTF16 or Windows1252; "" for XLSX
	Delimiter rune     // ',', ';' or a tab; 0 for XLSX
	Format    string   // CSV or XLSX
	Sheet     string   // the sheet that was read, for XLSX
	Name      string   // what the file is called in messages
}

// Row is one row of a Table. Cells has as many entries as the header.
type Row struct {
	Line    int // physical line of the file (row of the sheet) at which the row starts, from 1
	Cells   []string
	Surplus []string // what stands to the right of the last header cell; nil when nothing does
}

// Formats and encodings that ReadTable tells apart.
const (
	CSV         = "CSV"
	XLSX        = "XLSX"
	UTF8        = "UTF-8"
	UTF16       = "UTF-16"
	Windows1252 = "Windows-1252"
)

// Notes are what the reader of a command should be told about how the file was read.
func (t *Table) Notes() []message.Text {
	if t.Encoding == Windows1252 {
		return []message.Text{message.T("archive.note-encoding", "file", t.Name, "encoding", t.Encoding)}
	}
	return nil
}

// Column finds the first of the names that the header has; case, accents and whatever is no letter or digit do
// not matter.
func (t *Table) Column(names ...string) (int, bool) {
	for _, name := range names {
		want := fold(name)
		for i, h := range t.Header {
			if fold(h) == want {
				return i, true
			}
		}
	}
	return 0, false
}

// ReadTable reads CSV or XLSX, told apart by content; name is only for messages.
func ReadTable(r io.Reader, name string) (*Table, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxFileBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > maxFileBytes {
		return nil, fault.New(fault.Invalid, "archive.file-too-large", "file", name, "limit", maxFileBytes>>20)
	}
	t := &Table{Name: name}
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		err = t.readSheet(data)
	case bytes.HasPrefix(data, []byte("\xD0\xCF\x11\xE0")):
		err = fault.New(fault.Invalid, "archive.old-spreadsheet", "file", name)
	default:
		err = t.readText(data)
	}
	if err != nil {
		return nil, err
	}
	return t, nil
}

func (t *Table) readText(data []byte) error {
	text, encoding, err := decode(data)
	if err != nil {
		return err
	}
	if at := strings.IndexByte(text, 0); at >= 0 {
		return fault.New(fault.Invalid, "archive.null", "file", t.Name, "line", 1+breaks(text[:at]))
	}
	delim := delimiter(text)
	t.Format, t.Encoding, t.Delimiter = CSV, encoding, rune(delim)
	return t.fill(newScanner(text, delim).next)
}

// source yields rows until io.EOF. width is how many cells to expect; the cells belong to the caller.
type source func(width int) (line int, cells []string, err error)

// fill takes the first row that is not blank as the header.
func (t *Table) fill(next source) error {
	for {
		line, cells, err := next(len(t.Header))
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		if blank(cells) {
			continue
		}
		if t.Header == nil {
			err = t.setHeader(line, cells)
		} else {
			err = t.add(line, cells)
		}
		if err != nil {
			return err
		}
	}
	if t.Header == nil {
		return fault.New(fault.Invalid, "archive.empty", "file", t.Name)
	}
	return nil
}

// setHeader forgives empty cells at the right end, which spreadsheets write for columns once used; what stands
// under them is surplus.
func (t *Table) setHeader(line int, cells []string) error {
	cells = cells[:filled(cells)]
	if len(cells) > maxColumns {
		return fault.New(fault.Invalid, "archive.too-many-columns", "file", t.Name, "limit", maxColumns)
	}
	seen := make(map[string]int, len(cells))
	for i, c := range cells {
		if err := t.checkCell(line, i, c); err != nil {
			return err
		}
		c = strings.TrimSpace(c)
		cells[i] = c
		if c == "" {
			return fault.New(fault.Invalid, "archive.header-empty", "file", t.Name, "line", line, "column", i+1)
		}
		if first, twice := seen[fold(c)]; twice {
			return fault.New(fault.Invalid, "archive.header-twice", "file", t.Name, "line", line,
				"name", c, "column", i+1, "first", first+1)
		}
		seen[fold(c)] = i
	}
	t.Header = slices.Clip(cells)
	return nil
}

func (t *Table) add(line int, cells []string) error {
	if len(t.Rows) == maxRows {
		return fault.New(fault.Invalid, "archive.too-many-rows", "file", t.Name, "limit", maxRows)
	}
	for i, c := range cells {
		if err := t.checkCell(line, i, c); err != nil {
			return err
		}
	}
	width := len(t.Header)
	row := Row{Line: line}
	if n := filled(cells); n > width {
		row.Surplus = slices.Clone(cells[width:n])
	}
	for len(cells) < width {
		cells = append(cells, "")
	}
	row.Cells = cells[:width:width]
	t.Rows = append(t.Rows, row)
	return nil
}

func (t *Table) checkCell(line, i int, cell string) error {
	if len(cell) <= maxCellBytes {
		return nil
	}
	return fault.New(fault.Invalid, "archive.cell-too-large", "file", t.Name, "line", line,
		"column", t.columnName(i), "limit", maxCellBytes>>10)
}

func (t *Table) columnName(i int) any {
	if i < len(t.Header) {
		return t.Header[i]
	}
	return i + 1
}

// filled is how many cells there are up to the last that is not blank.
func filled(cells []string) int {
	n := len(cells)
	for n > 0 && strings.TrimSpace(cells[n-1]) == "" {
		n--
	}
	return n
}

func blank(cells []string) bool { return filled(cells) == 0 }
