package archive

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"

	"forayhall/internal/fault"
)

func hashOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

var (
	photo  = bytes.Repeat([]byte("not a real photograph "), 100)
	owners = Manifest{Schema: 7, Society: Owner{"urn:s", "HFS"}, Event: Owner{"urn:e", "HB24"}}
)

func packed(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	p := NewPackageWriter(&b, owners)
	for _, table := range []string{"person", "collection"} {
		lines, err := p.Table(table)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 3 {
			if err := lines.Write(map[string]any{"id": i, "text": "cf. <b>\nline two"}); err != nil {
				t.Fatal(err)
			}
		}
	}
	if _, err := p.Table("slip"); err != nil {
		t.Fatal(err)
	}
	if err := p.Blob(hashOf(photo), bytes.NewReader(photo)); err != nil {
		t.Fatal(err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func openBytes(b []byte) (*Package, error) { return OpenPackage(bytes.NewReader(b), int64(len(b))) }

func TestAPackageComesBackWhole(t *testing.T) {
	p, err := openBytes(packed(t))
	if err != nil {
		t.Fatal(err)
	}
	if m := p.Manifest; m.Format != PackageFormat || m.Schema != 7 || m.Society != owners.Society || m.Event != owners.Event {
		t.Errorf("manifest %+v", m)
	}
	if got := p.Tables(); !reflect.DeepEqual(got, []string{"person", "collection", "slip"}) {
		t.Errorf("tables %q", got)
	}
	var rows []string
	err = p.Each("collection", func(line int, raw json.RawMessage) error {
		rows = append(rows, fmt.Sprint(line, " ", string(raw)))
		return nil
	})
	if err != nil || len(rows) != 3 || rows[2] != `3 {"id":2,"text":"cf. <b>\nline two"}` {
		t.Errorf("rows %q, %v", rows, err)
	}
	if err := p.Each("slip", func(int, json.RawMessage) error { return errors.New("a row") }); err != nil {
		t.Errorf("an empty table has %v", err)
	}
	r, err := p.Blob(p.Blobs()[0])
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if got, err := io.ReadAll(r); err != nil || !bytes.Equal(got, photo) {
		t.Errorf("blob of %d bytes, %v", len(got), err)
	}
}

func TestTheSameContentGivesTheSameBytes(t *testing.T) {
	if !bytes.Equal(packed(t), packed(t)) {
		t.Error("two packages of one event differ")
	}
}

func TestEachStopsAtTheCallersError(t *testing.T) {
	p, err := openBytes(packed(t))
	if err != nil {
		t.Fatal(err)
	}
	stop, calls := errors.New("stop"), 0
	err = p.Each("person", func(int, json.RawMessage) error { calls++; return stop })
	if err != stop || calls != 1 {
		t.Errorf("%v after %d", err, calls)
	}
	wantFault(t, p.Each("walk", nil), fault.Invalid, "archive.package-missing")
	_, err = p.Blob("../x")
	wantFault(t, err, fault.Invalid, "archive.package-missing")
}

func TestTheWriterRefusesWhatItCouldNotReadBack(t *testing.T) {
	tests := []struct {
		rule string
		do   func(p *PackageWriter) error
	}{
		{"a table name that is a path", func(p *PackageWriter) error { _, err := p.Table("../x"); return err }},
		{"a table twice", func(p *PackageWriter) error { p.Table("x"); _, err := p.Table("x"); return err }},
		{"a blob under another hash", func(p *PackageWriter) error { return p.Blob(hashOf(nil), strings.NewReader("x")) }},
		{"a blob that breaks off", func(p *PackageWriter) error { return p.Blob(hashOf(nil), errReader{io.ErrUnexpectedEOF}) }},
		{"a hash that is none", func(p *PackageWriter) error { return p.Blob("abc", strings.NewReader("x")) }},
		{"a row that is no JSON", func(p *PackageWriter) error { l, _ := p.Table("x"); return l.Write(func() {}) }},
		{"a row too long", func(p *PackageWriter) error {
			l, _ := p.Table("x")
			return l.Write(strings.Repeat("x", defaultLimits.line))
		}},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			var b bytes.Buffer
			p := NewPackageWriter(&b, owners)
			if err := tt.do(p); err == nil {
				t.Error("no error")
			}
			if err := p.Close(); err == nil {
				t.Error("the broken package was closed as if whole")
			}
			if _, err := openBytes(b.Bytes()); err == nil {
				t.Error("the broken package opens")
			}
		})
	}
}

func TestRowsOfATableEndWhenTheNextBegins(t *testing.T) {
	p := NewPackageWriter(io.Discard, owners)
	first, _ := p.Table("a")
	p.Table("b")
	if err := first.Write(1); !errors.Is(err, errLinesOver) {
		t.Errorf("got %v", err)
	}
}

// entry is a member of a zip made by hand.
type entry struct{ name, content string }

func zipped(entries ...entry) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, e := range entries {
		w, _ := z.Create(e.name)
		io.WriteString(w, e.content)
	}
	z.Close()
	return b.Bytes()
}

func manifestOf(format int, members ...Member) entry {
	m := owners
	m.Format, m.Members = format, members
	data, _ := json.Marshal(m)
	return entry{manifestName, string(data)}
}

func memberOf(e entry, rows int) Member {
	return Member{Path: e.name, Rows: rows, Size: int64(len(e.content)), SHA256: hashOf([]byte(e.content))}
}

func TestABadPackageIsRefused(t *testing.T) {
	table := entry{"tables/slip.jsonl", "{}\n{}\n"}
	good := memberOf(table, 2)
	wrongHash, wrongSize, wrongRows := good, good, good
	wrongHash.SHA256, wrongSize.Size, wrongRows.Rows = hashOf(nil), 5, 3
	climb := entry{"../evil", "x"}
	cut := entry{"tables/slip.jsonl", "{}\n{"}
	tests := []struct {
		rule string
		data []byte
		kind fault.Kind
		key  string
	}{
		{"no zip", []byte("hello"), fault.Invalid, "package-not-one"},
		{"no manifest", zipped(table), fault.Invalid, "package-not-one"},
		{"a manifest that is no JSON", zipped(entry{manifestName, "{"}), fault.Invalid, "package-damaged"},
		{"a manifest without format", zipped(entry{manifestName, "{}"}), fault.Invalid, "package-damaged"},
		{"a newer format, whatever else is in it", zipped(entry{manifestName, `{"format":2,"members":"elsewhere"}`}), fault.Refused, "package-newer"},
		{"a path that climbs out", zipped(manifestOf(1), climb), fault.Invalid, "package-path"},
		{"a path that climbs out, in the manifest", zipped(manifestOf(1, memberOf(climb, 0))), fault.Invalid, "package-path"},
		{"an absolute path", zipped(manifestOf(1), entry{"/etc/x", ""}), fault.Invalid, "package-path"},
		{"a path with a backslash", zipped(manifestOf(1), entry{`tables\..\x`, ""}), fault.Invalid, "package-path"},
		{"a member twice", zipped(manifestOf(1, good), table, table), fault.Invalid, "package-twice"},
		{"a member twice in the manifest", zipped(manifestOf(1, good, good), table), fault.Invalid, "package-twice"},
		{"a member that is not listed", zipped(manifestOf(1), table), fault.Invalid, "package-stranger"},
		{"a member of no known sort", zipped(manifestOf(1, memberOf(entry{"run.sh", ""}, 0)), entry{"run.sh", ""}), fault.Invalid, "package-stranger"},
		{"a listed member that is missing", zipped(manifestOf(1, good)), fault.Invalid, "package-missing"},
		{"another content", zipped(manifestOf(1, wrongHash), table), fault.Invalid, "package-hash"},
		{"another size", zipped(manifestOf(1, wrongSize), table), fault.Invalid, "package-damaged"},
		{"another number of rows", zipped(manifestOf(1, wrongRows), table), fault.Invalid, "package-damaged"},
		{"a last line without its end", zipped(manifestOf(1, memberOf(cut, 1)), cut), fault.Invalid, "package-damaged"},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			_, err := openBytes(tt.data)
			wantFault(t, err, tt.kind, "archive."+tt.key)
		})
	}
}

func TestARowThatIsNoJSONIsRefusedWithItsLine(t *testing.T) {
	table := entry{"tables/slip.jsonl", "{}\n{\n"}
	p, err := openBytes(zipped(manifestOf(1, memberOf(table, 2)), table))
	if err != nil {
		t.Fatal(err)
	}
	err = p.Each("slip", func(int, json.RawMessage) error { return nil })
	wantFault(t, err, fault.Invalid, "archive.package-row")
	if line := fault.From(err).Text.Args["line"]; line != 2 {
		t.Errorf("line %v", line)
	}
}

func TestSizeLimits(t *testing.T) {
	data := packed(t)
	bombed := entry{"tables/slip.jsonl", strings.Repeat("0", 8<<20) + "\n"}
	bomb := zipped(manifestOf(1, memberOf(bombed, 1)), bombed)
	tests := []struct {
		rule  string
		data  []byte
		limit func(l *packageLimits)
	}{
		{"members", data, func(l *packageLimits) { l.members = 3 }},
		{"size of the manifest", data, func(l *packageLimits) { l.manifest = 100 }},
		{"size of a table", data, func(l *packageLimits) { l.table = 50 }},
		{"size of a blob", data, func(l *packageLimits) { l.blob = 50 }},
		{"length of a line", data, func(l *packageLimits) { l.line = 10 }},
		{"all together", data, func(l *packageLimits) { l.total = 1000 }},
		{"a table that shrinks beyond belief", bomb, func(*packageLimits) {}},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			limits := defaultLimits
			tt.limit(&limits)
			_, err := openPackage(bytes.NewReader(tt.data), int64(len(tt.data)), limits)
			wantFault(t, err, fault.Invalid, "archive.package-too-large")
		})
	}
}

// Every single changed byte must be met with an error or leave the content as it was.
func TestAFlippedByteIsNeverTakenForContent(t *testing.T) {
	data := packed(t)
	want := contents(t, data)
	for i := range data {
		broken := bytes.Clone(data)
		broken[i] ^= 0x20
		p, err := openBytes(broken)
		if err != nil || p.Manifest.Schema != 7 || p.Manifest.Society != owners.Society || p.Manifest.Event != owners.Event {
			continue
		}
		if got := contents(t, broken); !reflect.DeepEqual(got, want) {
			t.Fatalf("byte %d changed the content unseen: %q", i, got)
		}
	}
}

func contents(t *testing.T, data []byte) []string {
	t.Helper()
	p, err := openBytes(data)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, table := range p.Tables() {
		err := p.Each(table, func(_ int, raw json.RawMessage) error {
			all = append(all, table+string(raw))
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return append(all, p.Blobs()...)
}
