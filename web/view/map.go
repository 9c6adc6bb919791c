package view

import (
	"math"
	"strconv"

	"forayhall/internal/message"
)

// SiteMap is public sites on plain paper with a scale bar. There is nothing behind them: no tiles, no roads.
type SiteMap struct {
	Spots []MapSpot
}

// MapSpot is a site on it.
type MapSpot struct {
	Number              int
	Name, Path          string
	Latitude, Longitude float64
	Here                bool // the site that the page is about
}

const (
	mapWide  = 600.0 // units of the drawing
	mapHigh  = 420.0
	mapEdge  = 46.0
	mapFoot  = 44.0 // for the scale bar
	leastMap = 1000 // metres that the map shows at least
)

// metresPerDegree is one degree of latitude on the sphere of WGS 84's mean radius (Moritz 2000, J Geod 74:128-133).
const metresPerDegree = 6371008.8 * math.Pi / 180

// drawnSpot is where a site lies on the drawing.
type drawnSpot struct {
	MapSpot
	X, Y float64
}

// scaleBar is a round length, and how long it is on the drawing.
type scaleBar struct {
	Wide float64
	Text message.Text
}

// drawing lays the sites out, north up, in the plane that touches the sphere in their middle (equirectangular): over the
// ground of one society it is nowhere off by more than the width of a dot.
func (m SiteMap) drawing() ([]drawnSpot, scaleBar) {
	south, west, north, east := m.box()
	middle := (south + north) / 2
	across := metresPerDegree * math.Max(math.Cos(middle*math.Pi/180), 0.01)
	wide, high := math.Max((east-west)*across, leastMap), math.Max((north-south)*metresPerDegree, leastMap)
	unit := math.Max(wide/(mapWide-2*mapEdge), high/(mapHigh-2*mapEdge-mapFoot)) // metres
	spots := make([]drawnSpot, len(m.Spots))
	for i, s := range m.Spots {
		spots[i] = drawnSpot{s, mapWide/2 + (s.Longitude-(west+east)/2)*across/unit, (mapHigh-mapFoot)/2 - (s.Latitude-middle)*metresPerDegree/unit}
	}
	return spots, barOf(unit)
}

func (m SiteMap) box() (south, west, north, east float64) {
	south, west, north, east = 90, 180, -90, -180
	for _, s := range m.Spots {
		south, north = math.Min(south, s.Latitude), math.Max(north, s.Latitude)
		west, east = math.Min(west, s.Longitude), math.Max(east, s.Longitude)
	}
	return south, west, north, east
}

// barOf is the longest of 1, 2 and 5 times a power of ten metres that is no longer than a third of the drawing.
func barOf(unit float64) scaleBar {
	most := unit * mapWide / 3
	length := math.Pow(10, math.Floor(math.Log10(most)))
	for _, times := range []float64{5, 2} {
		if length*times <= most {
			length *= times
			break
		}
	}
	text := T("society.map.metres", "n", int(length))
	if length >= 1000 {
		text = T("society.map.kilometres", "n", int(length/1000))
	}
	return scaleBar{length / unit, text}
}

// drawnAt is a place on a drawing, to a tenth of its unit.
func drawnAt(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }
