package foray

import "math"

// ExactPlace is where something was found, as the society knows it. It stays inside the hall.
type ExactPlace struct {
	Name         string
	Latitude     *float64 // decimal degrees, WGS 84
	Longitude    *float64
	UncertaintyM int
	GridM        int // what the public sees, where the place is sensitive
	Sensitive    bool
}

// PublicPlace is a place as the public may see it. Only Public makes one, so that an exact point of a sensitive place
// does not reach a public page, an archive or a paper.
type PublicPlace struct {
	name         string
	lat, lon     *float64
	uncertaintyM int
	generalised  int // metres of the grid; 0: not generalised
}

// MetresPerDegree is one degree of latitude on the sphere of WGS 84's mean radius, 6,371,008.8 m (Moritz 2000,
// J Geod 74:128-133).
const MetresPerDegree = 6371008.8 * math.Pi / 180

// FinestGridM is the finest grid, in metres, in which a sensitive place is ever given out.
const FinestGridM = 1000

// Public gives the place as it is where it is not sensitive. A sensitive one is moved to the middle of its cell in a
// fixed grid, the same for every find in it, never at random, and loses its name.
func (p ExactPlace) Public() PublicPlace {
	if !p.Sensitive {
		return PublicPlace{name: p.Name, lat: p.Latitude, lon: p.Longitude, uncertaintyM: p.UncertaintyM}
	}
	grid := max(p.GridM, FinestGridM)
	public := PublicPlace{generalised: grid}
	if p.Latitude == nil || p.Longitude == nil {
		return public
	}
	lat := math.Min(math.Max(middle(*p.Latitude, float64(grid)/MetresPerDegree), -90), 90)
	across := float64(grid) / (MetresPerDegree * math.Max(math.Cos(lat*math.Pi/180), 0.01))
	lon := middle(*p.Longitude, across)
	// The farthest corner of the cell, which towards the equator is a little wider than its middle, and what was not
	// sure before.
	half := float64(grid) / MetresPerDegree / 2
	corner := math.Max(distanceM(lat, lat-half, across/2), distanceM(lat, lat+half, across/2))
	lon = math.Remainder(lon, 360)
	public.lat, public.lon = &lat, &lon
	public.uncertaintyM = int(math.Ceil(corner+rounded)) + max(p.UncertaintyM, 0)
	return public
}

// rounded is how far, in metres, the six decimals of a middle may be from it.
const rounded = 0.1

func middle(degrees, cell float64) float64 {
	return math.Round((math.Floor(degrees/cell)+0.5)*cell*1e6) / 1e6
}

// distanceM is the haversine on the same sphere (Sinnott 1984, Sky and Telescope 68:159), for points so many degrees
// of longitude apart.
func distanceM(lat1, lat2, apart float64) float64 {
	const rad = math.Pi / 180
	a, b := math.Sin((lat2-lat1)*rad/2), math.Sin(apart*rad/2)
	h := a*a + math.Cos(lat1*rad)*math.Cos(lat2*rad)*b*b
	return 2 * MetresPerDegree / rad * math.Asin(math.Sqrt(math.Min(h, 1)))
}

// Name is empty where the place is generalised.
func (p PublicPlace) Name() string { return p.name }

// Point gives the public point; ok is false where there is none.
func (p PublicPlace) Point() (lat, lon float64, uncertaintyM int, ok bool) {
	if p.lat == nil || p.lon == nil {
		return 0, 0, 0, false
	}
	return *p.lat, *p.lon, p.uncertaintyM, true
}

// GeneralisedM is the width in metres of the grid that the point was moved to; 0 where it is exact.
func (p PublicPlace) GeneralisedM() int { return p.generalised }
