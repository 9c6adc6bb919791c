package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"testing"

	"forayhall/internal/fault"
)

// smallEnough keeps a fuzzed picture from spending its time on pixels.
const smallEnough = 1 << 20

// Whatever strangers send is taken, or refused in words; it never ends the process, and what is taken says nothing of
// itself.
func FuzzPrepare(f *testing.F) {
	s := said{orientation: 6, camera: zoned, gps: somewhere}
	for _, data := range [][]byte{
		jpegOf(f, quarters(30, 20)), s.inJPEG(jpegOf(f, quarters(30, 20))), pngOf(f, quarters(30, 20)),
		s.inPNG(pngOf(f, quarters(30, 20))), gifOf(f, quarters(30, 20)), webpOf(30, 20, green), s.inWebP(30, 20),
		progressive(jpegOf(f, quarters(30, 20))),
		inside(jpegOf(f, quarters(30, 20)), 0xe2, append([]byte("ICC_PROFILE\x00\x01\x01"), wide()...)),
	} {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if k, need, err := examine(data); err == nil && need > smallEnough && k.decode != nil {
			return
		}
		p, err := Prepare(t.Context(), bytes.NewReader(data))
		if err != nil {
			var e *fault.Error
			if !errors.As(err, &e) || e.Kind != fault.Invalid {
				t.Fatalf("gave %v", err)
			}
			return
		}
		decoded(t, p.Full)
		decoded(t, p.Small)
		for marker := range jpegSegments(p.Full.Data) {
			if marker >= 0xe0 && marker <= 0xef {
				t.Errorf("has a segment %x", marker)
			}
		}
		if (p.Latitude == nil) != (p.Longitude == nil) {
			t.Error("half a point")
		}
	})
}

func FuzzProfile(f *testing.F) {
	f.Add(wide())
	f.Add(profileOf(rSRGB, gSRGB, bSRGB, table(0, 100, 65535)))
	f.Add(binary.BigEndian.AppendUint32(wide()[:128], 1<<31))
	f.Fuzz(func(t *testing.T, profile []byte) {
		if c := sRGBFrom(profile); c != nil {
			c.convert(0, 127, 255)
		}
	})
}
