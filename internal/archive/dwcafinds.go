package archive

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"maps"
	"slices"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Finds is an archive of finds as it was read: one row an occurrence, and the rows that belong to it. Nothing in it was
// matched or changed.
type Finds struct {
	Name  string
	Title string // by its publisher; empty where it has none
	Rows  []FindRow
	Notes []message.Text
}

// FindRow is an occurrence by the local names of its terms; what is empty is left out.
type FindRow struct {
	Line            int // of the file of occurrences, counted through all of them
	ID              string
	Terms           map[string]string
	Identifications []map[string]string
	Measurements    []map[string]string
	Media           []map[string]string
}

// findsLimits keep an archive of finds to what a recorder's table may be, with its extensions.
var findsLimits = func() checklistLimits {
	l := defaultChecklistLimits
	l.member, l.total, l.rows = maxSheetBytes, maxSheetBytes, maxRows
	return l
}()

// mostParts is how many rows of extensions one archive may have.
const mostParts = 10 * maxRows

// IsArchive reports whether a file by its beginning is packed and no spreadsheet.
func IsArchive(data []byte) bool {
	switch {
	case bytes.HasPrefix(data, []byte("\x1f\x8b")), isTar(data[:min(len(data), 512)]):
		return true
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte("PK\x05\x06")):
		return !bytes.Contains(data, []byte("xl/workbook.xml"))
	}
	return false
}

// ReadFinds reads a Darwin Core archive whose core is occurrences, or events with occurrences under them, or a single table
// of finds that was packed without a description. An error means that nothing in it may be used.
func ReadFinds(ctx context.Context, src ChecklistSource) (*Finds, error) {
	m := newMeter(ctx, nil)
	b, err := openBundle(src, findsLimits, m)
	if err != nil {
		return nil, named(err, src.name)
	}
	f := &Finds{Name: b.name}
	if meta, there := b.at("meta.xml"); there {
		err = f.readArchive(b, meta, m)
	} else {
		err = f.readOnly(b)
	}
	if err != nil {
		return nil, named(err, src.name)
	}
	return f, nil
}

// readOnly reads a table that was packed alone.
func (f *Finds) readOnly(b *bundle) error {
	if len(b.files) != 1 || b.alone {
		return fault.New(fault.Invalid, "finds.no-meta", "file", b.name, "members", b.listed())
	}
	r, err := b.files[0].open()
	if err != nil {
		return b.damaged(b.files[0].path, err)
	}
	defer r.Close()
	t, err := ReadTable(r, b.files[0].path)
	if err != nil {
		return err
	}
	f.Notes = t.Notes()
	for _, row := range t.Rows {
		terms := map[string]string{}
		for i, cell := range row.Cells {
			if cell != "" {
				terms[termCased(t.Header[i])] = cell
			}
		}
		f.Rows = append(f.Rows, FindRow{Line: row.Line, ID: terms["occurrenceID"], Terms: terms})
	}
	return nil
}

// termCased gives a heading the case that its term has: downloads of GBIF write them all small.
func termCased(heading string) string {
	if term, known := casedTerms[fold(heading)]; known {
		return term
	}
	return heading
}

var casedTerms = func() map[string]string {
	by := map[string]string{}
	for _, names := range headings {
		for _, name := range names {
			if strings.ToLower(name) != name {
				by[fold(name)] = name
			}
		}
	}
	for _, term := range []string{"occurrenceID", "basisOfRecord", "occurrenceStatus", "scientificName", "coordinateUncertaintyInMeters", "institutionCode",
		"collectionCode", "catalogNumber", "eventID"} {
		by[fold(term)] = term
	}
	return by
}()

func (f *Finds) readArchive(b *bundle, meta bundleFile, m *meter) error {
	about, err := b.readMeta(meta, m)
	if err != nil {
		return err
	}
	kind := foldTerm(about.Core.RowType)
	switch kind {
	case "occurrence", "event":
	case "taxon":
		return fault.New(fault.Invalid, "finds.names", "file", b.name)
	default:
		return fault.New(fault.Invalid, "finds.core-unknown", "file", b.name, "type", shorten(about.Core.RowType))
	}
	l := &list{kind: DarwinCoreArchive, name: b.name, limits: b.limits}
	b.readTitle(l, about.Metadata, m)
	f.Title = l.title.Title
	core, err := readPart(b, l, about.Core, about.Core.ID, m, maxRows)
	if err != nil {
		return err
	}
	parts := map[string][]partRow{}
	for _, ext := range about.Extensions {
		rows, err := readPart(b, l, ext, ext.CoreID, m, mostParts)
		if err != nil {
			return err
		}
		parts[foldTerm(ext.RowType)] = append(parts[foldTerm(ext.RowType)], rows...)
	}
	f.Notes = append(f.Notes, l.notes...)
	if kind == "event" {
		core = underEvents(core, parts["occurrence"])
	}
	f.join(core, kind == "event", parts)
	return nil
}

// partRow is a row of one part with the id by which it joins.
type partRow struct {
	line  int
	id    string
	terms map[string]string
}

// readPart reads the files of one part of meta.xml, which may be cut into several. A term that stands without a column has
// its default in every row, and one with both where the cell is empty.
func readPart(b *bundle, l *list, part metaFile, id *metaID, m *meter, most int) ([]partRow, error) {
	if len(part.Files) == 0 {
		return nil, fault.New(fault.Invalid, "checklist.meta-unreadable", "file", b.name, "member", "meta.xml")
	}
	files, err := b.metaFiles(part, id)
	if err != nil {
		return nil, err
	}
	m.expect(files)
	var rows []partRow
	before := 0
	for _, d := range files {
		if err := l.openDescribed(d, part, m); err != nil {
			return nil, err
		}
		err := d.each(m, func(line int, cells []string) error {
			if len(rows) == most {
				return fault.New(fault.Invalid, "archive.too-many-rows", "file", d.name, "limit", most)
			}
			rows = append(rows, partRowOf(before+line, part, id, cells))
			return nil
		})
		if err != nil {
			return nil, err
		}
		if n := len(rows); n > 0 {
			before = rows[n-1].line
		}
	}
	return rows, nil
}

func partRowOf(line int, part metaFile, id *metaID, cells []string) partRow {
	row := partRow{line: line, terms: map[string]string{}}
	for _, f := range part.Fields {
		value := ""
		if f.Index != nil && *f.Index >= 0 && *f.Index < len(cells) {
			value = cells[*f.Index]
		}
		if value == "" {
			value = f.Default
		}
		if value != "" {
			row.terms[shortTerm(f.Term)] = value
		}
	}
	switch {
	case id != nil && id.Index >= 0 && id.Index < len(cells):
		row.id = cells[id.Index]
	case id == nil:
		row.id = row.terms["occurrenceID"]
	}
	return row
}

// underEvents gives occurrences what their events say where they do not say it themselves; eventID is the event's.
func underEvents(events, occurrences []partRow) []partRow {
	of := map[string]partRow{}
	for _, e := range events {
		of[e.id] = e
	}
	for i, o := range occurrences {
		terms := maps.Clone(of[o.id].terms)
		if terms == nil {
			terms = map[string]string{}
		}
		maps.Copy(terms, o.terms)
		if o.id != "" {
			terms["eventID"] = o.id
		}
		occurrences[i].terms = terms
	}
	return occurrences
}

// extensionTo names the parts whose rows belong to an occurrence.
var extensionTo = map[string]func(*FindRow) *[]map[string]string{
	"identification":            func(r *FindRow) *[]map[string]string { return &r.Identifications },
	"measurementorfact":         func(r *FindRow) *[]map[string]string { return &r.Measurements },
	"extendedmeasurementorfact": func(r *FindRow) *[]map[string]string { return &r.Measurements },
	"multimedia":                func(r *FindRow) *[]map[string]string { return &r.Media },
}

// join puts the rows of extensions under their occurrences. Under an event they say which by a column of their own.
func (f *Finds) join(core []partRow, events bool, parts map[string][]partRow) {
	at := map[string]int{}
	for i, c := range core {
		id := c.id
		if events || id == "" {
			id = c.terms["occurrenceID"]
		}
		f.Rows = append(f.Rows, FindRow{Line: c.line, ID: id, Terms: c.terms})
		if id != "" {
			if _, twice := at[id]; !twice {
				at[id] = i
			}
		}
	}
	loose := 0
	for _, kind := range slices.Sorted(maps.Keys(parts)) {
		into := extensionTo[kind]
		if into == nil {
			if kind != "occurrence" && len(parts[kind]) > 0 {
				f.Notes = append(f.Notes, message.T("finds.note-part", "kind", kind, "n", len(parts[kind])))
			}
			continue
		}
		for _, row := range parts[kind] {
			id := row.id
			if events {
				id = row.terms["occurrenceID"]
			}
			i, there := at[id]
			if !there {
				loose++
				continue
			}
			list := into(&f.Rows[i])
			*list = append(*list, row.terms)
		}
	}
	if loose > 0 {
		f.Notes = append(f.Notes, message.T("finds.note-loose", "n", loose))
	}
}

// WriteDigest writes what the finds say, always the same for the same finds.
func (f *Finds) WriteDigest(w io.Writer) error { return json.NewEncoder(w).Encode(f.Rows) }
