// Package archive reads and writes the files that others use: the tables that recorders keep in spreadsheets, CSV
// for scripts, whole lists of names, and the package in which a whole event travels. It exists so that every reader
// of a foreign file has the same patience (encodings, delimiters, line ends) and the same limits.
//
// It must never open a file, know a database, match a name, or guess between two readings of a date or a number:
// what it cannot read is refused with the line, the column and what to do. It must never leave text out unsaid.
package archive

// Limits on what comes from outside. A national foray is about 1,500 rows of 30 columns; a society's whole
// paper archive stays far below these.
const (
	maxFileBytes  = 64 << 20
	maxSheetBytes = 256 << 20 // an XLSX unzipped, all parts together
	maxRows       = 200_000
	maxColumns    = 1_000
	maxCellBytes  = 64 << 10
)
