package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"time"

	"forayhall/internal/muster/sun"
)

// sunTimes is what the command prints; no such event is null.
type sunTimes struct {
	Sunrise    *time.Time `json:"sunrise"`
	Sunset     *time.Time `json:"sunset"`
	CivilDawn  *time.Time `json:"civil_dawn"`
	CivilDusk  *time.Time `json:"civil_dusk"`
	State      sun.State  `json:"state"`
	CivilState sun.State  `json:"civil_state"`
}

func runSun(_ context.Context, e *env, args []string) error {
	f := e.flags("sun")
	latitude, longitude, date, zone := f.text("lat", ""), f.text("lon", ""), f.text("date", ""), f.text("zone", "")
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	if err := f.need("lat", "lon", "date", "zone"); err != nil {
		return err
	}
	place, err := f.sunPlace(*latitude, *longitude, *zone)
	if err != nil {
		return err
	}
	day, err := time.Parse(time.DateOnly, *date)
	if err != nil {
		return f.fault("cli.sun.date", "date", *date)
	}
	d := place.On(day.Date())
	if err := json.NewEncoder(e.stdout).Encode(sunTimes{d.Sunrise, d.Sunset, d.CivilDawn, d.CivilDusk, d.State, d.CivilState}); err != nil {
		return fmt.Errorf("write the times of the sun: %w", err)
	}
	return nil
}

func (f *flags) sunPlace(latitude, longitude, zone string) (p sun.Place, err error) {
	if p.Latitude, err = f.degrees("lat", latitude, 90); err != nil {
		return p, err
	}
	if p.Longitude, err = f.degrees("lon", longitude, 180); err != nil {
		return p, err
	}
	// "Local" would answer by the zone of the computer, which is not the place's.
	p.Zone, err = time.LoadLocation(zone)
	if err != nil || zone == "Local" {
		return p, f.fault("cli.sun.zone", "zone", zone)
	}
	return p, nil
}

func (f *flags) degrees(flag, written string, most float64) (float64, error) {
	x, err := strconv.ParseFloat(written, 64)
	if err != nil || !(math.Abs(x) <= most) {
		return 0, f.fault("cli.sun.degrees", "flag", flag, "written", written, "most", most)
	}
	return x, nil
}
