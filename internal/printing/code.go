package printing

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"codeberg.org/go-pdf/fpdf"
	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/qr"
)

// Of a printed code: modules of quiet around it (ISO/IEC 18004 asks for four), the pixels a module, and the smallest
// size in millimetres that telephones read at arm's length (common practice).
const (
	quietZone    = 4
	modulePixels = 8
	smallestCode = 15.0
)

// code is an address as a QR code that is ready to be placed.
type code struct {
	address string
	modules int // a side, without the quiet zone
	matrix  barcode.Barcode
}

func newCode(address string) (*code, error) {
	matrix, err := qr.Encode(address, qr.M, qr.Auto)
	if err != nil {
		return nil, fmt.Errorf("make a code of %d characters: %w", len(address), err)
	}
	return &code{address, matrix.Bounds().Dx(), matrix}, nil
}

// whole is the side with the quiet zone, where the code itself has this side.
func (q *code) whole(side float64) float64 {
	return side * float64(q.modules+2*quietZone) / float64(q.modules)
}

// place draws the code so that it has this side; the quiet zone around it is left to the paper.
func (c *canvas) place(q *code, x, y, side float64) error {
	name := "code " + q.address
	if c.pdf.GetImageInfo(name) == nil {
		picture, err := q.picture()
		if err != nil {
			return err
		}
		c.pdf.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "png"}, bytes.NewReader(picture))
	}
	c.pdf.ImageOptions(name, x, y, side, side, false, fpdf.ImageOptions{ImageType: "png"}, 0, "")
	c.tell("code", q.address, x, y, side, side)
	return c.pdf.Error()
}

// picture is one image of two colours: modules drawn one by one would show seams between them.
func (q *code) picture() ([]byte, error) {
	side := q.modules * modulePixels
	p := image.NewPaletted(image.Rect(0, 0, side, side), color.Palette{color.White, color.Black})
	for y := range side {
		for x := range side {
			if r, _, _, _ := q.matrix.At(x/modulePixels, y/modulePixels).RGBA(); r == 0 {
				p.SetColorIndex(x, y, 1)
			}
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, p); err != nil {
		return nil, fmt.Errorf("draw a code: %w", err)
	}
	return b.Bytes(), nil
}
