package archive

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Row types of the parts of an archive (GBIF core and extension definitions of 2025-07-10; Multimedia of 2015-02-13).
const (
	OccurrenceRows     = "http://rs.tdwg.org/dwc/terms/Occurrence"
	EventRows          = "http://rs.tdwg.org/dwc/terms/Event"
	IdentificationRows = "http://rs.tdwg.org/dwc/terms/Identification"
	MeasurementRows    = "http://rs.tdwg.org/dwc/terms/MeasurementOrFact"
	MultimediaRows     = "http://rs.gbif.org/terms/1.0/Multimedia"
)

// dublinCore is the terms that Darwin Core borrows from the Dublin Core terms.
var dublinCore = map[string]bool{"type": true, "modified": true, "language": true, "license": true, "rightsHolder": true, "accessRights": true,
	"bibliographicCitation": true, "references": true}

// Darwin gives the address of a term that stands in an occurrence, event, identification or measurement.
func Darwin(term string) string {
	if dublinCore[term] {
		return "http://purl.org/dc/terms/" + term
	}
	return "http://rs.tdwg.org/dwc/terms/" + term
}

// Dublin gives the address of a term that stands in a row of multimedia.
func Dublin(term string) string {
	if term == "datasetID" {
		return Darwin(term)
	}
	return "http://purl.org/dc/terms/" + term
}

// Star is a Darwin Core archive: a core, extensions whose rows join to it by its first column, and what it is about.
type Star struct {
	Core       StarPart
	Extensions []StarPart
	About      Dataset
}

// StarPart is one file of rows. The first column is the id of the core's row; in the core it is a field as well.
type StarPart struct {
	RowType string
	File    string
	Terms   []string // addresses, by column; that of an extension's first column is empty
	Rows    [][]string
}

// Column is where a part has a term by its local name; -1 where it has it not.
func (p StarPart) Column(local string) int {
	for i, term := range p.Terms {
		if term != "" && shortTerm(term) == local {
			return i
		}
	}
	return -1
}

// WriteStar writes an archive as a zip. The same content gives the same bytes. Text stays as it is: cells are enclosed,
// so that tabs and line ends inside survive, and nothing is escaped, since no spreadsheet opens an archive by itself.
func WriteStar(w io.Writer, s Star) error {
	z := zip.NewWriter(w)
	meta, err := s.meta()
	if err != nil {
		return err
	}
	about, err := s.About.eml()
	if err != nil {
		return err
	}
	if err := addWhole(z, "meta.xml", meta); err != nil {
		return err
	}
	if err := addWhole(z, metadataName, about); err != nil {
		return err
	}
	for _, p := range s.parts() {
		if err := p.write(z); err != nil {
			return fmt.Errorf("write %s: %w", p.File, err)
		}
	}
	return z.Close()
}

const metadataName = "eml.xml"

// parts leaves out extensions without rows.
func (s Star) parts() []StarPart {
	parts := []StarPart{s.Core}
	for _, p := range s.Extensions {
		if len(p.Rows) > 0 {
			parts = append(parts, p)
		}
	}
	return parts
}

func addWhole(z *zip.Writer, name string, data []byte) error {
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: zipTime})
	if err == nil {
		_, err = w.Write(data)
	}
	return err
}

func (p StarPart) write(z *zip.Writer) error {
	w, err := z.CreateHeader(&zip.FileHeader{Name: p.File, Method: zip.Deflate, Modified: zipTime})
	if err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	writeStarRow(b, p.header())
	for _, row := range p.Rows {
		writeStarRow(b, row)
	}
	return b.Flush()
}

func (p StarPart) header() []string {
	header := make([]string, len(p.Terms))
	for i, term := range p.Terms {
		if header[i] = shortTerm(term); term == "" {
			header[i] = "id"
		}
	}
	return header
}

// writeStarRow ends rows with LF, as meta.xml says: readers that know no other are many.
func writeStarRow(b *bufio.Writer, cells []string) {
	for i, cell := range cells {
		if i > 0 {
			b.WriteByte(',')
		}
		writeCell(b, strings.ReplaceAll(cell, "\x00", "\uFFFD"), false)
	}
	b.WriteByte('\n')
}

// starMeta is meta.xml as it is written (Darwin Core text guide, TDWG 2009, section 2).
type starMeta struct {
	XMLName    xml.Name   `xml:"http://rs.tdwg.org/dwc/text/ archive"`
	Metadata   string     `xml:"metadata,attr"`
	Core       starFile   `xml:"core"`
	Extensions []starFile `xml:"extension"`
}

type starFile struct {
	Encoding  string      `xml:"encoding,attr"`
	Delimiter string      `xml:"fieldsTerminatedBy,attr"`
	LineEnd   string      `xml:"linesTerminatedBy,attr"`
	Quote     string      `xml:"fieldsEnclosedBy,attr"`
	Skip      int         `xml:"ignoreHeaderLines,attr"`
	RowType   string      `xml:"rowType,attr"`
	Location  string      `xml:"files>location"`
	ID        *starID     `xml:"id"`
	CoreID    *starID     `xml:"coreid"`
	Fields    []starField `xml:"field"`
}

type starID struct {
	Index int `xml:"index,attr"`
}

type starField struct {
	Index string `xml:"index,attr"`
	Term  string `xml:"term,attr"`
}

func (p StarPart) meta() starFile {
	f := starFile{Encoding: UTF8, Delimiter: ",", LineEnd: `\n`, Quote: `"`, Skip: 1, RowType: p.RowType, Location: p.File}
	for i, term := range p.Terms {
		if term != "" {
			f.Fields = append(f.Fields, starField{strconv.Itoa(i), term})
		}
	}
	return f
}

func (s Star) meta() ([]byte, error) {
	m := starMeta{Metadata: metadataName}
	for i, p := range s.parts() {
		f := p.meta()
		if i == 0 {
			f.ID = &starID{}
			m.Core = f
			continue
		}
		f.CoreID = &starID{}
		m.Extensions = append(m.Extensions, f)
	}
	return document(m)
}

// document writes XML with its declaration; what XML cannot hold becomes U+FFFD.
func document(v any) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString(xml.Header)
	enc := xml.NewEncoder(&b)
	enc.Indent("", "  ")
	if err := enc.Encode(v); err != nil {
		return nil, fmt.Errorf("write XML: %w", err)
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}
