package view

import (
	"math"
	"strconv"
	"strings"

	"forayhall/internal/message"
)

// Plot is a drawing with two axes. It is drawn for the width of a telephone and grows from there; what it says stands
// beside it as a table.
type Plot struct {
	Key    string // begins its ids
	Title  message.Text
	About  message.Text // what somebody who cannot see it should know
	X, Y   PlotAxis
	Bands  []PlotBand
	Bars   []PlotBar
	Lines  []PlotLine
	Dots   []PlotDot
	Legend []PlotKey
}

// PlotAxis goes from one value to another; its ticks lie between.
type PlotAxis struct {
	Label    message.Text
	From, To float64
	Ticks    []PlotTick
}

// PlotTick is a value that is written at an axis.
type PlotTick struct {
	At    float64
	Label string
}

// PlotPoint is a point in the values of the axes.
type PlotPoint struct{ X, Y float64 }

// Styles of lines, dots and bars; each is told from the others without colour.
const (
	PlotWhole  = "whole"
	PlotDashed = "dashed"
	PlotRound  = "round"
	PlotHollow = "hollow"
	PlotSquare = "square"
	PlotGap    = "gap" // of a bar: nothing is known of it
	PlotBands  = "band"
	PlotThin   = "thin"
	PlotBarred = "barred"
)

// PlotLine joins points.
type PlotLine struct {
	Style  string
	Points []PlotPoint
}

// PlotBand lies between two lines over the same values.
type PlotBand struct{ Low, High []PlotPoint }

// PlotBar stands on the axis.
type PlotBar struct {
	X, Y  float64
	Style string
}

// PlotDot is a mark, with a word beside it where that is wanted.
type PlotDot struct {
	X, Y  float64
	Style string
	Label string
}

// PlotKey says what a style stands for.
type PlotKey struct {
	Style string
	Text  message.Text
}

// The frame of a plot, in units of its drawing; a letter is about 6 of them wide.
const (
	plotWidth, plotHeight         = 360.0, 240.0
	plotLeft, plotRight           = 44.0, 12.0
	plotTop, plotBottom           = 26.0, 40.0
	plotInner, plotInnerH         = plotWidth - plotLeft - plotRight, plotHeight - plotTop - plotBottom
	barShare              float64 = 0.76 // of the room that a bar has
)

func (p Plot) x(v float64) float64 {
	return plotLeft + (v-p.X.From)/math.Max(p.X.To-p.X.From, 1e-9)*plotInner
}

func (p Plot) y(v float64) float64 {
	return plotTop + plotInnerH - (v-p.Y.From)/math.Max(p.Y.To-p.Y.From, 1e-9)*plotInnerH
}

// at writes a length of the drawing.
func at(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

func (p Plot) path(points []PlotPoint) string {
	var b strings.Builder
	for i, q := range points {
		if b.WriteByte('L'); i == 0 {
			b.Reset()
			b.WriteByte('M')
		}
		b.WriteString(at(p.x(q.X)) + " " + at(p.y(q.Y)))
	}
	return b.String()
}

func (p Plot) area(band PlotBand) string {
	back := make([]PlotPoint, len(band.Low))
	for i, q := range band.Low {
		back[len(back)-1-i] = q
	}
	return p.path(append(append([]PlotPoint{}, band.High...), back...)) + "Z"
}

func (p Plot) barWidth() float64 {
	return math.Max(1, plotInner/math.Max(p.X.To-p.X.From, 1)*barShare)
}

// PlotTicks gives round values from 0 up to just above the most, about five of them.
func PlotTicks(most float64) (ticks []PlotTick, to float64) {
	if most <= 0 {
		most = 1
	}
	step := math.Pow(10, math.Floor(math.Log10(most/4)))
	for _, times := range []float64{1, 2, 2.5, 5, 10} {
		if most/(step*times) <= 5 {
			step *= times
			break
		}
	}
	step = math.Max(step, 1)
	for v := 0.0; ; v += step {
		ticks = append(ticks, PlotTick{At: v, Label: strconv.FormatFloat(v, 'f', -1, 64)})
		if v >= most {
			return ticks, v
		}
	}
}

// Strips is rows of small bars over one year, each to its own height.
type Strips struct {
	Key   string
	Title message.Text
	About message.Text
	Rows  []Strip
	Now   int // the place of the mark, from 0
}

// Strip is one row.
type Strip struct {
	Text  message.Text
	Name  string // a scientific name instead
	Bars  []int
	Most  int
	Finds int
}

const (
	stripLabel, stripRow, stripFoot, stripHead = 104.0, 26.0, 34.0, 18.0
	stripRoom                                  = plotWidth - stripLabel - 4
)

func (s Strips) height() float64 { return stripHead + stripRow*float64(len(s.Rows)) + stripFoot }

// rowY is the line on which the bars of a row stand.
func (s Strips) rowY(row int) float64 { return stripHead + stripRow*float64(row+1) }

func (s Strips) barX(i, of int) float64 { return stripLabel + stripRoom*float64(i)/float64(of) }

// barH is at least a line where there is anything.
func (r Strip) barH(n int) float64 {
	return math.Max(2, (stripRow-6)*float64(n)/float64(max(1, r.Most)))
}

func (s Strips) monthX(month int) float64 { return stripLabel + stripRoom*(float64(month)+0.5)/12 }

// Shares is rows of long bars with their names.
type Shares struct {
	Key   string
	Title message.Text
	About message.Text
	Rows  []Share
	Most  int
	Axis  message.Text
}

// Share is one row.
type Share struct {
	Label string
	N     int
}

const shareRow, shareLabel, shareFoot = 22.0, 124.0, 24.0

func (s Shares) height() float64 { return shareRow*float64(len(s.Rows)) + shareFoot }

func (s Shares) width(n int) float64 {
	return (plotWidth - shareLabel - 36) * float64(n) / float64(max(1, s.Most))
}

// cut shortens a name for a drawing; the table has it whole.
func cut(name string, letters int) string {
	r := []rune(name)
	if len(r) <= letters {
		return name
	}
	return strings.TrimRight(string(r[:letters-1]), " ,;") + "…"
}

// beside is on which side of a dot its word stands: it must not leave the drawing.
func beside(x float64) float64 {
	if x > plotWidth*0.75 {
		return -6
	}
	return 6
}
