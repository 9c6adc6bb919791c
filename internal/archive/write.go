package archive

import (
	"bufio"
	"io"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"forayhall/internal/message"
)

// Escape says what is done with cells that a spreadsheet would run as a formula.
type Escape int

const (
	// Raw writes cells as they are, for archives and records.
	Raw Escape = iota
	// Formulas puts an apostrophe before them, for lists that people open.
	Formulas
)

// WriteCSV writes RFC 4180 with CRLF, UTF-8 without a byte-order mark. Rows may be shorter than the header.
func WriteCSV(w io.Writer, header []string, rows [][]string, escape Escape) error {
	b := bufio.NewWriter(w)
	writeRow(b, header, len(header), escape)
	for _, row := range rows {
		writeRow(b, row, len(header), escape)
	}
	return b.Flush()
}

// writeRow leaves write errors to Flush, which keeps the first.
func writeRow(b *bufio.Writer, cells []string, width int, escape Escape) {
	for i := range max(width, len(cells)) {
		if i > 0 {
			b.WriteByte(',')
		}
		cell := ""
		if i < len(cells) {
			cell = cells[i]
		}
		if escape == Formulas {
			cell = EscapeFormula(cell)
		}
		// A row of one empty cell would be a blank line, which readers skip.
		writeCell(b, cell, width == 1 && cell == "")
	}
	b.WriteString("\r\n")
}

func writeCell(b *bufio.Writer, cell string, always bool) {
	if !utf8.ValidString(cell) {
		cell = strings.ToValidUTF8(cell, "\uFFFD")
	}
	if !always && !needsQuotes(cell) {
		b.WriteString(cell)
		return
	}
	b.WriteByte('"')
	b.WriteString(strings.ReplaceAll(cell, `"`, `""`))
	b.WriteByte('"')
}

// needsQuotes goes further than RFC 4180: semicolons and tabs are quoted as well, so that no reader takes them for
// the delimiter, and so is what a reader would trim or take for a byte-order mark or another format.
func needsQuotes(cell string) bool {
	if cell == "" {
		return false
	}
	if strings.ContainsAny(cell, "\",;\uFEFF") || strings.ContainsFunc(cell, unicode.IsControl) {
		return true
	}
	return strings.TrimSpace(cell) != cell
}

// EscapeFormula puts an apostrophe before a cell that starts with = + - @, a tab or a CR, unless it is a plain
// negative number.
func EscapeFormula(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) || negative(cell) {
		return cell
	}
	return "'" + cell
}

func negative(cell string) bool {
	digits, ok := strings.CutPrefix(cell, "-")
	whole, part, point := strings.Cut(digits, ".")
	return ok && allDigits(whole) && (!point || allDigits(part))
}

func allDigits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// WriteOutcome writes what was refused, one problem a row, in the reader's language.
func WriteOutcome(w io.Writer, refused []Refused, printer message.Printer) error {
	rows := make([][]string, len(refused))
	for i, r := range refused {
		rows[i] = []string{strconv.Itoa(r.Line), r.Field, r.Value, printer.Text(r.Reason)}
	}
	return WriteCSV(w, []string{"line", "column", "value", "reason"}, rows, Formulas)
}
