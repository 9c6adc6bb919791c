package foray_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
)

// metres is the great-circle distance by the haversine (Sinnott 1984, Sky and Telescope 68:159) on the sphere of WGS
// 84's mean radius (Moritz 2000, J Geod 74:128-133).
func metres(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	a, b := math.Sin((lat2-lat1)*rad/2), math.Sin((lon2-lon1)*rad/2)
	return 2 * 6371008.8 * math.Asin(math.Sqrt(a*a+math.Cos(lat1*rad)*math.Cos(lat2*rad)*b*b))
}

func sensitive(lat, lon float64, grid, uncertainty int) foray.PublicPlace {
	return foray.ExactPlace{Name: "Secret Wood", Latitude: &lat, Longitude: &lon, GridM: grid, UncertaintyM: uncertainty, Sensitive: true}.Public()
}

func TestAPlaceThatIsNotSensitiveIsShownAsItIs(t *testing.T) {
	lat, lon := 53.12345, -1.54321
	p := foray.ExactPlace{Name: "Home Wood", Latitude: &lat, Longitude: &lon, UncertaintyM: 30, GridM: 1000}.Public()
	gotLat, gotLon, m, ok := p.Point()
	if !ok || gotLat != lat || gotLon != lon || m != 30 || p.Name() != "Home Wood" || p.GeneralisedM() != 0 {
		t.Errorf("shown as %q %v %v ±%d", p.Name(), gotLat, gotLon, m)
	}
}

func TestASensitivePlaceWithoutAPointHasNeitherNameNorPoint(t *testing.T) {
	p := foray.ExactPlace{Name: "Secret Wood", Sensitive: true}.Public()
	if _, _, _, ok := p.Point(); ok || p.Name() != "" || p.GeneralisedM() != 1000 {
		t.Errorf("shown as %+v", p)
	}
}

// The stated grid is honest: the true point lies within the stated uncertainty of the public one, everywhere on Earth.
func TestASensitivePlaceLiesWithinItsStatedUncertainty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat, lon := rapid.Float64Range(-90, 90).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon")
		grid := rapid.SampledFrom([]int{0, 1000, 2000, 10000, 100000}).Draw(t, "grid")
		p := sensitive(lat, lon, grid, rapid.IntRange(0, 500).Draw(t, "uncertainty"))
		pubLat, pubLon, m, ok := p.Point()
		if !ok || p.Name() != "" {
			t.Fatalf("shown as %+v", p)
		}
		if math.Abs(pubLat) > 90 || math.Abs(pubLon) > 180 {
			t.Fatalf("%v %v is no point on Earth", pubLat, pubLon)
		}
		if d := metres(lat, lon, pubLat, pubLon); d > float64(m) {
			t.Fatalf("%v %v is %.1f m from its public point %v %v, stated %d m", lat, lon, d, pubLat, pubLon, m)
		}
		if p.GeneralisedM() != max(grid, 1000) || m < p.GeneralisedM()/2 {
			t.Fatalf("grid %d m, uncertainty %d m", p.GeneralisedM(), m)
		}
	})
}

// Two finds of one cell have one public point, so that many finds do not give the place away by their mean.
func TestOneCellHasOnePublicPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat, lon := rapid.Float64Range(-80, 80).Draw(t, "lat"), rapid.Float64Range(-179, 179).Draw(t, "lon")
		grid := rapid.SampledFrom([]int{1000, 10000}).Draw(t, "grid")
		midLat, midLon, _, _ := sensitive(lat, lon, grid, 0).Point()
		// The middle of a cell and what lies a third of the grid from it are of that cell.
		third := float64(grid) / 3 / 111195
		north := rapid.Float64Range(-1, 1).Draw(t, "north") * third
		east := rapid.Float64Range(-1, 1).Draw(t, "east") * third / math.Cos(midLat*math.Pi/180)
		otherLat, otherLon, _, _ := sensitive(midLat+north, midLon+east, grid, 0).Point()
		if otherLat != midLat || otherLon != midLon {
			t.Fatalf("%v %v and %v %v are of one cell", midLat, midLon, otherLat, otherLon)
		}
	})
}

func TestThePublicPointSaysNothingOfWhereInTheCellItWas(t *testing.T) {
	points := map[[2]float64]bool{}
	for i := range 40 {
		lat, lon, _, _ := sensitive(53.1201+float64(i)*0.0001, -1.5402, 1000, 0).Point()
		points[[2]float64{lat, lon}] = true
		if lat == 53.1201+float64(i)*0.0001 {
			t.Errorf("the exact latitude %v is shown", lat)
		}
	}
	if len(points) > 2 { // 440 m of a line cross at most one edge of a 1 km grid
		t.Errorf("%d public points over 440 m", len(points))
	}
}
