package view

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"testing"
)

func drawn(t *testing.T, p Plot) string {
	t.Helper()
	var b bytes.Buffer
	if err := plot(p).Render(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// By hand: the frame is 304 wide from 44 and 174 high from 26. Would catch a line that does not stand where its axes say,
// and a drawing that only eyes, or only eyes for colour, can read.
func TestAPlotStandsWhereItsAxesSay(t *testing.T) {
	ticks, to := PlotTicks(10)
	line := []PlotPoint{{0, 0}, {1, 5}, {2, 10}}
	svg := drawn(t, Plot{Key: "p", Title: T("worth.figure.curve"), About: T("worth.about.season"), X: PlotAxis{Label: T("worth.axis.team"), To: 2}, Y: PlotAxis{Label: T("worth.axis.taxa"), To: to, Ticks: ticks},
		Lines: []PlotLine{{Style: PlotWhole, Points: line}, {Style: PlotDashed, Points: line[1:]}}, Bands: []PlotBand{{Low: line[1:], High: line[1:]}},
		Dots: []PlotDot{{X: 1, Y: 5, Style: PlotRound}}, Legend: []PlotKey{{Style: PlotDashed, Text: T("worth.key.more")}}})
	for _, want := range []string{`d="M44 200L196 113L348 26"`, `class="plot-line plot-dashed" d="M196 113L348 26"`, `d="M196 113L348 26L348 26L196 113Z"`,
		`cx="196" cy="113"`, `role="img"`, `aria-labelledby="p-title p-about"`, `<title id="p-title">`, `<desc id="p-about">`} {
		if !strings.Contains(svg, want) {
			t.Errorf("%s is not in %s", want, svg)
		}
	}
	if wrong := regexp.MustCompile(` (style|fill|stroke|on[a-z]+)=`).FindString(svg); wrong != "" {
		t.Errorf("the drawing has%q, which the content security policy or a black-and-white printer takes away", wrong)
	}
}

func TestTicksAreRoundAndReachTheMost(t *testing.T) {
	for most, want := range map[float64]struct {
		to float64
		n  int
	}{0: {1, 2}, 1: {1, 2}, 4: {4, 5}, 10: {10, 6}, 99: {100, 6}, 247: {250, 6}, 251: {300, 4}} {
		ticks, to := PlotTicks(most)
		if to != want.to || len(ticks) != want.n {
			t.Errorf("up to %v there are %d ticks to %v, want %d to %v", most, len(ticks), to, want.n, want.to)
		}
	}
}

func TestANameIsCutOnlyInTheDrawing(t *testing.T) {
	if got := cut("Quercus robur, Betula pendula", 15); got != "Quercus robur…" {
		t.Errorf("cut to %q", got)
	}
	if got := cut("Fagus", 15); got != "Fagus" {
		t.Errorf("cut to %q", got)
	}
}
