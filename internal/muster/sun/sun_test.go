package sun_test

import (
	"math"
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"

	"forayhall/internal/muster/sun"
)

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func on(t *testing.T, latitude, longitude float64, name, date string) sun.Day {
	t.Helper()
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		t.Fatal(err)
	}
	return sun.Place{Latitude: latitude, Longitude: longitude, Zone: zone(t, name)}.On(d.Date())
}

// about says whether a time is within the tolerance of what is wanted, where "" is none.
func about(t *testing.T, what string, got *time.Time, want string, tolerance time.Duration) time.Duration {
	t.Helper()
	if got == nil || want == "" {
		if got != nil || want != "" {
			t.Errorf("%s is %v, want %q", what, got, want)
		}
		return 0
	}
	at, err := time.Parse(time.RFC3339, want)
	if err != nil {
		t.Fatal(err)
	}
	off := got.Sub(at).Abs()
	if off > tolerance {
		t.Errorf("%s is %s, want %s", what, got.Format(time.RFC3339), want)
	}
	return off
}

// Moments computed with PyEphem 4.1.4 (upper limb, 34' of refraction, sea level; centre at -6 degrees for twilight).
func TestSunAgreesWithAnEphemeris(t *testing.T) {
	for name, c := range map[string]struct {
		latitude, longitude         float64
		zone, date                  string
		sunrise, sunset, dawn, dusk string
		state, civil                sun.State
		tolerance                   time.Duration
	}{
		"on the day before the clocks change": {51.5074, -0.1278, "Europe/London", "2024-10-26",
			"2024-10-26T06:44:11Z", "2024-10-26T16:43:51Z", "2024-10-26T06:09:35Z", "2024-10-26T17:18:25Z", sun.Normal, sun.Normal, time.Minute},
		"south of the equator": {-43.5321, 172.6362, "Pacific/Auckland", "2024-04-07",
			"2024-04-06T18:53:13Z", "2024-04-07T06:09:14Z", "2024-04-06T18:24:30Z", "2024-04-07T06:37:54Z", sun.Normal, sun.Normal, time.Minute},
		"where the evening is already the next day in UTC": {37.7749, -122.4194, "America/Los_Angeles", "2025-03-09",
			"2025-03-09T14:29:03Z", "2025-03-10T02:11:35Z", "2025-03-09T14:02:54Z", "2025-03-10T02:37:46Z", sun.Normal, sun.Normal, time.Minute},
		"in the polar night, which has a twilight": {69.6492, 18.9553, "Europe/Oslo", "2024-12-21",
			"", "", "2024-12-21T08:31:32Z", "2024-12-21T12:53:22Z", sun.AlwaysDown, sun.Normal, 2 * time.Minute},
		"under the midnight sun": {69.6492, 18.9553, "Europe/Oslo", "2024-06-21",
			"", "", "", "", sun.AlwaysUp, sun.AlwaysUp, time.Minute},
	} {
		t.Run(name, func(t *testing.T) {
			d := on(t, c.latitude, c.longitude, c.zone, c.date)
			about(t, "sunrise", d.Sunrise, c.sunrise, c.tolerance)
			about(t, "sunset", d.Sunset, c.sunset, c.tolerance)
			about(t, "civil dawn", d.CivilDawn, c.dawn, c.tolerance)
			about(t, "civil dusk", d.CivilDusk, c.dusk, c.tolerance)
			if d.State != c.state || d.CivilState != c.civil {
				t.Errorf("%s and %s, want %s and %s", d.State, d.CivilState, c.state, c.civil)
			}
		})
	}
}

// Reykjavik about midsummer: the calendar day's sunset is at 00:03 that morning and the evening's at 00:03 on the next
// day (PyEphem 4.1.4). Would catch a deadline that is a day early.
func TestTheEveningIsTheOneAfterNoon(t *testing.T) {
	d := on(t, 64.1466, -21.9426, "Atlantic/Reykjavik", "2024-06-21")
	about(t, "sunset", d.Sunset, "2024-06-22T00:03:00Z", 2*time.Minute)
	if d.CivilDusk != nil || d.CivilState != sun.AlwaysUp {
		t.Errorf("civil dusk is %v, %s; the sun stays above -6 degrees all night", d.CivilDusk, d.CivilState)
	}
}

// A place that skips midnight when the clocks change (Asuncion on 2024-10-06) still has its morning.
func TestADayWithoutMidnightHasItsMorning(t *testing.T) {
	d := on(t, -25.2637, -57.5759, "America/Asuncion", "2024-10-06")
	if d.Sunrise == nil || d.Sunrise.In(zone(t, "America/Asuncion")).Day() != 6 {
		t.Errorf("sunrise is %v", d.Sunrise)
	}
}

// At the pole the sun rises once a year, near 20 March, and no sunset follows within a day.
func TestAtThePoleNothingIsMadeUp(t *testing.T) {
	for date, want := range map[string]sun.State{"2024-01-10": sun.AlwaysDown, "2024-06-21": sun.AlwaysUp} {
		if d := on(t, 90, 0, "UTC", date); d.State != want || d.Sunset != nil || d.Sunrise != nil {
			t.Errorf("%s: %+v", date, d)
		}
	}
}

// Evening comes in order wherever both happen, and the state is what the times say.
func TestAnywhereTheDayIsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		longitude := rapid.Float64Range(-180, 180).Draw(t, "longitude")
		offset := int(math.Round(longitude/15)) * 3600
		p := sun.Place{Latitude: rapid.Float64Range(-90, 90).Draw(t, "latitude"), Longitude: longitude,
			Zone: time.FixedZone("", offset)}
		start := time.Date(2024, 1, rapid.IntRange(1, 1500).Draw(t, "day"), 0, 0, 0, 0, p.Zone)
		d := p.On(start.Date())
		inOrder(t, d.CivilDawn, d.Sunrise, "sunrise before civil dawn")
		inOrder(t, d.Sunset, d.CivilDusk, "civil dusk before sunset")
		if d.State != sun.Normal && (d.Sunrise != nil || d.Sunset != nil) {
			t.Fatalf("%s with %v and %v", d.State, d.Sunrise, d.Sunset)
		}
		if d.State == sun.AlwaysUp && d.CivilState != sun.AlwaysUp {
			t.Fatalf("the sun is up and civil twilight is %s", d.CivilState)
		}
		if d.Sunset != nil && (d.Sunset.Before(start.Add(12*time.Hour)) || d.Sunset.After(start.Add(36*time.Hour))) {
			t.Fatalf("sunset of %s is %s", start, d.Sunset)
		}
	})
}

// inOrder lets a night pass between the two: near the polar circles one of them may fall into another day.
func inOrder(t *rapid.T, first, second *time.Time, wrong string) {
	if first != nil && second != nil && second.Before(*first) && first.Sub(*second) < 12*time.Hour {
		t.Fatalf("%s: %s, %s", wrong, first, second)
	}
}
