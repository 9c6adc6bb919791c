package archive

import (
	"os"
	"path/filepath"
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/taxon"
)

// sourceAt opens a file or a folder of the reference data.
func sourceAt(t testing.TB, path string) ChecklistSource {
	t.Helper()
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if info.IsDir() {
		root, err := os.OpenRoot(path)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { root.Close() })
		return ChecklistFolder(path, root.FS())
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return ChecklistFile(path, f, info.Size())
}

func referenceFolder(t testing.TB) string {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	return folder
}

// outcome is what becomes of a sample: refused with a text, or read with so many rows and these reasons.
type outcome struct {
	refused                         string
	title                           string
	accepted, former, wider, common int
	reasons                         map[string]int
	more                            bool // or more: how many depends on how names of whales are read
}

// The samples of occurrences are published archives too, and none of them says which names are accepted.
var samples = map[string]outcome{
	"dwca-default-metadata-filename.zip": {refused: "checklist.finds"},
	"dwca-invalid-lacks-metadata":        {refused: "checklist.finds"},
	"dwca-noheaders-1.zip":               {refused: "checklist.finds"},
	"dwca-nometadata.zip":                {refused: "checklist.finds"},
	"dwca-partial-default.zip":           {refused: "checklist.finds"},
	"dwca-simple-csv-notenclosed.zip":    {refused: "checklist.finds"}, // no meta.xml, but basisOfRecord
	"dwca-simple-test-archive.zip":       {refused: "checklist.finds"},
	"dwca-test-default.zip":              {refused: "checklist.finds"},
	"dwca-utf8-eol-test.zip":             {refused: "checklist.finds"},
	// Two files and nothing that says which is the list.
	"dwca-invalid-simple-two.zip": {refused: "checklist.several-files"},
	// Names stand only in the columns of the classification.
	"dwca-star-test-archive.zip": {title: "star-test-archive, 1", accepted: 4, wider: 8, common: 4},
	// The header has five rows; the second oak is the first once more.
	"multiline-header": {title: "multiline-header", accepted: 1, wider: 1, reasons: map[string]int{"checklist.refused-twice": 1}},
	// The first row is left out as meta.xml says, which loses the kingdom; columns give it back.
	"gbif-small.tar.gz": {title: "GBIF Backbone Taxonomy", accepted: 176, former: 287, wider: 2,
		reasons: map[string]int{"checklist.refused-rank": 25, "checklist.refused-doubt": 3}},
	// Older terms and row type, blank rows, rows with too few cells, an id that stands twice.
	"in_core_accepted.tar.gz": {title: "Leptogastrinae (Diptera: Asilidae) Classification, 2010-02-03", accepted: 510, former: 53,
		reasons: map[string]int{"checklist.refused-short": 2, "checklist.refused-id-twice": 1, "checklist.refused-status": 9}},
	// Whales: synonyms by the hundred without authors, and accepted names that point to synonyms.
	"archive-tax.zip": {title: "Hershkovitz, Catalogue of Living Whales, 2009-06-12", accepted: 139, former: 1001, common: 851, wider: 1, more: true,
		reasons: map[string]int{"checklist.refused-abbreviated": 1}},
	// A hybrid formula is no name, three taxa share one name, three are of ranks that are not kept, two names are neither accepted nor synonyms.
	"../../names/coldp_example": {title: "coldp_example", accepted: 17, former: 5, wider: 1, common: 1,
		reasons: map[string]int{"checklist.refused-unreadable": 1, "checklist.refused-twice": 2, "checklist.refused-rank": 3, "checklist.refused-bare": 2}},
	"../../names/fungi_medium.csv": {title: "fungi_medium", accepted: 23518, former: 312, wider: 1804,
		reasons: map[string]int{"checklist.refused-twice": 54, "checklist.refused-doubt": 4}},
}

func TestEveryPublishedSampleIsReadOrRefusedForItsReason(t *testing.T) {
	folder := filepath.Join(referenceFolder(t), "dwc", "samples")
	there, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range there {
		if _, said := samples[f.Name()]; !said {
			t.Errorf("nothing is said of %s", f.Name())
		}
	}
	for name, want := range samples {
		t.Run(filepath.Base(name), func(t *testing.T) { checkSample(t, filepath.Join(folder, name), want) })
	}
}

func checkSample(t *testing.T, path string, want outcome) {
	var g gathered
	report, err := ReadChecklist(t.Context(), sourceAt(t, path), &g, nil)
	if want.refused != "" {
		wantFault(t, err, fault.Invalid, want.refused)
		if len(g.names) > 0 {
			t.Errorf("%d names were handed out of a list that is refused", len(g.names))
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if want.more {
		report.Accepted, report.Former, report.Common = min(report.Accepted, want.accepted), min(report.Former, want.former), min(report.Common, want.common)
	}
	got := outcome{title: report.Source, accepted: report.Accepted, former: report.Former, wider: report.Wider, common: report.Common}
	if got.title != want.title || got.accepted != want.accepted || got.former != want.former || got.wider != want.wider || got.common != want.common {
		t.Errorf("%+v, want %+v", got, want)
	}
	for _, c := range report.Reasons {
		wantSaid(t, c.First.Why)
		if n, said := want.reasons[c.Key]; said && n != c.N {
			t.Errorf("%s: %d, want %d", c.Key, c.N, n)
		}
		delete(want.reasons, c.Key)
	}
	if len(want.reasons) > 0 {
		t.Errorf("not refused: %v", want.reasons)
	}
	wantIndexed(t, g)
}

// wantIndexed puts what was handed out into an index, which leaves nothing out.
func wantIndexed(t *testing.T, g gathered) {
	t.Helper()
	b := taxon.NewBuilder()
	for _, r := range g.names {
		if err := b.Add(r); err != nil {
			t.Errorf("the index refuses %+v: %v", r, err)
		}
	}
	for _, r := range g.commons {
		if err := b.AddCommon(r); err != nil {
			t.Errorf("the index refuses %+v: %v", r, err)
		}
	}
	if _, left := b.Finish(); len(left) > 0 {
		t.Errorf("the index leaves out %d, the first: %v", len(left), left[0])
	}
}
