package sun_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"forayhall/internal/muster/sun"
)

// northern is the latitude beyond which the sun sets so slantwise that a small error of height is a large one of time.
const northern = 60

func sunRows(t *testing.T) (list []map[string]string) {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	file, err := os.Open(filepath.Join(folder, "sun", "sun.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil || len(records) < 2 {
		t.Fatalf("%d rows, %v", len(records), err)
	}
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		list = append(list, row)
	}
	return list
}

func degrees(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Every row of a table made with PyEphem 4.1.4, within 2 minutes below 60 degrees and 5 above.
func TestEveryRowOfTheReference(t *testing.T) {
	var worst time.Duration
	where := ""
	for _, row := range sunRows(t) {
		latitude, name := degrees(t, row["lat"]), row["place"]+" "+row["local_date"]
		d := on(t, latitude, degrees(t, row["lon"]), row["tz"], row["local_date"])
		tolerance := 2 * time.Minute
		if math.Abs(latitude) >= northern {
			tolerance = 5 * time.Minute
		}
		for column, got := range map[string]moment{
			"sunrise_utc": {d.Sunrise, d.State}, "sunset_after_noon_utc": {d.Sunset, d.State},
			"civil_dawn_utc": {d.CivilDawn, d.CivilState}, "civil_dusk_after_noon_utc": {d.CivilDusk, d.CivilState},
		} {
			if off := got.against(t, name+" "+column, row[column], tolerance); off > worst {
				worst, where = off, name+" "+column
			}
		}
	}
	t.Logf("the largest difference is %s, %s", worst, where)
}

type moment struct {
	at    *time.Time
	state sun.State
}

func (m moment) against(t *testing.T, what, want string, tolerance time.Duration) time.Duration {
	t.Helper()
	switch want {
	case string(sun.AlwaysUp), string(sun.AlwaysDown):
		if m.at != nil || string(m.state) != want {
			t.Errorf("%s: %v, %s, want %s", what, m.at, m.state, want)
		}
		return 0
	case "none_this_local_day", "none_within_24h":
		want = ""
	}
	return about(t, what, m.at, want, tolerance)
}
