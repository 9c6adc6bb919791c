package foray_test

import (
	"slices"
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

func dryer(name string, places int, trays ...string) foray.Dryer {
	return foray.Dryer{Name: name, Trays: trays, Places: places}
}

func TestAPlaceInADryerIsKnownHoweverItIsWritten(t *testing.T) {
	d := dryer("A", 12, foray.NumberedTrays(11)...)
	slots := map[string]string{}
	for _, s := range d.Slots() {
		if other, twice := slots[s.Key]; twice {
			t.Errorf("%s and %s are one place", s.Text, other)
		}
		slots[s.Key] = s.Text
	}
	if len(slots) != 132 {
		t.Fatalf("%d places, want 11 × 12", len(slots))
	}
	for written, want := range map[string]string{"A 3-2": "A 3-2", "a3/2": "A 3-2", " A  3 – 2": "A 3-2", "A 1-12": "A 1-12", "A 11-2": "A 11-2", "A 12-1": "", "B 3-2": "", "": ""} {
		if got := slots[foray.SlotKey(written)]; got != want {
			t.Errorf("%q is %q, want %q", written, got, want)
		}
	}
	list := dryer("Oven", 1, "top", "middle")
	if got := list.Slots(); len(got) != 2 || got[0].Text != "Oven top" || got[1].Tray != "middle" {
		t.Errorf("a list of trays has the places %+v", got)
	}
}

func TestADryerIsToldFromTheOthers(t *testing.T) {
	others := []foray.Dryer{dryer("A", 2, "1", "2"), dryer("B", 1, "top")}
	for name, c := range map[string]struct {
		d     foray.Dryer
		wrong []string
	}{
		"a third":                     {dryer("C", 2, "1"), nil},
		"a name that differs in case": {dryer("a", 2, "1"), []string{"name"}},
		"written alike":               {dryer("A1", 1, "-2"), []string{"name"}},
		"one tray twice":              {dryer("C", 2, "1", "1"), []string{"trays"}},
		"nothing":                     {foray.Dryer{}, []string{"name", "places", "trays"}},
		"an empty tray":               {dryer("C", 1, "1", ""), []string{"trays"}},
		"a tray of two lines":         {dryer("C", 1, "1\n2"), []string{"trays"}},
		"too many places":             {dryer("C", foray.MostPlaces+1, "1"), []string{"places"}},
		"too long a name":             {dryer("The large dryer", 1, "1"), []string{"name"}},
	} {
		var got []string
		for field := range fault.From(errOr(c.d.Check(others))).Fields {
			got = append(got, field)
		}
		if slices.Sort(got); !slices.Equal(got, c.wrong) {
			t.Errorf("%s: wrong is %v, want %v", name, got, c.wrong)
		}
	}
}

// errOr is no error as one without fields.
func errOr(err error) error {
	if err == nil {
		return &fault.Error{}
	}
	return err
}

// The ranges are those of common practice: 35 to 45 °C, and at most 40 °C where a sequence is wanted.
func TestATemperatureIsAdvisedOnByWhatLiesInTheDryer(t *testing.T) {
	for _, c := range []struct {
		celsius float64
		tissue  bool
		want    foray.DryerAdvice
	}{{34.9, false, foray.TooCool}, {35, false, foray.Warm}, {45, false, foray.Warm}, {45.1, false, foray.TooHot}, {40, true, foray.Warm},
		{40.1, true, foray.HotForDNA}, {45.1, true, foray.TooHot}, {20, true, foray.TooCool}} {
		if got := foray.Advise(c.celsius, c.tissue); got != c.want {
			t.Errorf("%.1f °C, tissue wanted %t: %q, want %q", c.celsius, c.tissue, got, c.want)
		}
	}
}
