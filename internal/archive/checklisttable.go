package archive

import (
	"strings"

	"forayhall/internal/fault"
)

// openTable reads one table whose first row names its columns.
func openTable(b *bundle, f bundleFile, name string, m *meter) (*list, error) {
	d := &dataFile{file: f, name: name, limits: b.limits}
	l := &list{kind: DarwinCoreTable, name: name, limits: b.limits}
	if err := l.openHeaded(d, rowForm{quote: '"'}, m); err != nil {
		return nil, err
	}
	switch {
	case d.columns[colFind].at >= 0:
		return nil, fault.New(fault.Invalid, "checklist.finds", "file", name)
	case !d.columns.namesTaxa():
		return nil, fault.New(fault.Invalid, "archive.column-missing", "file", name, "column", "scientificName",
			"found", shortenList(d.header))
	}
	l.byName = d.columns.pointByName()
	l.each = eachUsage([]*dataFile{d}, m)
	return l, nil
}

// openHeaded opens a file with a header. A delimiter that the form leaves open is found out.
func (l *list) openHeaded(d *dataFile, form rowForm, m *meter, fallbacks ...map[string]string) error {
	if isZip, err := d.startsWith("PK\x03\x04"); err != nil {
		return err
	} else if isZip {
		return d.openSheet(m)
	}
	m.expect([]*dataFile{d})
	s, err := d.look(m, "")
	if err != nil {
		return err
	}
	l.setEncoding(d, s)
	text := s.sampleText()
	if form.delim == 0 {
		form.delim = delimiter(text)
	}
	form.end = s.lineEnd()
	d.form, d.skip = form, 1
	header, err := d.firstRow(m)
	if err != nil {
		return err
	}
	return d.setHeader(header, fallbacks...)
}

// setHeader forgives empty cells at the right end, which spreadsheets write for columns once used.
func (d *dataFile) setHeader(header []string, fallbacks ...map[string]string) error {
	header = header[:filled(header)]
	if len(header) == 0 {
		return fault.New(fault.Invalid, "archive.empty", "file", d.name)
	}
	var defaults map[string]string
	if len(fallbacks) > 0 {
		defaults = fallbacks[0]
	}
	d.header, d.surplus = header, len(header)
	d.columns = findColumnSet(header, defaults)
	if d.columns[colName].at == d.columns[colCommon].at {
		d.columns[colCommon].at = -1
	}
	return nil
}

func (d *dataFile) openSheet(m *meter) error {
	r, err := d.file.open()
	if err != nil {
		return d.damaged(err)
	}
	defer r.Close()
	if d.table, err = ReadTable(m.silent(r), d.name); err != nil {
		return err
	}
	m.expect([]*dataFile{d})
	d.skip = 1
	return d.setHeader(d.table.Header)
}

func (d *dataFile) startsWith(sign string) (bool, error) {
	r, err := d.file.open()
	if err != nil {
		return false, d.damaged(err)
	}
	defer r.Close()
	head := make([]byte, len(sign))
	n, _ := r.Read(head)
	return string(head[:n]) == sign, nil
}

// firstRow is the first row that is not blank; nil where there is none.
func (d *dataFile) firstRow(m *meter) (first []string, err error) {
	copied := *d
	copied.skip = 0
	err = copied.each(newMeter(m.ctx, nil), func(_ int, cells []string) error {
		first = cells
		return errEnough
	})
	if err == errEnough {
		err = nil
	}
	return first, err
}

func shortenList(header []string) string {
	const most = 12
	if len(header) > most {
		return strings.Join(header[:most], ", ") + ", …"
	}
	return strings.Join(header, ", ")
}
