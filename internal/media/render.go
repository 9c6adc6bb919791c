package media

import (
	"image"

	"github.com/kovidgoyal/imaging"
)

// fit scales a picture down to a long edge; it never scales up.
func fit(m image.Image, edge int) image.Image {
	size := m.Bounds().Size()
	long := max(size.X, size.Y)
	if long <= edge {
		return m
	}
	w, h := scaled(size.X, edge, long), scaled(size.Y, edge, long)
	return imaging.Resize(m, w, h, imaging.CatmullRom)
}

// scaled is one side, rounded; a hair keeps its one pixel.
func scaled(side, edge, long int) int { return max(1, (side*edge+long/2)/long) }

// upright turns and mirrors a picture as its orientation says (EXIF 2.32, tag 274). The library turns against the
// clock.
func upright(m image.Image, orientation int) image.Image {
	switch orientation {
	case 2:
		return imaging.FlipH(m)
	case 3:
		return imaging.Rotate180(m)
	case 4:
		return imaging.FlipV(m)
	case 5:
		return imaging.Transpose(m)
	case 6:
		return imaging.Rotate270(m)
	case 7:
		return imaging.Transverse(m)
	case 8:
		return imaging.Rotate90(m)
	}
	return m
}

// render brings a picture's colours to sRGB and lays it on white. The standard encoder is quick with this type only,
// and the library with the one before.
func render(m image.Image, c *conversion) *image.RGBA {
	src := imaging.AsNRGBA(m)
	size := src.Bounds().Size()
	dst := image.NewRGBA(image.Rect(0, 0, size.X, size.Y))
	for y := range size.Y {
		renderRow(dst.Pix[y*dst.Stride:], src.Pix[y*src.Stride:y*src.Stride+4*size.X], c)
	}
	return dst
}

func renderRow(dst, src []byte, c *conversion) {
	for ; len(src) >= 4; src, dst = src[4:], dst[4:] {
		r, g, b, alpha := src[0], src[1], src[2], src[3]
		if c != nil {
			r, g, b = c.convert(r, g, b)
		}
		dst[0], dst[1], dst[2], dst[3] = onWhite(r, alpha), onWhite(g, alpha), onWhite(b, alpha), 255
	}
}

func onWhite(v, alpha byte) byte {
	return byte((int(v)*int(alpha) + 255*(255-int(alpha)) + 127) / 255)
}
