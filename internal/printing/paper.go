package printing

import (
	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// Size is a sheet of paper by its name.
type Size string

// The two that printers of halls hold.
const (
	A4     Size = "A4"
	Letter Size = "Letter"
)

// mm is width and height, upright; anything else than Letter is A4.
func (s Size) mm() (width, height float64) {
	if s == Letter {
		return 215.9, 279.4
	}
	return 210, 297
}

// ReadSize reads a size as a form or an address gives it.
func ReadSize(written string) (Size, error) {
	switch Size(written) {
	case A4, Letter:
		return Size(written), nil
	}
	return "", fault.Wrong("size", "printing.size.unknown", "written", written)
}

// Paper is on what and for whom a sheet is printed.
type Paper struct {
	Size  Size
	Large bool            // half as large again
	Say   message.Printer // the reader's language; zero: English
}

func (p Paper) scale() float64 {
	if p.Large {
		return 1.5
	}
	return 1
}

// columns is how many stand side by side.
func (p Paper) columns() int {
	if p.Large {
		return 1
	}
	return 2
}
