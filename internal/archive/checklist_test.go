package archive

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// gathered keeps what a list hands out.
type gathered struct {
	names   []taxon.Row
	commons []taxon.CommonRow
}

func (g *gathered) Name(r taxon.Row) error         { g.names = append(g.names, r); return nil }
func (g *gathered) Common(r taxon.CommonRow) error { g.commons = append(g.commons, r); return nil }

func (g *gathered) find(t *testing.T, name string) taxon.Row {
	t.Helper()
	for _, r := range g.names {
		if r.Name == name {
			return r
		}
	}
	t.Fatalf("%s is not there; there are %v", name, g.names)
	return taxon.Row{}
}

func fileOf(name string, data []byte) ChecklistSource {
	return ChecklistFile(name, bytes.NewReader(data), int64(len(data)))
}

func textOf(text string) ChecklistSource { return fileOf("list.csv", []byte(text)) }

func readList(t *testing.T, src ChecklistSource) (*gathered, ChecklistReport) {
	t.Helper()
	var g gathered
	report, err := ReadChecklist(t.Context(), src, &g, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range report.Refused {
		wantSaid(t, r.Why)
	}
	for _, n := range report.Notes {
		wantSaid(t, n)
	}
	return &g, report
}

// zipOf writes pairs of path and content.
func zipOf(pairs ...string) []byte {
	var entries []entry
	for i := 0; i+1 < len(pairs); i += 2 {
		entries = append(entries, entry{pairs[i], pairs[i+1]})
	}
	return zipped(entries...)
}

func tarOf(headers ...*tar.Header) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	w := tar.NewWriter(z)
	for _, h := range headers {
		text := h.Linkname
		if h.Typeflag == tar.TypeReg {
			h.Linkname, h.Size = "", int64(len(text))
		}
		h.Mode = 0o644
		if err := w.WriteHeader(h); err != nil {
			panic(err)
		}
		if h.Typeflag == tar.TypeReg {
			w.Write([]byte(text))
		}
	}
	w.Close()
	z.Close()
	return b.Bytes()
}

// plain is a file of a tar; the content travels in Linkname.
func plain(name, text string) *tar.Header {
	return &tar.Header{Name: name, Typeflag: tar.TypeReg, Linkname: text}
}

const metaTaxon = `<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="eml.xml">
<core encoding="UTF-8" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1" rowType="http://rs.tdwg.org/dwc/terms/Taxon">
<files><location>taxon.txt</location></files><id index="0"/>
<field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/><field index="2" term="http://rs.tdwg.org/dwc/terms/taxonRank"/>
<field index="3" term="http://rs.tdwg.org/dwc/terms/taxonomicStatus"/><field index="4" term="http://rs.tdwg.org/dwc/terms/acceptedNameUsageID"/>
<field index="5" term="http://rs.tdwg.org/dwc/terms/parentNameUsageID"/><field default="Fungi" term="http://rs.tdwg.org/dwc/terms/kingdom"/>
</core>
<extension fieldsTerminatedBy="," ignoreHeaderLines="1" rowType="http://rs.gbif.org/terms/1.0/VernacularName">
<files><location>common.csv</location></files><coreid index="0"/>
<field index="1" term="http://rs.tdwg.org/dwc/terms/vernacularName"/><field index="2" term="http://purl.org/dc/terms/language"/>
</extension></archive>`

const taxonRows = "id\tname\trank\tstatus\taccepted\tparent\n" +
	"1\tInventariaceae\tfamily\taccepted\t\t\n2\tInventariae\ttribe\taccepted\t\t1\n3\tInventaria Kerr\tgenus\taccepted\t\t2\n" +
	"4\tInventaria nova (Lund) Kerr\tspecies\taccepted\t\t3\n5\tAgaricus novus Lund\tspecies\tsynonym\t4\t\n" +
	"6\tLooseria mira Ly\tspecies\theterotypic synonym\t4\t\n7\tLooseria vana Ly\tspecies\thomotypic synonym\t4\t\n" +
	"8\tInventaria falsa auct. non Kerr\tspecies\tmisapplied\t4\t\n9\tInventaria dubia Ly\tspecies\tdoubtful\t\t3\n"

const emlTitle = `<eml:eml xmlns:eml="eml://ecoinformatics.org/eml-2.1.1" packageId="urn:list/v2.3"><dataset><title>Invented Fungi
 of Nowhere</title><pubDate>2024-05-06</pubDate></dataset></eml:eml>`

const commonRows = "id,name,language\n4,\"New \"\"Cap\"\"\",eng\n4,\"New \"\"Cap\"\"\",English\n5,Alter Hut,de\n99,Nobody,en\n2,Tribe,en\n"

func archivePairs() []string {
	return []string{"meta.xml", metaTaxon, "taxon.txt", taxonRows, "eml.xml", emlTitle, "common.csv", commonRows}
}

func TestADarwinCoreArchiveIsReadFromZipTarAndFolder(t *testing.T) {
	pairs := archivePairs()
	folder, inFolder, headers := fstest.MapFS{}, []string{}, []*tar.Header{}
	for i := 0; i < len(pairs); i += 2 {
		folder[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
		inFolder = append(inFolder, "list/"+pairs[i], pairs[i+1], "__MACOSX/list/._"+pairs[i], "x")
		headers = append(headers, plain("./"+pairs[i], pairs[i+1]))
	}
	for name, src := range map[string]ChecklistSource{
		"zip": fileOf("l.zip", zipOf(pairs...)), "zip with a folder and litter": fileOf("l.zip", zipOf(inFolder...)),
		"tar.gz": fileOf("l.tar.gz", tarOf(headers...)), "folder": ChecklistFolder("l", folder),
	} {
		t.Run(name, func(t *testing.T) { wantInvented(t, src) })
	}
}

func wantInvented(t *testing.T, src ChecklistSource) {
	g, report := readList(t, src)
	if report.Source != "Invented Fungi of Nowhere, 2.3" || report.Kind != DarwinCoreArchive || report.Issued != "2024-05-06" {
		t.Errorf("%+v", report)
	}
	for name, want := range map[string]taxon.Row{
		"Inventariaceae":   {Status: "accepted", Parent: "Fungi"},
		"Inventaria":       {Status: "accepted", Author: "Kerr", Parent: "Inventariaceae"}, // over the tribe
		"Inventaria nova":  {Status: "accepted", Author: "(Lund) Kerr"},
		"Agaricus novus":   {Status: "former", Author: "Lund", Accepted: "Inventaria nova", Reason: "moved"},
		"Looseria mira":    {Status: "former", Author: "Ly", Accepted: "Inventaria nova", Reason: "merged"},
		"Looseria vana":    {Status: "former", Author: "Ly", Accepted: "Inventaria nova", Reason: "moved"},
		"Inventaria dubia": {Status: "accepted", Author: "Ly", Disputed: "doubtful"},
	} {
		got := g.find(t, name)
		if got.Status != want.Status || got.Author != want.Author || got.Parent != want.Parent || got.Accepted != want.Accepted ||
			got.Reason != want.Reason || got.Disputed != want.Disputed || got.Source != report.Source {
			t.Errorf("%s: %+v", name, got)
		}
	}
	if want := []taxon.CommonRow{{Line: 2, Name: "Inventaria nova", Common: `New "Cap"`, Language: "en", Source: report.Source},
		{Line: 4, Name: "Agaricus novus", Common: "Alter Hut", Language: "de", Source: report.Source}}; !slices.Equal(g.commons, want) {
		t.Errorf("%+v", g.commons)
	}
	wantReasons(t, report, map[string]int{"checklist.refused-rank": 1, "checklist.refused-common-twice": 1, "checklist.refused-doubt": 1,
		"checklist.refused-common-nobody": 1, "checklist.refused-common-of-refused": 1})
	wantIndexed(t, *g)
}

func wantReasons(t *testing.T, report ChecklistReport, want map[string]int) {
	t.Helper()
	got := map[string]int{}
	for _, c := range report.Reasons {
		got[c.Key] = c.N
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("refused %v, want %v", got, want)
	}
}

const nameRows = "ID\tscientificName\tauthorship\trank\tgenus\n" +
	"n1\tInventariaceae\t\tfamily\t\nn2\tInventaria\tKerr\tgenus\t\nn3\tPrima\t\tsection\tInventaria\n" +
	"n4\tInventaria nova\t(Lund) Kerr\tspecies\tInventaria\nn5\tAgaricus novus\tLund\tspecies\tAgaricus\nn6\tNuda sola\t\tspecies\t\n"

func TestADataPackageIsReadInPartsAndAsUsages(t *testing.T) {
	parts := zipOf("name.tsv", nameRows,
		"Taxon.tsv", "ID\tparentID\tnameID\tprovisional\n1\t\tn1\t\n2\t1\tn2\t\n3\t2\tn3\t\n4\t3\tn4\ttrue\n",
		"synonym.tsv", "taxonID\tnameID\tstatus\n4\tn5\tsynonym\n4\tn9\tsynonym\n",
		"vernacular-name.csv", "taxonID,name,language\n4,\"Cap, new\",eng\n",
		"metadata.yaml", "title: Invented List\nversion: 1.0\nissued: 2025-01-02\n", "default.yaml", "Taxon:\n  kingdom: Fungi\n  extinct: false\n")
	g, report := readList(t, fileOf("list.zip", parts))
	wantReasons(t, report, map[string]int{"checklist.refused-bare": 1, "checklist.refused-name-missing": 1})
	wantPackage(t, g, report)

	usages := zipOf("NameUsage.tsv", "col:ID\tcol:parentID\tcol:status\tcol:scientificName\tcol:authorship\tcol:rank\tcol:genericName\n"+
		"1\t\taccepted\tInventariaceae\t\tfamily\t\n2\t1\taccepted\tInventaria\tKerr\tgenus\t\n3\t2\taccepted\tPrima\t\tsection\tInventaria\n"+
		"4\t3\tprovisionally accepted\tInventaria nova\t(Lund) Kerr\tspecies\t\n5\t4\tsynonym\tAgaricus novus\tLund\tspecies\t\n"+
		"6\t\tbare name\tNuda sola\t\tspecies\t\n",
		"vernacularname.tsv", "taxonID\tname\tlanguage\n4\tCap, new\teng\n",
		"metadata.yaml", "title: Invented List\nversion: \"1.0\"\n", "default.yaml", "NameUsage:\n  kingdom: Fungi\n")
	g, report = readList(t, fileOf("list.zip", usages))
	wantReasons(t, report, map[string]int{"checklist.refused-bare": 1})
	wantPackage(t, g, report)
}

func wantPackage(t *testing.T, g *gathered, report ChecklistReport) {
	t.Helper()
	if report.Kind != CatalogueOfLife || report.Source != "Invented List, 1.0" {
		t.Errorf("%+v", report)
	}
	nova, section, former := g.find(t, "Inventaria nova"), g.find(t, "Inventaria sect. Prima"), g.find(t, "Agaricus novus")
	if nova.Disputed != "provisionally accepted" || nova.Section != "Prima" || nova.Author != "(Lund) Kerr" {
		t.Errorf("%+v", nova)
	}
	if section.Rank != taxon.Section || section.Parent != "Inventaria" || g.find(t, "Inventariaceae").Parent != "Fungi" {
		t.Errorf("%+v", section)
	}
	if former.Accepted != "Inventaria nova" || former.Reason != "moved" || former.AcceptedAuthor != "(Lund) Kerr" {
		t.Errorf("%+v", former)
	}
	if len(g.commons) != 1 || g.commons[0].Common != "Cap, new" || g.commons[0].Language != "en" {
		t.Errorf("%+v", g.commons)
	}
	wantIndexed(t, *g)
}

func TestRowsThatCannotBeUsedAreRefusedWithTheirReason(t *testing.T) {
	const header = "taxonID,scientificName,scientificNameAuthorship,taxonRank,taxonomicStatus,acceptedNameUsageID\n1,Inventaria nova,Ly,species,accepted,\n"
	for row, want := range map[string]string{
		"2,,,species,accepted,":                                     "checklist.refused-no-name",
		"2,BOLD:ACR9635,,,accepted,":                                "checklist.refused-unreadable",
		"2,Inventaria sp.,,species,accepted,":                       "checklist.refused-doubt",
		"2,I. altera,,species,accepted,":                            "checklist.refused-abbreviated",
		"2,Inventariinae,,subtribe,accepted,":                       "checklist.refused-rank",
		"2,Inventaria,,species,accepted,":                           "checklist.refused-rank-name",
		"2,Inventaria altera minor,,species,accepted,":              "checklist.refused-three-words",
		"2,Inventaria nova,Ly,species,accepted,":                    "checklist.refused-twice",
		"1,Inventaria altera,Ly,species,accepted,":                  "checklist.refused-id-twice",
		"2,Inventaria altera,Ly,species,homonym,":                   "checklist.refused-status",
		"2,Inventaria altera,Ly,species,synonym,":                   "checklist.refused-no-accepted",
		"2,Inventaria altera,Ly,species,synonym,77":                 "checklist.refused-accepted-missing",
		"2,Inventaria altera,Ly,species,synonym,3\n3,,,,,":          "checklist.refused-accepted-refused",
		"2,Looseria vana,,,synonym,3\n3,Looseria media,,,synonym,2": "checklist.refused-circle",
		"2,Inventaria altera,Ly,species,accepted,,and,something":    "checklist.refused-long",
	} {
		t.Run(want, func(t *testing.T) {
			g, report := readList(t, textOf(header+row+"\n"))
			if !slices.ContainsFunc(report.Refused, func(r RefusedName) bool { return r.Why.Key == want && r.Line >= 3 && r.File == "list.csv" }) {
				t.Errorf("%+v", report.Refused)
			}
			if report.Accepted != 1 {
				t.Errorf("%d accepted", report.Accepted)
			}
			wantIndexed(t, *g)
		})
	}
}

func TestHomonymsAreHandedOutBothAndSynonymsSayWhichTheyMean(t *testing.T) {
	g, report := readList(t, textOf("taxonID,scientificName,scientificNameAuthorship,taxonomicStatus,acceptedNameUsageID\n"+
		"1,Inventaria nova,Ly,accepted,\n2,Inventaria nova,Kerr,accepted,\n3,Looseria vana,Ek,synonym,2\n4,Inventaria altera,Ly,accepted,\n5,Inventaria altera,Fr.,synonym,1\n"))
	if report.Accepted != 3 || report.Former != 2 || len(report.Refused) > 0 {
		t.Errorf("%+v", report)
	}
	if got := g.find(t, "Looseria vana"); got.Accepted != "Inventaria nova" || got.AcceptedAuthor != "Kerr" {
		t.Errorf("%+v", got)
	}
	wantIndexed(t, *g)
}

// Of one name that stands as synonym and as accepted, the accepted one stands, whichever comes first; of one name with
// two accepted names it is said that it was split.
func TestTheAcceptedOfTwoAlikeStandsAndTwoSynonymsAreASplit(t *testing.T) {
	g, _ := readList(t, textOf("taxonID,scientificName,taxonomicStatus,acceptedNameUsageID\n"+
		"1,Looseria vana,synonym,2\n2,Inventaria nova,accepted,\n3,Looseria vana,accepted,\n4,Looseria media,synonym,2\n5,Looseria media,synonym,3\n6,Oldia bona,synonym,1\n"))
	if got := g.find(t, "Looseria vana"); got.Status != "accepted" || got.Line != 4 {
		t.Errorf("%+v", got)
	}
	if got := g.find(t, "Looseria media"); got.Reason != "split" {
		t.Errorf("%+v", got)
	}
	if got := g.find(t, "Oldia bona"); got.Accepted != "Looseria vana" {
		t.Errorf("%+v", got)
	}
}

func TestNamesAreMadeOfTheirParts(t *testing.T) {
	g, report := readList(t, textOf("genericName;specificEpithet;infraspecificEpithet;taxonRank;author;order;family\n"+
		"Inventaria;nova;alba;variety;Ly;Inventales;Inventariaceae\nInventaria;nova;;species;Ly;;\nInventaria;;;genus;Kerr;;\n"))
	if report.Accepted != 3 || report.Wider != 2 {
		t.Errorf("%+v", report)
	}
	if got := g.find(t, "Inventaria nova var. alba"); got.Rank != taxon.Variety || got.Author != "Ly" {
		t.Errorf("%+v", got)
	}
	// The genus has no classification of its own; the first row of the genus that has one gives it.
	if got := g.find(t, "Inventaria"); got.Author != "Kerr" || got.Parent != "Inventariaceae" {
		t.Errorf("%+v", got)
	}
	wantIndexed(t, *g)
}

func TestNamesPointToOthersWithoutIDs(t *testing.T) {
	g, report := readList(t, textOf("name,status,accepted,parent\nLooseria vana Ly,synonym,Inventaria nova,\nInventaria nova Ek,accepted,,\n"+
		"Inventaria,accepted,,Inventariaceae\nInventariaceae,accepted,,\n"))
	if got := g.find(t, "Looseria vana"); got.Accepted != "Inventaria nova" || report.Accepted != 3 {
		t.Errorf("%+v %+v", got, report)
	}
	if got := g.find(t, "Inventaria"); got.Parent != "Inventariaceae" {
		t.Errorf("%+v", got)
	}
}

func TestEncodingsAreFoundAndSaid(t *testing.T) {
	g, report := readList(t, textOf("scientificName,author\nInventaria nova,Br\xe9s.\n"))
	if got := g.find(t, "Inventaria nova"); got.Author != "Brés." {
		t.Errorf("%+v", got)
	}
	if len(report.Notes) != 1 || report.Notes[0].Key != "archive.note-encoding" {
		t.Errorf("%+v", report.Notes)
	}
	for _, text := range []string{"\xEF\xBB\xBFscientificName,author\nInventaria nova,Brés.\n", utf16le("\ufeffscientificName,author\nInventaria nova,Brés.\n")} {
		g, report := readList(t, textOf(text))
		if got := g.find(t, "Inventaria nova"); got.Author != "Brés." || len(report.Notes) > 0 {
			t.Errorf("%+v %+v", got, report.Notes)
		}
	}
}

// A next-line sign is no line end, and with LF declared neither is a CR; both have stood inside published cells.
func TestOnlyTheDeclaredLineEndEndsARow(t *testing.T) {
	pairs := archivePairs()
	pairs[3] = "h\n1\tInventaria nova L\u0085y\tspecies\taccepted\t\t\r\n2\tInventaria altera L\ry\tspecies\taccepted\t\t\n"
	pairs[7] = "id,name,language\n"
	if _, report := readList(t, fileOf("l.zip", zipOf(pairs...))); report.Accepted != 2 {
		t.Errorf("%+v", report)
	}
}

func TestListsThatAreNotWhatTheySayAreRefusedWhole(t *testing.T) {
	swap := func(at int, text string) []byte { p := archivePairs(); p[at] = text; return zipOf(p...) }
	for want, data := range map[string][]byte{
		"checklist.finds":           swap(1, strings.Replace(metaTaxon, "dwc/terms/Taxon", "dwc/terms/Occurrence", 1)),
		"checklist.core-unknown":    swap(1, strings.Replace(metaTaxon, "dwc/terms/Taxon", "dwc/terms/Weather", 1)),
		"checklist.member-missing":  swap(1, strings.Replace(metaTaxon, "taxon.txt", "names.txt", 1)),
		"checklist.meta-unreadable": swap(1, "<archive"),
		"checklist.meta-signs":      swap(1, strings.Replace(metaTaxon, `fieldsTerminatedBy="\t"`, `fieldsTerminatedBy="||"`, 1)),
		"checklist.encoding":        swap(1, strings.Replace(metaTaxon, `encoding="UTF-8"`, `encoding="EBCDIC"`, 1)),
		"checklist.no-name-terms":   swap(1, strings.Replace(metaTaxon, "scientificName", "locality", 1)),
		"checklist.no-rows":         swap(3, "header\n"),
		"checklist.quote-open":      swap(7, "id,name,language\n4,\"New,eng\n"),
		"checklist.quote-text":      swap(7, "id,name,language\n4,\"New\"s,eng\n"),
		"checklist.several-files":   zipOf("a.csv", "x", "b.csv", "y"),
		"checklist.empty":           zipOf(),
		"checklist.path":            zipOf("../meta.xml", metaTaxon),
		"checklist.member-twice":    zipOf("meta.xml", metaTaxon, "meta.xml", metaTaxon),
		"checklist.not-tar":         gzipped([]byte(strings.Repeat("scientificName\n", 100))),
		"checklist.nothing-usable":  []byte("scientificName\nBOLD:ACR9635\n"),
		"archive.column-missing":    []byte("a,b\n1,2\n"),
		"archive.old-spreadsheet":   []byte("\xD0\xCF\x11\xE0xxxx"),
		"archive.null":              []byte("scientificName,author\nInventaria nova,L\x00y\n"),
		"archive.cell-too-large":    []byte("scientificName,author\n\"Inventaria nova" + strings.Repeat("x", maxCellBytes+1)),
		"archive.too-many-columns":  []byte("scientificName" + strings.Repeat(",a", maxColumns+2) + "\n"),
	} {
		t.Run(want, func(t *testing.T) { wantRefused(t, fileOf("l.zip", data), want) })
	}
}

// wantRefused: nothing of a refused list reaches the sink.
func wantRefused(t *testing.T, src ChecklistSource, key string) {
	t.Helper()
	var g gathered
	_, err := ReadChecklist(t.Context(), src, &g, nil)
	wantFault(t, err, fault.Invalid, key)
	var f *fault.Error
	if errors.As(err, &f) {
		wantSaid(t, f.Text)
	}
	if len(g.names)+len(g.commons) > 0 {
		t.Errorf("%d rows were handed out", len(g.names)+len(g.commons))
	}
}

func gzipped(data []byte) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	z.Write(data)
	z.Close()
	return b.Bytes()
}

func TestTarsDoNotClimbOut(t *testing.T) {
	for name, h := range map[string]*tar.Header{
		"checklist.path": plain("../taxon.txt", "x"), "checklist.link": {Name: "taxon.txt", Typeflag: tar.TypeSymlink, Linkname: "/etc/passwd"},
	} {
		t.Run(name, func(t *testing.T) { wantRefused(t, fileOf("l.tgz", tarOf(h)), name) })
	}
	wantRefused(t, fileOf("l.tgz", tarOf(plain("/taxon.txt", "x"))), "checklist.path")
	wantRefused(t, fileOf("l.tgz", tarOf(&tar.Header{Name: "a", Typeflag: tar.TypeLink, Linkname: "b"})), "checklist.link")
	wantRefused(t, fileOf("l.tgz", tarOf(plain("meta.xml", metaTaxon))[:60]), "checklist.damaged")
}

func TestAFolderWithALinkIsRefused(t *testing.T) {
	dir := t.TempDir()
	if err := os.Symlink("/etc/passwd", filepath.Join(dir, "taxon.txt")); err != nil {
		t.Fatal(err)
	}
	wantRefused(t, sourceAt(t, dir), "checklist.link")
}

func TestBombsAreRefusedBeforeTheyUnpack(t *testing.T) {
	limits := defaultChecklistLimits
	limits.small, limits.member, limits.total, limits.members, limits.rows = 1000, 100_000, 150_000, 3, 2
	zeros := strings.Repeat("0", 90_000)
	for name, c := range map[string]struct {
		data []byte
		key  string
	}{
		"ratio in a zip":      {zipOf("taxon.csv", zeros), "checklist.too-large"},
		"ratio in a tar":      {tarOf(plain("taxon.csv", zeros)), "checklist.too-large"},
		"one file too large":  {zipOf("a.csv", noise(100_001)), "checklist.too-large"},
		"together too large":  {zipOf("a.csv", noise(80_000), "b.csv", noise(80_000)), "checklist.too-large"},
		"too many files":      {zipOf("a", "", "b", "", "c", "", "d", ""), "checklist.too-many-members"},
		"too many rows":       {[]byte("scientificName\nAa ba\nAa bb\nAa bc\n"), "checklist.too-many-rows"},
		"more than it claims": {understated(zipOf("a.csv", "scientificName\n"+noise(5000))), "checklist.damaged"},
	} {
		t.Run(name, func(t *testing.T) {
			var g gathered
			_, err := readChecklist(t.Context(), fileOf("l.zip", c.data), &g, nil, limits)
			if got := fault.From(err).Text.Key; err == nil || got != c.key && !(c.key == "checklist.damaged" && got == "checklist.too-large") {
				t.Errorf("%v", err)
			}
			if len(g.names) > 0 {
				t.Error("names were handed out")
			}
		})
	}
}

// noise is text that compresses badly, the same each time.
func noise(n int) string {
	b, x := make([]byte, n), uint32(1)
	for i := range b {
		x = x*1664525 + 1013904223
		b[i] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789+-"[x>>26]
	}
	return string(b)
}

// understated forges the size in the directory of a zip with one file.
func understated(data []byte) []byte {
	at := bytes.LastIndex(data, []byte("PK\x01\x02"))
	data[at+24], data[at+25] = 16, 0
	return data
}

func TestReadingEndsWithItsContextAndTellsItsProgress(t *testing.T) {
	var b strings.Builder
	b.WriteString("scientificName,author\n")
	for i := range 60_000 {
		fmt.Fprintf(&b, "Inventaria %s,Ly\n", epithet(i))
	}
	ctx, stop := context.WithCancel(t.Context())
	_, err := ReadChecklist(ctx, textOf(b.String()), &gathered{}, func(done, total int64) { stop() })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	var last, all int64
	_, err = ReadChecklist(t.Context(), textOf(b.String()), &gathered{}, func(done, total int64) {
		if done < last || done > total {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last, all = done, total
	})
	if err != nil || last != all || all < int64(b.Len()) {
		t.Errorf("%v, %d of %d", err, last, all)
	}
}

func epithet(i int) string {
	b := []byte("aaaaaa")
	for at := range b {
		b[at] += byte(i % 20)
		i /= 20
	}
	return string(b) + "ella"
}

func TestTheSinksErrorEndsTheReading(t *testing.T) {
	full := errors.New("full")
	_, err := ReadChecklist(t.Context(), textOf("scientificName\nInventaria nova\n"), failing{full}, nil)
	if !errors.Is(err, full) {
		t.Errorf("%v", err)
	}
}

type failing struct{ err error }

func (f failing) Name(taxon.Row) error         { return f.err }
func (f failing) Common(taxon.CommonRow) error { return f.err }

// The list of refused rows has an end; their number has none.
func TestRefusedRowsAreCountedBeyondThoseKept(t *testing.T) {
	limits := defaultChecklistLimits
	limits.shown = 5
	report, err := readChecklist(t.Context(), textOf("scientificName\nInventaria nova\n"+strings.Repeat("Fomes sp\n", 50)), &gathered{}, nil, limits)
	if err != nil || len(report.Refused) != 5 || report.RefusedRows() != 50 {
		t.Errorf("%v %d %d", err, len(report.Refused), report.RefusedRows())
	}
}

func TestEveryTextOfAChecklistIsUsed(t *testing.T) {
	files, err := filepath.Glob("checklist*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	used := map[string]bool{}
	for _, f := range files {
		source, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		for _, m := range regexp.MustCompile(`"(checklist\.[a-z-]+)"`).FindAllSubmatch(source, -1) {
			used[string(m[1])] = true
		}
	}
	delete(used, "checklist.txt")
	for key := range used {
		if !message.Has(key) {
			t.Errorf("%s has no text", key)
		}
	}
	for _, key := range message.Keys() {
		plain, _, _ := strings.Cut(key, "#")
		if (strings.HasPrefix(plain, "checklist.refused-") || strings.HasPrefix(plain, "checklist.note-")) && !used[plain] {
			t.Errorf("%s is not used", key)
		}
	}
}

// Whatever is brought, nothing panics, and what is handed out fits into an index.
func FuzzReadChecklist(f *testing.F) {
	pairs := archivePairs()
	f.Add(zipOf(pairs...))
	f.Add(zipOf("name.tsv", nameRows, "taxon.tsv", "ID\tnameID\n1\tn4\n", "synonym.tsv", "taxonID\tnameID\n1\tn5\n", "metadata.yaml", "title: [a"))
	f.Add(tarOf(plain("./meta.xml", metaTaxon), plain("taxon.txt", taxonRows)))
	f.Add([]byte("taxonID,scientificName,status,acceptedNameUsageID\n1,\"Inventaria nova\",accepted,\n2,Aa bba,synonym,2\n"))
	f.Add([]byte("id;name;parent\r1;Inventaria;Inventaria\r"))
	f.Fuzz(func(t *testing.T, data []byte) {
		var g gathered
		report, err := ReadChecklist(context.Background(), fileOf("list", data), &g, nil)
		if err != nil {
			return
		}
		if len(g.names) != report.Accepted+report.Former+report.Wider {
			t.Errorf("%d names, %+v", len(g.names), report)
		}
		wantIndexed(t, g)
	})
}

// Texts inside an archive reach further than a broken zip would.
func FuzzChecklistTexts(f *testing.F) {
	f.Add(metaTaxon, taxonRows, commonRows, emlTitle)
	f.Add(strings.Replace(metaTaxon, `index="5"`, `index="900"`, 1), "1\t\\n\t\"a\r\n", "4,\"x", "title: x\nversion: [1]")
	f.Add("ID\tscientificName\trank\n1\tInventaria\tgenus\n", "ID\tnameID\tparentID\n1\t1\t1\n", "taxonID\tnameID\n1\t1\n", "Taxon: {kingdom: Fungi}")
	f.Fuzz(func(t *testing.T, first, second, third, about string) {
		for _, pairs := range [][]string{
			{"meta.xml", first, "taxon.txt", second, "common.csv", third, "eml.xml", about},
			{"name.tsv", first, "taxon.tsv", second, "synonym.tsv", third, "vernacularname.csv", third, "metadata.yaml", about, "default.yaml", about},
			{"NameUsage.csv", second, "metadata.yaml", about},
		} {
			var g gathered
			if _, err := ReadChecklist(context.Background(), fileOf("list", zipOf(pairs...)), &g, nil); err == nil {
				wantIndexed(t, g)
			}
		}
	})
}
