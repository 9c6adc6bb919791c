package foray_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
)

func TestNumbersAreReadAsPeopleWriteThem(t *testing.T) {
	for name, c := range map[string]struct{ written, want string }{
		"digits alone":                      {"417", "0417"},
		"as on the label":                   {"0417", "0417"},
		"a split":                           {"0137a", "0137a"},
		"a split in capitals, with a gap":   {" 137 B ", "0137b"},
		"with the event":                    {"HB26 0417", "0417"},
		"with the event and a dash":         {"hb26-0417a", "0417a"},
		"with the event and a typeset dash": {"HB26–417", "0417"},
		"with the event, as scanned":        {"HB260417", "0417"},
		"as a label's code says":            {foray.LabelCode("HB26", foray.Number{Base: 417}), "0417"},
		"with a wrong check character":      {"HB26-0418-" + string(foray.CheckCharacter("HB26", foray.Number{Base: 417})), ""},
		"five digits after a gap":           {"HB26 10417", "10417"},
		"the largest":                       {"999999", "999999"},
		"another event's":                   {"HB25 0417", ""},
		"the event alone":                   {"HB26", ""},
		"the event and too few digits":      {"HB26417", ""},
		"nought":                            {"0000", ""},
		"below nought":                      {"-4", ""},
		"more than a label bears":           {"1000000", ""},
		"three letters":                     {"0137abc", ""},
		"a letter first":                    {"a137", ""},
		"words":                             {"the big one", ""},
		"nothing":                           {"", ""},
		"digits of another script":          {"٤١٧", ""},
	} {
		t.Run(name, func(t *testing.T) {
			n, err := foray.ParseNumber(c.written, "HB26")
			if n.String() != c.want || (err != nil) != (c.want == "") {
				t.Errorf("%q is %q %v, want %q", c.written, n, err, c.want)
			}
		})
	}
}

var numbers = rapid.Custom(func(t *rapid.T) foray.Number {
	return foray.Number{Base: rapid.IntRange(1, foray.MaxNumber).Draw(t, "base"), Suffix: rapid.StringMatching("[a-z]{0,2}").Draw(t, "suffix")}
})

func TestANumberIsReadBackAsItIsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := numbers.Draw(t, "number")
		event := rapid.StringMatching("[A-Z]{1,6}[0-9]{0,4}").Draw(t, "event")
		for _, written := range []string{n.String(), event + " " + n.String(), event + "-" + n.String()} {
			if back, err := foray.ParseNumber(written, event); err != nil || back != n {
				t.Fatalf("%q of %s is read as %v, %v", written, event, back, err)
			}
		}
	})
}

func TestNumbersStandInOneOrder(t *testing.T) {
	ordered := []foray.Number{{Base: 9}, {Base: 137}, {Base: 137, Suffix: "a"}, {Base: 137, Suffix: "b"}, {Base: 137, Suffix: "aa"}, {Base: 138}, {Base: 10000}}
	for i, a := range ordered {
		for j, b := range ordered {
			if a.Less(b) != (i < j) {
				t.Errorf("%s before %s: %v", a, b, a.Less(b))
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		all := rapid.SliceOfN(numbers, 3, 3).Draw(t, "numbers")
		a, b, c := all[0], all[1], all[2]
		if a != b && a.Less(b) == b.Less(a) || a.Less(b) && b.Less(c) && !a.Less(c) {
			t.Fatalf("no order: %v", all)
		}
	})
}

// What is accepted is a number that its own label gives again; nothing panics.
func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"417", "HB26 0417a", "HB260417", "-", "HB26HB26", "999999zz", "\x00", "٤", "0"} {
		f.Add(s, "HB26")
	}
	f.Fuzz(func(t *testing.T, written, event string) {
		n, err := foray.ParseNumber(written, event)
		if err != nil {
			return
		}
		if n.Base < 1 || n.Base > foray.MaxNumber {
			t.Errorf("%q gives %d", written, n.Base)
		}
		if back, err := foray.ParseNumber(n.String(), ""); err != nil || back != n {
			t.Errorf("%q gives %s, which gives %v %v", written, n, back, err)
		}
	})
}

func TestAPlateIsPutOnlyWhereItMayBe(t *testing.T) {
	table := foray.ID{7}
	for name, c := range map[string]struct {
		to     foray.Placement
		naming foray.Naming
		good   bool
	}{
		"on a table that is named":             {foray.Placement{Where: foray.OnTable, TableID: table}, foray.BroughtIn, true},
		"on a table that is not":               {foray.Placement{Where: foray.OnTable}, foray.Confirmed, false},
		"sent to somebody":                     {foray.Placement{Where: foray.SentTo, With: "the herbarium"}, foray.Provisional, true},
		"sent to nobody":                       {foray.Placement{Where: foray.SentTo}, foray.Confirmed, false},
		"into a tray":                          {foray.Placement{Where: foray.InDryer, Position: "3"}, foray.Confirmed, true},
		"into the dryer, tray unknown":         {foray.Placement{Where: foray.InDryer}, foray.Confirmed, false},
		"discarded, confirmed":                 {foray.Placement{Where: foray.Discarded}, foray.Confirmed, true},
		"discarded, not nameable":              {foray.Placement{Where: foray.Discarded}, foray.Unnameable, true},
		"discarded, not a fungus":              {foray.Placement{Where: foray.Discarded}, foray.NotAFungus, true},
		"discarded though nobody has named it": {foray.Placement{Where: foray.Discarded}, foray.BroughtIn, false},
		"lost, in any state":                   {foray.Placement{Where: foray.Lost}, foray.BroughtIn, true},
		"somewhere that is no place":           {foray.Placement{Where: "attic"}, foray.Confirmed, false},
	} {
		t.Run(name, func(t *testing.T) {
			if err := foray.PermitPlacement(c.to, c.naming); (err == nil) != c.good {
				t.Errorf("answered %v", err)
			}
		})
	}
	if i := slices.Index(foray.AllWhereabouts, foray.OnTable); i < 0 || foray.Discarded.InHall() || foray.SentTo.InHall() || !foray.Lost.InHall() {
		t.Error("a discarded or sent plate is still met in the hall, or a lost one never")
	}
}
