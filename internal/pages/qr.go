package pages

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"github.com/boombuler/barcode/qr"
)

// Pixels a module, and modules of quiet around the code (ISO/IEC 18004 asks for four).
const (
	moduleSize = 8
	quietZone  = 4
)

// codeImage draws an address as a QR code: a picture of two colours without anti-aliasing, so that there are no seams
// between modules whatever size it is printed in. It is given as a data: address, and no other server sees it.
func codeImage(address string) (src string, pixels int, err error) {
	code, err := qr.Encode(address, qr.M, qr.Auto)
	if err != nil {
		return "", 0, fmt.Errorf("draw a code: %w", err)
	}
	n := code.Bounds().Dx()
	pixels = (n + 2*quietZone) * moduleSize
	picture := image.NewPaletted(image.Rect(0, 0, pixels, pixels), color.Palette{color.White, color.Black})
	for y := range n * moduleSize {
		for x := range n * moduleSize {
			if r, _, _, _ := code.At(x/moduleSize, y/moduleSize).RGBA(); r == 0 {
				picture.SetColorIndex(x+quietZone*moduleSize, y+quietZone*moduleSize, 1)
			}
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, picture); err != nil {
		return "", 0, fmt.Errorf("draw a code: %w", err)
	}
	return "data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes()), pixels, nil
}
