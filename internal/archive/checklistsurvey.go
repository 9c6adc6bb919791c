package archive

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"

	"forayhall/internal/fault"
)

// sampleBytes is as much of a file as is looked at to find the delimiter.
const sampleBytes = 64 << 10

// survey is what one look through a file tells before its rows are read.
type survey struct {
	head     []byte
	valid    bool // as UTF-8
	encoding string
	decoder  encoding.Encoding // nil for UTF-8
}

// look reads a file through once. declared is the encoding that the file is said to have, "" where nothing is said.
// Text that is said to be UTF-8 and is not is taken for Windows-1252, as decode does.
func (d *dataFile) look(m *meter, declared string) (survey, error) {
	raw, err := d.file.open()
	if err != nil {
		return survey{}, d.damaged(err)
	}
	defer raw.Close()
	limit := &capped{from: m.reader(raw), left: d.file.size}
	s := survey{valid: true}
	if err := s.readAll(limit); err != nil {
		return survey{}, d.readFault(m, limit, err)
	}
	s.encoding, s.decoder = UTF8, nil
	switch {
	case bytes.HasPrefix(s.head, []byte("\xFF\xFE")), bytes.HasPrefix(s.head, []byte("\xFE\xFF")):
		s.encoding, s.decoder = UTF16, unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
	case declared != "" && fold(declared) != "utf8":
		if s.decoder, err = htmlindex.Get(declared); err != nil {
			return survey{}, fault.New(fault.Invalid, "checklist.encoding", "file", d.name, "encoding", declared)
		}
		s.encoding = declared
	case !s.valid:
		s.encoding, s.decoder = Windows1252, charmap.Windows1252
	}
	return s, nil
}

func (s *survey) readAll(r io.Reader) error {
	buf := make([]byte, 64<<10)
	held := 0 // bytes of a letter that a chunk cut
	for {
		n, err := r.Read(buf[held:])
		chunk := buf[:held+n]
		if room := sampleBytes - len(s.head); room > 0 {
			s.head = append(s.head, chunk[held:held+min(n, room)]...)
		}
		rest := tail(chunk)
		if s.valid && !utf8.Valid(chunk[:len(chunk)-rest]) {
			s.valid = false
		}
		held = copy(buf, chunk[len(chunk)-rest:])
		if errors.Is(err, io.EOF) {
			s.valid = s.valid && held == 0
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// tail is how many bytes at the end may be the beginning of a letter.
func tail(b []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(b); n++ {
		if c := b[len(b)-n]; utf8.RuneStart(c) {
			if c >= utf8.RuneSelf && !utf8.FullRune(b[len(b)-n:]) {
				return n
			}
			return 0
		}
	}
	return 0
}

// sampleText is the beginning of the file as text, cut at the end of a line.
func (s survey) sampleText() string {
	head := s.head
	if s.decoder != nil {
		head, _ = s.decoder.NewDecoder().Bytes(head)
	}
	text := strings.TrimPrefix(string(head), "\ufeff")
	if len(s.head) == sampleBytes {
		if i := strings.LastIndexByte(text, '\n'); i > 0 {
			text = text[:i+1]
		}
	}
	return text
}

// lineEnd is LF where the file has any, so that a stray CR in a cell ends no row; 0 leaves CR alone to be taken.
func (s survey) lineEnd() byte {
	if bytes.IndexByte(s.head, '\n') >= 0 {
		return '\n'
	}
	return 0
}
