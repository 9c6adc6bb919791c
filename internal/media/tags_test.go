package media

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"math"
	"slices"
	"testing"
	"time"
)

// somewhere is 54° 30′ 36″ N, 2° 15′ W.
var somewhere = []entry{text(1, "N"), rationals(2, 54, 1, 30, 1, 3600, 100), text(3, "W"), rationals(4, 2, 1, 15, 1, 0, 1)}

var zoned = []entry{text(0x9003, "2026:10:24 11:20:05"), text(0x9011, "+01:00")}

// inPNG puts the block before the pixels (PNG, third edition, 11.3.2.5).
func (s said) inPNG(picture []byte) []byte { return withChunk(picture, "eXIf", s.tiff()) }

// withChunk puts a chunk behind the header of a PNG.
func withChunk(picture []byte, name string, body []byte) []byte {
	c := append(binary.BigEndian.AppendUint32(nil, uint32(len(body))), name...)
	c = append(c, body...)
	c = binary.BigEndian.AppendUint32(c, crc32.ChecksumIEEE(c[4:]))
	return slices.Concat(picture[:33], c, picture[33:])
}

func (s said) inWebP(w, h int) []byte {
	return riff(vp8x(8, w, h), chunk("VP8L", vp8l(w, h, green)), chunk("EXIF", s.tiff()))
}

func TestPlace_and_time_are_read_from_each_kind(t *testing.T) {
	s := said{orientation: 6, camera: zoned, gps: somewhere}
	for name, data := range map[string][]byte{
		"JPEG": s.inJPEG(jpegOf(t, quarters(60, 40))), "PNG": s.inPNG(pngOf(t, quarters(60, 40))), "WebP": s.inWebP(60, 40),
	} {
		t.Run(name, func(t *testing.T) {
			p := prepared(t, data)
			if p.Full.Width != 40 || p.Full.Height != 60 {
				t.Errorf("was not turned: %d × %d", p.Full.Width, p.Full.Height)
			}
			want := time.Date(2026, 10, 24, 10, 20, 5, 0, time.UTC)
			if p.TakenAt == nil || !p.TakenAt.Equal(want) || !p.Zoned {
				t.Errorf("taken %v, zoned %v", p.TakenAt, p.Zoned)
			}
			if p.Latitude == nil || p.Longitude == nil || math.Abs(*p.Latitude-54.51) > 1e-6 || math.Abs(*p.Longitude+2.25) > 1e-6 {
				t.Errorf("taken at %v, %v", p.Latitude, p.Longitude)
			}
		})
	}
}

func TestTime_is_only_as_sure_as_the_camera(t *testing.T) {
	clock := time.Date(2026, 10, 24, 11, 20, 5, 0, time.UTC)
	for name, c := range map[string]struct {
		camera []entry
		want   time.Time
		zoned  bool
	}{
		"with its zone":                       {zoned, clock.Add(-time.Hour), true},
		"in universal time":                   {[]entry{zoned[0], text(0x9011, "Z")}, clock, true},
		"without a zone":                      {zoned[:1], clock, false},
		"with a zone that is none":            {[]entry{zoned[0], text(0x9011, "GMT+1")}, clock, false},
		"with a blank zone":                   {[]entry{zoned[0], text(0x9011, "   :  ")}, clock, false},
		"with the zone of another time":       {[]entry{zoned[0], text(0x9012, "+05:00")}, clock, false},
		"of a slide, when it was scanned":     {[]entry{text(0x9004, "2026:10:24 11:20:05")}, clock, false},
		"blank, as a clock never set":         {[]entry{text(0x9003, "    :  :     :  :  ")}, time.Time{}, false},
		"of noughts, as a clock never set":    {[]entry{text(0x9003, "0000:00:00 00:00:00")}, time.Time{}, false},
		"on a day that no month has":          {[]entry{text(0x9003, "2026:02:30 11:20:05")}, time.Time{}, false},
		"unsaid":                              {nil, time.Time{}, false},
		"of the last change alone, by a tool": {[]entry{text(0x0132, "2026:10:24 11:20:05")}, time.Time{}, false},
	} {
		t.Run(name, func(t *testing.T) {
			p := prepared(t, said{orientation: 1, camera: c.camera}.inJPEG(jpegOf(t, quarters(16, 16))))
			if (p.TakenAt == nil) != c.want.IsZero() || p.TakenAt != nil && !p.TakenAt.Equal(c.want) || p.Zoned != c.zoned {
				t.Errorf("taken %v, zoned %v; want %v, %v", p.TakenAt, p.Zoned, c.want, c.zoned)
			}
		})
	}
}

func TestTakenIn_reads_a_clock_without_zone_in_the_zone_of_the_event(t *testing.T) {
	event := time.FixedZone("", 3600)
	clock := time.Date(2026, 10, 24, 11, 20, 5, 0, time.UTC)
	for name, c := range map[string]struct {
		p    Prepared
		want time.Time
		ok   bool
	}{
		"without a zone": {Prepared{TakenAt: &clock}, clock.Add(-time.Hour), true},
		"with a zone":    {Prepared{TakenAt: &clock, Zoned: true}, clock, true},
		"unsaid":         {Prepared{}, time.Time{}, false},
	} {
		if got, ok := c.p.TakenIn(event); ok != c.ok || !got.Equal(c.want) {
			t.Errorf("%s: %v, %v", name, got, ok)
		}
	}
}

func TestPlace_is_left_out_where_it_is_in_doubt(t *testing.T) {
	for name, gps := range map[string][]entry{
		"no point":                  nil,
		"no hemisphere":             {somewhere[1], somewhere[3]},
		"a hemisphere that is none": {text(1, "X"), somewhere[1], somewhere[2], somewhere[3]},
		"a latitude alone":          somewhere[:2],
		"noughts before a fix":      {somewhere[0], rationals(2, 0, 1, 0, 1, 0, 1), somewhere[2], rationals(4, 0, 1, 0, 1, 0, 1)},
		"beyond the pole":           {somewhere[0], rationals(2, 91, 1, 0, 1, 0, 1), somewhere[2], somewhere[3]},
		"divided by nothing":        {somewhere[0], rationals(2, 54, 0, 30, 0, 0, 0), somewhere[2], somewhere[3]},
		"two parts of three":        {somewhere[0], rationals(2, 54, 1, 30, 1), somewhere[2], somewhere[3]},
		"a text for a number":       {somewhere[0], text(2, "here"), somewhere[2], somewhere[3]},
	} {
		t.Run(name, func(t *testing.T) {
			p := prepared(t, said{orientation: 1, gps: gps}.inJPEG(jpegOf(t, quarters(16, 16))))
			if p.Latitude != nil || p.Longitude != nil {
				t.Errorf("at %v, %v", p.Latitude, p.Longitude)
			}
		})
	}
}

// What a picture says of itself stands in segments that a decoder leaves out; only those it needs may come out again.
func TestPictures_say_nothing_of_themselves(t *testing.T) {
	s := said{orientation: 6, camera: zoned, gps: somewhere}
	loud := s.inJPEG(jpegOf(t, quarters(600, 400)))
	for marker, body := range map[byte]string{
		0xe1: "http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>Somebody Named</x:xmpmeta>", 0xed: "Photoshop 3.0\x008BIM Somebody Named",
		0xfe: "Somebody Named", 0xe2: "ICC_PROFILE\x00\x01\x01" + string(wide()),
	} {
		loud = inside(loud, marker, []byte(body))
	}
	for name, data := range map[string][]byte{
		"JPEG": loud, "PNG": withChunk(s.inPNG(pngOf(t, quarters(600, 400))), "tEXt", []byte("Author\x00Somebody Named")),
		"WebP": append(s.inWebP(600, 400), chunk("XMP ", []byte("Somebody Named"))...),
	} {
		if !bytes.Contains(data, []byte("Somebody Named")) {
			t.Fatalf("the %s says nothing to begin with", name)
		}
		p := prepared(t, data)
		for _, picture := range []Picture{p.Full, p.Small} {
			for _, word := range []string{"Exif", "GPS", "xmp", "ICC_PROFILE", "8BIM", "Somebody", "2026:10:24", "MM\x00\x2a"} {
				if bytes.Contains(picture.Data, []byte(word)) {
					t.Errorf("%s: still says %q", name, word)
				}
			}
			for marker := range jpegSegments(picture.Data) {
				if marker >= 0xe0 && marker <= 0xef || marker == 0xfe {
					t.Errorf("%s: has a segment %x", name, marker)
				}
			}
		}
	}
}
