package media

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"slices"
	"testing"
)

var (
	red   = color.RGBA{200, 30, 30, 255}
	green = color.RGBA{30, 200, 30, 255}
	blue  = color.RGBA{30, 30, 200, 255}
	white = color.RGBA{255, 255, 255, 255}
)

// quarters is a picture of four colours: red and green above, blue and white below.
func quarters(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetRGBA(x, y, [2][2]color.RGBA{{red, green}, {blue, white}}[2*y/h][2*x/w])
		}
	}
	return m
}

func jpegOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pngOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func gifOf(t testing.TB, frames ...image.Image) []byte {
	t.Helper()
	var g gif.GIF
	for _, m := range frames {
		p := image.NewPaletted(m.Bounds(), color.Palette{red, green, blue, white})
		for y := m.Bounds().Min.Y; y < m.Bounds().Max.Y; y++ {
			for x := m.Bounds().Min.X; x < m.Bounds().Max.X; x++ {
				p.Set(x, y, m.At(x, y))
			}
		}
		g.Image, g.Delay = append(g.Image, p), append(g.Delay, 1)
	}
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &g); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// bits are written from the lowest, as in a lossless WebP.
type bits struct {
	bytes []byte
	n     int
}

func (b *bits) put(v uint32, n int) {
	for i := range n {
		if b.n%8 == 0 {
			b.bytes = append(b.bytes, 0)
		}
		b.bytes[b.n/8] |= byte(v>>i&1) << (b.n % 8)
		b.n++
	}
}

// vp8l is a lossless bitstream (RFC 9649, section 3) of one colour: each prefix code has one symbol, and no pixel takes
// a bit.
func vp8l(w, h int, c color.RGBA) []byte {
	b := &bits{bytes: []byte{0x2f}, n: 8}
	b.put(uint32(w-1), 14)
	b.put(uint32(h-1), 14)
	b.put(0, 1+3) // no alpha, version 0
	b.put(0, 3)   // no transform, no colour cache, no meta prefix codes
	for _, symbol := range []byte{c.G, c.R, c.B, 255, 0} {
		b.put(0b101, 3) // a simple code of one symbol, written in 8 bits
		b.put(uint32(symbol), 8)
	}
	return b.bytes
}

func riff(chunks ...[]byte) []byte {
	body := append([]byte("WEBP"), slices.Concat(chunks...)...)
	return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
}

func chunk(name string, body []byte) []byte {
	b := append(binary.LittleEndian.AppendUint32([]byte(name), uint32(len(body))), body...)
	return append(b, make([]byte, len(body)%2)...)
}

func vp8x(flags byte, w, h int) []byte {
	return chunk("VP8X", []byte{flags, 0, 0, 0, byte(w - 1), byte((w - 1) >> 8), 0, byte(h - 1), byte((h - 1) >> 8), 0})
}

func webpOf(w, h int, c color.RGBA) []byte { return riff(chunk("VP8L", vp8l(w, h, c))) }

// entry is one field of a TIFF directory.
type entry struct {
	tag, kind uint16
	count     uint32
	value     []byte
}

func text(tag uint16, s string) entry {
	return entry{tag, 2, uint32(len(s) + 1), append([]byte(s), 0)}
}

func short(tag, v uint16) entry {
	return entry{tag, 3, 1, binary.BigEndian.AppendUint16(nil, v)}
}

func long(tag uint16, v int) entry {
	return entry{tag, 4, 1, binary.BigEndian.AppendUint32(nil, uint32(v))}
}

func rationals(tag uint16, pairs ...uint32) entry {
	e := entry{tag: tag, kind: 5, count: uint32(len(pairs) / 2)}
	for _, v := range pairs {
		e.value = binary.BigEndian.AppendUint32(e.value, v)
	}
	return e
}

// directory lays out one directory that begins at a place of the file, its values behind it.
func directory(at int, entries []entry) []byte {
	head := binary.BigEndian.AppendUint16(nil, uint16(len(entries)))
	var values []byte
	for _, e := range entries {
		head = binary.BigEndian.AppendUint16(head, e.tag)
		head = binary.BigEndian.AppendUint16(head, e.kind)
		head = binary.BigEndian.AppendUint32(head, e.count)
		if len(e.value) <= 4 {
			head = append(head, append(e.value, make([]byte, 4-len(e.value))...)...)
			continue
		}
		head = binary.BigEndian.AppendUint32(head, uint32(at+2+12*len(entries)+4+len(values)))
		values = append(values, e.value...)
	}
	return slices.Concat(head, []byte{0, 0, 0, 0}, values)
}

// said is what a test lets a picture say of itself.
type said struct {
	orientation uint16
	camera, gps []entry
}

// tiff is the block that EXIF puts into pictures of any kind.
func (s said) tiff() []byte {
	main := []entry{short(274, s.orientation), text(315, "Somebody Named"), long(34665, 0), long(34853, 0)}
	camera := 8 + len(directory(8, main))
	gps := camera + len(directory(camera, s.camera))
	main[2], main[3] = long(34665, camera), long(34853, gps)
	return slices.Concat([]byte("MM\x00\x2a\x00\x00\x00\x08"), directory(8, main), directory(camera, s.camera),
		directory(gps, s.gps))
}

// inside puts a segment behind the first marker of a JPEG.
func inside(picture []byte, marker byte, body []byte) []byte {
	segment := binary.BigEndian.AppendUint16([]byte{0xff, marker}, uint16(len(body)+2))
	return slices.Concat(picture[:2], segment, body, picture[2:])
}

func (s said) inJPEG(picture []byte) []byte {
	return inside(picture, 0xe1, append([]byte("Exif\x00\x00"), s.tiff()...))
}

// decoded is the picture that came out.
func decoded(t testing.TB, p Picture) image.Image {
	t.Helper()
	m, err := jpeg.Decode(bytes.NewReader(p.Data))
	if err != nil {
		t.Fatal(err)
	}
	if size := m.Bounds().Size(); size != image.Pt(p.Width, p.Height) {
		t.Errorf("said to be %d × %d, is %v", p.Width, p.Height, size)
	}
	return m
}

// isNear reports whether the colour at a place is the one expected, as far as JPEG keeps colours.
func isNear(m image.Image, x, y int, want color.RGBA) bool {
	c := color.RGBAModel.Convert(m.At(x, y)).(color.RGBA)
	return near(c.R, want.R) && near(c.G, want.G) && near(c.B, want.B)
}

func near(a, b uint8) bool { return max(a, b)-min(a, b) <= 12 }
