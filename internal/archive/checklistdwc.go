package archive

import (
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// openArchive reads a Darwin Core archive by its meta.xml.
func openArchive(b *bundle, meta bundleFile, m *meter) (*list, error) {
	about, err := b.readMeta(meta, m)
	if err != nil {
		return nil, err
	}
	if err := b.checkCore(about.Core); err != nil {
		return nil, err
	}
	l := &list{kind: DarwinCoreArchive, name: b.name, limits: b.limits}
	b.readTitle(l, about.Metadata, m)
	core, err := b.metaFiles(about.Core, about.Core.ID)
	if err != nil {
		return nil, err
	}
	var commons []*dataFile
	for _, ext := range about.Extensions {
		if foldTerm(ext.RowType) != "vernacularname" {
			continue
		}
		files, err := b.metaFiles(ext, ext.CoreID)
		if err != nil {
			return nil, err
		}
		commons = append(commons, files...)
	}
	m.expect(append(core[:len(core):len(core)], commons...))
	for _, d := range core {
		if err := l.openDescribed(d, about.Core, m); err != nil {
			return nil, err
		}
		l.byName = l.byName || d.columns.pointByName()
		if !d.columns.namesTaxa() {
			return nil, fault.New(fault.Invalid, "checklist.no-name-terms", "file", d.name, "terms", terms(about.Core))
		}
	}
	for _, d := range commons {
		if err := l.openDescribed(d, metaFile{Encoding: d.declared}, m); err != nil {
			return nil, err
		}
	}
	l.each = eachUsage(core, m)
	if len(commons) > 0 {
		l.commons = eachVernacular(commons, m, colID)
	}
	return l, nil
}

// checkCore wants names. An archive of finds has names too, but says nothing about them.
func (b *bundle) checkCore(core metaFile) error {
	switch kind := foldTerm(core.RowType); kind {
	case "taxon", "darwincore", "":
	case "occurrence", "event", "materialsample", "materialentity", "organism":
		return fault.New(fault.Invalid, "checklist.finds", "file", b.name)
	default:
		return fault.New(fault.Invalid, "checklist.core-unknown", "file", b.name, "type", shorten(core.RowType))
	}
	if len(core.Files) == 0 {
		return fault.New(fault.Invalid, "checklist.meta-unreadable", "file", b.name, "member", "meta.xml")
	}
	return nil
}

// metaFiles are the files of one part of meta.xml, which may be cut into several of one form.
func (b *bundle) metaFiles(part metaFile, id *metaID) ([]*dataFile, error) {
	form, ok := part.form()
	if !ok {
		return nil, fault.New(fault.Invalid, "checklist.meta-signs", "file", b.name)
	}
	columns, width, err := b.metaColumns(part, id)
	if err != nil {
		return nil, err
	}
	var files []*dataFile
	for _, location := range part.Files {
		f, there := b.at(strings.TrimSpace(location))
		if !there {
			return nil, fault.New(fault.Invalid, "checklist.member-missing", "file", b.name, "member", location, "found", b.listed())
		}
		files = append(files, &dataFile{file: f, name: b.name + " · " + f.path, form: form, skip: max(part.Skip, 0), width: width,
			columns: columns, declared: part.Encoding, header: termsByColumn(part, width), limits: b.limits})
	}
	return files, nil
}

// metaColumns turns terms into columns. Taxon ids stand in the field taxonID or, where there is none, in the id of the
// core; an extension is bound by its coreid alone.
func (b *bundle) metaColumns(part metaFile, id *metaID) (c columnSet, width int, err error) {
	names, fallbacks := []string{}, map[string]string{}
	set := func(i int, term string) error {
		if i < 0 || i >= maxColumns {
			return fault.New(fault.Invalid, "archive.too-many-columns", "file", b.name, "limit", maxColumns)
		}
		for len(names) <= i {
			names = append(names, "")
		}
		if names[i] == "" || term != "" {
			names[i] = term
		}
		return nil
	}
	for _, f := range part.Fields {
		if f.Default != "" {
			fallbacks[foldTerm(f.Term)] = f.Default
		}
		if f.Index != nil {
			if err := set(*f.Index, f.Term); err != nil {
				return c, 0, err
			}
		}
	}
	c = findColumnSet(names, fallbacks)
	width = len(names)
	if id != nil && (!c[colID].there() || id == part.CoreID) {
		if err := set(id.Index, ""); err != nil {
			return c, 0, err
		}
		c[colID] = columnAt{at: id.Index}
		width = len(names)
	}
	if c[colName].at == c[colCommon].at && c[colName].at >= 0 {
		c[colCommon].at = -1
	}
	return c, width, nil
}

func termsByColumn(part metaFile, width int) []string {
	header := make([]string, width)
	for _, f := range part.Fields {
		if f.Index != nil && *f.Index >= 0 && *f.Index < width {
			header[*f.Index] = shortTerm(f.Term)
		}
	}
	for i, name := range header {
		if name == "" {
			header[i] = "id"
		}
	}
	return header
}

func terms(part metaFile) string {
	var names []string
	for _, f := range part.Fields {
		names = append(names, shortTerm(f.Term))
	}
	return strings.Join(names, ", ")
}

// shortTerm is a term without the vocabulary that it is of.
func shortTerm(term string) string { return term[strings.LastIndexAny(term, "/:#")+1:] }

// openDescribed finds the encoding of a file that meta.xml describes, and holds its first row against what it says.
func (l *list) openDescribed(d *dataFile, part metaFile, m *meter) error {
	s, err := d.look(m, part.Encoding)
	if err != nil {
		return err
	}
	l.setEncoding(d, s)
	first, err := d.firstRow(m)
	if err != nil || first == nil {
		return err
	}
	likeHeader := d.columns.likeHeader(first)
	switch {
	case d.skip == 0 && likeHeader:
		d.skip = 1
		l.notes = append(l.notes, message.T("checklist.note-header-found", "file", d.name))
	case d.skip == 1 && !likeHeader && d.columns[colName].at >= 0 && readsAsName(d.columns[colName].of(first)):
		l.notes = append(l.notes, message.T("checklist.note-first-row", "file", d.name, "name", shorten(d.columns[colName].of(first))))
	}
	return nil
}

func (l *list) setEncoding(d *dataFile, s survey) {
	d.encoding = s.decoder
	if s.encoding == Windows1252 && fold(d.declared) != "windows1252" && fold(d.declared) != "iso88591" {
		l.notes = append(l.notes, message.T("archive.note-encoding", "file", d.name, "encoding", s.encoding))
	}
}

// readTitle takes the title from the document that meta.xml names, or one that is called as such documents are. A list
// without one is still a list.
func (b *bundle) readTitle(l *list, location string, m *meter) {
	names := []string{location}
	if location == "" {
		names = []string{"eml.xml", "metadata.xml"}
	}
	for _, name := range names {
		f, there := b.at(name)
		if !there {
			continue
		}
		data, err := b.small(f, m)
		if err == nil {
			l.title, err = readEML(data)
		}
		if err != nil {
			l.notes = append(l.notes, message.T("checklist.note-about-unreadable", "file", b.name, "member", f.path))
		}
		return
	}
	if location != "" {
		l.notes = append(l.notes, message.T("checklist.note-about-missing", "file", b.name, "member", location))
	}
}
