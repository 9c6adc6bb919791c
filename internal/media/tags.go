package media

import (
	"bytes"
	"strings"
	"time"

	"github.com/bep/imagemeta"
)

// tags is what a photograph says of itself and is asked for. Names are the library's: CreateDate is
// DateTimeDigitized of EXIF 2.32.
type tags struct {
	orientation int
	texts       map[string]string
	degrees     map[string]float64
}

var wanted = map[string]bool{"Orientation": true,
	"DateTimeOriginal": true, "OffsetTimeOriginal": true, "CreateDate": true, "OffsetTimeDigitized": true,
	"GPSLatitude": true, "GPSLatitudeRef": true, "GPSLongitude": true, "GPSLongitudeRef": true}

// readTags reads what it can: damaged tags are no reason to refuse a picture. Those of a thumbnail are left out. The
// block is taken out of its picture here, because the library loses what follows a chunk of odd length in a WebP.
func readTags(k kind, data []byte) tags {
	t := tags{texts: map[string]string{}, degrees: map[string]float64{}}
	block := k.exif(data)
	if block == nil {
		return t
	}
	_, _ = imagemeta.Decode(imagemeta.Options{
		R: bytes.NewReader(block), ImageFormat: imagemeta.TIFF, Sources: imagemeta.EXIF,
		ShouldHandleTag: func(tag imagemeta.TagInfo) bool {
			return strings.HasPrefix(tag.Namespace, "IFD0") && wanted[tag.Tag]
		},
		HandleTag: t.take,
		Warnf:     func(string, ...any) {},
	})
	return t
}

func (t *tags) take(tag imagemeta.TagInfo) error {
	switch v := tag.Value.(type) {
	case uint16:
		if tag.Tag == "Orientation" && tag.Namespace == "IFD0" {
			t.orientation = int(v)
		}
	case float64:
		t.degrees[tag.Tag] = v
	case string:
		t.texts[tag.Tag] = strings.TrimSpace(strings.TrimRight(v, "\x00"))
	}
	return nil
}

func (t *tags) tell(p *Prepared) {
	p.TakenAt, p.Zoned = t.taken()
	p.Latitude, p.Longitude = t.point()
}

// taken reads when the picture was taken; of a scanned slide, when it was scanned is better than nothing.
func (t *tags) taken() (at *time.Time, zoned bool) {
	for _, tag := range [][2]string{{"DateTimeOriginal", "OffsetTimeOriginal"}, {"CreateDate", "OffsetTimeDigitized"}} {
		clock := t.texts[tag[0]]
		if zoned, err := time.Parse("2006:01:02 15:04:05-07:00", clock+t.zone(tag[1])); err == nil && zoned.Year() > 0 {
			return &zoned, true
		}
		if bare, err := time.Parse("2006:01:02 15:04:05", clock); err == nil && bare.Year() > 0 {
			return &bare, false
		}
	}
	return nil, false
}

// zone is the offset as written; some write Z.
func (t *tags) zone(tag string) string {
	if z := t.texts[tag]; z != "Z" {
		return z
	}
	return "+00:00"
}

// point gives no point where the hemisphere is not said, and none where a number is exactly 0: phones write noughts
// before they know, and what cannot be read becomes 0 in the library.
func (t *tags) point() (latitude, longitude *float64) {
	north, okNorth := t.signed("GPSLatitude", "N", "S", 90)
	east, okEast := t.signed("GPSLongitude", "E", "W", 180)
	if !okNorth || !okEast {
		return nil, nil
	}
	return &north, &east
}

func (t *tags) signed(tag, plus, minus string, most float64) (float64, bool) {
	v := t.degrees[tag]
	if !(v > 0 && v <= most) { // also what is no number
		return 0, false
	}
	switch t.texts[tag+"Ref"] {
	case plus:
		return v, true
	case minus:
		return -v, true
	}
	return 0, false
}
