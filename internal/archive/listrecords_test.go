package archive

import (
	"archive/zip"
	"bytes"
	"strings"
	"testing"
	"time"

	"forayhall/internal/fault"
)

func listOf(t *testing.T, lines ...string) ([]ListRecord, []Refused, int) {
	t.Helper()
	table, err := ReadListTable(t.Context(), strings.NewReader(strings.Join(lines, "\n")), "list")
	if err != nil {
		t.Fatal(err)
	}
	recs, refused, notes, err := ListRecords(table, Options{Today: time.Date(2026, 10, 24, 0, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	return recs, refused, len(notes)
}

func TestAListIsReadUnderTheHeadingsThatListsHave(t *testing.T) {
	for rule, c := range map[string]struct {
		lines []string
		want  string // name|author|place|from|to|count|as it came
	}{
		"a list of names alone":                                   {[]string{"Species", "Boletus badius"}, "Boletus badius|||||-|Boletus badius"},
		"an author in a column of its own":                        {[]string{"scientificName,scientificNameAuthorship", "Boletus badius,(Fr.) Fr."}, "Boletus badius|(Fr.) Fr.||||-|Boletus badius,(Fr.) Fr."},
		"an epithet beside its genus":                             {[]string{"Genus;Species;Site", "Boletus;badius;Nether Holt"}, "Boletus badius||Nether Holt|||-|\"Boletus\";?"},
		"genus and epithet under Darwin Core's terms":             {[]string{"genus,specificEpithet,year,month", "Boletus,badius,1998,9"}, "Boletus badius|||1998-09-01|1998-09-30|-|Boletus,badius,1998,9"},
		"a name as it was written before one that was made of it": {[]string{"scientificName,verbatimIdentification", "Imleria badia,Boletus badius"}, "Boletus badius|||||-|Imleria badia,Boletus badius"},
		"the other name where the first is empty":                 {[]string{"scientificName,verbatimIdentification", "Imleria badia,"}, "Imleria badia|||||-|Imleria badia,"},
		"a year alone": {[]string{"name\tdate\tcount", "Boletus badius\t1998\t3"}, "Boletus badius|||1998-01-01|1998-12-31|3|Boletus badius,1998,3"},
		"what is no date is kept and no reason to refuse":             {[]string{"name,date", "Boletus badius,before the war"}, "Boletus badius|||||-|Boletus badius,before the war"},
		"a number that is written beside the columns stays in a line": {[]string{"record number,name", "HB19-12,Boletus badius"}, "Boletus badius|||||-|HB19-12,Boletus badius"},
	} {
		recs, refused, _ := listOf(t, c.lines...)
		if len(recs) != 1 || len(refused) != 0 {
			t.Errorf("%s: %d rows, refused %v", rule, len(recs), refused)
			continue
		}
		r, count := recs[0], "-"
		if r.Count != nil {
			count = r.CountText
		}
		from, to := "", ""
		if !r.Day.From.IsZero() {
			from, to = r.Day.From.Format(time.DateOnly), r.Day.To.Format(time.DateOnly)
		}
		want, _, rest := strings.Cut(c.want, `"Boletus";?`)
		got := strings.Join([]string{r.Name, r.Author, r.Place, from, to, count, r.AsItCame}, "|")
		if got != c.want && !(rest && strings.HasPrefix(got, want)) {
			t.Errorf("%s: %s, want %s", rule, got, c.want)
		}
	}
}

func TestRowsOfAListThatSayNothingWasFoundAreRefused(t *testing.T) {
	recs, refused, notes := listOf(t, "scientificName,occurrenceStatus,eventDate,taxonomicStatus",
		"Boletus edulis,present,2001-10-02,accepted", "Boletus badius,absent,2001-10-02,", ",present,2001-10-02,", "Boletus luridus,,2031-10-02,", "Boletus bulbosus,,,synonym")
	if len(recs) != 1 || recs[0].Name != "Boletus edulis" || notes != 1 {
		t.Errorf("taken %v, %d notes", recs, notes)
	}
	var got []string
	for _, r := range refused {
		got = append(got, r.Reason.Key)
	}
	if strings.Join(got, " ") != "archive.list-absent archive.list-name-missing archive.date-future" {
		t.Errorf("refused %v", refused)
	}
}

// listArchive is a file of some members.
func listArchive(t *testing.T, members map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, text := range members {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestTheCoreOfAnArchiveIsAListWhetherOfOccurrencesOrOfTaxa(t *testing.T) {
	for _, kind := range []string{"Occurrence", "Taxon"} {
		meta := `<archive xmlns="http://rs.tdwg.org/dwc/text/"><core rowType="http://rs.tdwg.org/dwc/terms/` + kind + `" encoding="UTF-8" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1">
<files><location>core.txt</location></files><id index="0"/><field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/><field index="2" term="http://rs.tdwg.org/dwc/terms/eventDate"/>
<field default="Nether Holt" term="http://rs.tdwg.org/dwc/terms/locality"/></core></archive>`
		data := listArchive(t, map[string]string{"meta.xml": meta, "core.txt": "id\tname\tday\n1\tBoletus badius\t1998-09\n\n2\tBoletus edulis\t\n"})
		table, err := ReadListTable(t.Context(), bytes.NewReader(data), "list.zip")
		if err != nil {
			t.Fatal(kind, err)
		}
		recs, refused, _, err := ListRecords(table, Options{})
		if err != nil || len(refused) != 0 || len(recs) != 2 || table.Format != DarwinCore {
			t.Fatalf("%s: %v %v %v", kind, recs, refused, err)
		}
		if r := recs[0]; r.Name != "Boletus badius" || r.Place != "Nether Holt" || r.Day.From.Format(time.DateOnly) != "1998-09-01" || r.Line != 2 || recs[1].Line != 4 {
			t.Errorf("%s: %+v", kind, recs)
		}
	}
}

func TestAZipThatIsNoArchiveOfFindsIsRefused(t *testing.T) {
	for want, members := range map[string]map[string]string{
		"archive.list-no-meta": {"list.csv": "name\nBoletus badius\n", "more.csv": "x"},
		"archive.list-core":    {"meta.xml": `<archive><core rowType="http://rs.tdwg.org/dwc/terms/Event"><files><location>e.txt</location></files><id index="0"/></core></archive>`, "e.txt": "1\n"},
	} {
		_, err := ReadListTable(t.Context(), bytes.NewReader(listArchive(t, members)), "list.zip")
		if fault.From(err).Text.Key != want {
			t.Errorf("want %s: %v", want, err)
		}
	}
}

func TestAPeriodIsReadAsPeopleWriteIt(t *testing.T) {
	for text, want := range map[string]string{"1998": "1998-01-01 1998-12-31", "1998/2019": "1998-01-01 2019-12-31", "1998–2019": "1998-01-01 2019-12-31",
		"1998 to 2019": "1998-01-01 2019-12-31", "Sept 1998": "1998-09-01 1998-09-30", "2003-10-04": "2003-10-04 2003-10-04", "1998-09/2019-11": "1998-09-01 2019-11-30",
		"2019/1998": "", "long ago": "", "2098": ""} {
		d, reason := ReadPeriod(text, time.Date(2026, 10, 24, 0, 0, 0, 0, time.UTC))
		got := ""
		if reason.IsZero() {
			got = d.From.Format(time.DateOnly) + " " + d.To.Format(time.DateOnly)
		}
		if got != want || d.Text != text {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}
