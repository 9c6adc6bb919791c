package records

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// ArchiveOptions is what whoever makes an archive decides.
type ArchiveOptions struct {
	Licence string // in place of the society's
	Base    string // address of the event's pages, by which photographs are found; empty: they are left out
}

// Packed says what went into an archive.
type Packed struct {
	Records, Fields, Identifications, Measurements, Pictures int

	Unnamed int // collections without the name of a taxon, which are no records yet
	Left    int // photographs that have no address here
	Version int // of the list, newest signed; 0: none, so that this is a draft
}

// occurrenceTerms are the columns of the core: those of records-csv but the one that is no Darwin Core term, which stands
// among the measurements, and what a single table has no need of.
var occurrenceTerms = append(slices.DeleteFunc(slices.Clone(header), func(t string) bool { return t == "substrate" }),
	"parentEventID", "eventType", "samplingProtocol", "samplingEffort")

// Archive gives an event's records as a star: occurrences with the walk and the foray in their columns, and the history of
// their identification, what was measured and the photographs as extensions.
//
// The core is the occurrence and not the event, for two reasons. The identification history is defined for occurrences
// alone and has no column for which (GBIF extension of 2025-07-10): under an event it could not be joined. And recording
// schemes read one flat table, which GBIF takes as well. What is lost is a walk that brought nothing: the description
// says how many walks there were.
func Archive(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, opts ArchiveOptions) (archive.Star, Packed, error) {
	var star archive.Star
	var done Packed
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		x, err := newExporter(l, opts.Base)
		if err != nil {
			return err
		}
		if err := x.license(opts.Licence); err != nil {
			return err
		}
		star, done, err = x.star(l)
		return err
	})
	return star, done, err
}

// license takes the licence that was asked for, else the society's; without one nothing goes out.
func (x *exporter) license(asked string) error {
	if asked != "" {
		var known bool
		if x.licence, known = archive.LicenceBy(asked); !known {
			return fault.Wrong("licence", "publisher.licence", "licences", strings.Join(archive.LicenceKeys(), ", "))
		}
	}
	if x.licence.Key == "" {
		return fault.New(fault.Refused, "publisher.licence-missing")
	}
	return nil
}

func (x *exporter) star(l *hall.Look) (star archive.Star, done Packed, err error) {
	all, unnamed, err := x.all(l)
	if err != nil {
		return star, done, err
	}
	walked, err := readOutings(l, x)
	if err != nil {
		return star, done, err
	}
	notes, err := notesOf(l)
	if err != nil {
		return star, done, err
	}
	core := archive.StarPart{RowType: archive.OccurrenceRows, File: "occurrence.txt", Terms: darwin(occurrenceTerms)}
	history := archive.StarPart{RowType: archive.IdentificationRows, File: "identification.txt", Terms: darwin(historyTerms)}
	facts := archive.StarPart{RowType: archive.MeasurementRows, File: "measurementorfact.txt", Terms: darwin(factTerms)}
	pictures := archive.StarPart{RowType: archive.MultimediaRows, File: "multimedia.txt", Terms: dublin(pictureTerms)}
	for _, f := range all {
		walked.visit(f)
		f.record["samplingProtocol"] = x.protocol()
		f.record["associatedTaxa"] = hostText(f.record["associatedTaxa"])
		core.Rows = append(core.Rows, f.record.under(occurrenceTerms, f.id))
		history.Rows = append(history.Rows, x.history(f)...)
		facts.Rows = append(facts.Rows, x.facts(f, notes[f.id])...)
		pictures.Rows = append(pictures.Rows, x.pictureRows(f)...)
		done.Left += len(x.pictures[f.id])
		if f.seen != nil {
			done.Fields++
		}
	}
	done.Records, done.Identifications, done.Measurements, done.Pictures = len(core.Rows), len(history.Rows), len(facts.Rows), len(pictures.Rows)
	done.Unnamed, done.Left = unnamed, done.Left-done.Pictures
	star = archive.Star{Core: core, Extensions: []archive.StarPart{history, facts, pictures}}
	star.About, done.Version, err = x.about(l, all, walked)
	return star, done, err
}

// hostText is a host as the standard's examples have it: "host":"Quercus alba".
func hostText(host string) string {
	if host == "" {
		return ""
	}
	return hostMark + strconv.Quote(host)
}

const hostMark = `"host":`

// hostOf reads it back; anything else is as it was written.
func hostOf(text string) string {
	if quoted, ok := strings.CutPrefix(text, hostMark); ok {
		if host, err := strconv.Unquote(quoted); err == nil {
			return host
		}
	}
	return text
}

func (x *exporter) protocol() string {
	if x.event.EverythingRecorded {
		return x.say.Say("records.protocol.everything")
	}
	return x.say.Say("records.protocol")
}

// publicPoint is where a record shows.
func publicPoint(p foray.PublicPlace) (lat, lon float64, ok bool) {
	lat, lon, _, ok = p.Point()
	return lat, lon, ok
}
