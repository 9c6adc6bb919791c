package archive

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"unicode/utf16"

	"pgregory.net/rapid"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

func mustRead(t *testing.T, text string) *Table {
	t.Helper()
	table, err := ReadTable(strings.NewReader(text), "finds.csv")
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func utf16le(s string) string {
	b := []byte{0xFF, 0xFE}
	for _, u := range utf16.Encode([]rune(s)) {
		b = append(b, byte(u), byte(u>>8))
	}
	return string(b)
}

func TestReadTable(t *testing.T) {
	plain := []string{"1|Søren", "2|Zoë"}
	tests := []struct {
		rule, text string
		encoding   string
		delim      rune
		rows       []string
		lines      []int
	}{
		{"UTF-8, commas, LF", "no,leg\n1,Søren\n2,Zoë\n", UTF8, ',', plain, []int{2, 3}},
		{"a byte-order mark is no text", "\uFEFFno,leg\n1,Søren\n2,Zoë\n", UTF8, ',', plain, []int{2, 3}},
		{"semicolons, CRLF, no end to the last line", "no;leg\r\n1;Søren\r\n2;Zoë", UTF8, ';', plain, []int{2, 3}},
		{"tabs and CR alone", "no\tleg\r1\tSøren\r2\tZoë\r", UTF8, '\t', plain, []int{2, 3}},
		{"Windows-1252 is recognised", "no;leg\r\n1;S\xF8ren\r\n2;Zo\xEB\r\n", Windows1252, ';', plain, []int{2, 3}},
		{"UTF-16 with a byte-order mark", utf16le("no\tleg\r\n1\tSøren\r\n2\tZoë\r\n"), UTF16, '\t', plain, []int{2, 3}},
		{"blank rows are left out and still counted", "\nno;leg\n\n1;Søren\n ; \n2;Zoë\n", UTF8, ';', plain, []int{4, 6}},
		{"a quoted line end counts as a line", "no,leg\n1,\"a\r\nb\"\n2,c\n", UTF8, ',', []string{"1|a\r\nb", "2|c"}, []int{2, 4}},
		{"quotes are doubled inside quotes and text elsewhere", "no,leg\n1,\"a \"\"b\"\", c\"\n2,9\" wide\n", UTF8, ',',
			[]string{`1|a "b", c`, `2|9" wide`}, []int{2, 3}},
		{"a decimal comma does not make a comma the delimiter", "no;lat;lon\n1;54,1;-1,5\n2;54,2;-1,6\n", UTF8, ';',
			[]string{"1|54,1|-1,5", "2|54,2|-1,6"}, []int{2, 3}},
		{"one column may hold commas", "name\nBoletus edulis Bull., 1782\nAmanita citrina Pers., 1797\n", UTF8, ';',
			[]string{"Boletus edulis Bull., 1782", "Amanita citrina Pers., 1797"}, []int{2, 3}},
		{"short rows are filled up", "no,leg,site\n1\n2,x\n", UTF8, ',', []string{"1||", "2|x|"}, []int{2, 3}},
		{"empty headings at the right end are dropped", "no;leg;;\n1;a;;\n", UTF8, ';', []string{"1|a"}, []int{2}},
		{"a next-line character ends no line", "no,leg\n1,a\u0085b\n", UTF8, ',', []string{"1|a\u0085b"}, []int{2}},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			table := mustRead(t, tt.text)
			if table.Encoding != tt.encoding || table.Delimiter != tt.delim || table.Format != CSV {
				t.Errorf("read as %s, %q, %s", table.Encoding, table.Delimiter, table.Format)
			}
			var rows []string
			var lines []int
			for _, r := range table.Rows {
				rows, lines = append(rows, strings.Join(r.Cells, "|")), append(lines, r.Line)
			}
			if !reflect.DeepEqual(rows, tt.rows) || !reflect.DeepEqual(lines, tt.lines) {
				t.Errorf("rows %q at %v, want %q at %v", rows, lines, tt.rows, tt.lines)
			}
		})
	}
}

func TestReadTableRefuses(t *testing.T) {
	tests := []struct{ rule, text, key, says string }{
		{"nothing", "", "archive.empty", "finds.csv"},
		{"only blank rows", "\n;;\n", "archive.empty", "finds.csv"},
		{"a heading twice, folded", "Date Picked,x,date_picked\n", "archive.header-twice", `columns 1 and 3 are both called "date_picked"`},
		{"an empty heading inside", "no,,leg\n", "archive.header-empty", "column 2"},
		{"U+0000 with its line", "no,leg\r\n1,a\r\n2,b\x00\r\n", "archive.null", "line 3"},
		{"a quote never closed, with the line it opens in", "no,leg\n1,a\n2,\"b\n3,c\n", "archive.quote-open", "Line 3"},
		{"text after a closing quote", "no,leg\n1,\"a\"b\n", "archive.quote-text", "Line 2"},
		{"a huge cell", "no,leg\n1," + strings.Repeat("x", maxCellBytes+1), "archive.cell-too-large", "column leg"},
		{"too many columns", strings.Repeat("x,", maxColumns) + "x", "archive.too-many-columns", "1000"},
		{"too many rows", "no\n" + strings.Repeat("1\n", maxRows+1), "archive.too-many-rows", "200000"},
		{"a spreadsheet of the old format", "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", "archive.old-spreadsheet", "XLSX or CSV"},
		{"a zip that is no spreadsheet", "PK\x03\x04nothing", "archive.not-a-spreadsheet", "XLSX or CSV"},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			_, err := ReadTable(strings.NewReader(tt.text), "finds.csv")
			wantFault(t, err, fault.Invalid, tt.key)
			if err != nil && !strings.Contains(err.Error(), tt.says) {
				t.Errorf("%q does not say %q", err, tt.says)
			}
		})
	}
}

// wantFault also catches a key that is in no catalogue and an argument that the text does not have.
func wantFault(t *testing.T, err error, kind fault.Kind, key string) {
	t.Helper()
	if err == nil {
		t.Fatalf("no error, want %s", key)
	}
	if e := fault.From(err); e.Kind != kind || e.Text.Key != key {
		t.Errorf("got %v, want %v %s", err, kind, key)
	}
	wantSaid(t, fault.From(err).Text)
}

func wantSaid(t *testing.T, text message.Text) {
	t.Helper()
	if said := message.For(message.English).Text(text); strings.ContainsAny(said, "⟪{}") {
		t.Errorf("%s is not said in full: %s", text.Key, said)
	}
}

func TestReadTablePassesOnAReadError(t *testing.T) {
	broken := errors.New("the disk is gone")
	if _, err := ReadTable(errReader{broken}, "x"); !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

type errReader struct{ err error }

func (r errReader) Read([]byte) (int, error) { return 0, r.err }

func TestSurplusIsARowsProblem(t *testing.T) {
	table := mustRead(t, "no,leg\n1,a,,b\n2,c,,\n")
	if got := table.Rows[0].Surplus; !reflect.DeepEqual(got, []string{"", "b"}) {
		t.Errorf("surplus %q", got)
	}
	if table.Rows[1].Surplus != nil || len(table.Rows[0].Cells) != 2 {
		t.Errorf("rows %+v", table.Rows)
	}
}

func TestColumnFoldsHeadings(t *testing.T) {
	table := &Table{Header: []string{"Date_picked", "Régión", "Slip No.", "#", "Łąka"}}
	for name, want := range map[string]int{"datePicked": 0, "REGION": 1, "slip no": 2, "#": 3, "laka": 4} {
		if i, ok := table.Column("absent", name); !ok || i != want {
			t.Errorf("%q found at %d, %v; want %d", name, i, ok, want)
		}
	}
	if _, ok := table.Column("absent", "date"); ok {
		t.Error("found what is not there")
	}
}

// A cell that comes back changed would be a record altered in an export.
func TestWrittenCellsComeBackTheSame(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		width := rapid.IntRange(1, 6).Draw(rt, "width")
		header := make([]string, width)
		for i := range header {
			header[i] = fmt.Sprint(rapid.SampledFrom([]string{"a;b", "x,y", "p;q;r;s;t;u;v", "\ufeffc", "tab\tbed", `q"`, "PK\x03\x04", "é"}).Draw(rt, "heading"), i)
		}
		cell := rapid.OneOf(rapid.StringMatching(`[ -~]{0,8}`), rapid.String(),
			rapid.SampledFrom([]string{"\r\n", "\r", "\"", "\"\"", ";;", " a ", "'", "\t", "=1+1", "\u00a0"}))
		var rows [][]string
		for range rapid.IntRange(0, 8).Draw(rt, "rows") {
			row := make([]string, width)
			for j := range row {
				row[j] = strings.ReplaceAll(cell.Draw(rt, "cell"), "\x00", "")
			}
			if !blank(row) {
				rows = append(rows, row)
			}
		}
		var b bytes.Buffer
		if err := WriteCSV(&b, header, rows, Raw); err != nil {
			rt.Fatal(err)
		}
		table, err := ReadTable(&b, "x")
		if err != nil {
			rt.Fatal(err)
		}
		var back [][]string
		for _, r := range table.Rows {
			back = append(back, r.Cells)
		}
		if !reflect.DeepEqual(table.Header, header) || !reflect.DeepEqual(back, rows) {
			rt.Fatalf("wrote %q %q, read %q %q", header, rows, table.Header, back)
		}
	})
}

func FuzzReadTable(f *testing.F) {
	recorder, err := os.ReadFile("testdata/recorder.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(recorder[:2000])
	f.Add(sheetBytes(f, [][]any{{"no", "name"}, {1, "Boletus edulis"}}))
	for _, s := range []string{"a,b\n\"c", "\xFF\xFEa\x00", "a\tb\r\"x\"\"\"\t", "\xFE\xFF\xD8", "PK\x03\x04", "a;b\n1;2;3"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := ReadTable(bytes.NewReader(data), "fuzz")
		if err != nil {
			if fault.From(err).Kind != fault.Invalid {
				t.Fatalf("not the file's fault: %v", err)
			}
			return
		}
		last := 0
		for _, r := range table.Rows {
			if len(r.Cells) != len(table.Header) || r.Line <= last {
				t.Fatalf("row %+v after line %d under %q", r, last, table.Header)
			}
			last = r.Line
		}
		recs, refused, _, err := CollectionRecords(table, Options{EventCode: "HB24"})
		if err == nil && len(recs) < len(table.Rows) && len(refused) == 0 {
			t.Fatal("a row went missing unsaid")
		}
	})
}

func bigFile() []byte {
	var b bytes.Buffer
	b.WriteString("no,name,leg,date,site,notes\n")
	for i := range 20_000 {
		fmt.Fprintf(&b, "%d,Boletus edulis,Søren Ly,2024-10-12,\"Nether Holt, north\",\"cut, base missing\"\n", i)
	}
	return b.Bytes()
}

func BenchmarkReadTable(b *testing.B) {
	data := bigFile()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := ReadTable(bytes.NewReader(data), "x"); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBareCSV is what the standard library alone needs for the same file.
func BenchmarkBareCSV(b *testing.B) {
	data := bigFile()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := csv.NewReader(bytes.NewReader(data)).ReadAll(); err != nil {
			b.Fatal(err)
		}
	}
}
