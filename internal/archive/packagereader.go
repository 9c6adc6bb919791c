package archive

import (
	"archive/zip"
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"

	"forayhall/internal/fault"
)

// Package is an event package whose every member was found whole.
type Package struct {
	Manifest Manifest
	files    map[string]*zip.File
}

// packageLimits keep a small file from filling memory or disk. A national foray with 5,000 photographs is about
// 20 GB and 6,000 members; its published list is one line of a few MB. The index of
// half a million names is 70 MB.
type packageLimits struct {
	members  int
	manifest int64
	line     int
	table    int64
	blob     int64
	total    int64
	ratio    int64 // of a table's size to its compressed size; JSON lines reach about 30
}

var defaultLimits = packageLimits{members: 500_000, manifest: 128 << 20, line: 32 << 20, table: 4 << 30,
	blob: 512 << 20, total: 256 << 30, ratio: 400}

// OpenPackage reads the manifest first and then every member once, against its size, its hash and its number of
// rows. It unpacks nothing.
func OpenPackage(r io.ReaderAt, size int64) (*Package, error) {
	return openPackage(r, size, defaultLimits)
}

func openPackage(r io.ReaderAt, size int64, limits packageLimits) (*Package, error) {
	// A path that climbs out comes with an error of its own beside a usable reader; index names it.
	z, err := zip.NewReader(r, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		e := fault.New(fault.Invalid, "archive.package-not-one")
		e.Cause = err
		return nil, e
	}
	p := &Package{}
	if p.files, err = index(z, limits); err != nil {
		return nil, err
	}
	data, err := p.manifestBytes(limits)
	if err != nil {
		return nil, err
	}
	if p.Manifest, err = readManifest(data); err != nil {
		return nil, err
	}
	return p, p.verify(limits)
}

func index(z *zip.Reader, limits packageLimits) (map[string]*zip.File, error) {
	if len(z.File) > limits.members {
		return nil, fault.New(fault.Invalid, "archive.package-too-large", "member", manifestName)
	}
	files := make(map[string]*zip.File, len(z.File))
	var total uint64
	for _, f := range z.File {
		if err := checkPath(f.Name); err != nil {
			return nil, err
		}
		if files[f.Name] != nil {
			return nil, fault.New(fault.Invalid, "archive.package-twice", "member", f.Name)
		}
		files[f.Name] = f
		// Compared before it is added, since sizes in a forged zip may overflow the sum.
		if f.UncompressedSize64 > uint64(limits.total)-total {
			return nil, fault.New(fault.Invalid, "archive.package-too-large", "member", f.Name)
		}
		total += f.UncompressedSize64
	}
	return files, nil
}

func (p *Package) manifestBytes(limits packageLimits) ([]byte, error) {
	f := p.files[manifestName]
	if f == nil {
		return nil, fault.New(fault.Invalid, "archive.package-not-one")
	}
	if f.UncompressedSize64 > uint64(limits.manifest) {
		return nil, fault.New(fault.Invalid, "archive.package-too-large", "member", manifestName)
	}
	r, err := f.Open()
	if err != nil {
		return nil, damaged(manifestName, err)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, limits.manifest))
	if err != nil {
		return nil, damaged(manifestName, err)
	}
	return data, nil
}

// verify first compares the lists, which costs nothing, and then reads.
func (p *Package) verify(limits packageLimits) error {
	listed := map[string]bool{manifestName: true}
	for _, m := range p.Manifest.Members {
		listed[m.Path] = true
		f := p.files[m.Path]
		switch {
		case f == nil:
			return fault.New(fault.Invalid, "archive.package-missing", "member", m.Path)
		case f.UncompressedSize64 != uint64(m.Size):
			return damaged(m.Path, nil)
		case m.table() != "" && bomb(f, limits), m.blob() != "" && f.UncompressedSize64 > uint64(limits.blob):
			return fault.New(fault.Invalid, "archive.package-too-large", "member", m.Path)
		}
	}
	for name := range p.files {
		if !listed[name] {
			return fault.New(fault.Invalid, "archive.package-stranger", "member", name)
		}
	}
	for _, m := range p.Manifest.Members {
		if err := p.verifyMember(m, limits); err != nil {
			return err
		}
	}
	return nil
}

// bomb leaves small tables alone: few alike rows compress without bound.
func bomb(f *zip.File, limits packageLimits) bool {
	const small = 1 << 20
	size := f.UncompressedSize64
	return size > uint64(limits.table) || size > small && size/max(f.CompressedSize64, 1) > uint64(limits.ratio)
}

func (p *Package) verifyMember(m Member, limits packageLimits) error {
	r, err := p.files[m.Path].Open()
	if err != nil {
		return damaged(m.Path, err)
	}
	defer r.Close()
	sum := sha256.New()
	count := &lineCounter{limit: limits.line}
	into := io.Writer(sum)
	if m.table() != "" {
		into = io.MultiWriter(sum, count)
	}
	_, err = io.Copy(into, r)
	switch {
	case errors.Is(err, errLongLine):
		return fault.New(fault.Invalid, "archive.package-too-large", "member", m.Path)
	case err != nil:
		return damaged(m.Path, err)
	case hex.EncodeToString(sum.Sum(nil)) != m.SHA256:
		return fault.New(fault.Invalid, "archive.package-hash", "member", m.Path)
	case count.lines != m.Rows || count.length != 0:
		return damaged(m.Path, nil)
	}
	return nil
}

var errLongLine = errors.New("archive: a line is too long")

// lineCounter counts whole lines and stops at one that would not fit in memory.
type lineCounter struct{ lines, length, limit int }

func (c *lineCounter) Write(b []byte) (int, error) {
	whole := len(b)
	for {
		i := bytes.IndexByte(b, '\n')
		if i < 0 {
			c.length += len(b)
			return whole, c.check()
		}
		c.length += i
		if err := c.check(); err != nil {
			return 0, err
		}
		c.lines, c.length, b = c.lines+1, 0, b[i+1:]
	}
}

func (c *lineCounter) check() error {
	if c.length > c.limit {
		return errLongLine
	}
	return nil
}

// Tables lists the tables in the order in which they were written.
func (p *Package) Tables() []string { return p.list(Member.table) }

// Blobs lists the hashes of the blobs in the order in which they were written.
func (p *Package) Blobs() []string { return p.list(Member.blob) }

func (p *Package) list(name func(Member) string) []string {
	var names []string
	for _, m := range p.Manifest.Members {
		if n := name(m); n != "" {
			names = append(names, n)
		}
	}
	return names
}

// Each gives the rows of a table in order. raw is the caller's only until fn returns.
func (p *Package) Each(table string, fn func(line int, raw json.RawMessage) error) error {
	r, err := p.open(tablePath(table))
	if err != nil {
		return err
	}
	defer r.Close()
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, defaultLimits.line+1)
	for n := 1; lines.Scan(); n++ {
		if !json.Valid(lines.Bytes()) {
			return fault.New(fault.Invalid, "archive.package-row", "member", tablePath(table), "line", n)
		}
		if err := fn(n, lines.Bytes()); err != nil {
			return err
		}
	}
	if err := lines.Err(); err != nil {
		return damaged(tablePath(table), err)
	}
	return nil
}

// Blob opens a blob by its hash.
func (p *Package) Blob(hash string) (io.ReadCloser, error) {
	if !sha256Hex.MatchString(hash) {
		return nil, fault.New(fault.Invalid, "archive.package-missing", "member", hash)
	}
	return p.open(blobPath(hash))
}

func (p *Package) open(path string) (io.ReadCloser, error) {
	f := p.files[path]
	if f == nil {
		return nil, fault.New(fault.Invalid, "archive.package-missing", "member", path)
	}
	r, err := f.Open()
	if err != nil {
		return nil, damaged(path, err)
	}
	return r, nil
}
