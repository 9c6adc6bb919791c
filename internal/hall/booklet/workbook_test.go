package booklet_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall/booklet"
	"forayhall/internal/store"
)

// tool finds a program that opens files as people do; without it the test is skipped, or failed when FORAYHALL_TEST_ALL
// is 1.
func tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err == nil {
		return path
	}
	if os.Getenv("FORAYHALL_TEST_ALL") == "1" {
		t.Fatalf("%s is not installed", name)
	}
	t.Skipf("%s is not installed", name)
	return ""
}

// asCSV is a filter of LibreOffice: comma, double quotes, UTF-8, from the first line, quotes where they are needed, the
// first sheet's cells as they are shown.
const asCSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,1"

// nasty are cells that a spreadsheet would make something else of: a formula, a number, a date, nothing.
var nasty = [][]string{
	{"current_name", "rank", "determined_as", "collections", "sites", "determiners"},
	{"Boletus edulis", "species", "Boletus edulis s.l.; Boletus cf. aereus", "12", "=1+1", "@SUM(A1:A2)"},
	{"Galerina", "genus", "Galerina sp.", "007", "-3", "+44 1632 960417"},
	{"Mycena sp. nov. \"Skelber\"", "species", "", "0", "1/2", "2026-10-24"},
	{"Inocybe × sp.", "species", "; ", "1e5", " before and after ", "two\nlines, with \"quotes\"; and more"},
	{"Zażółć gęślą", "species", "Ωμέγα", "3", "_x0041_ and &amp; <b>", "真菌 ‘’ — ½"},
	{"", "", "", "", "TRUE", "1,000"},
	{"Coprinellus micaceus", "species", "-cmd|' /C calc'!A0", "2", strings.Repeat("long ", 900), "\tbegins with a tab"},
}

// Would catch a cell that LibreOffice reads as a formula, a number or a date, a name that loses a letter to its italics,
// and a row that is not there.
func TestLibreOfficeReadsInTheSpreadsheetWhatTheCSVHas(t *testing.T) {
	office := tool(t, "soffice")
	d := play(t, store.SQLite)
	dir := t.TempDir()
	made := map[string][]byte{}
	a := d.at(t, "HB25")
	for _, code := range []string{"HB25", "HB26"} {
		in := d.chosen(t, d.at(t, code), "")
		made[code] = in.List.CSV
		d.workbook(t, code, in, dir)
	}
	in := d.chosen(t, a, "")
	var b bytes.Buffer
	if err := archive.WriteCSV(&b, nasty[0], nasty[1:], archive.Formulas); err != nil {
		t.Fatal(err)
	}
	in.List.CSV, made["nasty"] = b.Bytes(), b.Bytes()
	d.workbook(t, "nasty", in, dir)
	cmd := exec.Command(office, "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", asCSV, "--outdir", dir,
		filepath.Join(dir, "HB25.xlsx"), filepath.Join(dir, "HB26.xlsx"), filepath.Join(dir, "nasty.xlsx"))
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for name, want := range made {
		got, err := os.ReadFile(filepath.Join(dir, name+"-List.csv"))
		if err != nil {
			t.Fatal(err)
		}
		compareCSV(t, name, got, want)
	}
}

func (d played) workbook(t *testing.T, name string, in booklet.In, dir string) []byte {
	t.Helper()
	var b bytes.Buffer
	event := "HB25"
	if name == "HB26" {
		event = name
	}
	if err := booklet.WriteWorkbook(t.Context(), d.Hall, access.Nobody, d.at(t, event).Scope, in, &b); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".xlsx"), b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func compareCSV(t *testing.T, name string, got, want []byte) {
	t.Helper()
	read := func(data []byte) [][]string {
		r := csv.NewReader(bytes.NewReader(data))
		r.FieldsPerRecord = -1
		rows, err := r.ReadAll()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		return rows
	}
	a, b := read(got), read(want)
	if len(a) != len(b) {
		t.Fatalf("%s: %d rows of %d", name, len(a), len(b))
	}
	for i := range b {
		if !reflect.DeepEqual(a[i], b[i]) {
			t.Errorf("%s, row %d:\n%q\nwant\n%q", name, i+1, a[i], b[i])
		}
	}
}

// Would catch names without italics, authors and qualifiers with them, counts that are text, a header that scrolls away,
// and a file that is another each time.
func TestSpreadsheetSetsNamesAndKeepsItsHeaderInView(t *testing.T) {
	d := play(t, store.SQLite)
	dir := t.TempDir()
	in := d.chosen(t, d.at(t, "HB25"), "")
	data := d.workbook(t, "HB25", in, dir)
	for range 8 { // parts in the order of a map would be the same by chance in one of 256
		if again := d.workbook(t, "HB25", in, dir); !bytes.Equal(data, again) {
			t.Fatal("the same list is another file")
		}
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if panes, err := f.GetPanes("List"); err != nil || !panes.Freeze || panes.YSplit != 1 {
		t.Errorf("panes are %+v, %v", panes, err)
	}
	rows, err := f.GetRows("List")
	if err != nil {
		t.Fatal(err)
	}
	slanted := 0
	for i := range rows[1:] {
		if strings.Contains(inItalics(t, f, "A"+itoa(i+2)), " ") {
			slanted++
		}
	}
	if slanted < 200 {
		t.Errorf("%d species are in italics", slanted)
	}
	if kind, err := f.GetCellType("List", "K2"); err != nil || kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber {
		t.Errorf("the number of collections is of type %v, %v", kind, err)
	}
	facts, err := f.GetRows("About")
	said := ""
	for _, row := range facts {
		said += strings.Join(row, " ") + "\n"
	}
	for _, want := range []string{"Autumn foray 2025", "version 1", "Lena Fairweather", in.List.CSVSha256, "https://hall.example.org/hollinbeck/HB25/list/1", english.Say("tally.rule"), english.Say("hazard.caution")} {
		if err != nil || !strings.Contains(said, want) {
			t.Errorf("%q is not said, %v:\n%s", want, err, said)
		}
	}
}

// inItalics is what of a cell is.
func inItalics(t *testing.T, f *excelize.File, cell string) (text string) {
	t.Helper()
	runs, err := f.GetCellRichText("List", cell)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range runs {
		if r.Font != nil && r.Font.Italic {
			text += r.Text
		}
	}
	return text
}

// Would catch qualifiers in italics, and a name above genus.
func TestSpreadsheetSetsQualifiersUpright(t *testing.T) {
	d := play(t, store.SQLite)
	in := d.chosen(t, d.at(t, "HB25"), "")
	var b bytes.Buffer
	rows := [][]string{{"Boletus edulis var. albus", "variety", "Boletus edulis s.l.; Boletus cf. aereus; Galerina sp."}, {"Agaricales", "order", "Small brown agaric"}}
	if err := archive.WriteCSV(&b, []string{"current_name", "rank", "determined_as"}, rows, archive.Formulas); err != nil {
		t.Fatal(err)
	}
	in.List.CSV = b.Bytes()
	f, err := excelize.OpenReader(bytes.NewReader(d.workbook(t, "HB25", in, t.TempDir())))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for cell, want := range map[string]string{"A2": "Boletus edulis albus", "C2": "Boletus edulisBoletus aereusGalerina", "A3": "", "C3": ""} {
		if got := inItalics(t, f, cell); got != want && oneSpace(got) != want {
			t.Errorf("%s: %q is in italics, want %q", cell, got, want)
		}
	}
}
