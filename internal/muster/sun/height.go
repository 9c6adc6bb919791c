package sun

import (
	"math"
	"time"
)

// julianUnix is the Julian day of 1970-01-01T00:00Z.
const julianUnix = 2440587.5

// height is how high the sun's centre stands, in degrees, before refraction. The equations are those of NOAA's Solar
// Calculation Details, after J. Meeus, Astronomical Algorithms; they are meant for 1901 to 2099.
func (p Place) height(t time.Time) float64 {
	declination, equation := apparent(t)
	minutes := math.Mod(float64(t.UnixMilli())/60_000, 1440)
	angle := rad((minutes+equation)/4 + p.Longitude - 180)
	latitude := rad(p.Latitude)
	s := math.Sin(latitude)*math.Sin(declination) + math.Cos(latitude)*math.Cos(declination)*math.Cos(angle)
	return deg(math.Asin(max(-1, min(1, s))))
}

// apparent gives the sun's declination in radians and the equation of time in minutes.
func apparent(t time.Time) (declination, equation float64) {
	c := (float64(t.UnixMilli())/86_400_000 + julianUnix - 2451545) / 36525 // Julian centuries since J2000.0
	mean := rad(280.46646 + c*(36000.76983+c*0.0003032))
	anomaly := rad(357.52911 + c*(35999.05029-c*0.0001537))
	eccentricity := 0.016708634 - c*(0.000042037+c*0.0000001267)
	centre := math.Sin(anomaly)*(1.914602-c*(0.004817+c*0.000014)) +
		math.Sin(2*anomaly)*(0.019993-c*0.000101) + math.Sin(3*anomaly)*0.000289
	node := rad(125.04 - 1934.136*c)
	longitude := mean + rad(centre-0.00569-0.00478*math.Sin(node))
	seconds := 21.448 - c*(46.815+c*(0.00059-c*0.001813))
	obliquity := rad(23 + (26+seconds/60)/60 + 0.00256*math.Cos(node))
	y := math.Pow(math.Tan(obliquity/2), 2)
	equation = 4 * deg(y*math.Sin(2*mean)-2*eccentricity*math.Sin(anomaly)+
		4*eccentricity*y*math.Sin(anomaly)*math.Cos(2*mean)-
		y*y*math.Sin(4*mean)/2-1.25*eccentricity*eccentricity*math.Sin(2*anomaly))
	return math.Asin(math.Sin(obliquity) * math.Sin(longitude)), equation
}

func rad(d float64) float64 { return d * math.Pi / 180 }
func deg(r float64) float64 { return r * 180 / math.Pi }
