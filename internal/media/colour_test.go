package media

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"image"
	"image/color"
	"slices"
	"testing"
)

func fixed16s(values ...float64) (b []byte) {
	for _, v := range values {
		b = binary.BigEndian.AppendUint32(b, uint32(int32(v*65536)))
	}
	return b
}

func xyz(x, y, z float64) []byte { return append([]byte("XYZ \x00\x00\x00\x00"), fixed16s(x, y, z)...) }

func parametric(kind byte, values ...float64) []byte {
	return append([]byte{'p', 'a', 'r', 'a', 0, 0, 0, 0, 0, kind, 0, 0}, fixed16s(values...)...)
}

func table(levels ...uint16) []byte {
	b := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), uint32(len(levels)))
	for _, v := range levels {
		b = binary.BigEndian.AppendUint16(b, v)
	}
	return b
}

// profileOf builds a profile of three primaries with one curve for all.
func profileOf(r, g, b, light []byte) []byte {
	p := make([]byte, 128)
	copy(p[16:], "RGB XYZ ")
	copy(p[36:], "acsp")
	p = binary.BigEndian.AppendUint32(p, 6)
	names, bodies := []string{"rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC"}, [][]byte{r, g, b, light, light, light}
	at := 132 + 12*len(names)
	for i, name := range names {
		p = append(p, name...)
		p = binary.BigEndian.AppendUint32(p, uint32(at))
		p = binary.BigEndian.AppendUint32(p, uint32(len(bodies[i])))
		at += len(bodies[i])
	}
	return append(p, slices.Concat(bodies...)...)
}

// curveOfSRGB is IEC 61966-2-1 as a parametric curve of type 3.
var curveOfSRGB = parametric(3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045)

// The primaries, adapted to D50: of sRGB by Lindbloom (2017), of Display P3 (SMPTE EG 432-1) by the same method.
var (
	rSRGB, gSRGB, bSRGB = xyz(0.4360747, 0.2225045, 0.0139322), xyz(0.3850649, 0.7168786, 0.0971045), xyz(0.1430804, 0.0606169, 0.7141733)
	rP3, gP3, bP3       = xyz(0.5151187, 0.2411892, -0.0010505), xyz(0.2919778, 0.6922441, 0.0418791), xyz(0.1571035, 0.0665668, 0.7840713)
)

func wide() []byte { return profileOf(rP3, gP3, bP3, curveOfSRGB) }

func TestColours_of_sRGB_stay_what_they_are(t *testing.T) {
	c := sRGBFrom(profileOf(rSRGB, gSRGB, bSRGB, curveOfSRGB))
	if c == nil {
		t.Fatal("the profile was not read")
	}
	for _, want := range [][3]byte{{0, 0, 0}, {255, 255, 255}, {200, 120, 60}, {3, 250, 128}, {1, 2, 3}} {
		r, g, b := c.convert(want[0], want[1], want[2])
		for i, v := range []byte{r, g, b} {
			if max(v, want[i])-min(v, want[i]) > 1 {
				t.Errorf("%v became %v", want, [3]byte{r, g, b})
			}
		}
	}
}

// Values of Display P3 and the sRGB they mean, by CSS Color 4's matrices; what sRGB cannot show is cut to its border.
func TestColours_of_a_wide_screen_become_those_of_sRGB(t *testing.T) {
	c := sRGBFrom(wide())
	for in, want := range map[[3]byte][3]byte{
		{255, 255, 255}: {255, 255, 255}, {128, 128, 128}: {128, 128, 128}, {255, 0, 0}: {255, 0, 0}, {0, 255, 0}: {0, 255, 0},
		{200, 120, 60}: {213, 115, 42}, {150, 60, 40}: {162, 52, 31},
	} {
		r, g, b := c.convert(in[0], in[1], in[2])
		if got := [3]byte{r, g, b}; !within2(got, want) {
			t.Errorf("%v became %v, want %v", in, got, want)
		}
	}
}

func within2(a, b [3]byte) bool {
	for i := range a {
		if max(a[i], b[i])-min(a[i], b[i]) > 2 {
			return false
		}
	}
	return true
}

func TestCurves_of_each_kind_are_read(t *testing.T) {
	for name, c := range map[string]struct {
		tag  []byte
		at   float64
		want float64
	}{
		"straight":            {table(), 0.5, 0.5},
		"a gamma":             {table(2 << 8), 0.5, 0.25},
		"a table":             {table(0, 100, 65535), 0.25, 50. / 65535},
		"the end of a table":  {table(0, 100, 65535), 1, 1},
		"parametric 0":        {parametric(0, 2), 0.5, 0.25},
		"parametric 1":        {parametric(1, 2, 2, -0.5), 0.5, 0.25},
		"parametric 1, below": {parametric(1, 2, 2, -0.5), 0.2, 0},
		"parametric 2":        {parametric(2, 2, 2, -0.5, 0.125), 0.5, 0.375},
		"parametric 2, below": {parametric(2, 2, 2, -0.5, 0.125), 0.2, 0.125},
		"parametric 3":        {parametric(3, 2, 1, 0, 0.5, 0.25), 0.5, 0.25},
		"parametric 3, below": {parametric(3, 2, 1, 0, 0.5, 0.25), 0.125, 0.0625},
		"parametric 4":        {parametric(4, 2, 1, 0, 0.5, 0.25, 0.5, 0.125), 0.5, 0.75},
		"parametric 4, below": {parametric(4, 2, 1, 0, 0.5, 0.25, 0.5, 0.125), 0.125, 0.1875},
	} {
		f, ok := readCurve(c.tag)
		if !ok {
			t.Errorf("%s: not read", name)
		} else if got := f(c.at); got < c.want-1e-4 || got > c.want+1e-4 {
			t.Errorf("%s: %v at %v, want %v", name, got, c.at, c.want)
		}
	}
}

// A profile comes from strangers: nothing it claims may be believed about lengths.
func TestProfiles_that_lie_are_left_aside(t *testing.T) {
	for name, damage := range map[string]func(p []byte){
		"no signature":            func(p []byte) { p[36] = 'x' },
		"colours of a printer":    func(p []byte) { copy(p[16:], "CMYK") },
		"more tags than there is": func(p []byte) { copy(p[128:], "\xff\xff\xff\xff"); p[132] = 'x' },
		"a tag beyond the end":    func(p []byte) { copy(p[136:], "\xff\xff\xff\xf0") },
		"a tag of any length":     func(p []byte) { copy(p[140:], "\xff\xff\xff\xff") },
		"a curve beyond its tag":  func(p []byte) { copy(p[132+72+60:], "curv\x00\x00\x00\x00\x7f\xff\xff\xff") },
		"a curve of no kind":      func(p []byte) { p[132+72+60+9] = 5 },
	} {
		p := wide()
		damage(p)
		if sRGBFrom(p) != nil {
			t.Errorf("%s: was believed", name)
		}
	}
	for n := range len(wide()) {
		if sRGBFrom(wide()[:n]) != nil {
			t.Errorf("the first %d bytes were believed", n)
		}
	}
}

func TestPrepare_brings_wide_colours_to_sRGB_from_each_kind(t *testing.T) {
	m := image.NewRGBA(image.Rect(0, 0, 64, 64))
	for i := range m.Pix {
		m.Pix[i] = []byte{200, 120, 60, 255}[i%4]
	}
	profile := wide()
	var packed bytes.Buffer
	w := zlib.NewWriter(&packed)
	if _, err := w.Write(profile); err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	half := len(profile) / 2
	parts := inside(jpegOf(t, m), 0xe2, append([]byte("ICC_PROFILE\x00\x02\x02"), profile[half:]...))
	parts = inside(parts, 0xe2, append([]byte("ICC_PROFILE\x00\x01\x02"), profile[:half]...))
	for name, data := range map[string][]byte{
		"JPEG, in two parts": parts,
		"PNG":                withChunk(pngOf(t, m), "iCCP", append([]byte("wide\x00\x00"), packed.Bytes()...)),
		"WebP":               riff(vp8x(32, 64, 64), chunk("ICCP", profile), chunk("VP8L", vp8l(64, 64, color.RGBA{200, 120, 60, 255}))),
	} {
		c := color.RGBAModel.Convert(decoded(t, prepared(t, data).Full).At(30, 30)).(color.RGBA)
		if !within2([3]byte{c.R, c.G, c.B}, [3]byte{213, 115, 42}) {
			t.Errorf("%s: became %v", name, c)
		}
	}
}

func TestPNG_profile_that_unfolds_without_end_is_cut(t *testing.T) {
	var packed bytes.Buffer
	w := zlib.NewWriter(&packed)
	if _, err := w.Write(make([]byte, 64<<20)); err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	if got := inflate(append([]byte("x\x00\x00"), packed.Bytes()...)); len(got) > maxProfile {
		t.Errorf("%d bytes", len(got))
	}
}

func TestLossy_WebP_spans_black_to_white(t *testing.T) {
	m := image.NewYCbCr(image.Rect(0, 0, 4, 1), image.YCbCrSubsampleRatio444)
	copy(m.Y, []byte{16, 235, 126, 81})
	copy(m.Cb, []byte{128, 128, 128, 90})
	copy(m.Cr, []byte{128, 128, 128, 240}) // the last is pure red of ITU-R BT.601
	widen(m)
	for x, want := range []color.RGBA{{0, 0, 0, 255}, {255, 255, 255, 255}, {128, 128, 128, 255}, {254, 0, 0, 255}} {
		c := color.RGBAModel.Convert(m.At(x, 0)).(color.RGBA)
		if !within2([3]byte{c.R, c.G, c.B}, [3]byte{want.R, want.G, want.B}) {
			t.Errorf("sample %d became %v, want %v", x, c, want)
		}
	}
}
