package keeping_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/media"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// pictured is a hall with a find, its photograph and that of its slip.
func pictured(t *testing.T, d store.Dialect) (g *halltest.Ground, find, slip foray.ID) {
	t.Helper()
	g = halltest.New(t, storetest.New(t, d))
	must[desk.Logged](t)(desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete", Outside: true}}))
	add := func(kind string, n int) foray.ID {
		return must[photographs.Added](t)(photographs.Add(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), photographs.Upload{Kind: kind, Subject: "1"},
			bytes.NewReader(halltest.Picture(t, n)))).Photograph
	}
	return g, add(photographs.OfFind, 1), add(photographs.OfSlip, 2)
}

func freshWithBlobs(t *testing.T, d store.Dialect) *hall.Hall {
	t.Helper()
	h := fresh(t, d)
	blobs, err := media.OpenFolder(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	h.Blobs = blobs
	return h
}

func bytesOf(t *testing.T, h *hall.Hall, who access.Actor, scope access.Scope, id foray.ID) []byte {
	t.Helper()
	o, err := photographs.Open(ctx, h, who, scope, id, photographs.Full)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Body.Close()
	return must[[]byte](t)(io.ReadAll(o.Body))
}

func TestPhotographsComeAlongToTheOtherDatabase(t *testing.T) {
	for _, way := range [][2]store.Dialect{{store.SQLite, store.Postgres}, {store.Postgres, store.SQLite}} {
		t.Run(string(way[0]), func(t *testing.T) {
			g, find, slip := pictured(t, way[0])
			backed := freshWithBlobs(t, way[1])
			done := must[keeping.Restored](t)(restore(backed, backup(t, g.Hall)))
			brought := freshWithBlobs(t, way[1])
			packed := packageOf(t, g.Hall, g.Machine, g.Scope)
			in := must[keeping.Imported](t)(bringIn(brought, packed))
			if done.Blobs != 4 || in.Blobs != 4 {
				t.Errorf("restored %d and brought in %d files, want 4", done.Blobs, in.Blobs)
			}
			for _, h := range []*hall.Hall{backed, brought} {
				for _, id := range []foray.ID{find, slip} {
					if !bytes.Equal(bytesOf(t, h, g.As[access.Desk], g.Scope, id), bytesOf(t, g.Hall, g.As[access.Desk], g.Scope, id)) {
						t.Error("a picture is another there")
					}
				}
				if c := must[store.Checked](t)(keeping.Check(ctx, h)); len(c.Broken) > 0 {
					t.Errorf("broken: %+v", c.Broken)
				}
			}
			p := must[*archive.Package](t)(openBytes(packed))
			if !strings.Contains(p.Manifest.About, "private") || !strings.Contains(p.Manifest.About, "slips") {
				t.Errorf("the package does not say that it holds private pictures: %q", p.Manifest.About)
			}
		})
	}
}

// TestALostPictureIsReportedAndDoesNotKeepTheRestFromBeingSaved: a disk that lost one file must not cost the backup.
func TestALostPictureIsReportedAndDoesNotKeepTheRestFromBeingSaved(t *testing.T) {
	g, _, _ := pictured(t, store.SQLite)
	var shas []string
	if err := g.Blobs.Walk(ctx, func(b media.Blob) error { shas = append(shas, b.SHA256); return nil }); err != nil {
		t.Fatal(err)
	}
	if err := g.Blobs.Delete(ctx, shas[0]); err != nil {
		t.Fatal(err)
	}
	g.Hall.Blobs = damaging{g.Hall.Blobs, shas[1]}
	broken := must[store.Checked](t)(keeping.Check(ctx, g.Hall)).Broken
	if len(broken) != 2 || broken[0].Rule != "photographs" {
		t.Errorf("one is gone and one damaged; reported: %+v", broken)
	}
	var b bytes.Buffer
	packed := must[keeping.Packed](t)(keeping.Backup(ctx, g.Hall, &b))
	if packed.Lost != 2 || packed.Blobs != 2 {
		t.Errorf("packed %+v", packed)
	}
	h := freshWithBlobs(t, store.SQLite)
	must[keeping.Restored](t)(restore(h, b.Bytes()))
	if broken := must[store.Checked](t)(keeping.Check(ctx, h)).Broken; len(broken) != 2 {
		t.Errorf("after the restore: %+v", broken)
	}
}

// damaging changes one byte of one blob.
type damaging struct {
	media.Blobs
	sha string
}

func (d damaging) Get(c context.Context, sha string) (io.ReadCloser, int64, error) {
	r, n, err := d.Blobs.Get(c, sha)
	if err != nil || sha != d.sha {
		return r, n, err
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	data[n/2] ^= 1
	return io.NopCloser(bytes.NewReader(data)), n, err
}

// TestAForgedPackageBringsNoFileThatItsRowsDoNotName: nor one that is no picture, nor rows without their picture.
func TestAForgedPackageBringsNoFileThatItsRowsDoNotName(t *testing.T) {
	g, _, _ := pictured(t, store.SQLite)
	packed := packageOf(t, g.Hall, g.Machine, g.Scope)
	for name, c := range map[string]struct {
		leave int // how many of the files are left out
		more  []byte
	}{"one too many": {0, must[media.Prepared](t)(media.Prepare(ctx, bytes.NewReader(halltest.Picture(t, 9)))).Full.Data}, "one too few": {1, nil},
		"not a picture": {0, []byte("<!doctype html><script>alert(1)</script>")}, "no file at all": {4, nil}} {
		h := freshWithBlobs(t, store.SQLite)
		if _, err := bringIn(h, repacked(t, packed, c.leave, c.more)); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
		nothingIn(t, h)
	}
	bare := fresh(t, store.SQLite)
	if _, err := bringIn(bare, packed); !fault.Is(err, fault.Refused) {
		t.Errorf("an installation without a place for photographs: %v", err)
	}
}

// repacked is a package with the same rows and other files.
func repacked(t *testing.T, b []byte, leave int, more []byte) []byte {
	t.Helper()
	p := must[*archive.Package](t)(openBytes(b))
	var out bytes.Buffer
	w := archive.NewPackageWriter(&out, p.Manifest)
	for _, table := range p.Tables() {
		lines := must[*archive.Lines](t)(w.Table(table))
		if err := p.Each(table, func(_ int, raw json.RawMessage) error { return lines.Write(raw) }); err != nil {
			t.Fatal(err)
		}
	}
	for _, sha := range p.Blobs()[leave:] {
		r := must[io.ReadCloser](t)(p.Blob(sha))
		if err := w.Blob(sha, r); err != nil {
			t.Fatal(err)
		}
		r.Close()
	}
	if more != nil {
		sum := sha256.Sum256(more)
		if err := w.Blob(hex.EncodeToString(sum[:]), bytes.NewReader(more)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
