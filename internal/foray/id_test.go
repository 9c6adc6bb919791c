package foray_test

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"errors"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
)

// RFC 9562, 5.7: 48 bits of Unix milliseconds, version 7, variant 10, the rest random.
func TestAnIDHasTheLayoutOfVersion7(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ms := rapid.Int64Range(0, 1<<48-1).Draw(t, "ms")
		seed := rapid.SliceOfN(rapid.Byte(), 10, 10).Draw(t, "random")
		id, err := foray.NewID(time.UnixMilli(ms), bytes.NewReader(seed))
		if err != nil {
			t.Fatal(err)
		}
		var got int64
		for _, b := range id[:6] {
			got = got<<8 | int64(b)
		}
		if got != ms || id[6]>>4 != 7 || id[8]>>6 != 0b10 {
			t.Fatalf("%s: time %d, version %d, variant %b", id, got, id[6]>>4, id[8]>>6)
		}
		if id[6]&0x0f != seed[0]&0x0f || id[7] != seed[1] || id[8]&0x3f != seed[2]&0x3f || !bytes.Equal(id[9:], seed[3:]) {
			t.Fatalf("%s does not keep the randomness %x", id, seed)
		}
	})
}

// The example of RFC 9562, appendix A.6: 017F22E2-79B0-7CC3-98C4-DC0C0C07398F.
func TestTheExampleOfTheStandard(t *testing.T) {
	random := []byte{0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f}
	id, err := foray.NewID(time.UnixMilli(0x017F22E279B0), bytes.NewReader(random))
	if err != nil || id.String() != "017f22e2-79b0-7cc3-98c4-dc0c0c07398f" {
		t.Errorf("%s %v", id, err)
	}
	if id.URN() != "urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f" {
		t.Error(id.URN())
	}
}

func TestIDsAreOrderedByTime(t *testing.T) {
	last := ""
	for i := range 200 {
		id, err := foray.NewID(start.Add(time.Duration(i)*time.Millisecond), rand.Reader)
		if err != nil || id.String() <= last {
			t.Fatalf("%s after %s, %v", id, last, err)
		}
		last = id.String()
	}
}

func TestAnIDIsNotMadeWithoutRandomness(t *testing.T) {
	if id, err := foray.NewID(start, iotest.ErrReader(errors.New("no entropy"))); err == nil || !id.IsZero() {
		t.Errorf("made %s", id)
	}
}

func TestAnIDComesBackFromEveryFormItIsKeptIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var id foray.ID
		copy(id[:], rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(t, "bytes"))
		value, err := id.Value()
		if err != nil {
			t.Fatal(err)
		}
		text, _ := value.(string)
		for _, kept := range []any{value, []byte(text), [16]byte(id)} {
			back := foray.ID{9}
			if text == "" && kept != nil {
				continue // an empty id is kept as NULL
			}
			if err := back.Scan(kept); err != nil || back != id {
				t.Fatalf("%v gives %s, %v", kept, back, err)
			}
		}
		data, err := json.Marshal(id)
		if err != nil {
			t.Fatal(err)
		}
		back := foray.ID{9}
		if err := json.Unmarshal(data, &back); err != nil || back != id {
			t.Fatalf("%s gives %s, %v", data, back, err)
		}
		if parsed, err := foray.ParseID(id.URN()); !id.IsZero() && (err != nil || parsed != id) {
			t.Fatalf("%s gives %s, %v", id.URN(), parsed, err)
		}
	})
}

func TestAnEmptyIDIsNoValueAndNoText(t *testing.T) {
	value, err := foray.ID{}.Value()
	if value != nil || err != nil || (foray.ID{}).String() != "" {
		t.Errorf("an empty id is kept as %v", value)
	}
	for _, bad := range []any{42, "not an id", []byte("017f22e2"), ""} {
		var id foray.ID
		if err := id.Scan(bad); err == nil {
			t.Errorf("%v was read as %s", bad, id)
		}
	}
}
