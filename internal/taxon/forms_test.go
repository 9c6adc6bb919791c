package taxon

import "testing"

// Each row is a way in which a name is written, with what it reads as and where that usage is from: an article of the
// code (authors.go says which of them were read and which are from memory), a paper, or common practice.
func TestReadKnowsTheFormsInWhichNamesAreWritten(t *testing.T) {
	rows := shippedTable(t, "written_forms.csv")
	if len(rows) < 150 {
		t.Errorf("only %d forms", len(rows))
	}
	for _, row := range rows {
		w := Read(row[0])
		provisional := ""
		if w.Provisional {
			provisional = "yes"
		}
		got := []string{w.Verbatim, w.Canonical, string(w.Rank), w.Author, string(w.Qualifier), string(w.Position), w.Label, provisional,
			w.SenseOf, w.NotOf, w.Note, w.SectionRank}
		for i, part := range got {
			if part != row[i] {
				t.Errorf("Read(%q) [%s]: part %d is %q, want %q (%+v)", row[0], row[12], i, part, row[i], w)
			}
		}
	}
}
