package media

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"runtime"
	"slices"
	"testing"
)

func TestPrepare_refuses_a_bomb_before_decoding_it(t *testing.T) {
	bombs := map[string][]byte{
		"JPEG of 50000 × 50000":                claimed(jpegOf(t, quarters(16, 16)), 50_000, 50_000),
		"JPEG with one long side":              claimed(jpegOf(t, quarters(16, 16)), 65_000, 16),
		"JPEG of 61 megapixels":                claimed(jpegOf(t, quarters(16, 16)), 10_000, 6_100),
		"progressive JPEG that needs too much": progressive(claimed(jpegOf(t, quarters(16, 16)), 10_000, 6_000)),
		"PNG of 50000 × 50000":                 claimedPNG(pngOf(t, quarters(16, 16)), 50_000, 50_000),
		"GIF of 65535 × 65535":                 append([]byte("GIF89a\xff\xff\xff\xff\x00\x00\x00"), gifOf(t, quarters(16, 16))[13:]...),
		"WebP of 16383 × 16383, in 40 bytes":   webpOf(16383, 16383, green),
	}
	for name, data := range bombs {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			got := refusal(t, data)
			runtime.ReadMemStats(&after)
			bytes := after.TotalAlloc - before.TotalAlloc
			if got != "media.too-many-pixels" || bytes > 1<<20 {
				t.Errorf("said %q after taking %d bytes of memory", got, bytes)
			}
		})
	}
}

// claimed writes other sides into the frame header of a JPEG.
func claimed(data []byte, w, h int) []byte {
	data = slices.Clone(data)
	at := bytes.Index(data, []byte{0xff, sof0})
	binary.BigEndian.PutUint16(data[at+5:], uint16(h))
	binary.BigEndian.PutUint16(data[at+7:], uint16(w))
	return data
}

// progressive says of a JPEG that all its coefficients come in several scans, without subsampling.
func progressive(data []byte) []byte {
	data = slices.Clone(data)
	at := bytes.Index(data, []byte{0xff, sof0})
	data[at+1], data[at+11] = sof2, 0x11
	return data
}

func claimedPNG(data []byte, w, h uint32) []byte {
	data = slices.Clone(data)
	binary.BigEndian.PutUint32(data[16:], w)
	binary.BigEndian.PutUint32(data[20:], h)
	binary.BigEndian.PutUint32(data[29:], crc32.ChecksumIEEE(data[12:29]))
	return data
}

func TestMemory_counted_for_a_picture_follows_its_kind(t *testing.T) {
	baseline := jpegOf(t, quarters(16, 16))
	behind := 4 + int(binary.BigEndian.Uint16(baseline[4:])) // the first segment, and what decoders skip
	hidden := slices.Concat(baseline[:behind], []byte("??"), baseline[behind:])
	for name, c := range map[string]struct {
		data []byte
		want int64
	}{
		"JPEG with halved colours":         {baseline, 16 * 16 * (1.5 + scaling)},
		"grey JPEG":                        {jpegOf(t, image.NewGray(image.Rect(0, 0, 16, 16))), 16 * 16 * (1 + scaling)},
		"progressive JPEG":                 {progressive(baseline), 16 * 16 * (15 + scaling)},
		"JPEG whose frame is hidden to us": {hidden, 16 * 16 * (20 + scaling)},
		"PNG of 8 bits":                    {pngOf(t, quarters(16, 16)), 16 * 16 * (8 + scaling)},
		"PNG of 16 bits":                   {pngOf(t, image.NewNRGBA64(image.Rect(0, 0, 16, 16))), 16 * 16 * (16 + scaling)},
	} {
		if _, got, err := examine(c.data); err != nil || got != c.want {
			t.Errorf("%s: %d bytes, want %d, %v", name, got, c.want, err)
		}
	}
}
