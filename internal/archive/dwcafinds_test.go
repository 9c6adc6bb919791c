package archive

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"forayhall/internal/fault"
)

// packedFinds is a zip of files.
func packedFinds(t *testing.T, files map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range files {
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
	return b.Bytes()
}

func readFinds(data []byte) (*Finds, error) {
	return ReadFinds(context.Background(), ChecklistFile("finds.zip", bytes.NewReader(data), int64(len(data))))
}

// metaOf describes a core of tab-separated rows under a header, and extensions by their row type.
func metaOf(core string, fields []string, extensions map[string][]string) string {
	file := func(tag, kind, id, location string, fields []string) string {
		var b strings.Builder
		fmt.Fprintf(&b, `<%s encoding="UTF-8" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1" rowType="%s"><files><location>%s</location></files><%s index="0"/>`,
			tag, kind, location, id)
		for i, f := range fields {
			fmt.Fprintf(&b, `<field index="%d" term="http://rs.tdwg.org/dwc/terms/%s"/>`, i+1, f)
		}
		return b.String() + "</" + tag + ">"
	}
	text := `<archive xmlns="http://rs.tdwg.org/dwc/text/">` + file("core", core, "id", "core.txt", fields)
	for kind, fields := range extensions {
		text += file("extension", kind, "coreid", shortTerm(kind)+".txt", fields)
	}
	return text + "</archive>"
}

// Would catch occurrences under events whose event says nothing of them, identifications and measurements that are put
// under the event instead of the find, and rows that belong to nothing taken without a word.
func TestOccurrencesUnderEventsAreReadWithWhatTheirEventSays(t *testing.T) {
	data := packedFinds(t, map[string]string{
		"meta.xml": metaOf(EventRows, []string{"eventDate", "locality"}, map[string][]string{
			OccurrenceRows:     {"occurrenceID", "basisOfRecord", "scientificName", "locality"},
			IdentificationRows: {"occurrenceID", "scientificName"},
			MeasurementRows:    {"occurrenceID", "measurementType", "measurementValue"}}),
		"core.txt":              "id\teventDate\tlocality\nE1\t2024-10-12\tNether Holt\n",
		"Occurrence.txt":        "id\to\tb\tn\tl\nE1\tO1\tHumanObservation\tBoletus edulis\t\nE1\tO2\tHumanObservation\tAmanita citrina\tthe far bank\n",
		"Identification.txt":    "id\to\tn\nE1\tO2\tAmanita mappa\nE1\tO9\tLost\n",
		"MeasurementOrFact.txt": "id\to\tt\tv\nE1\tO1\todour\tnone\nE1\t\tair temperature\t12\n",
	})
	f, err := readFinds(data)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Rows) != 2 || f.Rows[0].ID != "O1" || f.Rows[0].Terms["eventDate"] != "2024-10-12" || f.Rows[0].Terms["locality"] != "Nether Holt" ||
		f.Rows[1].Terms["locality"] != "the far bank" || f.Rows[1].Terms["eventID"] != "E1" {
		t.Errorf("%+v", f.Rows)
	}
	if len(f.Rows[0].Measurements) != 1 || len(f.Rows[1].Identifications) != 1 || len(f.Rows[0].Identifications) != 0 {
		t.Errorf("%+v", f.Rows)
	}
	if len(f.Notes) != 1 || f.Notes[0].Key != "finds.note-loose" || f.Notes[0].Args["n"] != 2 {
		t.Errorf("notes: %v", f.Notes)
	}
}

func TestWhatIsNoArchiveOfFindsIsRefusedWithItsReason(t *testing.T) {
	bomb := packedFinds(t, map[string]string{"meta.xml": metaOf(OccurrenceRows, []string{"scientificName"}, nil), "core.txt": strings.Repeat("0", 40<<20)})
	for what, c := range map[string]struct {
		data []byte
		key  string
	}{
		"a list of names":                                  {packedFinds(t, map[string]string{"meta.xml": metaOf("http://rs.tdwg.org/dwc/terms/Taxon", []string{"scientificName"}, nil), "core.txt": "a\tb\n"}), "finds.names"},
		"a core of another kind":                           {packedFinds(t, map[string]string{"meta.xml": metaOf("http://rs.tdwg.org/dwc/terms/MaterialEntity", []string{"x"}, nil), "core.txt": "a\n"}), "finds.core-unknown"},
		"files without a description":                      {packedFinds(t, map[string]string{"a.csv": "x\n1\n", "b.csv": "x\n1\n"}), "finds.no-meta"},
		"a file that is described and not there":           {packedFinds(t, map[string]string{"meta.xml": metaOf(OccurrenceRows, []string{"scientificName"}, nil)}), "checklist.member-missing"},
		"a path that climbs out":                           {packedFinds(t, map[string]string{"../core.txt": "x"}), "checklist.path"},
		"a description that is none":                       {packedFinds(t, map[string]string{"meta.xml": "<archive", "core.txt": "x\n"}), "checklist.meta-unreadable"},
		"a part that unpacks to a thousand times its size": {bomb, "checklist.too-large"},
		"half a zip":                                       {packedFinds(t, map[string]string{"meta.xml": strings.Repeat("x", 4000)})[:100], "checklist.damaged"},
	} {
		_, err := readFinds(c.data)
		if got := fault.From(err).Text.Key; err == nil || got != c.key {
			t.Errorf("%s: %v, want %s", what, err, c.key)
		}
	}
}

// The published sample archives of the Darwin Core reader's own tests. What is of finds is read, the rest refused.
func TestPublishedSamplesAreReadOrRefusedWithReasons(t *testing.T) {
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	folder = filepath.Join(folder, "dwc", "samples")
	for name, want := range map[string]struct {
		rows   int
		reason string
		term   string // of the first row
		value  string
	}{
		"dwca-default-metadata-filename.zip": {2, "", "locality", "Borneo"},
		"dwca-nometadata.zip":                {2, "", "scientificName", "tetraodon fluviatilis"},
		"dwca-noheaders-1.zip":               {2, "", "scientificName", "tetraodon fluviatilis"},
		"dwca-partial-default.zip":           {2, "", "country", "France"},
		"dwca-test-default.zip":              {2, "", "country", "Belgium"},
		"dwca-simple-test-archive.zip":       {2, "", "family", "Tetraodontidae"},
		"dwca-simple-csv-notenclosed.zip":    {3, "", "scientificName", "Lactoria cornuta (Linnaeus, 1758)"},
		"dwca-utf8-eol-test.zip":             {1, "", "catalogNumber", "NRM 13648"},
		"dwca-invalid-lacks-metadata":        {2, "", "locality", "Borneo"},
		"dwca-invalid-simple-two.zip":        {0, "finds.no-meta", "", ""},
		"archive-tax.zip":                    {0, "finds.names", "", ""},
		"dwca-star-test-archive.zip":         {0, "finds.names", "", ""},
		"gbif-small.tar.gz":                  {0, "finds.names", "", ""},
		"in_core_accepted.tar.gz":            {0, "finds.core-unknown", "", ""},
		"multiline-header":                   {0, "finds.names", "", ""},
	} {
		path := filepath.Join(folder, name)
		about, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		src := ChecklistFolder(name, os.DirFS(path))
		if !about.IsDir() {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			src = ChecklistFile(name, bytes.NewReader(data), int64(len(data)))
		}
		f, err := ReadFinds(context.Background(), src)
		if want.reason != "" {
			if err == nil || fault.From(err).Text.Key != want.reason {
				t.Errorf("%s: %v, want %s", name, err, want.reason)
			}
			continue
		}
		if err != nil || len(f.Rows) != want.rows || f.Rows[0].Terms[want.term] != want.value {
			t.Errorf("%s: %+v, %v", name, f, err)
			continue
		}
		all, refused, _, err := f.Records(Options{EventCode: "HB24", AutoNumbers: true})
		if err != nil || len(all)+len(refused) != want.rows {
			t.Errorf("%s: %d and %d refused of %d, %v", name, len(all), len(refused), want.rows, err)
		}
	}
}

func TestAFindWithoutANumberWasOnlySeenUnlessItWasTakenAlong(t *testing.T) {
	rows := []FindRow{
		{Line: 2, Terms: map[string]string{"basisOfRecord": "HumanObservation", "scientificName": "Boletus edulis"}},
		{Line: 3, Terms: map[string]string{"basisOfRecord": "PreservedSpecimen", "scientificName": "Boletus edulis"}},
		{Line: 4, Terms: map[string]string{"basisOfRecord": "PreservedSpecimen", "scientificName": "Boletus edulis", "recordNumber": "Kerr 17"}},
		{Line: 5, Terms: map[string]string{"basisOfRecord": "HumanObservation", "scientificName": "Boletus edulis", "recordNumber": "HB24 0417"}},
		{Line: 6, Terms: map[string]string{"basisOfRecord": "HumanObservation", "scientificName": "Boletus edulis", "occurrenceStatus": "Absent"}},
	}
	for _, auto := range []bool{false, true} {
		all, refused, _, err := (&Finds{Rows: rows}).Records(Options{EventCode: "HB24", AutoNumbers: auto})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, o := range all {
			got = append(got, fmt.Sprint(o.Record.Line, " ", o.Seen, " ", o.Base, " ", o.Extra["recordNumber"]))
		}
		for _, r := range refused {
			got = append(got, fmt.Sprint(r.Line, " ", r.Reason.Key))
		}
		want := "2 true 0 ; 5 false 417 ; 6 finds.absent; 4 archive.number-other-event; 3 finds.number-missing"
		if auto {
			want = "2 true 0 ; 3 false 0 ; 4 false 0 Kerr 17; 5 false 417 ; 6 finds.absent"
		}
		if strings.Join(got, "; ") != want {
			t.Errorf("with numbers %v: %s\nwant %s", auto, strings.Join(got, "; "), want)
		}
	}
}

func TestGeoJSONPutsLongitudeFirstAndNothingWhereThereIsNoPoint(t *testing.T) {
	var b bytes.Buffer
	err := WriteGeoJSON(&b, []Property{{Name: "title", Value: "A <b>"}}, []Feature{
		{ID: "urn:uuid:1", Point: &Point{Lat: 54.1, Lon: -2.25}, Properties: []Property{{Name: "locality", Value: "Hollin\tWood"}, {Name: "empty", Value: ""}, {Name: "individualCount", Value: 3.0}}},
		{ID: "urn:uuid:2"}})
	if err != nil {
		t.Fatal(err)
	}
	var made struct {
		Type, Title string
		CRS         any `json:"crs"`
		Features    []struct {
			Type, ID string
			Geometry *struct {
				Type        string
				Coordinates []float64
			}
			Properties map[string]any
		}
	}
	if err := json.Unmarshal(b.Bytes(), &made); err != nil {
		t.Fatal(err, b.String())
	}
	f := made.Features
	if made.Type != "FeatureCollection" || made.Title != "A <b>" || made.CRS != nil || len(f) != 2 || f[0].Type != "Feature" || f[0].Geometry.Type != "Point" ||
		fmt.Sprint(f[0].Geometry.Coordinates) != "[-2.25 54.1]" || fmt.Sprint(f[0].Properties) != "map[individualCount:3 locality:Hollin\tWood]" || f[1].Geometry != nil || f[1].Properties == nil {
		t.Errorf("%s", b.String())
	}
}
