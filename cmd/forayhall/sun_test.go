package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// The evening is the one after local noon, in UTC; moments from PyEphem 4.1.4, to the minute.
func TestSunAnswersInUTC(t *testing.T) {
	c := must(t, "", "sun", "--lat", "37.7749", "--lon", "-122.4194", "--date", "2025-03-08", "--zone", "America/Los_Angeles")
	var got map[string]*string
	if err := json.Unmarshal([]byte(c.out), &got); err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]string{"sunrise": "2025-03-08T14:30:", "sunset": "2025-03-09T02:10:", "civil_dawn": "2025-03-08T14:04:",
		"civil_dusk": "2025-03-09T02:36:", "state": "normal", "civil_state": "normal"} {
		if got[key] == nil || !strings.HasPrefix(*got[key], want) || strings.HasPrefix(want, "2") && !strings.HasSuffix(*got[key], "Z") {
			t.Errorf("%s is not %s in %s", key, want, c.out)
		}
	}
}

func TestSunSaysNullForWhatDoesNotHappen(t *testing.T) {
	c := must(t, "", "sun", "--lat=69.6492", "--lon=18.9553", "--date=2024-06-21", "--zone=Europe/Oslo")
	want := `{"sunrise":null,"sunset":null,"civil_dawn":null,"civil_dusk":null,"state":"always_up","civil_state":"always_up"}` + "\n"
	if c.out != want {
		t.Errorf("got %s", c.out)
	}
}

func TestSunRefusesWhatIsNoPlaceOrDay(t *testing.T) {
	for name, args := range map[string]string{
		"no latitude":                  "--lon 1 --date 2025-03-08 --zone UTC",
		"a latitude beyond the pole":   "--lat 90.5 --lon 1 --date 2025-03-08 --zone UTC",
		"a latitude that is no number": "--lat NaN --lon 1 --date 2025-03-08 --zone UTC",
		"a longitude beyond 180":       "--lat 1 --lon -181 --date 2025-03-08 --zone UTC",
		"a day that is not there":      "--lat 1 --lon 1 --date 2025-02-30 --zone UTC",
		"a zone that is not there":     "--lat 1 --lon 1 --date 2025-03-08 --zone Europe/Nowhere",
		"the zone of the computer":     "--lat 1 --lon 1 --date 2025-03-08 --zone Local",
		"an argument":                  "--lat 1 --lon 1 --date 2025-03-08 --zone UTC x",
	} {
		if c := call(t, "", append([]string{"sun"}, strings.Fields(args)...)...); c.code != exitWrong || c.err == "" || c.out != "" {
			t.Errorf("%s: exit %d, %q, %q", name, c.code, c.out, c.err)
		}
	}
}
