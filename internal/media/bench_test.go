package media

import (
	"bytes"
	"image/jpeg"
	"math/rand"
	"testing"
)

// phone is a photograph of 12 megapixels with noise, as a phone takes them: in wide colours, lying on its side.
func phone(b *testing.B) []byte {
	b.Helper()
	m, r := quarters(4000, 3000), rand.New(rand.NewSource(1))
	for i := range m.Pix {
		if i%4 != 3 {
			m.Pix[i] = byte(min(255, int(m.Pix[i])+r.Intn(16)))
		}
	}
	data := inside(jpegOf(b, m), 0xe2, append([]byte("ICC_PROFILE\x00\x01\x01"), wide()...))
	return said{orientation: 6, camera: zoned, gps: somewhere}.inJPEG(data)
}

// Preparing writes a third of the pixels, so that it may cost about what decoding and encoding all of them does.
func BenchmarkPrepare(b *testing.B) {
	data := phone(b)
	b.Run("prepare", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			prepared(b, data)
		}
	})
	b.Run("bare", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			m, err := jpeg.Decode(bytes.NewReader(data))
			if err != nil {
				b.Fatal(err)
			}
			var out bytes.Buffer
			if err := jpeg.Encode(&out, m, &jpeg.Options{Quality: fullQuality}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkConvert(b *testing.B) {
	c, m := sRGBFrom(wide()), quarters(1000, 1000)
	b.SetBytes(1000 * 1000)
	for b.Loop() {
		for i := 0; i < len(m.Pix); i += 4 {
			m.Pix[i], m.Pix[i+1], m.Pix[i+2] = c.convert(m.Pix[i], m.Pix[i+1], m.Pix[i+2])
		}
	}
}

func BenchmarkFolder(b *testing.B) {
	f, data := openFolder(b), bytes.Repeat([]byte("x"), 1<<20)
	b.SetBytes(int64(len(data)))
	for i := 0; b.Loop(); i++ {
		data[i%len(data)]++
		if err := f.Put(b.Context(), hashOf(data), data); err != nil {
			b.Fatal(err)
		}
	}
}
