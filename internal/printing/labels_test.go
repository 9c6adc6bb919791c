package printing

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/foray"
)

func sampleLabels(from, to int, public string) []NumberLabel {
	var labels []NumberLabel
	for n := from; n <= to; n++ {
		number := foray.Number{Base: n}
		code := foray.LabelCode("HB26", number)
		labels = append(labels, NumberLabel{Event: "HB26", Number: number.String(), Check: string(foray.CheckCharacter("HB26", number)), Code: public + code})
	}
	return labels
}

func labelBytes(t testing.TB, labels []NumberLabel, s Stock) ([]byte, int) {
	t.Helper()
	var b bytes.Buffer
	pages, err := Labels(&b, labels, LabelRun{Stock: s, Title: "Labels", Owner: "Hollinbeck Fungus Society", At: made})
	if err != nil {
		t.Fatal(err)
	}
	keepShot(t, b.Bytes(), "labels-"+fmt.Sprint(s.CardW, "x", s.CardH, "-", len(labels[0].Code)))
	return b.Bytes(), pages
}

// keepShot keeps what was printed where somebody wants to look at it.
func keepShot(t testing.TB, pdf []byte, name string) {
	if folder := os.Getenv("FORAYHALL_SHOTS"); folder != "" {
		if err := os.MkdirAll(folder, 0o700); err != nil {
			t.Error(err)
		}
		if err := os.WriteFile(filepath.Join(folder, name+".pdf"), pdf, 0o600); err != nil {
			t.Error(err)
		}
	}
}

// Each crop is read by itself, as a telephone over one label would; would catch a code that is too small, that runs into
// the number or over the label's edge, and a number whose two labels differ.
func TestLabelsCodesAreReadBackFromEachLabel(t *testing.T) {
	for _, s := range everyStock() {
		for _, public := range []string{"", "https://hall.example.org/hollinbeck/HB26/n/"} {
			labels := sampleLabels(685, 685+s.PerPage()/2, public)
			pdf, pages := labelBytes(t, labels, s)
			if want := (LabelsEach()*len(labels) + s.PerPage() - 1) / s.PerPage(); pages != want {
				t.Errorf("%s: %d pages, want %d", s.Name, pages, want)
			}
			file, read := stored(t, pdf), 0
			for _, i := range []int{0, 1, s.PerPage() - 1} {
				x, y := s.place(i)
				got := scanned(t, file, 0, x, y, s.CardW, s.CardH)
				if want := labels[i/LabelsEach()].Code; !slices.Equal(got, []string{want}) {
					t.Errorf("%s: label %d is read as %v, want %s", s.Name, i, got, want)
					continue
				}
				read++
				number, err := foray.ParseNumber(got[0][strings.LastIndexByte(got[0], '/')+1:], "HB26")
				if err != nil || number.Base != 685+i/LabelsEach() {
					t.Errorf("%s: %s is %v, %v", s.Name, got[0], number, err)
				}
			}
			t.Logf("%s, %d characters: %d codes read", s.Name, len(labels[0].Code), read)
		}
	}
}

func TestLabelsSayNumberCheckAndPartInsideTheirEdges(t *testing.T) {
	for _, s := range everyStock() {
		labels := append(sampleLabels(417, 417, ""), sampleLabels(foray.MaxNumber, foray.MaxNumber, "")...)
		pdf, _ := labelBytes(t, labels, s)
		text := strings.Join(pagesOf(t, pdf), " ")
		for _, l := range labels {
			for _, want := range []string{l.Number, "check " + l.Check, "slip", "stub", "HB26"} {
				if strings.Count(text, want) < LabelsEach() && want != "slip" && want != "stub" || !strings.Contains(text, want) {
					t.Errorf("%s: %q is not there twice: %s", s.Name, want, text)
				}
			}
		}
		c, err := newCanvas(s.PageW, s.PageH)
		if err != nil {
			t.Fatal(err)
		}
		at := -1
		c.seen = func(m mark) {
			if m.text == "cut" || m.kind == "shape" && m.text == "rule" {
				return
			}
			if m.kind == "code" {
				at++
			}
			x, y := s.place(at)
			if m.x < x-0.01 || m.y < y-0.01 || m.x+m.w > x+s.CardW+0.01 || m.y+m.h > y+s.CardH+0.01 {
				t.Errorf("%s: %s %q stands over the edge of label %d: %+v", s.Name, m.kind, m.text, at, m)
			}
		}
		if err := drawLabels(c, labels, LabelRun{Stock: s, Owner: "Hollinbeck Fungus Society", At: made}); err != nil {
			t.Fatal(err)
		}
	}
}

func TestLabelsBeginBehindThoseThatAreUsedUp(t *testing.T) {
	s := stocks[3]
	var b bytes.Buffer
	pages, err := Labels(&b, sampleLabels(1, 2, ""), LabelRun{Stock: s, At: made, Skip: s.PerPage() - 1})
	if err != nil || pages != 2 {
		t.Fatalf("%d pages, %v", pages, err)
	}
	file := stored(t, b.Bytes())
	x, y := s.place(s.PerPage() - 1)
	if got := scanned(t, file, 0, x, y, s.CardW, s.CardH); !slices.Equal(got, []string{foray.LabelCode("HB26", foray.Number{Base: 1})}) {
		t.Errorf("on the last place stands %v", got)
	}
}
