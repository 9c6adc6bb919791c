package media

import (
	"encoding/binary"
	"errors"
	"math"
)

// maxProfile is far above the profiles of cameras, which have 500 to 4,000 bytes; a larger one is a table for a printer.
const maxProfile = 1 << 20

var errProfile = errors.New("media: not an ICC profile of three primaries")

// primaries is what a screen's or camera's profile says: three primaries in XYZ relative to D50, and how each channel
// becomes light.
type primaries struct {
	xyz   [3][3]float64 // by channel: X, Y, Z
	light [3]curve
}

type curve func(float64) float64

// readPrimaries reads a three-component matrix-based profile (ICC.1:2022, 8.3.3 and 8.4.3). Profiles made of tables,
// which are for printers, are not read.
func readPrimaries(profile []byte) (p primaries, err error) {
	if len(profile) < 132 || len(profile) > maxProfile || string(profile[36:40]) != "acsp" ||
		string(profile[16:20]) != "RGB " || string(profile[20:24]) != "XYZ " {
		return p, errProfile
	}
	tags := profileTags(profile)
	for i, channel := range []string{"r", "g", "b"} {
		var okXYZ, okCurve bool
		p.xyz[i], okXYZ = readXYZ(tags[channel+"XYZ"])
		p.light[i], okCurve = readCurve(tags[channel+"TRC"])
		if !okXYZ || !okCurve {
			return p, errProfile
		}
	}
	return p, nil
}

func profileTags(profile []byte) map[string][]byte {
	tags := map[string][]byte{}
	n := min(int64(binary.BigEndian.Uint32(profile[128:])), int64(len(profile)-132)/12)
	for i := range n {
		entry := profile[132+12*i:]
		from, size := int64(binary.BigEndian.Uint32(entry[4:])), int64(binary.BigEndian.Uint32(entry[8:]))
		if from+size <= int64(len(profile)) {
			tags[string(entry[:4])] = profile[from : from+size]
		}
	}
	return tags
}

// fixed16 is a signed number with 16 bits of fraction (ICC.1:2022, 4.6).
func fixed16(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

func readXYZ(tag []byte) (xyz [3]float64, ok bool) {
	if len(tag) < 20 || string(tag[:4]) != "XYZ " {
		return xyz, false
	}
	for i := range xyz {
		xyz[i] = fixed16(tag[8+4*i:])
	}
	return xyz, true
}

func readCurve(tag []byte) (curve, bool) {
	switch {
	case len(tag) >= 12 && string(tag[:4]) == "curv":
		return readTable(int64(binary.BigEndian.Uint32(tag[8:])), tag[12:])
	case len(tag) >= 16 && string(tag[:4]) == "para":
		return readParametric(int(binary.BigEndian.Uint16(tag[8:])), tag[12:])
	}
	return nil, false
}

// readTable reads a curveType (ICC.1:2022, 10.6).
func readTable(n int64, b []byte) (curve, bool) {
	switch {
	case n == 0:
		return func(x float64) float64 { return x }, true
	case n > int64(len(b))/2:
		return nil, false
	case n == 1:
		gamma := float64(binary.BigEndian.Uint16(b)) / 256
		return func(x float64) float64 { return math.Pow(x, gamma) }, true
	}
	return func(x float64) float64 {
		at := x * float64(n-1)
		i := min(int64(at), n-2)
		low, high := float64(binary.BigEndian.Uint16(b[2*i:])), float64(binary.BigEndian.Uint16(b[2*i+2:]))
		return (low + (high-low)*(at-float64(i))) / 65535
	}, true
}

// parameters is how many a parametric curve of each type has (ICC.1:2022, table 68).
var parameters = []int{1, 3, 4, 5, 7}

// readParametric reads a parametricCurveType as its most general form: (ax+b)^g + e from d on, cx + f below it.
func readParametric(kind int, b []byte) (curve, bool) {
	if kind >= len(parameters) || len(b) < 4*parameters[kind] {
		return nil, false
	}
	var v [7]float64 // g a b c d e f
	for i := range parameters[kind] {
		v[i] = fixed16(b[4*i:])
	}
	switch kind {
	case 0:
		v[1] = 1
	case 1, 2: // the constant of type 2 is added on both sides of -b/a
		if v[1] == 0 {
			return nil, false
		}
		v[5], v[6] = v[3], v[3]
		v[3], v[4] = 0, -v[2]/v[1]
	}
	return func(x float64) float64 {
		if x >= v[4] {
			return math.Pow(max(v[1]*x+v[2], 0), v[0]) + v[5]
		}
		return v[3]*x + v[6]
	}, true
}
