package printing

import (
	_ "embed"
	"fmt"
	"strings"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/text/unicode/norm"
)

//go:embed fonts/NotoSans-SemiCondensed-Regular.ttf
var uprightFont []byte

//go:embed fonts/NotoSans-SemiCondensed-Italic.ttf
var italicFont []byte

//go:embed fonts/NotoSans-SemiCondensed-Bold.ttf
var boldFont []byte

//go:embed fonts/NotoSans-SemiCondensed-BoldItalic.ttf
var boldItalicFont []byte

//go:embed fonts/NotoSansMono-SemiCondensed-Bold.ttf
var numberFont []byte

// face is one cut of the type: a family and a style as the PDF library names them.
type face struct{ family, cut string }

var (
	upright    = face{"text", ""}
	italic     = face{"text", "I"}
	bold       = face{"text", "B"}
	boldItalic = face{"text", "BI"}
	number     = face{"number", "B"}
)

// ink is a colour, 0 to 255 a part.
type ink struct{ r, g, b int }

var (
	black = ink{26, 30, 38}    // ink blue-black, as on the screens
	brick = ink{155, 45, 31}   // hazards and nothing else; prints as a dark grey
	white = ink{255, 255, 255} // the paper
	grey  = ink{90, 94, 102}   // pencil: 6.6 to 1 on white, readable on any printer
)

// mmPerPoint is the length of a typographic point.
const mmPerPoint = 25.4 / 72

// style is how a piece of text is set.
type style struct {
	face face
	size float64 // points
	ink  ink
}

func (s style) sized(size float64) style { s.size = size; return s }

func (s style) inked(i ink) style { s.ink = i; return s }

func (s style) bold() style {
	if s.face == italic || s.face == boldItalic {
		s.face = boldItalic
	} else if s.face == upright {
		s.face = bold
	}
	return s
}

// slanted is the same in italics.
func (s style) slanted() style {
	switch s.face {
	case upright:
		s.face = italic
	case bold:
		s.face = boldItalic
	}
	return s
}

// span is a piece of running text in one style.
type span struct {
	text  string
	style style
}

// ruler measures words, each once a style.
type ruler struct {
	pdf   *fpdf.Fpdf
	known map[measured]float64
}

type measured struct {
	face face
	word string
}

func newDocument(width, height float64) (*fpdf.Fpdf, error) {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCatalogSort(true)
	for _, f := range []struct {
		face face
		data []byte
	}{{upright, uprightFont}, {italic, italicFont}, {bold, boldFont}, {boldItalic, boldItalicFont}, {number, numberFont}} {
		pdf.AddUTF8FontFromBytes(f.face.family, f.face.cut, f.data)
	}
	if err := pdf.Error(); err != nil {
		return nil, fmt.Errorf("read the type: %w", err)
	}
	return pdf, nil
}

// width is of a word in millimetres.
func (r *ruler) width(word string, s style) float64 {
	key := measured{s.face, word}
	w, ok := r.known[key]
	if !ok {
		r.pdf.SetFont(s.face.family, s.face.cut, 10)
		w = float64(r.pdf.GetStringSymbolWidth(word)) / 1000
		r.known[key] = w
	}
	return w * s.size * mmPerPoint
}

// tidy makes of a text what can be set: composed letters, no control characters, one kind of space. Characters that
// the PDF's sixteen bits cannot name are shown as a replacement mark, so that something missing is seen.
func tidy(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.IsControl(r) || r == '\u00AD' || unicode.Is(unicode.Cf, r):
			return -1
		case r > 0xFFFD:
			return '\uFFFD'
		}
		return r
	}, norm.NFC.String(text))
}
