package media

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
)

// pngChunk finds a chunk before the pixels; nil without (PNG, third edition, 5.3).
func pngChunk(data []byte, wanted string) []byte {
	for rest := data[min(8, len(data)):]; len(rest) >= 12; {
		n := int64(binary.BigEndian.Uint32(rest))
		name := string(rest[4:8])
		if n > int64(len(rest)-12) || name == "IDAT" && wanted != "eXIf" {
			return nil
		}
		if name == wanted {
			return rest[8 : 8+n]
		}
		rest = rest[12+n:]
	}
	return nil
}

// pngEXIF also looks behind the pixels, where the standard allows it.
func pngEXIF(data []byte) []byte { return pngChunk(data, "eXIf") }

func pngProfile(data []byte) []byte { return inflate(pngChunk(data, "iCCP")) }

// inflate unfolds a profile behind its name and the number of its method (PNG, third edition, 11.3.2.3).
func inflate(chunk []byte) []byte {
	_, packed, ok := bytes.Cut(chunk, []byte{0})
	if !ok || len(packed) < 1 {
		return nil
	}
	r, err := zlib.NewReader(bytes.NewReader(packed[1:]))
	if err != nil {
		return nil
	}
	profile, err := io.ReadAll(io.LimitReader(r, maxProfile))
	if err != nil {
		return nil
	}
	return profile
}

// webpChunk finds a chunk; nil without (RFC 9649, section 2.3).
func webpChunk(data []byte, wanted string) []byte {
	for rest := data[min(12, len(data)):]; len(rest) >= 8; {
		n := int64(binary.LittleEndian.Uint32(rest[4:]))
		if n > int64(len(rest)-8) {
			return nil
		}
		if string(rest[:4]) == wanted {
			return rest[8 : 8+n]
		}
		rest = rest[min(8+n+n%2, int64(len(rest))):] // a chunk begins at an even place
	}
	return nil
}

// webpEXIF also takes a block with the mark of a JPEG before it, as some programs write.
func webpEXIF(data []byte) []byte { return bytes.TrimPrefix(webpChunk(data, "EXIF"), exifMark) }

func webpProfile(data []byte) []byte { return webpChunk(data, "ICCP") }
