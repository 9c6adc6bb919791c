// Package knowledge reads the tables that ship into immutable indexes. It never accepts a fact without a source,
// and says in which file and line a table is wrong.
package knowledge

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"forayhall/internal/taxon"
)

const (
	namesFile  = "names.csv"
	commonFile = "common_names.csv"
)

var nameColumns = []string{"name", "author", "rank", "status", "accepted", "parent", "section", "reason", "disputed", "source"}

var commonColumns = []string{"name", "common", "language", "source"}

// ReadNames builds the index of names from names.csv and common_names.csv.
func ReadNames(files fs.FS) (*taxon.Index, error) {
	names, err := readNameRows(files)
	if err != nil {
		return nil, err
	}
	commons, err := readCommonRows(files)
	if err != nil {
		return nil, err
	}
	index, err := taxon.NewIndex(names, commons)
	if err != nil {
		return nil, withFiles(err)
	}
	return index, nil
}

func readNameRows(files fs.FS) ([]taxon.Row, error) {
	var rows []taxon.Row
	err := eachRow(files, namesFile, nameColumns, func(line int, cell func(string) string) {
		rows = append(rows, taxon.Row{
			Line: line, Name: cell("name"), Author: cell("author"), Rank: taxon.Rank(cell("rank")),
			Status: cell("status"), Accepted: cell("accepted"), Parent: cell("parent"), Section: cell("section"),
			Reason: cell("reason"), Disputed: cell("disputed"), Source: cell("source"),
		})
	})
	return rows, err
}

func readCommonRows(files fs.FS) ([]taxon.CommonRow, error) {
	var rows []taxon.CommonRow
	err := eachRow(files, commonFile, commonColumns, func(line int, cell func(string) string) {
		rows = append(rows, taxon.CommonRow{
			Line: line, Name: cell("name"), Common: cell("common"), Language: cell("language"), Source: cell("source"),
		})
	})
	return rows, err
}

// eachRow reads a table by the names of its columns, in whatever order they stand.
func eachRow(files fs.FS, file string, columns []string, take func(line int, cell func(string) string)) error {
	f, err := files.Open(file)
	if err != nil {
		return fmt.Errorf("read %s: %w", file, err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	at, err := columnPlaces(r, columns)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		line, _ := r.FieldPos(0)
		take(line, func(column string) string { return strings.TrimSpace(record[at[column]]) })
	}
}

func columnPlaces(r *csv.Reader, columns []string) (map[string]int, error) {
	header, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("line 1: %w", err)
	}
	at := map[string]int{}
	for i, name := range header {
		at[strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))] = i
	}
	for _, name := range columns {
		if _, there := at[name]; !there {
			return nil, fmt.Errorf("line 1: the column %q is missing", name)
		}
	}
	return at, nil
}

// withFiles says the file of each row that is wrong.
func withFiles(err error) error {
	many, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return inFile(err)
	}
	var out []error
	for _, e := range many.Unwrap() {
		out = append(out, inFile(e))
	}
	return errors.Join(out...)
}

func inFile(err error) error {
	var row *taxon.RowError
	switch {
	case !errors.As(err, &row):
		return err
	case row.Common:
		return fmt.Errorf("%s: %w", commonFile, err)
	}
	return fmt.Errorf("%s: %w", namesFile, err)
}
