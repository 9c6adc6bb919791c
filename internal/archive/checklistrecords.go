package archive

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strings"

	"golang.org/x/text/encoding"
	"golang.org/x/text/transform"

	"forayhall/internal/fault"
)

// dataFile is one file of rows with what is known of how it was written.
type dataFile struct {
	file     bundleFile
	name     string // in messages
	form     rowForm
	skip     int // rows of header
	width    int // cells that a row must have; 0 where short rows are taken as filled up with empty cells
	surplus  int // cells that a row may have; 0 where any number may stand behind the last
	columns  columnSet
	header   []string
	declared string            // encoding, where something is said
	encoding encoding.Encoding // nil for UTF-8
	table    *Table            // a spreadsheet, which is read at once
	limits   checklistLimits
}

// rowForm is how rows and cells are set apart.
type rowForm struct {
	delim   byte
	quote   byte // 0 where cells are never enclosed
	end     byte // of a row; 0 for LF, CRLF or CR, whichever is there
	escapes bool // \t, \n, \r and \\ stand for the character (Catalogue of Life data package, "Quoting and Escaping")
}

// each gives the rows after the header that are not blank. The cells are the caller's.
func (d *dataFile) each(m *meter, fn func(line int, cells []string) error) error {
	next, done, err := d.rows(m)
	if err != nil {
		return err
	}
	defer done()
	for n := 0; ; {
		line, cells, err := next(0)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if n++; n <= d.skip || blank(cells) {
			continue
		}
		if err := fn(line, cells); err != nil {
			return err
		}
	}
}

// rows opens the file from its start; done closes it.
func (d *dataFile) rows(m *meter) (next source, done func(), err error) {
	if d.table != nil {
		return d.sheetRows(m), func() {}, nil
	}
	raw, err := d.file.open()
	if err != nil {
		return nil, nil, d.damaged(err)
	}
	limit := &capped{from: m.reader(raw), left: d.file.size}
	var text io.Reader = limit
	if d.encoding != nil {
		text = transform.NewReader(text, d.encoding.NewDecoder())
	}
	s := &rowScanner{in: bufio.NewReaderSize(text, 64<<10), rowForm: d.form, line: 1, file: d.name, header: d.header}
	s.skipMark()
	return func(int) (int, []string, error) {
		line, cells, err := s.next()
		return line, cells, d.readFault(m, limit, err)
	}, func() { raw.Close() }, nil
}

func (d *dataFile) readFault(m *meter, limit *capped, err error) error {
	var own *fault.Error
	switch {
	case err == nil, errors.Is(err, io.EOF), errors.As(err, &own):
		return err
	case m.ctx.Err() != nil:
		return m.ctx.Err()
	case limit.over:
		return fault.New(fault.Invalid, "checklist.too-large", "file", d.name, "member", d.file.path)
	}
	return d.damaged(err)
}

func (d *dataFile) damaged(cause error) error {
	e := fault.New(fault.Invalid, "checklist.damaged", "file", d.name, "member", d.file.base())
	e.Cause = cause
	return e
}

// sheetRows gives the rows of a spreadsheet, whose header its reader took.
func (d *dataFile) sheetRows(m *meter) source {
	i := -1
	return func(int) (int, []string, error) {
		if i++; i == 0 {
			return 1, d.table.Header, nil
		}
		if i > len(d.table.Rows) {
			return 0, nil, io.EOF
		}
		row := d.table.Rows[i-1]
		m.count(int(d.file.size) / len(d.table.Rows))
		return row.Line, append(row.Cells[:len(row.Cells):len(row.Cells)], row.Surplus...), m.ctx.Err()
	}
}

// rowScanner reads records from a stream. It takes the same liberties as scanner, and has a limit on every cell, so
// that a quotation mark left open does not read a whole file into memory.
type rowScanner struct {
	rowForm
	in     *bufio.Reader
	line   int
	file   string
	header []string
	text   []byte
	ends   []int
}

// skipMark steps over a byte-order mark.
func (s *rowScanner) skipMark() {
	if head, _ := s.in.Peek(3); string(head) == "\xEF\xBB\xBF" {
		s.in.Discard(3)
	}
}

func (s *rowScanner) next() (line int, cells []string, err error) {
	s.text, s.ends, line = s.text[:0], s.ends[:0], s.line
	for {
		more, err := s.cell()
		if errors.Is(err, io.EOF) && len(s.ends) == 0 && len(s.text) == 0 {
			return 0, nil, io.EOF
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return 0, nil, err
		}
		s.ends = append(s.ends, len(s.text))
		if !more {
			return line, s.cells(), nil
		}
		if len(s.ends) > maxColumns {
			return 0, nil, fault.New(fault.Invalid, "archive.too-many-columns", "file", s.file, "limit", maxColumns)
		}
	}
}

// cells cuts one string, so that a row costs two pieces of memory however many cells it has.
func (s *rowScanner) cells() []string {
	all, start := string(s.text), 0
	cells := make([]string, len(s.ends))
	for i, end := range s.ends {
		cells[i], start = all[start:end], end
		if s.escapes && strings.IndexByte(cells[i], '\\') >= 0 {
			cells[i] = unescape(cells[i])
		}
	}
	return cells
}

var unescapes = strings.NewReplacer(`\t`, "\t", `\n`, "\n", `\r`, "\r", `\\`, `\`)

func unescape(s string) string { return unescapes.Replace(s) }

// cell reads up to the delimiter, which it reports as more, or to the end of the row.
func (s *rowScanner) cell() (more bool, err error) {
	start := len(s.text)
	c, err := s.in.ReadByte()
	if err == nil && s.quote != 0 && c == s.quote {
		if err := s.quoted(); err != nil {
			return false, err
		}
		return s.afterQuote()
	}
	for ; err == nil; c, err = s.in.ReadByte() {
		switch {
		case c == s.delim:
			return true, nil
		case s.endsRow(c):
			if s.end == '\n' && len(s.text) > start {
				s.text = s.text[:start+len(bytes.TrimSuffix(s.text[start:], []byte("\r")))]
			}
			return false, nil
		case c == 0:
			return false, fault.New(fault.Invalid, "archive.null", "file", s.file, "line", s.line)
		}
		if s.text = append(s.text, c); len(s.text)-start > maxCellBytes {
			return false, s.cellTooLarge(s.line)
		}
	}
	return false, err
}

func (s *rowScanner) cellTooLarge(line int) error {
	return fault.New(fault.Invalid, "archive.cell-too-large", "file", s.file, "line", line, "column", s.column(),
		"limit", maxCellBytes>>10)
}

// endsRow also steps over the LF of a CRLF.
func (s *rowScanner) endsRow(c byte) bool {
	switch {
	case s.end != 0 && c != s.end, s.end == 0 && c != '\n' && c != '\r':
		return false
	case c == '\r':
		if next, _ := s.in.Peek(1); len(next) == 1 && next[0] == '\n' {
			s.in.Discard(1)
		}
	}
	s.line++
	return true
}

// quoted reads the inside of an enclosed cell, in which the mark stands twice for itself.
func (s *rowScanner) quoted() error {
	opened, start := s.line, len(s.text)
	for {
		c, err := s.in.ReadByte()
		switch {
		case errors.Is(err, io.EOF):
			return fault.New(fault.Invalid, "checklist.quote-open", "file", s.file, "line", opened, "column", s.column())
		case err != nil:
			return err
		case c == s.quote:
			if next, _ := s.in.Peek(1); len(next) == 0 || next[0] != s.quote {
				return nil
			}
			s.in.Discard(1)
		case c == '\n':
			s.line++
		case c == 0:
			return fault.New(fault.Invalid, "archive.null", "file", s.file, "line", s.line)
		}
		if s.text = append(s.text, c); len(s.text)-start > maxCellBytes {
			return s.cellTooLarge(opened)
		}
	}
}

func (s *rowScanner) afterQuote() (more bool, err error) {
	for {
		c, err := s.in.ReadByte()
		switch {
		case err != nil:
			return false, err
		case c == s.delim:
			return true, nil
		case s.endsRow(c):
			return false, nil
		case c != ' ' && c != '\r':
			return false, fault.New(fault.Invalid, "checklist.quote-text", "file", s.file, "line", s.line, "column", s.column())
		}
	}
}

func (s *rowScanner) column() any {
	if len(s.ends) < len(s.header) {
		return s.header[len(s.ends)]
	}
	return len(s.ends) + 1
}
