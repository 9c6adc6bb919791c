package media

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

func prepared(t testing.TB, data []byte) Prepared {
	t.Helper()
	p, err := Prepare(t.Context(), bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// refusal is the key of what Prepare says against a picture.
func refusal(t testing.TB, data []byte) string {
	t.Helper()
	_, err := Prepare(t.Context(), bytes.NewReader(data))
	if err == nil {
		t.Fatal("was taken")
	}
	f := fault.From(err)
	if f.Kind != fault.Invalid {
		t.Fatalf("gave %v", err)
	}
	key := f.Fields[Field].Key
	if !message.Has(key) {
		t.Errorf("says %q, which no catalogue has", key)
	}
	return key
}

func TestPrepare_takes_by_content_not_by_name(t *testing.T) {
	for name, data := range map[string][]byte{
		"JPEG":                        jpegOf(t, quarters(60, 40)),
		"grey JPEG":                   jpegOf(t, image.NewGray(image.Rect(0, 0, 60, 40))),
		"PNG":                         pngOf(t, quarters(60, 40)),
		"PNG of 16 bits":              pngOf(t, image.NewNRGBA64(image.Rect(0, 0, 60, 40))),
		"GIF":                         gifOf(t, quarters(60, 40)),
		"WebP":                        webpOf(60, 40, green),
		"extended WebP":               riff(vp8x(0, 60, 40), chunk("VP8L", vp8l(60, 40, green))),
		"JPEG with something behind":  append(jpegOf(t, quarters(60, 40)), "a film of two seconds"...),
		"JPEG with damaged tags":      inside(jpegOf(t, quarters(60, 40)), 0xe1, []byte("Exif\x00\x00MM\x00\x2a\xff\xff\xff\xff")),
		"JPEG with a damaged profile": inside(jpegOf(t, quarters(60, 40)), 0xe2, []byte("ICC_PROFILE\x00\x01\x01rubbish")),
	} {
		t.Run(name, func(t *testing.T) {
			p := prepared(t, data)
			if p.Full.Width != 60 || p.Full.Height != 40 {
				t.Errorf("became %d × %d", p.Full.Width, p.Full.Height)
			}
			decoded(t, p.Full)
			decoded(t, p.Small)
			if p.Full.SHA256 != hashOf(p.Full.Data) || p.Small.SHA256 != hashOf(p.Small.Data) {
				t.Error("the hashes are not those of the pictures")
			}
			if p.TakenAt != nil || p.Latitude != nil || p.Longitude != nil {
				t.Error("knows more than the picture says")
			}
		})
	}
}

func TestPrepare_refuses_in_plain_words(t *testing.T) {
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"nothing":                {nil, "media.empty"},
		"a text":                 {[]byte("Amanita muscaria, under birch"), "media.not-a-picture"},
		"a text called a.jpg":    {[]byte("a.jpg"), "media.not-a-picture"},
		"a drawing in SVG":       {[]byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`), "media.not-a-picture"},
		"a TIFF":                 {[]byte("II\x2a\x00\x08\x00\x00\x00\x00\x00\x00\x00"), "media.not-a-picture"},
		"a film":                 {[]byte("\x00\x00\x00\x18ftypisom\x00\x00\x00\x00isommp42"), "media.not-a-picture"},
		"HEIC":                   {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), "media.heic"},
		"HEIC under its family":  {[]byte("\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00mif1heic"), "media.heic"},
		"an animated WebP":       {riff(vp8x(2, 60, 40), chunk("ANIM", make([]byte, 6))), "media.moving"},
		"too many bytes":         {append(jpegOf(t, quarters(60, 40)), make([]byte, MaxBytes)...), "media.too-many-bytes"},
		"only the first bytes":   {[]byte("\xff\xd8\xff"), "media.damaged"},
		"a damaged PNG":          {flipped(pngOf(t, quarters(60, 40)), 60), "media.damaged"},
		"a film in a JPEG frame": {[]byte("\xff\xd8\xff\xe0\x00\x04ab\xff\xd9"), "media.damaged"},
	} {
		if got := refusal(t, c.data); got != c.want {
			t.Errorf("%s: said %q, want %q", name, got, c.want)
		}
	}
}

func flipped(data []byte, at int) []byte {
	data = slices.Clone(data)
	data[at] ^= 0xff
	return data
}

func TestPrepare_refuses_what_did_not_arrive_whole(t *testing.T) {
	for name, data := range map[string][]byte{
		"JPEG": jpegOf(t, quarters(300, 200)), "PNG": pngOf(t, quarters(300, 200)), "GIF": gifOf(t, quarters(300, 200)),
	} {
		for _, part := range []int{30, 50, 90, 99} {
			if got := refusal(t, data[:len(data)*part/100]); got != "media.damaged" {
				t.Errorf("%d %% of a %s: said %q", part, name, got)
			}
		}
	}
	if got := refusal(t, webpOf(300, 200, green)[:22]); got != "media.damaged" {
		t.Errorf("the beginning of a WebP: said %q", got)
	}
}

func TestPrepare_scales_to_the_long_edge_and_never_up(t *testing.T) {
	for name, c := range map[string]struct{ in, full, small image.Point }{
		"wide":         {image.Pt(3000, 1500), image.Pt(2400, 1200), image.Pt(400, 200)},
		"tall":         {image.Pt(1500, 3000), image.Pt(1200, 2400), image.Pt(200, 400)},
		"just fitting": {image.Pt(2400, 1000), image.Pt(2400, 1000), image.Pt(400, 167)},
		"tiny":         {image.Pt(30, 20), image.Pt(30, 20), image.Pt(30, 20)},
		"a hair":       {image.Pt(5000, 1), image.Pt(2400, 1), image.Pt(400, 1)},
		"one pixel":    {image.Pt(1, 1), image.Pt(1, 1), image.Pt(1, 1)},
	} {
		p := prepared(t, jpegOf(t, quarters(c.in.X, c.in.Y)))
		full, small := image.Pt(p.Full.Width, p.Full.Height), image.Pt(p.Small.Width, p.Small.Height)
		if full != c.full || small != c.small {
			t.Errorf("%s: %v and %v, want %v and %v", name, full, small, c.full, c.small)
		}
	}
}

// The corners, read from left to right and from above, that EXIF 2.32 asks for: tag 274 says where on the screen the
// first row and the first column of what is stored belong.
var corners = map[uint16][4]color.RGBA{
	1: {red, green, blue, white}, 2: {green, red, white, blue}, 3: {white, blue, green, red}, 4: {blue, white, red, green},
	5: {red, blue, green, white}, 6: {blue, red, white, green}, 7: {white, green, blue, red}, 8: {green, white, red, blue},
	0: {red, green, blue, white}, 9: {red, green, blue, white}, // no orientation of the standard: left as it is
}

func TestPrepare_turns_pictures_upright(t *testing.T) {
	for _, size := range []image.Point{{120, 80}, {2600, 200}} {
		for orientation, want := range corners {
			t.Run(fmt.Sprintf("orientation %d of %v", orientation, size), func(t *testing.T) {
				p := prepared(t, said{orientation: orientation}.inJPEG(jpegOf(t, quarters(size.X, size.Y))))
				if wide := p.Full.Width > p.Full.Height; wide != (orientation < 5 || orientation > 8) {
					t.Errorf("became %d × %d", p.Full.Width, p.Full.Height)
				}
				hasCorners(t, p.Full, want)
				hasCorners(t, p.Small, want)
			})
		}
	}
}

func hasCorners(t *testing.T, p Picture, want [4]color.RGBA) {
	t.Helper()
	m := decoded(t, p)
	for i, at := range []image.Point{{1, 1}, {3, 1}, {1, 3}, {3, 3}} {
		if x, y := p.Width*at.X/4, p.Height*at.Y/4; !isNear(m, x, y, want[i]) {
			t.Errorf("corner %d is %v, want %v", i, m.At(x, y), want[i])
		}
	}
}

func TestPrepare_takes_the_first_frame(t *testing.T) {
	other := image.NewRGBA(image.Rect(0, 0, 60, 40)) // all black, which becomes the nearest of the palette
	p := prepared(t, gifOf(t, quarters(60, 40), other))
	hasCorners(t, p.Full, corners[1])
}

func TestPrepare_takes_a_frame_that_is_not_in_the_corner(t *testing.T) {
	m := quarters(60, 40)
	m.Rect = m.Rect.Add(image.Pt(20, 10))
	hasCorners(t, prepared(t, gifOf(t, m)).Full, corners[1])
}

func TestPrepare_lays_what_is_transparent_on_white(t *testing.T) {
	for _, size := range []int{40, 3000} {
		m := image.NewNRGBA(image.Rect(0, 0, size, 40))
		if p := prepared(t, pngOf(t, m)); !isNear(decoded(t, p.Full), 1, 1, white) {
			t.Errorf("a picture %d wide came out dark", size)
		}
	}
}

func TestPrepare_keeps_the_colours_of_each_kind(t *testing.T) {
	for name, data := range map[string][]byte{
		"PNG": pngOf(t, quarters(60, 40)), "GIF": gifOf(t, quarters(60, 40)), "JPEG": jpegOf(t, quarters(60, 40)),
	} {
		t.Run(name, func(t *testing.T) { hasCorners(t, prepared(t, data).Full, corners[1]) })
	}
	if m := decoded(t, prepared(t, webpOf(60, 40, green)).Full); !isNear(m, 30, 20, green) {
		t.Errorf("WebP became %v", m.At(30, 20))
	}
}

// The context ends while a decoder is in the middle of a picture, which only the reader it reads from can tell it.
func TestPrepare_stops_when_its_context_ends(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	data := jpegOf(t, quarters(600, 400))
	if _, err := Prepare(ctx, bytes.NewReader(data)); !errors.Is(err, context.Canceled) {
		t.Errorf("before anything: %v", err)
	}
	if _, err := prepare(ctx, kinds[0], data); !errors.Is(err, context.Canceled) {
		t.Errorf("at the decoder: %v", err)
	}
}

func TestPrepare_waits_while_memory_is_taken(t *testing.T) {
	data := jpegOf(t, quarters(60, 40))
	_, need, err := examine(data)
	if err != nil || !decoding.TryAcquire(memory-need+1) {
		t.Fatal("memory is still taken", err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 1)
	defer cancel()
	if _, err := Prepare(ctx, bytes.NewReader(data)); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("went ahead: %v", err)
	}
	decoding.Release(memory - need + 1)
	prepared(t, data)
}

func TestPrepare_gives_memory_back_whatever_happens(t *testing.T) {
	data := jpegOf(t, quarters(60, 40))
	prepared(t, data)
	refusal(t, data[:len(data)/2])
	if !decoding.TryAcquire(memory) {
		t.Fatal("some is still taken")
	}
	decoding.Release(memory)
}

func TestPrepare_turns_a_panic_of_a_decoder_into_a_refusal(t *testing.T) {
	k := kinds[0]
	k.decode = func(io.Reader) (image.Image, error) { panic("index out of range") }
	_, err := prepare(t.Context(), k, jpegOf(t, quarters(60, 40)))
	if !fault.Is(err, fault.Invalid) || !strings.Contains(err.Error(), "index out of range") {
		t.Errorf("gave %v", err)
	}
}

func TestPrepare_does_not_blame_the_picture_for_a_broken_line(t *testing.T) {
	_, err := Prepare(t.Context(), iotest.ErrReader(io.ErrClosedPipe))
	if !errors.Is(err, io.ErrClosedPipe) || fault.Is(err, fault.Invalid) {
		t.Errorf("gave %v", err)
	}
}
