package archive

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

var update = flag.Bool("update", false, "write the golden files anew; read them before they are kept")

var hb24 = Options{EventCode: "HB24", Today: date(2025, 3, 1), Groups: map[string]string{}}

func init() {
	for _, g := range []string{"bolete", "brittlegill", "milkcap", "webcap", "inkcap", "white-spored agaric",
		"small brown agaric", "bracket", "crust", "tooth", "coral", "puffball", "cup", "jelly", "slime mould"} {
		hb24.Groups[g] = strings.ReplaceAll(g, " ", "-")
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := "testdata/" + name
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from what was read:\n%s", path, got)
	}
}

func TestARecordersSpreadsheet(t *testing.T) {
	f, err := os.Open("testdata/recorder.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	table, err := ReadTable(f, "recorder.csv")
	if err != nil {
		t.Fatal(err)
	}
	recs, refused, notes, err := CollectionRecords(table, hb24)
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Rows) != 150 || len(recs) != 146 || len(refused) != 4 {
		t.Errorf("%d rows, %d records, %d refused", len(table.Rows), len(recs), len(refused))
	}
	var rows [][]string
	for _, r := range recs {
		rows = append(rows, flat(r))
	}
	var b bytes.Buffer
	if err := WriteCSV(&b, flatHeader, rows, Raw); err != nil {
		t.Fatal(err)
	}
	golden(t, "recorder.records.csv", b.Bytes())
	b.Reset()
	if err := WriteOutcome(&b, refused, message.For(message.English)); err != nil {
		t.Fatal(err)
	}
	for _, n := range notes {
		fmt.Fprintln(&b, message.For(message.English).Text(n))
	}
	golden(t, "recorder.outcome.txt", b.Bytes())
}

var flatHeader = []string{"line", "number", "written", "names", "det", "confirmed", "determined", "leg", "picked", "from",
	"to", "site", "substrate", "host", "habitat", "group", "team", "characters", "remarks", "extra"}

func flat(r Record) []string {
	var names []string
	for _, n := range r.Names {
		names = append(names, strings.TrimSpace(n.Verbatim+" "+n.Qualifier))
	}
	confirmed := ""
	if r.Confirmed != nil {
		confirmed = fmt.Sprint(*r.Confirmed)
	}
	day := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return t.Format(time.DateOnly)
	}
	return []string{fmt.Sprint(r.Line), foray.Number{Base: r.Base, Suffix: r.Suffix}.String(), r.NumberAsWritten, strings.Join(names, " | "),
		r.Determiner, confirmed, r.DateDetermined.Text, r.Collector, r.Picked.Text, day(r.Picked.From), day(r.Picked.To),
		r.Site, r.Substrate, r.Host, r.Habitat, r.GroupKey, r.TeamNumber, pairs(r.Characters), r.Remarks, pairs(r.Extra)}
}

func pairs(m map[string]string) string {
	var all []string
	for _, k := range slices.Sorted(maps.Keys(m)) {
		all = append(all, k+"="+m[k])
	}
	return strings.Join(all, ", ")
}

func records(t *testing.T, text string, opts Options) ([]Record, []Refused, []message.Text) {
	t.Helper()
	recs, refused, notes, err := CollectionRecords(mustRead(t, text), opts)
	if err != nil {
		t.Fatal(err)
	}
	return recs, refused, notes
}

func TestEveryFieldIsReadUnderDarwinCoreAndPlainNames(t *testing.T) {
	header := []string{
		"recordNumber,verbatimIdentification,second choice,identificationQualifier,identifiedBy,dateIdentified,basis,recordedBy,eventDate,locality,substrate,associatedTaxa,habitat,odour,latex,colour change,occurrenceRemarks,group,team,table,confirmed,individualCount,brought from outside,cultivated,decimalLatitude,decimalLongitude,scribe,permit",
		"No.,Species,2nd,Qualifier,Det.,Date det,Basis,Leg,Picked,Place,Growing on,Found with,Habitat,Smell,Milk,Color change,Notes,Group,Team no,Table,State,Count,Outside,Alien,Lat,Long,Written by,permit",
	}
	header[1] = strings.Replace(header[1], "2nd", "Second name", 1)
	row := "417a,Boletus edulis,Boletus reticulatus,cf.,M. Pugh,2024-10-13,microscopy,Søren Ly,2024-10-12,Nether Holt,soil,beech,wood edge,nutty,none,none,old,Bolete,3,T2,yes,4,no,x,54.5,-1.25,Zoë Ashdown,P7"
	yes, four, lat, lon := true, 4, 54.5, -1.25
	want := Record{Line: 2, Base: 417, Suffix: "a", NumberAsWritten: "417a",
		Names:      []NamedChoice{{"Boletus edulis", "cf."}, {"Boletus reticulatus", ""}},
		Determiner: "M. Pugh", Writer: "Zoë Ashdown", Collector: "Søren Ly", Confirmed: &yes, Basis: "microscopy",
		Picked:         DateRange{"2024-10-12", date(2024, 10, 12), date(2024, 10, 12)},
		DateDetermined: DateRange{"2024-10-13", date(2024, 10, 13), date(2024, 10, 13)},
		Site:           "Nether Holt", Substrate: "soil", Host: "beech", Habitat: "wood edge", Remarks: "old",
		GroupKey: "bolete", TeamNumber: "3", Table: "T2", Count: &four,
		Characters: map[string]string{"odour": "nutty", "latex": "none", "colour change": "none"},
		Cultivated: true, Lat: &lat, Lon: &lon, Extra: map[string]string{"permit": "P7"}}
	for _, h := range header {
		recs, refused, _ := records(t, h+"\n"+row+"\n", hb24)
		if len(refused) > 0 || len(recs) != 1 || !reflect.DeepEqual(recs[0], want) {
			t.Errorf("under %s\n got %+v\nwant %+v\nrefused %+v", h, recs, want, refused)
		}
	}
}

func TestRowsAreRefusedWithTheColumnAsWritten(t *testing.T) {
	long := strings.Repeat("x", maxText+1)
	tests := []struct{ rule, text, field, value, key string }{
		{"number missing", "Slip no,name\n,a\n", "Slip no", "", "archive.number-missing"},
		{"number not readable", "No,name\n4l7,a\n", "No", "4l7", "archive.number-unreadable"},
		{"number of another event", "No,name\nHB23-0417,a\n", "No", "HB23-0417", "archive.number-other-event"},
		{"number used twice, however written", "No,name\n0417A,a\nHB24-417a,b\n", "No", "HB24-417a", "archive.number-twice"},
		{"no day of that name", "No,name,Date found\n1,a,31/09/2024\n", "Date found", "31/09/2024", "archive.date-bad"},
		{"a date in the other order", "No,name,Picked\n1,a,10/13/2024\n", "Picked", "10/13/2024", "archive.date-other-order"},
		{"a date to come", "No,name,Picked\n1,a,2 Mar 2025\n", "Picked", "2 Mar 2025", "archive.date-future"},
		{"latitude beyond the pole", "No,name,Lat,Lon\n1,a,91,0\n", "Lat", "91", "archive.coordinate-bad"},
		{"half a coordinate", "No,name,Lat,Lon\n1,a,54,\n", "Lon", "", "archive.coordinate-half"},
		{"neither name nor group", "No,Species,Group\n1,,\n", "Species", "", "archive.name-missing"},
		{"an unknown group", "No,Species,Group\n1,a,Toadstools\n", "Group", "Toadstools", "archive.group-unknown"},
		{"neither yes nor no", "No,Species,Confirmed\n1,a,perhaps\n", "Confirmed", "perhaps", "archive.yes-no"},
		{"a text too long", "No,Species,Site\n1,a," + long + "\n", "Site", long[:60] + "…", "archive.text-too-long"},
		{"surplus cells", "No,Species\n1,a,,b\n", "", " | b", "archive.surplus"},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			_, refused, _ := records(t, tt.text, hb24)
			if len(refused) != 1 {
				t.Fatalf("refused %+v", refused)
			}
			got := refused[0]
			if want := 1 + strings.Count(strings.TrimSpace(tt.text), "\n"); got.Line != want {
				t.Errorf("line %d, want %d", got.Line, want)
			}
			if got.Field != tt.field || strings.TrimSpace(got.Value) != strings.TrimSpace(tt.value) || got.Reason.Key != tt.key {
				t.Errorf("got %+v", got)
			}
			wantSaid(t, got.Reason)
		})
	}
}

func TestANumberUsedTwiceNamesTheFirstLine(t *testing.T) {
	recs, refused, _ := records(t, "No,name\n1,a\n2,b\n\n0001,c\n", hb24)
	if len(recs) != 2 || len(refused) != 1 || refused[0].Line != 5 || refused[0].Reason.Args["first"] != 2 {
		t.Errorf("%+v", refused)
	}
}

func TestEveryProblemOfARowIsSaid(t *testing.T) {
	_, refused, _ := records(t, "No,name,date,lat,lon\nx,,y,z,1\n", hb24)
	if len(refused) != 4 {
		t.Errorf("%+v", refused)
	}
}

func TestRowsWithoutANumberMayBeAllowed(t *testing.T) {
	opts := hb24
	opts.AutoNumbers = true
	recs, refused, _ := records(t, "name\na\nb\n", opts)
	if len(recs) != 2 || len(refused) != 0 || recs[0].Base != 0 {
		t.Errorf("%+v %+v", recs, refused)
	}
}

func TestATableThatIsNoRecordsIsRefusedWhole(t *testing.T) {
	for _, text := range []string{"name,leg\na,b\n", "no,leg\n1,b\n"} {
		_, _, _, err := CollectionRecords(mustRead(t, text), hb24)
		wantFault(t, err, fault.Invalid, "archive.column-missing")
	}
}

func TestWhatWasDecidedIsNotedOnceAColumn(t *testing.T) {
	text := "no;name;picked;count;colour of cap\n1;a;03/04/2024;many;red\n2;b;05/04/2024;c. 20;\n3;c;13/04/2024;7;\n"
	recs, _, notes := records(t, text, hb24)
	var keys []string
	for _, n := range notes {
		keys = append(keys, fmt.Sprint(n.Key, " ", n.Args["n"]))
		wantSaid(t, n)
	}
	want := []string{"archive.note-extra <nil>", "archive.note-count 2", "archive.note-day-first 2"}
	if !reflect.DeepEqual(keys, want) {
		t.Errorf("noted %q", keys)
	}
	if got := recs[0].Extra; got["count"] != "many" || got["colour of cap"] != "red" {
		t.Errorf("kept %v", got)
	}
}

func TestTheFirstHeadingOfALineWinsAndTheOtherIsKept(t *testing.T) {
	recs, _, _ := records(t, "scientificName,no,verbatimIdentification\nImleria badia,1,Boletus badius\n", hb24)
	if recs[0].Names[0].Verbatim != "Boletus badius" || recs[0].Extra["scientificName"] != "Imleria badia" {
		t.Errorf("%+v", recs[0])
	}
}

func TestNoHeadingMeansTwoFields(t *testing.T) {
	seen := map[string]field{}
	for f, names := range headings {
		for _, n := range names {
			if other, twice := seen[fold(n)]; twice {
				t.Errorf("%q is both %s and %s", n, f, other)
			}
			seen[fold(n)] = f
		}
	}
}
