package foray_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/foray"
)

func TestAListOfPlatesIsReadLineByLine(t *testing.T) {
	got := foray.ReadLines("0417 Amanita  citrina; smells of raw potato\r\n\n  HB26 0418a: Mycena cf. pura\n0419\nhb26 0420 small brown agaric", "HB26")
	want := []foray.Line{
		{Written: "0417 Amanita citrina; smells of raw potato", Number: "0417", Name: "Amanita citrina", Remarks: "smells of raw potato"},
		{Written: "HB26 0418a: Mycena cf. pura", Number: "0418a", Name: "Mycena cf. pura"},
		{Written: "0419", Number: "0419"},
		{Written: "hb26 0420 small brown agaric", Number: "0420", Name: "small brown agaric"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("%+v", got)
	}
}

func TestALineThatIsSentAgainHasItsId(t *testing.T) {
	form, err := foray.NewID(start, bytes.NewReader(make([]byte, 10)))
	if err != nil {
		t.Fatal(err)
	}
	line := "0417 Boletus edulis"
	if first, again := form.Derived(line), form.Derived(strings.Clone(line)); first != again {
		t.Error("the same line has two ids")
	}
	if form.Derived("0417 Boletus edulis") == form.Derived("0418 Boletus edulis") {
		t.Error("two lines have one id")
	}
	if got := form.MadeBy(); got.Before(start) || got.After(start.Add(time.Millisecond)) {
		t.Errorf("made by %v, want %v", got, start)
	}
	if got := form.Derived("x").MadeBy(); !got.IsZero() {
		t.Errorf("a derived id carries no time, got %v", got)
	}
}

func TestOnlyTheNewestSlipOfTheLastMinuteIsUndone(t *testing.T) {
	one := act{kind: foray.SignOff, by: dora, writer: scribe, name: "A"}.slip(1, start)
	two := act{kind: foray.FieldName, by: mia, name: "B"}.slip(2, start)
	for rule, c := range map[string]struct {
		slips []foray.Slip
		by    foray.ID
		after time.Duration
		want  bool
	}{
		"whoever wrote it, within the minute": {[]foray.Slip{one}, scribe, time.Minute, true},
		"not later":                           {[]foray.Slip{one}, scribe, time.Minute + time.Second, false},
		"not whoever said it":                 {[]foray.Slip{one}, dora, 0, false},
		"not when somebody wrote since":       {[]foray.Slip{one, two}, scribe, 0, false},
	} {
		slip, ok := foray.Replay(c.slips).Undo(c.by, c.slips, start.Add(c.after))
		if ok != c.want || ok && slip.ID != one.ID {
			t.Errorf("%s: %v %+v", rule, ok, slip)
		}
	}
}
