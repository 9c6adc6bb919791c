package archive

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/xuri/excelize/v2"

	"forayhall/internal/fault"
)

// readSheet reads the first sheet that has anything on it. The limits stop a small file that unzips to a huge one;
// both are equal, so that no part is put on disk.
func (t *Table) readSheet(data []byte) (err error) {
	// The library reads hostile input; a panic in it is a file that cannot be read, not an end of the program.
	defer func() {
		if p := recover(); p != nil {
			err = t.unreadable(fmt.Errorf("panic: %v", p))
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		UnzipSizeLimit: maxSheetBytes, UnzipXMLSizeLimit: maxSheetBytes,
		ShortDatePattern: "yyyy-mm-dd", LongDatePattern: "yyyy-mm-dd", LongTimePattern: "hh:mm:ss",
	})
	if err != nil {
		return t.unreadable(err)
	}
	defer f.Close()
	t.Format = XLSX
	for _, sheet := range f.GetSheetList() {
		if err := t.fillFrom(f, sheet); !isEmpty(err) {
			t.Sheet = sheet
			return err
		}
	}
	return fault.New(fault.Invalid, "archive.empty", "file", t.Name)
}

func (t *Table) unreadable(cause error) error {
	e := fault.New(fault.Invalid, "archive.not-a-spreadsheet", "file", t.Name)
	e.Cause = cause
	return e
}

func isEmpty(err error) bool { return err != nil && fault.From(err).Text.Key == "archive.empty" }

// fillFrom walks a sheet twice in step: once for what the cells hold, once for what a person sees in them.
func (t *Table) fillFrom(f *excelize.File, sheet string) error {
	held, err := f.Rows(sheet)
	if err != nil {
		return t.unreadable(err)
	}
	defer held.Close()
	seen, err := f.Rows(sheet)
	if err != nil {
		return t.unreadable(err)
	}
	defer seen.Close()
	props, err := f.GetWorkbookProps()
	if err != nil {
		return t.unreadable(err)
	}
	s := &sheetRows{held: held, seen: seen, from1904: props.Date1904 != nil && *props.Date1904, table: t}
	return t.fill(s.next)
}

type sheetRows struct {
	held, seen *excelize.Rows
	row        int
	from1904   bool
	table      *Table
}

func (s *sheetRows) next(int) (line int, cells []string, err error) {
	if !s.held.Next() || !s.seen.Next() {
		if err := s.held.Error(); err != nil {
			return 0, nil, s.table.unreadable(err)
		}
		return 0, nil, io.EOF
	}
	s.row++
	raw, err := s.held.Columns(excelize.Options{RawCellValue: true})
	if err != nil {
		return 0, nil, s.table.unreadable(err)
	}
	shown, err := s.seen.Columns()
	if err != nil {
		return 0, nil, s.table.unreadable(err)
	}
	if len(raw) > maxColumns {
		return 0, nil, fault.New(fault.Invalid, "archive.too-many-columns", "file", s.table.Name, "limit", maxColumns)
	}
	cells = make([]string, len(raw))
	for i := range raw {
		seen := raw[i]
		if i < len(shown) {
			seen = shown[i]
		}
		cells[i] = s.value(raw[i], seen)
		if strings.IndexByte(cells[i], 0) >= 0 {
			return 0, nil, fault.New(fault.Invalid, "archive.null", "file", s.table.Name, "line", s.row)
		}
	}
	return s.row, cells, nil
}

// value gives a date as ISO whatever order the sheet shows it in, a fraction in full (a coordinate shown as 54.1 is
// held as 54.1234), and everything else as a person sees it (0417, TRUE).
func (s *sheetRows) value(raw, seen string) string {
	number, err := strconv.ParseFloat(raw, 64)
	if raw == seen || err != nil {
		return seen
	}
	if _, err := strconv.ParseFloat(strings.ReplaceAll(seen, ",", ""), 64); err == nil {
		if number != float64(int64(number)) {
			return strconv.FormatFloat(number, 'g', 15, 64)
		}
		return seen
	}
	when, err := excelize.ExcelDateToTime(number, s.from1904)
	if err != nil || !showsDate(seen, when) {
		return seen
	}
	if when.Hour() == 0 && when.Minute() == 0 {
		return when.Format(time.DateOnly)
	}
	return when.Format("2006-01-02T15:04")
}

// showsDate reports whether a shown text is a rendering of a day: two of its day, month and year are in it.
func showsDate(seen string, when time.Time) bool {
	day, month, year := 0, 0, 0
	for _, word := range strings.FieldsFunc(strings.ToLower(seen), notWord) {
		n, err := strconv.Atoi(word)
		switch {
		case err != nil && len(word) >= 3 && strings.HasPrefix(strings.ToLower(when.Month().String()), word):
			month = 1
		case err != nil:
		case n == when.Year() || len(word) == 2 && n == when.Year()%100:
			year = 1
		case n == when.Day() && day == 0:
			day = 1
		case n == int(when.Month()):
			month = 1
		}
	}
	return day+month+year >= 2
}

func notWord(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }
