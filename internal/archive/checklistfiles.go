package archive

import (
	"archive/zip"
	"errors"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"forayhall/internal/fault"
)

// ChecklistSource is where a checklist lies: in one file, or in a folder that was unpacked.
type ChecklistSource struct {
	name   string
	file   io.ReaderAt
	size   int64
	folder fs.FS
}

// ChecklistFile is a checklist in one file: a table, a zip, or a tar with or without gzip. The content tells which;
// name is only for messages.
func ChecklistFile(name string, r io.ReaderAt, size int64) ChecklistSource {
	return ChecklistSource{name: path.Base(name), file: r, size: size}
}

// ChecklistFolder is a checklist unpacked into a folder. The file system must not follow links out of the folder, as
// that of os.Root does not.
func ChecklistFolder(name string, folder fs.FS) ChecklistSource {
	return ChecklistSource{name: path.Base(name), folder: folder}
}

// checklistLimits keep a small file from filling memory or hours. The largest list of all life has about six million
// names in 3 GB; the fungi are about a tenth of that.
type checklistLimits struct {
	members int
	member  int64
	total   int64
	ratio   int64 // of a file's size to its compressed size; lists of names reach about 20
	small   int64 // files up to this size may have any ratio
	about   int64 // meta.xml, EML and YAML
	rows    int
	shown   int // refused rows kept
}

var defaultChecklistLimits = checklistLimits{members: 100_000, member: 4 << 30, total: 8 << 30, ratio: 300,
	small: 1 << 20, about: 16 << 20, rows: 2_000_000, shown: 1_000}

// bundle is the files of a checklist, without the litter that systems add. A file that stands alone is a bundle of one.
type bundle struct {
	name   string
	alone  bool
	files  []bundleFile
	seen   map[string]bool
	total  int64
	limits checklistLimits
}

type bundleFile struct {
	path string
	size int64
	open func() (io.ReadCloser, error)
}

func (f bundleFile) base() string { return path.Base(f.path) }

// add looks at every path and size before anything is read.
func (b *bundle) add(f bundleFile) error {
	if err := b.checkMember(f.path); err != nil {
		return err
	}
	switch {
	case f.size < 0 || f.size > b.limits.member || f.size > b.limits.total-b.total:
		return b.tooLarge(f.path)
	case b.seen[f.path]:
		return fault.New(fault.Invalid, "checklist.member-twice", "file", b.name, "member", f.path)
	case len(b.files) == b.limits.members:
		return fault.New(fault.Invalid, "checklist.too-many-members", "file", b.name, "limit", b.limits.members)
	}
	b.total += f.size
	b.seen[f.path] = true
	b.files = append(b.files, f)
	return nil
}

func (b *bundle) checkMember(name string) error {
	if !fs.ValidPath(name) || strings.ContainsAny(name, `\:`) {
		return fault.New(fault.Invalid, "checklist.path", "file", b.name, "member", name)
	}
	return nil
}

func (b *bundle) tooLarge(member string) error {
	return fault.New(fault.Invalid, "checklist.too-large", "file", b.name, "member", member)
}

// isLitter tells what file managers leave behind.
func isLitter(name string) bool {
	return slices.ContainsFunc(strings.Split(name, "/"), func(part string) bool {
		return part == "__MACOSX" || strings.HasPrefix(part, "._") || part == ".DS_Store" || strings.EqualFold(part, "Thumbs.db")
	})
}

// at finds a file by its path below the folder of the list; a name in another case is taken when no file has it exactly.
func (b *bundle) at(name string) (bundleFile, bool) {
	name = path.Clean(name)
	for _, f := range b.files {
		if f.path == name {
			return f, true
		}
	}
	for _, f := range b.files {
		if strings.EqualFold(f.path, name) {
			return f, true
		}
	}
	return bundleFile{}, false
}

// lift takes the list out of the one folder that it may have been packed with.
func (b *bundle) lift() {
	for {
		folder := ""
		for i, f := range b.files {
			first, _, deep := strings.Cut(f.path, "/")
			if !deep || i > 0 && first != folder {
				return
			}
			folder = first
		}
		if folder == "" {
			return
		}
		for i := range b.files {
			b.files[i].path = strings.TrimPrefix(b.files[i].path, folder+"/")
		}
	}
}

// openBundle tells the containers apart by their first bytes.
func openBundle(src ChecklistSource, limits checklistLimits, m *meter) (*bundle, error) {
	b := &bundle{name: src.name, limits: limits, seen: map[string]bool{}}
	err := b.fill(src, m)
	if err != nil {
		return nil, err
	}
	if len(b.files) == 0 {
		return nil, fault.New(fault.Invalid, "checklist.empty", "file", b.name)
	}
	b.lift()
	slices.SortFunc(b.files, func(a, c bundleFile) int { return strings.Compare(a.path, c.path) })
	return b, nil
}

func (b *bundle) fill(src ChecklistSource, m *meter) error {
	if src.folder != nil {
		return b.fillFolder(src.folder)
	}
	head := make([]byte, 512)
	n, err := src.file.ReadAt(head, 0)
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	switch head = head[:n]; {
	case strings.HasPrefix(string(head), "PK\x03\x04"), strings.HasPrefix(string(head), "PK\x05\x06"):
		return b.fillZip(src)
	case strings.HasPrefix(string(head), "\x1f\x8b"):
		return b.fillTar(tarSource{src.file, src.size, true}, m)
	case isTar(head):
		return b.fillTar(tarSource{src.file, src.size, false}, m)
	case strings.HasPrefix(string(head), "\xD0\xCF\x11\xE0"):
		return fault.New(fault.Invalid, "archive.old-spreadsheet", "file", b.name)
	}
	b.alone = true
	return b.add(bundleFile{path: "list", size: src.size, open: func() (io.ReadCloser, error) {
		return io.NopCloser(io.NewSectionReader(src.file, 0, src.size)), nil
	}})
}

func (b *bundle) fillZip(src ChecklistSource) error {
	// A path that climbs out comes with an error of its own beside a usable reader; add names it.
	z, err := zip.NewReader(src.file, src.size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return b.damaged(b.name, err)
	}
	if len(z.File) > b.limits.members {
		return fault.New(fault.Invalid, "checklist.too-many-members", "file", b.name, "limit", b.limits.members)
	}
	if slices.ContainsFunc(z.File, func(f *zip.File) bool { return f.Name == "xl/workbook.xml" }) {
		b.alone = true
		b.files = []bundleFile{{path: "list", size: src.size, open: func() (io.ReadCloser, error) {
			return io.NopCloser(io.NewSectionReader(src.file, 0, src.size)), nil
		}}}
		return nil
	}
	for _, f := range z.File {
		if err := b.addZipped(f); err != nil {
			return err
		}
	}
	return nil
}

func (b *bundle) addZipped(f *zip.File) error {
	name := f.Name
	if f.Mode().IsDir() {
		return b.checkMember(strings.TrimSuffix(name, "/"))
	}
	if !f.Mode().IsRegular() {
		return fault.New(fault.Invalid, "checklist.link", "file", b.name, "member", name)
	}
	if isLitter(name) {
		return b.checkMember(name)
	}
	size := f.UncompressedSize64
	if size > uint64(b.limits.member) || size > uint64(b.limits.small) && size/max(f.CompressedSize64, 1) > uint64(b.limits.ratio) {
		return b.tooLarge(name)
	}
	return b.add(bundleFile{path: name, size: int64(size), open: f.Open})
}

func (b *bundle) fillFolder(folder fs.FS) error {
	return fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		switch {
		case d.IsDir():
			return nil
		case !d.Type().IsRegular():
			return fault.New(fault.Invalid, "checklist.link", "file", b.name, "member", name)
		case isLitter(name):
			return nil
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		return b.add(bundleFile{path: name, size: info.Size(), open: func() (io.ReadCloser, error) { return folder.Open(name) }})
	})
}

func (b *bundle) damaged(member string, cause error) error {
	e := fault.New(fault.Invalid, "checklist.damaged", "file", b.name, "member", member)
	e.Cause = cause
	return e
}
