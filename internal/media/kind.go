package media

import (
	"bytes"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"slices"

	"golang.org/x/image/webp"

	"forayhall/internal/fault"
)

// kind is a kind of picture that is taken.
type kind struct {
	begins  func(data []byte) bool
	decode  func(io.Reader) (image.Image, error)
	config  func(io.Reader) (image.Config, error)
	exif    func(data []byte) []byte                          // the TIFF block of EXIF; nil without
	profile func(data []byte) []byte                          // the ICC profile; nil without
	perPix  func(data []byte, c image.Config) (bytes float64) // what decoding holds at its height, a pixel
}

var kinds = []kind{
	{begins: begins("\xff\xd8\xff"), decode: jpeg.Decode, config: jpeg.DecodeConfig,
		exif: jpegEXIF, profile: jpegProfile, perPix: jpegPerPixel},
	{begins: begins("\x89PNG\r\n\x1a\n"), decode: png.Decode, config: png.DecodeConfig,
		exif: pngEXIF, profile: pngProfile, perPix: pngPerPixel},
	{begins: isWebP, decode: decodeWebP, config: webp.DecodeConfig,
		exif: webpEXIF, profile: webpProfile, perPix: fixed(10)}, // lossless: 4 of pixels, 4 of the transform
	{begins: isGIF, decode: gif.Decode, config: gif.DecodeConfig,
		exif: none, profile: none, perPix: fixed(1)},
}

// scaling is what the first pass of scaling holds beside the decoded picture, in bytes a pixel, at most.
const scaling = 4

func none([]byte) []byte { return nil }

func begins(mark string) func([]byte) bool {
	return func(data []byte) bool { return bytes.HasPrefix(data, []byte(mark)) }
}

func isGIF(data []byte) bool { return begins("GIF87a")(data) || begins("GIF89a")(data) }

func isWebP(data []byte) bool {
	return len(data) >= 16 && string(data[:4]) == "RIFF" && string(data[8:12]) == "WEBP"
}

func fixed(bytes float64) func([]byte, image.Config) float64 {
	return func([]byte, image.Config) float64 { return bytes }
}

// pngPerPixel counts twice, because an interlaced PNG is put together from passes.
func pngPerPixel(_ []byte, c image.Config) float64 {
	switch c.ColorModel {
	case color.NRGBA64Model, color.RGBA64Model, color.Gray16Model:
		return 16
	}
	return 8
}

// examine says what data is and how much memory it takes to decode, from its head alone.
func examine(data []byte) (k kind, need int64, err error) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return k.begins(data) })
	switch {
	case i >= 0:
		k = kinds[i]
	case isHEIC(data):
		return k, 0, fault.Wrong(Field, "media.heic")
	default:
		return k, 0, fault.Wrong(Field, "media.not-a-picture")
	}
	if isMovingWebP(data) {
		return k, 0, fault.Wrong(Field, "media.moving")
	}
	c, err := k.config(bytes.NewReader(data))
	if err != nil || c.Width <= 0 || c.Height <= 0 {
		return k, 0, damaged(err)
	}
	need, err = cost(c, k.perPix(data, c)+scaling)
	return k, need, err
}

func cost(c image.Config, perPixel float64) (int64, error) {
	pixels := int64(c.Width) * int64(c.Height)
	need := int64(float64(pixels) * perPixel)
	if c.Width > MaxSide || c.Height > MaxSide || pixels > MaxPixels || need > memory {
		return 0, fault.Wrong(Field, "media.too-many-pixels", "width", c.Width, "height", c.Height,
			"limit", MaxPixels/1_000_000, "side", MaxSide)
	}
	return need, nil
}

// heicBrands are of ISO/IEC 23008-12, annex B; mif1 alone also begins other kinds, which name themselves first.
var heicBrands = []string{"heic", "heix", "heim", "heis", "hevc", "hevx", "hevm", "hevs", "mif1", "msf1"}

// isHEIC looks at the first brand of a file type box (ISO/IEC 14496-12, 4.3).
func isHEIC(data []byte) bool {
	return len(data) >= 12 && string(data[4:8]) == "ftyp" && slices.Contains(heicBrands, string(data[8:12]))
}

// isMovingWebP reads the animation flag of an extended WebP (RFC 9649, section 2.7).
func isMovingWebP(data []byte) bool {
	return isWebP(data) && len(data) > 20 && string(data[12:16]) == "VP8X" && data[20]&0x02 != 0
}
