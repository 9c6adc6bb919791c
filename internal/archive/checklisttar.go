package archive

import (
	"archive/tar"
	"compress/gzip"
	"errors"
	"io"
	"path"
	"strings"

	"forayhall/internal/fault"
)

// tarSource is a tar that is read from its start for each file in it, since nothing may be put on disk.
type tarSource struct {
	file   io.ReaderAt
	size   int64
	zipped bool
}

func isTar(head []byte) bool { return len(head) >= 262 && string(head[257:262]) == "ustar" }

func (t tarSource) open() (io.ReadCloser, error) {
	raw := io.NewSectionReader(t.file, 0, t.size)
	if !t.zipped {
		return io.NopCloser(raw), nil
	}
	return gzip.NewReader(raw)
}

// fillTar reads the whole tar once, because its true size is known only then.
func (b *bundle) fillTar(t tarSource, m *meter) error {
	raw, err := t.open()
	if err != nil {
		return b.damaged(b.name, err)
	}
	defer raw.Close()
	limit := b.limits.total
	if grown := max(t.size, 1) * b.limits.ratio; t.zipped && grown/b.limits.ratio == max(t.size, 1) {
		limit = min(limit, max(grown, b.limits.small))
	}
	count := &capped{from: m.silent(raw), left: limit}
	members := tar.NewReader(count)
	for n := 0; ; n++ {
		h, err := members.Next()
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case count.over:
			return b.tooLarge(b.name)
		case err != nil && m.ctx.Err() != nil:
			return m.ctx.Err()
		case errors.Is(err, tar.ErrHeader) && n == 0:
			return fault.New(fault.Invalid, "checklist.not-tar", "file", b.name)
		case err != nil && !errors.Is(err, tar.ErrInsecurePath):
			return b.damaged(b.name, err)
		case n >= b.limits.members:
			return fault.New(fault.Invalid, "checklist.too-many-members", "file", b.name, "limit", b.limits.members)
		}
		if err := b.addTarred(t, h); err != nil {
			return err
		}
	}
}

func (b *bundle) addTarred(t tarSource, h *tar.Header) error {
	name := strings.TrimPrefix(h.Name, "./")
	switch h.Typeflag {
	case tar.TypeDir:
		if name = strings.TrimSuffix(name, "/"); name == "" || name == "." {
			return nil
		}
		return b.checkMember(name)
	case tar.TypeXGlobalHeader:
		return nil
	case tar.TypeReg:
	default:
		return fault.New(fault.Invalid, "checklist.link", "file", b.name, "member", h.Name)
	}
	if isLitter(name) {
		return b.checkMember(name)
	}
	original := h.Name
	return b.add(bundleFile{path: name, size: h.Size, open: func() (io.ReadCloser, error) { return t.openMember(original) }})
}

func (t tarSource) openMember(name string) (io.ReadCloser, error) {
	raw, err := t.open()
	if err != nil {
		return nil, err
	}
	members := tar.NewReader(raw)
	for {
		h, err := members.Next()
		if err != nil && !errors.Is(err, tar.ErrInsecurePath) {
			raw.Close()
			return nil, err
		}
		if path.Clean(h.Name) == path.Clean(name) && h.Typeflag == tar.TypeReg {
			return struct {
				io.Reader
				io.Closer
			}{members, raw}, nil
		}
	}
}

// capped ends a stream that is larger than it may be.
type capped struct {
	from io.Reader
	left int64
	over bool
}

var errTooLarge = errors.New("archive: larger than it may be")

func (c *capped) Read(p []byte) (int, error) {
	n, err := c.from.Read(p)
	if c.left -= int64(n); c.left < 0 {
		c.over = true
		return 0, errTooLarge
	}
	return n, err
}
