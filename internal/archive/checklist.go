package archive

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// ChecklistSink takes what a checklist holds. It hears nothing before the whole list was read once, so that only a
// broken disk, the end of waiting or its own error can stop it halfway; what it took then must be thrown away.
type ChecklistSink interface {
	Name(taxon.Row) error
	Common(taxon.CommonRow) error
}

// What a checklist may be.
const (
	DarwinCoreArchive = "dwca"
	CatalogueOfLife   = "coldp"
	DarwinCoreTable   = "table"
)

// ChecklistReport says what a checklist is and what became of its rows.
type ChecklistReport struct {
	Kind     string // DarwinCoreArchive, CatalogueOfLife or DarwinCoreTable
	Title    string // by its publisher; "" where it has none
	Version  string
	Issued   string // ISO date, maybe shortened
	Source   string // what every row handed out names as its source
	Accepted int    // current names handed out, without those of Wider
	Former   int
	Wider    int // genera, families and so on that stood only in columns of other rows
	Common   int
	Refused  []RefusedName // the first thousand, by file and row
	Reasons  []RefusedCount
	Notes    []message.Text
}

// RefusedName is a row that was not taken, and what to do about it.
type RefusedName struct {
	File string
	Line int
	Name string // as written
	Why  message.Text
}

// RefusedCount is how many rows were refused for one reason, most first.
type RefusedCount struct {
	Key   string // of the reason's text
	N     int
	First RefusedName
}

// RefusedRows is the number of all rows that were not taken.
func (r ChecklistReport) RefusedRows() int {
	n := 0
	for _, c := range r.Reasons {
		n += c.N
	}
	return n
}

// ReadChecklist reads a whole list of names: a Darwin Core archive, a Catalogue of Life data package, or a table with
// Darwin Core columns. It reads twice: first it looks at every row and finds what each points to, then it hands out.
// Of the rows it keeps no more than their names and ids. progress hears bytes and may be nil. An error means that
// nothing in the list may be used.
func ReadChecklist(ctx context.Context, src ChecklistSource, sink ChecklistSink, progress func(done, total int64)) (ChecklistReport, error) {
	return readChecklist(ctx, src, sink, progress, defaultChecklistLimits)
}

func readChecklist(ctx context.Context, src ChecklistSource, sink ChecklistSink, progress func(done, total int64),
	limits checklistLimits) (ChecklistReport, error) {
	r := &refusals{count: map[string]*RefusedCount{}, limit: limits.shown}
	m := newMeter(ctx, progress)
	list, err := openList(src, limits, m, r)
	if err != nil {
		return ChecklistReport{}, named(err, src.name)
	}
	report := ChecklistReport{Kind: list.kind, Title: list.title.Title, Version: list.title.Version,
		Issued: list.title.Issued, Source: list.title.source(bare(src.name))}
	err = handOut(list, report.Source, sink, m, r, &report)
	if err != nil {
		return ChecklistReport{}, named(err, src.name)
	}
	report.Refused, report.Reasons = r.sorted(), r.reasons()
	report.Notes = append(list.notes, r.notes...)
	m.finish()
	return report, nil
}

// named turns what the system says of a file into something to read.
func named(err error, file string) error {
	var system *fs.PathError
	if errors.As(err, &system) {
		e := fault.New(fault.Invalid, "checklist.damaged", "file", file, "member", system.Path)
		e.Cause = err
		return e
	}
	return err
}

// bare is a file's name without what it was packed with.
func bare(name string) string {
	for _, tail := range []string{".zip", ".tar.gz", ".tgz", ".tar", ".csv", ".tsv", ".txt", ".xlsx"} {
		if cut, ok := strings.CutSuffix(strings.ToLower(name), tail); ok && cut != "" {
			return name[:len(cut)]
		}
	}
	return name
}

// list is a checklist whose description was read. Both functions may be called again and again.
type list struct {
	name    string // in messages
	limits  checklistLimits
	kind    string
	title   title
	notes   []message.Text
	byName  bool // rows may point to others with their names
	each    func(fn func(*usage) error) error
	commons func(fn func(*vernacular) error) error
	after   func() // what is known only when every row was read once
}

// usage is one name as a list uses it, before anything is looked up.
type usage struct {
	file                                      *dataFile
	line                                      int
	id, name, author, rank, status            string
	acceptedID, accepted, parentID, parent    string
	uninomial, genericName, genus, infragenus string
	epithet, infra, cultivar, notho, common   string
	wider                                     [5]string // kingdom … family
	synonym                                   bool      // said by the file that it stands in
	provisional                               bool
	refused                                   message.Text
}

// vernacular is a common name with the id of what it names.
type vernacular struct {
	file               string
	line               int
	id, name, language string
	refused            message.Text
}

// openList finds out what was brought.
func openList(src ChecklistSource, limits checklistLimits, m *meter, r *refusals) (*list, error) {
	b, err := openBundle(src, limits, m)
	if err != nil {
		return nil, err
	}
	if b.alone {
		return openTable(b, b.files[0], b.name, m)
	}
	if meta, ok := b.at("meta.xml"); ok {
		return openArchive(b, meta, m)
	}
	entities := b.entities()
	if entities.isPackage() {
		return openDataPackage(b, entities, m, r)
	}
	return b.openOnly(m)
}

// openOnly reads a single table that was packed without a description (Darwin Core text guide, section 1: a file whose
// first row names its columns needs none).
func (b *bundle) openOnly(m *meter) (*list, error) {
	var tables []bundleFile
	for _, f := range b.files {
		switch strings.ToLower(path.Ext(f.path)) {
		case ".csv", ".tsv", ".tab", ".txt":
			tables = append(tables, f)
		}
	}
	if len(tables) == 1 && len(b.files) == 1 {
		return openTable(b, tables[0], b.name+" · "+tables[0].path, m)
	}
	return nil, fault.New(fault.Invalid, "checklist.several-files", "file", b.name, "members", b.listed())
}

// listed names the first files of a bundle, to say what was found.
func (b *bundle) listed() string {
	const most = 6
	var names []string
	for _, f := range b.files[:min(most, len(b.files))] {
		names = append(names, f.path)
	}
	if len(b.files) > most {
		names = append(names, "…")
	}
	return strings.Join(names, ", ")
}

// refusals gathers rows that are not taken.
type refusals struct {
	first []RefusedName
	limit int
	count map[string]*RefusedCount
	notes []message.Text
}

func (r *refusals) add(file string, line int, name string, why message.Text) {
	one := RefusedName{File: file, Line: line, Name: strings.Clone(name), Why: why}
	if len(r.first) < r.limit {
		r.first = append(r.first, one)
	}
	if r.count[why.Key] == nil {
		r.count[why.Key] = &RefusedCount{Key: why.Key, First: one}
	}
	r.count[why.Key].N++
}

func (r *refusals) note(key string, n int) {
	if n > 0 {
		r.notes = append(r.notes, message.T(key, "n", n))
	}
}

func (r *refusals) sorted() []RefusedName {
	slices.SortStableFunc(r.first, func(a, b RefusedName) int {
		return cmp.Or(strings.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line))
	})
	return r.first
}

func (r *refusals) reasons() []RefusedCount {
	all := make([]RefusedCount, 0, len(r.count))
	for _, c := range r.count {
		all = append(all, *c)
	}
	slices.SortFunc(all, func(a, b RefusedCount) int {
		return cmp.Or(cmp.Compare(b.N, a.N), strings.Compare(a.Key, b.Key))
	})
	return all
}
