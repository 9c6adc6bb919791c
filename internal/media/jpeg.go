package media

import (
	"bytes"
	"encoding/binary"
	"image"
)

// Markers of a JPEG (ITU-T T.81, table B.1).
const (
	sof0, sof2 = 0xc0, 0xc2 // baseline, progressive
	sos        = 0xda
	app1, app2 = 0xe1, 0xe2
)

// jpegSegments are the segments before the first scan.
func jpegSegments(data []byte) func(yield func(marker byte, body []byte) bool) {
	return func(yield func(byte, []byte) bool) {
		for rest := data[min(2, len(data)):]; len(rest) >= 4; {
			if rest[0] != 0xff {
				return
			}
			if rest[1] == 0xff { // a fill byte
				rest = rest[1:]
				continue
			}
			n := int(binary.BigEndian.Uint16(rest[2:]))
			if rest[1] == sos || n < 2 || 2+n > len(rest) || !yield(rest[1], rest[4:2+n]) {
				return
			}
			rest = rest[2+n:]
		}
	}
}

// jpegPerPixel is one byte a sample, and four more where all coefficients are held until the last scan. What cannot
// be read here counts as the dearest: four components without subsampling, progressive.
func jpegPerPixel(data []byte, _ image.Config) float64 {
	for marker, body := range jpegSegments(data) {
		if marker < sof0 || marker > sof2 {
			continue
		}
		samples := samplesPerPixel(body)
		if marker == sof2 {
			return 5 * samples
		}
		return samples
	}
	return 5 * 4
}

// samplesPerPixel reads the sampling factors of a frame header (ITU-T T.81, B.2.2).
func samplesPerPixel(frame []byte) float64 {
	var sum, widest, highest int
	for i := 6; i+2 < len(frame); i += 3 {
		h, v := int(frame[i+1]>>4), int(frame[i+1]&15)
		sum += h * v
		widest, highest = max(widest, h), max(highest, v)
	}
	if sum == 0 {
		return 4
	}
	return float64(sum) / float64(widest*highest)
}

// exifMark begins the segment of a JPEG that is EXIF's (EXIF 2.32, 4.7.2).
var exifMark = []byte("Exif\x00\x00")

func jpegEXIF(data []byte) []byte {
	for marker, body := range jpegSegments(data) {
		if block, ok := bytes.CutPrefix(body, exifMark); ok && marker == app1 {
			return block
		}
	}
	return nil
}

// jpegProfile joins the parts of a profile (ICC.1:2022, annex B.4).
func jpegProfile(data []byte) []byte {
	parts := map[byte][]byte{}
	for marker, body := range jpegSegments(data) {
		if part, ok := bytes.CutPrefix(body, []byte("ICC_PROFILE\x00")); ok && marker == app2 && len(part) > 2 {
			parts[part[0]] = part[2:]
		}
	}
	var profile []byte
	for i := range len(parts) {
		profile = append(profile, parts[byte(i+1)]...)
	}
	return profile
}
