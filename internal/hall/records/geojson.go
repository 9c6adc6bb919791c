package records

import (
	"context"
	"io"
	"strconv"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall"
)

// WriteGeoJSON writes one feature a record, at its public point: those of one site lie on one another. It answers how many
// there are, and how many have no point.
func WriteGeoJSON(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, base string, w io.Writer) (records, nowhere int, err error) {
	err = h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		x, err := newExporter(l, base)
		if err != nil {
			return err
		}
		all, _, err := x.all(l)
		if err != nil {
			return err
		}
		features := make([]archive.Feature, len(all))
		for i, f := range all {
			if features[i] = f.feature(); features[i].Point == nil {
				nowhere++
			}
		}
		about, _, err := x.about(l, all, outings{})
		if err != nil {
			return err
		}
		records = len(features)
		return archive.WriteGeoJSON(w, []archive.Property{{Name: "title", Value: about.Title}, {Name: "license", Value: x.licence.URL},
			{Name: "citation", Value: about.Citation}}, features)
	})
	return records, nowhere, err
}

// numeric are the terms whose values are numbers.
var numeric = map[string]bool{"decimalLatitude": true, "decimalLongitude": true, "coordinateUncertaintyInMeters": true, "coordinatePrecision": true,
	"individualCount": true}

func (f found) feature() archive.Feature {
	one := archive.Feature{ID: f.id.URN()}
	if lat, lon, ok := publicPoint(f.place); ok {
		one.Point = &archive.Point{Lat: lat, Lon: lon}
	}
	for _, term := range header {
		value := any(f.record[term])
		if n, err := strconv.ParseFloat(f.record[term], 64); numeric[term] && err == nil {
			value = n
		}
		one.Properties = append(one.Properties, archive.Property{Name: term, Value: value})
	}
	if grid := f.place.GeneralisedM(); grid > 0 {
		one.Properties = append(one.Properties, archive.Property{Name: "cellSizeInMeters", Value: grid})
	}
	return one
}
