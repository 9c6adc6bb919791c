package archive

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"forayhall/internal/fault"
)

// decode brings a text file to UTF-8. Text that is not valid UTF-8 and has no byte-order mark is taken for
// Windows-1252, which spreadsheet programs of Western Europe still write by default (common practice).
func decode(data []byte) (text, encoding string, err error) {
	data = bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	switch {
	case bytes.HasPrefix(data, []byte("\xFF\xFE")), bytes.HasPrefix(data, []byte("\xFE\xFF")):
		out, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(data)
		return string(out), UTF16, err
	case utf8.Valid(data):
		return string(data), UTF8, nil
	}
	out, err := charmap.Windows1252.NewDecoder().Bytes(data)
	return string(out), Windows1252, err
}

// breaks counts line ends: LF, CRLF and a CR alone.
func breaks(s string) int {
	return strings.Count(s, "\n") + strings.Count(s, "\r") - strings.Count(s, "\r\n")
}

// scanner reads RFC 4180 records. Unlike encoding/csv it ends lines at a lone CR, keeps line ends inside quotes as
// they are, and takes a quotation mark inside an unquoted cell (a plate 9" wide) as text.
type scanner struct {
	text  string
	pos   int
	line  int
	delim byte
	marks bool // a quotation mark was met in an unquoted cell
}

func newScanner(text string, delim byte) *scanner { return &scanner{text: text, line: 1, delim: delim} }

func (s *scanner) next(width int) (line int, cells []string, err error) {
	if s.pos >= len(s.text) {
		return 0, nil, io.EOF
	}
	line = s.line
	cells = make([]string, 0, max(width, 1))
	for {
		cell, err := s.cell()
		if err != nil {
			return 0, nil, err
		}
		cells = append(cells, cell)
		if s.endOfLine() {
			return line, cells, nil
		}
		s.pos++ // the delimiter
	}
}

// cell leaves pos on the delimiter, the line end or the end of the text.
func (s *scanner) cell() (string, error) {
	if s.pos < len(s.text) && s.text[s.pos] == '"' {
		return s.quoted()
	}
	rest := s.text[s.pos:]
	end := len(rest)
	for i := range len(rest) {
		c := rest[i]
		if c == s.delim || c == '\n' || c == '\r' {
			end = i
			break
		}
		if c == '"' {
			s.marks = true
		}
	}
	s.pos += end
	return rest[:end], nil
}

func (s *scanner) quoted() (string, error) {
	opened := s.line
	start := s.pos + 1
	end, doubled := start, false
	for {
		i := strings.IndexByte(s.text[end:], '"')
		if i < 0 {
			return "", fault.New(fault.Invalid, "archive.quote-open", "line", opened)
		}
		end += i
		if end+1 == len(s.text) || s.text[end+1] != '"' {
			break
		}
		end, doubled = end+2, true
	}
	cell := s.text[start:end]
	s.pos = end + 1
	s.line += breaks(cell)
	for s.pos < len(s.text) && s.text[s.pos] == ' ' {
		s.pos++
	}
	if s.pos < len(s.text) && !strings.ContainsRune("\r\n", rune(s.text[s.pos])) && s.text[s.pos] != s.delim {
		return "", fault.New(fault.Invalid, "archive.quote-text", "line", s.line)
	}
	if doubled {
		cell = strings.ReplaceAll(cell, `""`, `"`)
	}
	return cell, nil
}

func (s *scanner) endOfLine() bool {
	if s.pos >= len(s.text) {
		return true
	}
	switch s.text[s.pos] {
	case '\r':
		s.pos++
		if s.pos < len(s.text) && s.text[s.pos] == '\n' {
			s.pos++
		}
	case '\n':
		s.pos++
	default:
		return false
	}
	s.line++
	return true
}

const sampleRows = 50

// delimiter chooses what cuts the header into most columns that the rows under it bear out. Where nothing cuts the
// header, it chooses what leaves the rows whole; a comma if that decides nothing.
func delimiter(text string) byte {
	best, bestScore := byte(','), -1.0
	for _, d := range []byte{',', ';', '\t'} {
		if score := suits(text, d); score > bestScore {
			best, bestScore = d, score
		}
	}
	return best
}

// suits scores a delimiter. A header that is cut counts even where the rows are ragged, or a bad file would look like
// one wide column.
func suits(text string, delim byte) float64 {
	s := newScanner(text, delim)
	header, share, trust := sample(s)
	switch {
	case header == 0 && trust == 1: // nothing but delimiters
		return maxColumns
	case header < 2:
		return trust * share / 2
	}
	return trust * float64(header-1) * (0.5 + share)
}

// sample reads the first rows: the width of the header, the share of the rows that have it (a shorter row counts half),
// and how far quotation marks let it be trusted. A mark within a cell of the header may mean that the delimiter
// stands in a quoted cell.
func sample(s *scanner) (header int, share, trust float64) {
	agree, rows, trust := 0.0, 0.0, 1.0
	for rows < sampleRows {
		_, cells, err := s.next(header)
		if err != nil {
			if err != io.EOF {
				trust = min(float64(header), trust/2)
			}
			break
		}
		switch {
		case blank(cells):
			continue
		case header == 0:
			header = len(cells)
			if s.marks {
				trust = 0.1
			}
			continue
		case len(cells) == header:
			agree++
		case len(cells) > 1 && len(cells) < header:
			agree += 0.5
		}
		rows++
	}
	if rows == 0 {
		return header, 1, trust
	}
	return header, agree / rows, trust
}
