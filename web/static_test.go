package web

import (
	"errors"
	"io/fs"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestAnAddressCarriesTheHashOfWhatItServes(t *testing.T) {
	for _, name := range []string{"hall.css", "names.js"} {
		address := Asset(name)
		file, err := Open(strings.TrimPrefix(address, Prefix))
		if err != nil {
			t.Fatalf("%s: %v", address, err)
		}
		if want := Prefix + withHash(name, file.Data); address != want {
			t.Errorf("%s is served at %s, want %s", name, address, want)
		}
		if withHash(name, append(file.Data, ' ')) == withHash(name, file.Data) {
			t.Errorf("%s: a changed file keeps its address", name)
		}
		if file.Type == "" {
			t.Errorf("%s has no content type", name)
		}
	}
}

func TestOldAndUnhashedAddressesAreNotServed(t *testing.T) {
	for _, name := range []string{"hall.css", "hall.000000000000.css", "../static.go", ""} {
		if _, err := Open(name); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("Open(%q) = %v, want not there", name, err)
		}
	}
}

var colour = regexp.MustCompile(`--([a-z-]+): #([0-9a-f]{6});`)

func palette(css string, under map[string]string) map[string]string {
	p := map[string]string{}
	for name, value := range under {
		p[name] = value
	}
	for _, m := range colour.FindAllStringSubmatch(css, -1) {
		p[m[1]] = m[2]
	}
	return p
}

// luminance and contrast follow WCAG 2.2, "relative luminance" and "contrast ratio".
func luminance(hex string) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, _ := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		v := float64(n) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		sum += weight * v
	}
	return sum
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

var inkOnPaper = [][2]string{{"ink", "ground"}, {"ink", "slip"}, {"pencil", "ground"}, {"pencil", "slip"},
	{"ochre", "ground"}, {"ochre", "slip"}, {"ochre", "ochre-wash"}, {"on-ochre", "ochre-fill"}, {"brick", "slip"},
	{"brick", "ground"}, {"brick", "brick-wash"}, {"on-brick", "brick-band"}, {"pencil", "ochre-wash"}}

func TestEveryInkReadsOnItsPaperByDayAndByNight(t *testing.T) {
	file, err := Open(strings.TrimPrefix(Asset("hall.css"), Prefix))
	if err != nil {
		t.Fatal(err)
	}
	day, rest, _ := strings.Cut(string(file.Data), "@media (prefers-color-scheme: dark)")
	night, _, _ := strings.Cut(rest, "*, *::before")
	light := palette(day, nil)
	for name, p := range map[string]map[string]string{"day": light, "night": palette(night, light)} {
		for _, pair := range inkOnPaper {
			if p[pair[0]] == "" || p[pair[1]] == "" {
				t.Fatalf("%s: no colour for %v", name, pair)
			}
			if ratio := contrast(p[pair[0]], p[pair[1]]); ratio < 4.5 {
				t.Errorf("%s: %s on %s is %.2f to 1, want 4.5 (WCAG 2.2 AA)", name, pair[0], pair[1], ratio)
			}
		}
	}
}
