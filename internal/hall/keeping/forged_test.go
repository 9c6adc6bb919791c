package keeping_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// forged is a package whose hashes are right and whose rows or manifest were changed.
func forged(t testing.TB, b []byte, manifest func(*archive.Manifest), row func(table string, row map[string]any) []map[string]any) []byte {
	t.Helper()
	p := must[*archive.Package](t)(openBytes(b))
	m := p.Manifest
	manifest(&m)
	var out bytes.Buffer
	w := archive.NewPackageWriter(&out, m)
	for _, table := range p.Tables() {
		lines := must[*archive.Lines](t)(w.Table(table))
		err := p.Each(table, func(_ int, raw json.RawMessage) error {
			decoder := json.NewDecoder(bytes.NewReader(raw))
			decoder.UseNumber()
			var one map[string]any
			if err := decoder.Decode(&one); err != nil {
				return err
			}
			for _, r := range row(table, one) {
				if err := lines.Write(r); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func asIs(*archive.Manifest) {}

func keep(_ string, row map[string]any) []map[string]any { return []map[string]any{row} }

// in changes the rows of one table.
func in(table string, change func(map[string]any)) func(string, map[string]any) []map[string]any {
	return func(of string, row map[string]any) []map[string]any {
		if of == table {
			change(row)
		}
		return []map[string]any{row}
	}
}

func without(table string) func(string, map[string]any) []map[string]any {
	return func(of string, row map[string]any) []map[string]any {
		if of == table {
			return nil
		}
		return []map[string]any{row}
	}
}

func TestARestoreTakesNothingFromAPackageThatIsNotRight(t *testing.T) {
	good := backup(t, busy(t, storetest.New(t, store.SQLite)).Hall)
	flipped := bytes.Clone(good)
	flipped[len(flipped)/3] ^= 1
	for name, tt := range map[string]struct {
		file []byte
		kind fault.Kind
		says string
	}{
		"a flipped bit":               {flipped, fault.Invalid, ""},
		"cut off":                     {good[:len(good)-100], fault.Invalid, "cut off"},
		"no package":                  {[]byte("number,name\n1,Boletus\n"), fault.Invalid, "not an event package"},
		"another schema":              {forged(t, good, func(m *archive.Manifest) { m.Schema = 9999 }, keep), fault.Refused, "9999"},
		"an event's package":          {forged(t, good, func(m *archive.Manifest) { m.Kind = archive.Event }, keep), fault.Refused, "import event"},
		"no kind":                     {forged(t, good, func(m *archive.Manifest) { m.Kind = "" }, keep), fault.Invalid, "does not hold the tables"},
		"a naming no slip gives":      {forged(t, good, asIs, in("collection", func(r map[string]any) { r["naming"] = "confirmed" })), fault.Invalid, "rules"},
		"a slip taken out":            {forged(t, good, asIs, without("slip_name")), fault.Invalid, "rules"},
		"a list changed":              {forged(t, good, asIs, in("publication", func(r map[string]any) { r["csv"] = "" })), fault.Invalid, "list version"},
		"a time of another form":      {forged(t, good, asIs, in("slip", func(r map[string]any) { r["happened_at"] = "today" })), fault.Invalid, "Row 1 of slip"},
		"a column of another program": {forged(t, good, asIs, in("site", func(r map[string]any) { r["new"] = 1 })), fault.Invalid, "Row 1 of site"},
		"rows in another order":       {forged(t, good, asIs, reversed("event_right")), fault.Invalid, "not what was packed"},
	} {
		t.Run(name, func(t *testing.T) {
			for _, d := range []store.Dialect{store.SQLite, store.Postgres} {
				h := fresh(t, d)
				_, err := restore(h, tt.file)
				if !fault.Is(err, tt.kind) || !strings.Contains(err.Error(), tt.says) {
					t.Errorf("%s: %v", d, err)
				}
				nothingIn(t, h)
			}
		})
	}
}

// reversed gives the rows of a table in one go and backwards, when the last has come.
func reversed(table string) func(string, map[string]any) []map[string]any {
	var first map[string]any
	return func(of string, row map[string]any) []map[string]any {
		if of != table {
			return []map[string]any{row}
		}
		if first == nil {
			first = row
			return nil
		}
		defer func() { first = nil }()
		return []map[string]any{row, first}
	}
}

func nothingIn(t testing.TB, h *hall.Hall) {
	t.Helper()
	for table, rows := range rowsOf(t, backup(t, h)) {
		if len(rows) > 0 {
			t.Errorf("%s has %d rows", table, len(rows))
		}
	}
	checked := must[store.Checked](t)(keeping.Check(ctx, h))
	if len(checked.Broken) > 0 {
		t.Errorf("broken: %+v", checked.Broken)
	}
}
