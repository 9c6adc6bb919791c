package media

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"time"

	"golang.org/x/sync/semaphore"

	"forayhall/internal/fault"
)

const (
	// Field is the form field that a refusal of Prepare speaks of.
	Field = "photograph"

	// MaxBytes is above what phones write: a 48-megapixel JPEG has 10 to 20 MB (common practice).
	MaxBytes = 25 << 20
	// MaxPixels takes a phone's 48 megapixels and its panoramas of 16382 × 3628.
	MaxPixels = 60_000_000
	// MaxSide keeps one side from growing while the other is a hair.
	MaxSide = 20_000

	// FullEdge is the long edge in pixels of the picture that is looked at: gills stay visible on a large screen.
	FullEdge = 2400
	// SmallEdge is that of the picture in lists.
	SmallEdge = 400

	fullQuality, smallQuality = 85, 80

	// memory is what all decoders of the process together may take, in bytes: about six photographs of 12 megapixels
	// at once, or one of the largest.
	memory = 768 << 20
)

// decoding is shared by the process, because memory is.
var decoding = semaphore.NewWeighted(memory)

// Picture is a JPEG in sRGB that carries no metadata.
type Picture struct {
	Data          []byte
	SHA256        string // of Data, in hexadecimal: its name among the blobs
	Width, Height int    // pixels, upright
}

// Prepared is a photograph made fit to be kept, and what it said of itself.
type Prepared struct {
	Full, Small Picture

	// TakenAt is nil when the photograph does not say. Where Zoned is false the camera wrote no zone, and TakenAt is
	// its wall clock written down as UTC: not an instant. Use TakenIn.
	TakenAt *time.Time
	Zoned   bool

	// Latitude and Longitude are decimal degrees, in WGS 84 where the camera keeps to the standard; both or neither.
	// They are as private as the exact place of a find.
	Latitude, Longitude *float64
}

// TakenIn is the instant when the photograph was taken; a clock without a zone is read as showing the time in zone,
// the event's. It reports false when the photograph does not say.
func (p Prepared) TakenIn(zone *time.Location) (time.Time, bool) {
	switch {
	case p.TakenAt == nil:
		return time.Time{}, false
	case p.Zoned:
		return *p.TakenAt, true
	}
	t := *p.TakenAt
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), zone), true
}

// Prepare reads a JPEG, PNG, WebP or GIF (its first frame), known by content, and makes it upright, no larger than is
// needed, and silent about itself. What is no such picture is refused for Field. It waits while other photographs
// take all the memory there is for it; r, of which it reads MaxBytes at most, is read before that wait.
func Prepare(ctx context.Context, r io.Reader) (Prepared, error) {
	data, err := read(patient{ctx, r})
	if err != nil {
		return Prepared{}, err
	}
	k, need, err := examine(data)
	if err != nil {
		return Prepared{}, err
	}
	if err := decoding.Acquire(ctx, need); err != nil {
		return Prepared{}, fmt.Errorf("wait to decode a photograph: %w", err)
	}
	defer decoding.Release(need)
	return prepare(ctx, k, data)
}

func read(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("receive a photograph: %w", err)
	case len(data) == 0:
		return nil, fault.Wrong(Field, "media.empty")
	case len(data) > MaxBytes:
		return nil, fault.Wrong(Field, "media.too-many-bytes", "limit", MaxBytes>>20)
	}
	return data, nil
}

// prepare turns a panic of a decoder into a refusal: what strangers send must not end the hall's process.
func prepare(ctx context.Context, k kind, data []byte) (p Prepared, err error) {
	defer func() {
		if r := recover(); r != nil {
			p, err = Prepared{}, damaged(fmt.Errorf("decoder: %v", r))
		}
	}()
	said := readTags(k, data)
	m, err := k.decode(patient{ctx, bytes.NewReader(data)})
	if ctx.Err() != nil {
		return p, ctx.Err()
	}
	if err != nil {
		return p, damaged(err)
	}
	full := render(upright(fit(m, FullEdge), said.orientation), sRGBFrom(k.profile(data)))
	if p.Full, err = encode(ctx, full, fullQuality); err != nil {
		return Prepared{}, err
	}
	small := render(fit(full, SmallEdge), nil)
	if p.Small, err = encode(ctx, small, smallQuality); err != nil {
		return Prepared{}, err
	}
	said.tell(&p)
	return p, nil
}

// encode writes a JPEG; the standard encoder writes pixels and nothing about them.
func encode(ctx context.Context, m *image.RGBA, quality int) (Picture, error) {
	if err := ctx.Err(); err != nil {
		return Picture{}, err
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: quality}); err != nil {
		return Picture{}, fmt.Errorf("encode a photograph: %w", err)
	}
	size := m.Bounds().Size()
	return Picture{Data: b.Bytes(), SHA256: hashOf(b.Bytes()), Width: size.X, Height: size.Y}, nil
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func damaged(cause error) error {
	err := fault.Wrong(Field, "media.damaged")
	err.Cause = cause
	return err
}

// patient is a reader that stops when its context ends, so that a decoder in the middle of a picture does too.
type patient struct {
	ctx context.Context
	r   io.Reader
}

func (p patient) Read(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	return p.r.Read(b)
}
