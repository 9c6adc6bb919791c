package media

import (
	"image"
	"io"

	"golang.org/x/image/webp"
)

// decodeWebP mends the colours of a lossy WebP: VP8 keeps black at 16 and white at 235 (RFC 6386, section 9.2, after
// ITU-R BT.601), and the library hands its samples over as those of a JPEG, which span all of 0 to 255.
func decodeWebP(r io.Reader) (image.Image, error) {
	m, err := webp.Decode(r)
	switch m := m.(type) {
	case *image.YCbCr:
		widen(m)
	case *image.NYCbCrA:
		widen(&m.YCbCr)
	}
	return m, err
}

func widen(m *image.YCbCr) {
	spread(m.Y, 16, 0, 219)
	spread(m.Cb, 128, 128, 224)
	spread(m.Cr, 128, 128, 224)
}

// spread stretches a range of samples to 255, leaving one value where another was.
func spread(samples []byte, from, to, span float64) {
	var table [256]byte
	for i := range table {
		table[i] = byte(min(max((float64(i)-from)*255/span+to+0.5, 0), 255))
	}
	for i, v := range samples {
		samples[i] = table[v]
	}
}
