package archive

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"forayhall/internal/fault"
)

func sheetBytes(t testing.TB, rows [][]any) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range rows {
		if err := f.SetSheetRow("Sheet1", fmt.Sprint("A", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	return fileBytes(t, f)
}

func fileBytes(t testing.TB, f *excelize.File) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The same records in a spreadsheet must be the same records.
func TestAnXLSXReadsAsTheCSVDoes(t *testing.T) {
	recorder, err := os.Open("testdata/recorder.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer recorder.Close()
	want, err := ReadTable(recorder, "recorder.csv")
	if err != nil {
		t.Fatal(err)
	}
	f := excelize.NewFile()
	defer f.Close()
	put := func(line int, cells []string) {
		if err := f.SetSheetRow("Sheet1", fmt.Sprint("A", line), &cells); err != nil {
			t.Fatal(err)
		}
	}
	put(1, want.Header)
	for _, r := range want.Rows {
		put(r.Line, r.Cells)
	}
	got, err := ReadTable(bytes.NewReader(fileBytes(t, f)), "recorder.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got.Header, want.Header) || !reflect.DeepEqual(got.Rows, want.Rows) {
		t.Error("the rows differ")
	}
	if got.Format != XLSX || got.Encoding != "" || got.Sheet != "Sheet1" {
		t.Errorf("read as %s, %s, %s", got.Format, got.Encoding, got.Sheet)
	}
}

func TestSheetCells(t *testing.T) {
	when := time.Date(2024, 10, 12, 0, 0, 0, 0, time.UTC)
	tests := []struct {
		rule   string
		value  any
		format string
		want   string
	}{
		{"a date shown in the American way is ISO", when, "mm-dd-yy", "2024-10-12"},
		{"a date shown with a month's name is ISO", when, "d mmm yyyy", "2024-10-12"},
		{"a date shown without its year is ISO", when, "dd/mm", "2024-10-12"},
		{"a time of day is kept", when.Add(15*time.Hour + 40*time.Minute), "dd/mm/yyyy hh:mm", "2024-10-12T15:40"},
		{"leading zeros that a person sees are kept", 417, "0000", "0417"},
		{"a prefix that a person sees is kept", 417, `"HB24-"0000`, "HB24-0417"},
		{"a coordinate shown short is read in full", 54.12345, "0.0", "54.12345"},
		{"a whole number stays one", 12, "", "12"},
		{"a text that looks like a number stays text", "0417", "", "0417"},
		{"a tick is TRUE", true, "", "TRUE"},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			f := excelize.NewFile()
			defer f.Close()
			f.SetCellValue("Sheet1", "A1", "heading")
			f.SetCellValue("Sheet1", "A2", tt.value)
			if tt.format != "" {
				style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &tt.format})
				if err != nil {
					t.Fatal(err)
				}
				f.SetCellStyle("Sheet1", "A2", "A2", style)
			}
			table, err := ReadTable(bytes.NewReader(fileBytes(t, f)), "x.xlsx")
			if err != nil {
				t.Fatal(err)
			}
			if got := table.Rows[0].Cells[0]; got != tt.want {
				t.Errorf("read %q, want %q", got, tt.want)
			}
		})
	}
}

func TestTheFirstSheetWithAnythingOnItIsRead(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	f.NewSheet("Finds")
	f.SetSheetRow("Finds", "A3", &[]string{"no", "name"})
	f.SetSheetRow("Finds", "A5", &[]string{"1", "Boletus edulis"})
	table, err := ReadTable(bytes.NewReader(fileBytes(t, f)), "x.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	if table.Sheet != "Finds" || len(table.Rows) != 1 || table.Rows[0].Line != 5 {
		t.Errorf("%+v", table)
	}
}

// A few hundred kilobytes that unzip to more than the limit must be refused before they fill memory.
func TestAZipBombIsRefused(t *testing.T) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, _ := z.Create("xl/worksheets/sheet1.xml")
	chunk := bytes.Repeat([]byte(" "), 1<<20)
	for range maxSheetBytes>>20 + 1 {
		w.Write(chunk)
	}
	z.Close()
	_, err := ReadTable(&b, "bomb.xlsx")
	wantFault(t, err, fault.Invalid, "archive.not-a-spreadsheet")
	if err != nil && !strings.Contains(err.Error(), "limit") {
		t.Errorf("refused for another reason: %v", err)
	}
}
