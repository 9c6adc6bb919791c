package archive

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"slices"
	"time"
)

// PackageWriter writes an event package: a zip of JSON lines a table, blobs, and a manifest. The same content
// written in the same order gives the same bytes, so that two packages can be compared by hash.
type PackageWriter struct {
	zip  *zip.Writer
	meta Manifest
	seen map[string]bool
	open *member
	err  error // the first failure, which Close repeats
}

// The earliest time a zip can hold. Members carry it instead of a clock's.
var zipTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// NewPackageWriter takes schema, kind, society and event from meta; format and members are its own.
func NewPackageWriter(w io.Writer, meta Manifest) *PackageWriter {
	meta.Format, meta.Members = PackageFormat, []Member{}
	return &PackageWriter{zip: zip.NewWriter(w), meta: meta, seen: map[string]bool{}}
}

// Lines writes the rows of one table, until the next table or blob is begun.
type Lines struct {
	p *PackageWriter
	m *member
}

// member counts and hashes what goes into the zip.
type member struct {
	path string
	w    io.Writer
	sum  hash.Hash
	size int64
	rows int
}

func (m *member) Write(b []byte) (int, error) {
	n, err := m.w.Write(b)
	m.sum.Write(b[:n])
	m.size += int64(n)
	return n, err
}

// Table begins a table. Its rows end when the next table or blob is begun.
func (p *PackageWriter) Table(name string) (*Lines, error) {
	if !tableName.MatchString(name) {
		return nil, p.fail(fmt.Errorf("archive: %q is no name for a table", name))
	}
	m, err := p.begin(tablePath(name), zip.Deflate)
	return &Lines{p: p, m: m}, err
}

var errLinesOver = errors.New("archive: another table or blob was begun, or the package closed")

// Write adds one row, as one line of JSON.
func (l *Lines) Write(row any) error {
	if l.p.open != l.m || l.p.err != nil {
		return errors.Join(l.p.err, errLinesOver)
	}
	line, err := marshalPlain(row)
	if err == nil && len(line) > defaultLimits.line {
		err = errLongLine
	}
	if err == nil {
		_, err = l.m.Write(append(line, '\n'))
	}
	if err != nil {
		return l.p.fail(fmt.Errorf("archive: %s row %d: %w", l.m.path, l.m.rows+1, err))
	}
	l.m.rows++
	return nil
}

// Blob adds a blob under the SHA-256 of its content, in hexadecimal, and fails if that is not its hash. Photographs
// do not shrink, so they are stored as they are.
func (p *PackageWriter) Blob(hash string, r io.Reader) error {
	if !sha256Hex.MatchString(hash) {
		return p.fail(fmt.Errorf("archive: %q is no SHA-256", hash))
	}
	m, err := p.begin(blobPath(hash), zip.Store)
	if err != nil {
		return err
	}
	if _, err := io.Copy(m, r); err != nil {
		return p.fail(fmt.Errorf("archive: blob %s: %w", hash, err))
	}
	if got := hex.EncodeToString(m.sum.Sum(nil)); got != hash {
		return p.fail(fmt.Errorf("archive: blob %s has the content of %s", hash, got))
	}
	return nil
}

// Lost says that a blob which rows name could not be had.
func (p *PackageWriter) Lost(hash string) { p.meta.Lost = append(p.meta.Lost, hash) }

func (p *PackageWriter) begin(path string, method uint16) (*member, error) {
	p.finish()
	if p.err != nil {
		return nil, p.err
	}
	if p.seen[path] {
		return nil, p.fail(fmt.Errorf("archive: %s twice in one package", path))
	}
	w, err := p.zip.CreateHeader(&zip.FileHeader{Name: path, Method: method, Modified: zipTime})
	if err != nil {
		return nil, p.fail(err)
	}
	p.seen[path] = true
	p.open = &member{path: path, w: w, sum: sha256.New()}
	return p.open, nil
}

func (p *PackageWriter) finish() {
	if m := p.open; m != nil {
		p.meta.Members = append(p.meta.Members, Member{Path: m.path, Rows: m.rows, Size: m.size,
			SHA256: hex.EncodeToString(m.sum.Sum(nil))})
	}
	p.open = nil
}

// Members lists what was written and is whole.
func (p *PackageWriter) Members() []Member { return slices.Clone(p.meta.Members) }

func (p *PackageWriter) fail(err error) error {
	if p.err == nil {
		p.err = err
	}
	return err
}

// Close writes the manifest. After any failure it writes none, so that a broken package cannot be taken for a whole
// one.
func (p *PackageWriter) Close() error {
	p.finish()
	if p.err != nil {
		return p.err
	}
	p.fail(errors.New("archive: the package is closed"))
	var manifest bytes.Buffer
	enc := json.NewEncoder(&manifest)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(p.meta); err != nil {
		return err
	}
	w, err := p.zip.CreateHeader(&zip.FileHeader{Name: manifestName, Method: zip.Deflate, Modified: zipTime})
	if err != nil {
		return err
	}
	if _, err := w.Write(manifest.Bytes()); err != nil {
		return err
	}
	return p.zip.Close()
}
