package archive

import (
	"bytes"
	"context"
	"io"
	"slices"
	"strconv"

	"forayhall/internal/fault"
)

// DarwinCore is the format of a Table that was read out of a Darwin Core archive.
const DarwinCore = "Darwin Core archive"

// ReadListTable reads a list of what was found: CSV, XLSX, or the core of a Darwin Core archive, of occurrences or of
// taxa, told apart by content; name is only for messages. Of an archive the terms are the header, and a term that has
// one value for all rows is a column too.
func ReadListTable(ctx context.Context, r io.Reader, name string) (*Table, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxFileBytes+1))
	if err != nil {
		return nil, err
	}
	if !bytes.HasPrefix(data, []byte("PK\x03\x04")) || len(data) > maxFileBytes {
		return ReadTable(bytes.NewReader(data), name)
	}
	m := newMeter(ctx, nil)
	b, err := openBundle(ChecklistFile(name, bytes.NewReader(data), int64(len(data))), defaultChecklistLimits, m)
	if err != nil {
		return nil, named(err, name)
	}
	if b.alone {
		return ReadTable(bytes.NewReader(data), name)
	}
	t, err := b.coreTable(m)
	if err != nil {
		return nil, named(err, name)
	}
	t.Name = name
	return t, nil
}

// listCores are the kinds of row that say what was found.
var listCores = []string{"occurrence", "taxon", "darwincore", ""}

func (b *bundle) coreTable(m *meter) (*Table, error) {
	meta, there := b.at("meta.xml")
	if !there {
		return nil, fault.New(fault.Invalid, "archive.list-no-meta", "file", b.name)
	}
	about, err := b.readMeta(meta, m)
	if err != nil {
		return nil, err
	}
	if kind := foldTerm(about.Core.RowType); !slices.Contains(listCores, kind) || len(about.Core.Files) == 0 {
		return nil, fault.New(fault.Invalid, "archive.list-core", "file", b.name, "type", shorten(about.Core.RowType))
	}
	files, err := b.metaFiles(about.Core, about.Core.ID)
	if err != nil {
		return nil, err
	}
	t := &Table{Format: DarwinCore, Encoding: UTF8}
	constants := t.setTerms(about.Core, files[0].header)
	m.expect(files)
	l := &list{kind: DarwinCoreArchive, name: b.name, limits: b.limits}
	for _, d := range files {
		if err := l.openDescribed(d, about.Core, m); err != nil {
			return nil, err
		}
		if err := t.addCore(d, constants, m); err != nil {
			return nil, err
		}
	}
	return t, nil
}

// setTerms makes the header of the terms, and gives the values that stand in meta.xml alone.
func (t *Table) setTerms(core metaFile, columns []string) (constants []string) {
	seen := map[string]bool{}
	add := func(term string) {
		name := term
		for n := 2; seen[fold(name)]; n++ {
			name = term + " " + strconv.Itoa(n)
		}
		seen[fold(name)] = true
		t.Header = append(t.Header, name)
	}
	for _, term := range columns {
		add(term)
	}
	for _, f := range core.Fields {
		if f.Index == nil && f.Default != "" {
			add(shortTerm(f.Term))
			constants = append(constants, f.Default)
		}
	}
	return constants
}

// addCore takes the rows of one file. Lines are counted through all files, so that each has a number of its own.
func (t *Table) addCore(d *dataFile, constants []string, m *meter) error {
	width, before := len(t.Header)-len(constants), 0
	if n := len(t.Rows); n > 0 {
		before = t.Rows[n-1].Line
	}
	return d.each(m, func(line int, cells []string) error {
		if blank(cells) {
			return nil
		}
		row := make([]string, width, len(t.Header))
		copy(row, cells)
		return t.add(before+line, append(row, constants...))
	})
}
