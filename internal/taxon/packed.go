package taxon

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"io"
)

// heading begins an index file. The number rises when the columns or what they mean change, so that an older file is
// compiled anew and never misread.
const heading = "forayhall names 1\n"

// ErrNotAnIndex is the error of a file that is no index, is cut short, or was made by another version.
var ErrNotAnIndex = errors.New("this is no index of names that this version reads")

// Write writes the index as a file that Open reads: a heading, then each column with its length, little-endian. Two lists
// that say the same make the same bytes.
func (ix *Index) Write(w io.Writer) error {
	if _, err := io.WriteString(w, heading); err != nil {
		return err
	}
	for _, part := range ix.parts() {
		if err := writePart(w, part); err != nil {
			return err
		}
	}
	return nil
}

func writePart(w io.Writer, part any) error {
	switch p := part.(type) {
	case *string:
		err := binary.Write(w, binary.LittleEndian, uint64(len(*p)))
		if err == nil {
			_, err = io.WriteString(w, *p)
		}
		return err
	case *[]byte:
		return errors.Join(binary.Write(w, binary.LittleEndian, uint64(len(*p))), binary.Write(w, binary.LittleEndian, *p))
	case *[]uint16:
		return errors.Join(binary.Write(w, binary.LittleEndian, uint64(len(*p))), binary.Write(w, binary.LittleEndian, *p))
	case *[]uint32:
		return errors.Join(binary.Write(w, binary.LittleEndian, uint64(len(*p))), writeNumbers(w, *p))
	}
	return errors.ErrUnsupported
}

// writeNumbers writes a column a piece at a time: the whole would be held twice.
func writeNumbers(w io.Writer, numbers []uint32) error {
	const piece = 1 << 14
	room := make([]byte, 0, 4*piece)
	for len(numbers) > 0 {
		n := min(piece, len(numbers))
		room = room[:0]
		for _, v := range numbers[:n] {
			room = binary.LittleEndian.AppendUint32(room, v)
		}
		if _, err := w.Write(room); err != nil {
			return err
		}
		numbers = numbers[n:]
	}
	return nil
}

// Open makes an index of the bytes of a file. They are looked at whole: what does not fit together is refused, so that
// no question can lead outside.
func Open(file []byte) (*Index, error) {
	rest, ok := bytes.CutPrefix(file, []byte(heading))
	if !ok {
		return nil, ErrNotAnIndex
	}
	ix := &Index{}
	for _, part := range ix.parts() {
		if rest, ok = readPart(rest, part); !ok {
			return nil, ErrNotAnIndex
		}
	}
	if len(rest) > 0 || !ix.fit() {
		return nil, ErrNotAnIndex
	}
	ix.revision = revisionOf(file)
	ix.prepare()
	return ix, nil
}

func readPart(file []byte, part any) ([]byte, bool) {
	if len(file) < 8 {
		return nil, false
	}
	n, file := binary.LittleEndian.Uint64(file), file[8:]
	width := uint64(1)
	switch part.(type) {
	case *[]uint16:
		width = 2
	case *[]uint32:
		width = 4
	}
	if n > uint64(len(file))/width {
		return nil, false
	}
	column, rest := file[:n*width], file[n*width:]
	switch p := part.(type) {
	case *string:
		*p = string(column)
	case *[]byte:
		*p = bytes.Clone(column)
	case *[]uint16:
		*p = make([]uint16, n)
		for i := range *p {
			(*p)[i] = binary.LittleEndian.Uint16(column[2*i:])
		}
	case *[]uint32:
		*p = make([]uint32, n)
		for i := range *p {
			(*p)[i] = binary.LittleEndian.Uint32(column[4*i:])
		}
	}
	return rest, true
}

// revisionOf is what a list says of itself: the first half of the hash of its file.
func revisionOf(file []byte) string {
	sum := sha256.Sum256(file)
	return hex.EncodeToString(sum[:8])
}

// revised works out the revision of an index that was built.
func (ix *Index) revised() string {
	h := sha256.New()
	if err := ix.Write(h); err != nil {
		panic("taxon: a hash takes any bytes: " + err.Error())
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}
