package printing

import (
	"bytes"
	"os"
	"testing"
)

func sheetBytes(t testing.TB, s WarningSheet, p Paper) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Sheet(&b, s, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestLook(t *testing.T) {
	s := sampleSheet(t, inHall)
	t.Log(len(s.Here), len(s.Wide), len(s.Doubles), len(s.NoEntry))
	os.WriteFile("/tmp/fontwork/sheet.pdf", sheetBytes(t, s, Paper{}), 0o644)
	os.WriteFile("/tmp/fontwork/large.pdf", sheetBytes(t, s, Paper{Size: Letter, Large: true}), 0o644)
	for _, n := range []int{15, 20, 25, 30, 35} {
		s := sampleSheet(t, inHall)
		s.Here = s.Here[:min(n, len(s.Here))]
		c, _ := newCanvas(A4.mm())
		l, _ := layOut(c, s, Paper{})
		t.Log(n, len(bySyndrome(s.Here)), l.set.stage, l.set.sizes.detail, l.ends)
	}
	s.Final = false
	s.Contact = Contact{}
	s.Lacks = append(s.Lacks, msg)
	os.WriteFile("/tmp/fontwork/draft.pdf", sheetBytes(t, s, Paper{Size: Letter}), 0o644)
}
