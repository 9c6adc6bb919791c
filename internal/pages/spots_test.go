package pages

import (
	"strings"
	"testing"
)

func TestNumbersAreReadAsPeopleWriteThemOneAfterAnother(t *testing.T) {
	got := spots("0417 HB26 0421:4,\n0430;HB26-0431", "HB26")
	var out []string
	for _, s := range got {
		out = append(out, s.Number+"@"+s.Position)
	}
	if want := "0417@ 0421@4 0430@ HB26-0431@"; strings.Join(out, " ") != want {
		t.Errorf("%v, want %s", out, want)
	}
}
