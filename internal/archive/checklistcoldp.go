package archive

import (
	"path"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// entities are the files of a Catalogue of Life data package by what they hold. The name of a file says that: case,
// hyphens and underscores do not count ("Data Files" of the description).
type entities map[string]bundleFile

func (b *bundle) entities() entities {
	found := entities{}
	for _, f := range b.files {
		switch strings.ToLower(path.Ext(f.path)) {
		case ".csv", ".tsv", ".tab", ".txt":
		default:
			continue
		}
		if strings.Contains(f.path, "/") {
			continue
		}
		if _, twice := found[fileStem(f.path)]; !twice {
			found[fileStem(f.path)] = f
		}
	}
	return found
}

func (e entities) has(name string) bool { _, there := e[name]; return there }

func fileStem(name string) string {
	return fold(strings.TrimSuffix(path.Base(name), path.Ext(name)))
}

// isPackage: a table called name or taxon alone may be anything.
func (e entities) isPackage() bool {
	return e.has("nameusage") || e.has("name") && (e.has("taxon") || e.has("synonym")) || e.has("taxon") && e.has("synonym")
}

// dataPackage reads the files of a package.
type dataPackage struct {
	*bundle
	entities
	list     *list
	meter    *meter
	refusals *refusals
	defaults map[string]map[string]string // by entity and column, folded
	names    map[string]*packageName
}

// packageName is a row of the file of names, to which taxa and synonyms point.
type packageName struct {
	text         string // name, author and rank, one behind the other
	name, author uint16
	line         int32
	used         bool
}

func openDataPackage(b *bundle, e entities, m *meter, r *refusals) (*list, error) {
	p := &dataPackage{bundle: b, entities: e, meter: m, refusals: r, names: map[string]*packageName{},
		list: &list{kind: CatalogueOfLife, name: b.name, limits: b.limits}}
	p.about()
	var err error
	if e.has("nameusage") {
		err = p.openUsages()
	} else {
		err = p.openParts()
	}
	if err == nil && e.has("vernacularname") {
		err = p.openVernaculars()
	}
	return p.list, err
}

// about reads the title and the default values. A list without them is still a list.
func (p *dataPackage) about() {
	p.readAbout("metadata.yaml", func(data []byte) (err error) {
		p.list.title, err = readYAMLTitle(data)
		return err
	})
	if _, there := p.at("metadata.yaml"); !there {
		p.list.notes = append(p.list.notes, message.T("checklist.note-about-missing", "file", p.bundle.name, "member", "metadata.yaml"))
	}
	p.defaults = map[string]map[string]string{}
	p.readAbout("default.yaml", func(data []byte) error {
		var read map[string]map[string]string
		if err := readYAML(data, &read); err != nil {
			return err
		}
		for entity, values := range read {
			folded := map[string]string{}
			for column, value := range values {
				folded[foldTerm(column)] = value
			}
			p.defaults[fold(entity)] = folded
		}
		return nil
	})
}

func (p *dataPackage) readAbout(name string, read func([]byte) error) {
	f, there := p.at(name)
	if !there {
		return
	}
	data, err := p.small(f, p.meter)
	if err == nil {
		err = read(data)
	}
	if err != nil {
		p.list.notes = append(p.list.notes, message.T("checklist.note-about-unreadable", "file", p.bundle.name, "member", f.path))
	}
}

// open opens the file of an entity and wants columns in it. Without a header the columns could be those of any version
// of the description, and that is not guessed.
func (p *dataPackage) open(entity string, want ...int) (*dataFile, error) {
	f := p.entities[entity]
	d := &dataFile{file: f, name: p.bundle.name + " · " + f.path, limits: p.bundle.limits}
	form := rowForm{delim: '\t', escapes: true}
	if strings.EqualFold(path.Ext(f.path), ".csv") {
		form = rowForm{quote: '"'}
	}
	if err := p.list.openHeaded(d, form, p.meter, p.defaults[entity]); err != nil {
		return nil, err
	}
	for _, column := range want {
		if d.columns[column].at < 0 {
			return nil, fault.New(fault.Invalid, "archive.column-missing", "file", d.name, "column",
				packageColumns[column], "found", shortenList(d.header))
		}
	}
	return d, nil
}

// packageColumns are the names that the description gives to the columns that must be there.
var packageColumns = map[int]string{colID: "ID", colName: "scientificName", colNameID: "nameID", colTaxonRef: "taxonID", colCommon: "name"}

// openUsages reads the one file that holds names, taxa and synonyms.
func (p *dataPackage) openUsages() error {
	d, err := p.open("nameusage", colID)
	if err != nil {
		return err
	}
	if !d.columns.namesTaxa() {
		return fault.New(fault.Invalid, "archive.column-missing", "file", d.name, "column", "scientificName", "found", shortenList(d.header))
	}
	p.list.byName = d.columns.pointByName()
	rows := eachUsage([]*dataFile{d}, p.meter)
	p.list.each = func(fn func(*usage) error) error {
		return rows(func(u *usage) error {
			u.pointAsUsage()
			return fn(u)
		})
	}
	return nil
}

// pointAsUsage: the parentID of a synonym is its accepted name ("NameUsage" of the description).
func (u *usage) pointAsUsage() {
	meaning := readStatus(u.status)
	if u.status == "" || meaning == "accepted" || meaning == "doubtful" || fold(u.status) == "barename" {
		u.acceptedID, u.accepted = "", ""
		return
	}
	if u.acceptedID == "" {
		u.acceptedID, u.parentID = u.parentID, ""
	}
}

// openParts reads names, taxa and synonyms from files of their own.
func (p *dataPackage) openParts() error {
	if !p.has("name") || !p.has("taxon") {
		missing := "name"
		if p.has("name") {
			missing = "taxon"
		}
		return fault.New(fault.Invalid, "checklist.member-missing", "file", p.bundle.name, "member", missing+".tsv", "found", p.listed())
	}
	names, err := p.open("name", colID)
	if err != nil {
		return err
	}
	taxa, err := p.open("taxon", colID, colNameID)
	if err != nil {
		return err
	}
	var synonyms *dataFile
	if p.has("synonym") {
		if synonyms, err = p.open("synonym", colTaxonRef, colNameID); err != nil {
			return err
		}
	}
	if err := p.readNames(names); err != nil {
		return err
	}
	p.list.each = func(fn func(*usage) error) error {
		if err := p.eachTaxon(taxa, fn); err != nil || synonyms == nil {
			return err
		}
		return p.eachSynonym(synonyms, fn)
	}
	p.list.after = func() { p.refuseBare(names) }
	return nil
}

func (p *dataPackage) readNames(d *dataFile) error {
	return eachUsage([]*dataFile{d}, p.meter)(func(u *usage) error {
		name := u.written()
		switch why := u.refused; {
		case len(p.names) == p.bundle.limits.rows:
			return fault.New(fault.Invalid, "checklist.too-many-rows", "file", d.name, "limit", p.bundle.limits.rows)
		case !why.IsZero():
			p.refusals.add(d.name, u.line, shorten(name), why)
		case u.id == "":
			p.refusals.add(d.name, u.line, shorten(name), message.T("checklist.refused-no-id"))
		case p.names[u.id] != nil:
			p.refusals.add(d.name, u.line, shorten(name), message.T("checklist.refused-id-twice", "id", u.id, "first", p.names[u.id].line))
		default:
			p.names[strings.Clone(u.id)] = u.asName(name)
		}
		return nil
	})
}

// asName keeps what a taxon or synonym needs of its name. A section's name is put together here, where its genus is.
func (u *usage) asName(name string) *packageName {
	if rank, _ := readRank(u.rank); rank == taxon.Section && u.ownGenus() != "" && !strings.Contains(name, " ") && name != u.ownGenus() {
		name = u.ownGenus() + " sect. " + name
	}
	name, author := name[:min(len(name), maxUint16)], u.author[:min(len(u.author), maxUint16)]
	return &packageName{text: name + author + u.rank, name: uint16(len(name)), author: uint16(len(author)), line: int32(u.line)}
}

const maxUint16 = 1<<16 - 1

func (p *dataPackage) eachTaxon(d *dataFile, fn func(*usage) error) error {
	return d.each(p.meter, func(line int, cells []string) error {
		u := d.usage(line, cells)
		u.status, u.acceptedID, u.accepted = "", "", ""
		p.nameUsage(u, d, cells)
		return fn(u)
	})
}

func (p *dataPackage) eachSynonym(d *dataFile, fn func(*usage) error) error {
	return d.each(p.meter, func(line int, cells []string) error {
		u := d.usage(line, cells)
		u.synonym, u.acceptedID, u.accepted, u.parentID, u.parent = true, d.columns[colTaxonRef].of(cells), "", "", ""
		u.id = "" // taxonID is that of the accepted name, and nothing points to a synonym's own
		p.nameUsage(u, d, cells)
		return fn(u)
	})
}

// nameUsage gives a taxon or synonym the name that it points to.
func (p *dataPackage) nameUsage(u *usage, d *dataFile, cells []string) {
	id := d.columns[colNameID].of(cells)
	u.name, u.author, u.rank, u.uninomial, u.epithet, u.infragenus, u.genericName, u.common = "", "", "", "", "", "", "", ""
	n := p.names[id]
	if n == nil {
		if u.refused.IsZero() {
			u.refused = message.T("checklist.refused-name-missing", "id", shorten(id))
		}
		u.name = id
		return
	}
	n.used = true
	u.name, u.author, u.rank = n.text[:n.name], n.text[n.name:n.name+n.author], n.text[int(n.name)+int(n.author):]
}

// refuseBare names what stands in the file of names and nowhere else ("bare name" of the description).
func (p *dataPackage) refuseBare(d *dataFile) {
	for _, n := range p.names {
		if !n.used {
			p.refusals.add(d.name, int(n.line), shorten(n.text[:n.name]), message.T("checklist.refused-bare"))
		}
	}
}

func (p *dataPackage) openVernaculars() error {
	d, err := p.open("vernacularname", colTaxonRef)
	if err != nil {
		return err
	}
	if d.columns[colCommon].at < 0 {
		d.columns[colCommon] = d.columns[colName]
	}
	if d.columns[colCommon].at < 0 {
		return fault.New(fault.Invalid, "archive.column-missing", "file", d.name, "column", "name", "found", shortenList(d.header))
	}
	p.list.commons = eachVernacular([]*dataFile{d}, p.meter, colTaxonRef)
	return nil
}
