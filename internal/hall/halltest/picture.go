package halltest

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

// Picture is a JPEG as a camera might send it, another one for each n.
func Picture(t testing.TB, n int) []byte { return PictureOf(t, n, 640, 480) }

// PictureOf is Picture of a size in pixels.
func PictureOf(t testing.TB, n, width, height int) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			cap := (2*x-width)*(2*x-width)/4+(2*y-height)*(2*y-height) < width*height/8
			c := color.RGBA{uint8(90 + 40*y/height), uint8(110 + 30*x/width), 60, 255}
			if cap {
				c = color.RGBA{uint8(120 + n*7%100), uint8(60 + n*13%90), uint8(20 + n*29%120), 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
