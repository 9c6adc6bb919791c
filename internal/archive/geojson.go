package archive

import (
	"bufio"
	"encoding/json"
	"io"
)

// Feature is one record on a map. Properties keep the order of their columns; empty ones are left out.
type Feature struct {
	ID         string
	Point      *Point // nil: it has no public point
	Properties []Property
}

// Point is a place in decimal degrees, WGS 84.
type Point struct{ Lat, Lon float64 }

// Property is one fact of a feature, a text or a number.
type Property struct {
	Name  string
	Value any
}

// WriteGeoJSON writes a feature collection (RFC 7946): longitude before latitude, no member for a reference system, null
// where there is no point. about stands beside the features, as the format allows (section 6.1).
func WriteGeoJSON(w io.Writer, about []Property, features []Feature) error {
	b := bufio.NewWriter(w)
	b.WriteString(`{"type":"FeatureCollection"`)
	for _, p := range about {
		b.WriteByte(',')
		if err := writeProperty(b, p); err != nil {
			return err
		}
	}
	b.WriteString(`,"features":[`)
	for i, f := range features {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
		if err := f.write(b); err != nil {
			return err
		}
	}
	b.WriteString("\n]}\n")
	return b.Flush()
}

func (f Feature) write(b *bufio.Writer) error {
	b.WriteString(`{"type":"Feature",`)
	if err := writeProperty(b, Property{"id", f.ID}); err != nil {
		return err
	}
	b.WriteString(`,"geometry":`)
	if f.Point == nil {
		b.WriteString("null")
	} else {
		b.WriteString(`{"type":"Point","coordinates":[` + decimalText(f.Point.Lon) + "," + decimalText(f.Point.Lat) + "]}")
	}
	b.WriteString(`,"properties":{`)
	first := true
	for _, p := range f.Properties {
		if p.Value == "" {
			continue
		}
		if !first {
			b.WriteByte(',')
		}
		first = false
		if err := writeProperty(b, p); err != nil {
			return err
		}
	}
	b.WriteString("}}")
	return nil
}

func writeProperty(b *bufio.Writer, p Property) error {
	for i, part := range []any{p.Name, p.Value} {
		text, err := json.Marshal(part)
		if err != nil {
			return err
		}
		if i == 1 {
			b.WriteByte(':')
		}
		b.Write(text)
	}
	return nil
}
