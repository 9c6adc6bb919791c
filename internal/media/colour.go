package media

import "math"

// sRGBSteps is fine enough that the steepest part of the curve moves by a fifth of a level a step.
const sRGBSteps = 16384

// conversion takes 8-bit colours of a profile to sRGB. Phones photograph in colours wider than sRGB; without their
// profile an orange cap would look as pale as another species.
type conversion struct {
	light [3][256]float64
	to    [3][3]float64 // linear sRGB by channel
}

// fromD50 takes XYZ relative to D50 to linear sRGB, adapted by Bradford's method (B. Lindbloom, RGB/XYZ Matrices, 2017).
var fromD50 = [3][3]float64{
	{3.1338561, -1.6168667, -0.4906146},
	{-0.9787684, 1.9161415, 0.0334540},
	{0.0719453, -0.2289914, 1.4052427},
}

// sRGBFrom makes the conversion out of a profile; nil where there is none to be made, and the numbers are taken as sRGB.
func sRGBFrom(profile []byte) *conversion {
	p, err := readPrimaries(profile)
	if err != nil {
		return nil
	}
	var c conversion
	for channel := range 3 {
		for i := range 256 {
			c.light[channel][i] = p.light[channel](float64(i) / 255)
		}
		for out := range 3 {
			for k := range 3 {
				c.to[out][channel] += fromD50[out][k] * p.xyz[channel][k]
			}
		}
	}
	return &c
}

func (c *conversion) convert(r, g, b byte) (byte, byte, byte) {
	x, y, z := c.light[0][r], c.light[1][g], c.light[2][b]
	return encodeLight(c.to[0][0]*x + c.to[0][1]*y + c.to[0][2]*z),
		encodeLight(c.to[1][0]*x + c.to[1][1]*y + c.to[1][2]*z),
		encodeLight(c.to[2][0]*x + c.to[2][1]*y + c.to[2][2]*z)
}

var sRGBCurve = func() (levels [sRGBSteps + 1]byte) {
	for i := range levels {
		levels[i] = byte(math.Round(255 * sRGBOf(float64(i)/sRGBSteps)))
	}
	return levels
}()

// sRGBOf is the transfer function of IEC 61966-2-1.
func sRGBOf(light float64) float64 {
	if light <= 0.0031308 {
		return 12.92 * light
	}
	return 1.055*math.Pow(light, 1/2.4) - 0.055
}

// encodeLight cuts what sRGB cannot show to its border; no number at all becomes black.
func encodeLight(light float64) byte {
	if !(light > 0) {
		return 0
	}
	return sRGBCurve[int(min(light, 1)*sRGBSteps+0.5)]
}
