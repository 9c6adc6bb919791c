package archive

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"forayhall/internal/taxon"
)

// ListBook is a list as a spreadsheet: the rows of its CSV on one sheet, and on another what it is.
type ListBook struct {
	List   string // the name of the first sheet
	About  string // and of the second
	Header []string
	Rows   [][]Cell
	Facts  [][2]string // of the second sheet: what, and what is so
}

// Cell is the text of one cell, which is that of the CSV whatever its kind.
type Cell struct {
	Text  string
	Runs  []taxon.Run // a name with what is italic in it; together they are Text
	Count bool        // of finds: a number, so that a spreadsheet can sort and add it
}

// Widths of columns are in characters of the sheet's own type; what is wider is read in the cell.
const (
	narrowestColumn = 6
	widestColumn    = 48
	measuredRows    = 400
)

// WriteListBook writes a spreadsheet whose header stays in view and whose columns can be filtered. Cells are escaped
// already, as the CSV is. The same book is the same bytes.
func WriteListBook(w io.Writer, b ListBook) error {
	f := excelize.NewFile()
	defer f.Close()
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter {
		return &sortedZip{Writer: zip.NewWriter(w), parts: map[string]*bytes.Buffer{}}
	})
	if err := f.SetSheetName(f.GetSheetName(0), b.List); err != nil {
		return fmt.Errorf("name the sheet of the list: %w", err)
	}
	if _, err := f.NewSheet(b.About); err != nil {
		return fmt.Errorf("add the sheet of what it is: %w", err)
	}
	if err := writeListSheet(f, b); err != nil {
		return fmt.Errorf("write the sheet of the list: %w", err)
	}
	if err := writeAboutSheet(f, b); err != nil {
		return fmt.Errorf("write the sheet of what it is: %w", err)
	}
	return f.Write(w)
}

// sortedZip writes the parts of a workbook by name when it is closed: they come in the order of a map.
type sortedZip struct {
	*zip.Writer
	parts map[string]*bytes.Buffer
}

func (z *sortedZip) Create(name string) (io.Writer, error) {
	z.parts[name] = new(bytes.Buffer)
	return z.parts[name], nil
}

func (z *sortedZip) Close() error {
	for _, name := range slices.Sorted(maps.Keys(z.parts)) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: zipTime})
		if err != nil {
			return err
		}
		if _, err := z.parts[name].WriteTo(w); err != nil {
			return err
		}
	}
	return z.Writer.Close()
}

func writeListSheet(f *excelize.File, b ListBook) error {
	heading, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	last, err := excelize.CoordinatesToCellName(max(len(b.Header), 1), len(b.Rows)+1)
	if err != nil {
		return err
	}
	if err := f.AutoFilter(b.List, "A1:"+last, nil); err != nil {
		return err
	}
	s, err := f.NewStreamWriter(b.List)
	if err != nil {
		return err
	}
	if err := s.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	for i, width := range b.widths() {
		if err := s.SetColWidth(i+1, i+1, width); err != nil {
			return err
		}
	}
	header := make([]any, len(b.Header))
	for i, h := range b.Header {
		header[i] = excelize.Cell{StyleID: heading, Value: h}
	}
	if err := s.SetRow("A1", header); err != nil {
		return err
	}
	for i, row := range b.Rows {
		if err := s.SetRow("A"+strconv.Itoa(i+2), values(row)); err != nil {
			return err
		}
	}
	return s.Flush()
}

func values(row []Cell) []any {
	cells := make([]any, len(row))
	for i, c := range row {
		cells[i] = c.value()
	}
	return cells
}

// value is a number only where it reads as its text does; an empty cell is none.
func (c Cell) value() any {
	if n, err := strconv.Atoi(c.Text); c.Count && err == nil && strconv.Itoa(n) == c.Text {
		return n
	}
	if c.Text == "" {
		return nil
	}
	if !c.slanted() {
		return c.Text
	}
	runs := make([]excelize.RichTextRun, len(c.Runs))
	for i, r := range c.Runs {
		runs[i] = excelize.RichTextRun{Text: r.Text, Font: &excelize.Font{Italic: r.Italic, Family: "Calibri", Size: 11}}
	}
	return runs
}

// slanted reports whether the runs are the text, and not all of them upright.
func (c Cell) slanted() bool {
	text, italic := "", false
	for _, r := range c.Runs {
		text, italic = text+r.Text, italic || r.Italic
	}
	return italic && text == c.Text
}

func (b ListBook) widths() []float64 {
	widths := make([]float64, len(b.Header))
	for i, h := range b.Header {
		longest := utf8.RuneCountInString(h) + 3 // the button of the filter
		for _, row := range b.Rows[:min(len(b.Rows), measuredRows)] {
			if i < len(row) {
				longest = max(longest, utf8.RuneCountInString(row[i].Text))
			}
		}
		widths[i] = float64(min(max(longest, narrowestColumn), widestColumn)) + 1
	}
	return widths
}

func writeAboutSheet(f *excelize.File, b ListBook) error {
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Alignment: &excelize.Alignment{Vertical: "top"}})
	if err != nil {
		return err
	}
	wrapped, err := f.NewStyle(&excelize.Style{Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	if err != nil {
		return err
	}
	s, err := f.NewStreamWriter(b.About)
	if err != nil {
		return err
	}
	if err := s.SetColWidth(1, 1, 26); err != nil {
		return err
	}
	if err := s.SetColWidth(2, 2, 90); err != nil {
		return err
	}
	for i, fact := range b.Facts {
		row := []any{excelize.Cell{StyleID: bold, Value: EscapeFormula(fact[0])}, excelize.Cell{StyleID: wrapped, Value: EscapeFormula(fact[1])}}
		if err := s.SetRow("A"+strconv.Itoa(i+1), row); err != nil {
			return err
		}
	}
	return s.Flush()
}
