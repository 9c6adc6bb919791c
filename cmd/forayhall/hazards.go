package main

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hazard"
	"forayhall/internal/knowledge"
	"forayhall/seed"
)

func runHazards(ctx context.Context, e *env, args []string) error {
	f := e.flags("hazards")
	region, json := f.text("region", ""), f.yes("json")
	words, err := f.parse(args, 0, 1)
	if err != nil {
		return err
	}
	if *region != "" && !slices.Contains(setup.Regions, *region) {
		return f.fault("cli.region-unknown", "region", *region, "regions", strings.Join(setup.Regions, ", "))
	}
	return e.askHazards(words, *json, func(b *hazard.Base) archive.Pass { return hazardPass(ctx, b, *region) })
}

// askHazards runs what asks the built-in knowledge over the input.
func (e *env) askHazards(words []string, json bool, pass func(*hazard.Base) archive.Pass) error {
	k, err := knowledge.Load(seed.Files)
	if err != nil {
		return err
	}
	t, err := e.input(words)
	if err != nil {
		return err
	}
	e.notes(t.Notes())
	return pass(k.Hazards).Run(e.stdout, t, form(json))
}

// hazardPass asks for every region; out_of_region marks what is known of others than the one given, and hides nothing.
func hazardPass(ctx context.Context, b *hazard.Base, region string) archive.Pass {
	return archive.Pass{
		Required: []string{"name"},
		Output: []string{"name", "matched", "severity", "syndrome", "onset_min_h", "onset_max_h", "via", "entry", "source",
			"out_of_region"},
		Numbers: []string{"severity", "onset_min_h", "onset_max_h"},
		Row: func(in archive.Input) ([][]string, error) {
			var rows [][]string
			for _, f := range b.AssessIn(in.Get("name"), region) {
				rows = append(rows, hazardRow(in.Get("name"), f, region))
			}
			return rows, ctx.Err()
		},
	}
}

func hazardRow(name string, f hazard.Finding, region string) []string {
	if f.Entry == nil {
		return []string{name, f.Matched, "", "", "", "", string(f.Via)}
	}
	out := ""
	if region != "" {
		out = yesNo(f.OutOfRegion)
	}
	return []string{name, f.Matched, strconv.Itoa(f.Severity), f.Syndrome.Name, hours(f.Syndrome.OnsetMin),
		hours(f.Syndrome.OnsetMax), string(f.Via), f.Entry.ID, f.Entry.Source, out}
}

func hours(h *float64) string {
	if h == nil {
		return ""
	}
	return strconv.FormatFloat(*h, 'f', -1, 64)
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

func runLookalikes(ctx context.Context, e *env, args []string) error {
	f := e.flags("lookalikes")
	json := f.yes("json")
	words, err := f.parse(args, 0, 1)
	if err != nil {
		return err
	}
	return e.askHazards(words, *json, func(b *hazard.Base) archive.Pass { return lookalikePass(ctx, b) })
}

func lookalikePass(ctx context.Context, b *hazard.Base) archive.Pass {
	return archive.Pass{
		Required: []string{"name"},
		Output:   []string{"name", "matched", "role", "other", "severity", "syndrome", "differences", "source", "region"},
		Numbers:  []string{"severity"},
		Row: func(in archive.Input) ([][]string, error) {
			name := in.Get("name")
			var rows [][]string
			for _, d := range b.Doubles(name) {
				rows = append(rows, []string{name, d.Matched, string(d.Role), d.Other, strconv.Itoa(d.Severity), d.Syndrome.Name,
					d.Differences, d.Source, d.Region})
			}
			if len(rows) == 0 {
				rows = [][]string{{name}}
			}
			return rows, ctx.Err()
		},
	}
}
