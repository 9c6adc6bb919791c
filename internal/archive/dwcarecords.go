package archive

import (
	"slices"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// Occurrence is a find of an archive read as a collection, or as what was seen and left where it was.
type Occurrence struct {
	Record
	FindRow
	Seen bool // an observation without a number: nothing was brought in
}

// readTerms are the terms of an occurrence that a collection's own columns are made of.
var readTerms = []string{"recordNumber", "verbatimIdentification", "identificationQualifier", "identifiedBy", "dateIdentified", "recordedBy", "eventDate",
	"locality", "associatedTaxa", "habitat", "occurrenceRemarks", "individualCount", "decimalLatitude", "decimalLongitude"}

// quietTerms are those that need not be kept in words: they are read elsewhere, follow from others, or are of the archive
// and not of the find.
var quietTerms = strings.Fields(`occurrenceID basisOfRecord occurrenceStatus eventID parentEventID eventType samplingProtocol samplingEffort sampleSizeValue
	sampleSizeUnit geodeticDatum dataGeneralizations informationWithheld coordinateUncertaintyInMeters coordinatePrecision georeferenceRemarks scientificName
	scientificNameAuthorship taxonRank kingdom phylum class order family genus genericName specificEpithet infraspecificEpithet species nomenclaturalCode
	identificationRemarks identificationVerificationStatus identificationID establishmentMeans degreeOfEstablishment institutionCode collectionCode
	catalogNumber otherCatalogNumbers preparations associatedSequences associatedMedia datasetID datasetName license rightsHolder references language
	year month day startDayOfYear endDayOfYear type modified gbifid datasetkey publishingorgkey taxonkey specieskey taxonID scientificNameID
	countryCode acceptedNameUsage higherClassification institutionID collectionID accessRights bibliographicCitation kingdomID phylumID classID orderID
	familyID genusID speciesID`)

// Records reads the finds as past records are read. A row is an Occurrence or has at least one Refused. A number that is
// none of the event's is no reason to refuse a row where Options.AutoNumbers gives it another: it is kept in words.
func (f *Finds) Records(opts Options) (all []Occurrence, refused []Refused, notes []message.Text, err error) {
	auto := opts.AutoNumbers
	opts.AutoNumbers = true // a find that was only seen has no number
	t := &Table{Header: readTerms, Format: DarwinCoreArchive, Name: f.Name}
	by := map[int]FindRow{}
	for _, row := range f.Rows {
		if absent(row) {
			refused = append(refused, Refused{Line: row.Line, Field: "occurrenceStatus", Value: row.Terms["occurrenceStatus"], Reason: message.T("finds.absent")})
			continue
		}
		by[row.Line] = row
		t.Rows = append(t.Rows, Row{Line: row.Line, Cells: row.cells(opts.EventCode, auto)})
	}
	recs, more, said, err := CollectionRecords(t, opts)
	refused = append(refused, more...)
	for _, rec := range recs {
		o := Occurrence{Record: rec, FindRow: by[rec.Line]}
		o.Extra = o.rest()
		o.Seen = rec.Base == 0 && observed(o.Terms["basisOfRecord"])
		if rec.Base == 0 && !o.Seen && !auto {
			refused = append(refused, Refused{Line: rec.Line, Field: "recordNumber", Reason: message.T("finds.number-missing")})
			continue
		}
		all = append(all, o)
	}
	return all, refused, append(slices.Clone(f.Notes), said...), err
}

func absent(r FindRow) bool { return fold(r.Terms["occurrenceStatus"]) == "absent" }

// observed reports whether nothing was taken along (GBIF's vocabulary of basisOfRecord, and how it was written before).
func observed(basis string) bool {
	return slices.Contains([]string{"humanobservation", "machineobservation", "observation", "occurrence", ""}, fold(basis))
}

// cells are what readTerms ask for. The name is the first that is written: a name of the history stands for those that
// come after it, which are read by themselves.
func (r FindRow) cells(code string, auto bool) []string {
	cells := make([]string, len(readTerms))
	for i, term := range readTerms {
		cells[i] = r.Terms[term]
	}
	if auto {
		if _, reason := readNumber(cells[0], code); !reason.IsZero() {
			cells[0] = ""
		}
	}
	if cells[1] == "" {
		cells[1] = r.Terms["scientificName"]
	}
	for _, named := range r.Identifications {
		if name := named["verbatimIdentification"] + named["scientificName"]; name != "" {
			cells[1], cells[2] = named["verbatimIdentification"], ""
			if cells[1] == "" {
				cells[1] = named["scientificName"]
			}
			break
		}
	}
	return cells
}

// rest is the terms that would be lost otherwise, among them an id and a number that are none of the hall's.
func (o Occurrence) rest() map[string]string {
	kept := map[string]string{}
	for term, value := range o.Terms {
		value = strings.TrimSpace(value)
		if value != "" && !slices.Contains(readTerms, term) && !slices.Contains(quietTerms, term) {
			kept[term] = value
		}
	}
	if number := strings.TrimSpace(o.Terms["recordNumber"]); number != "" && o.Base == 0 {
		kept["recordNumber"] = number
	}
	if _, err := foray.ParseID(o.ID); err != nil && o.ID != "" {
		kept["occurrenceID"] = o.ID
	}
	return kept
}

// Day reads a day as a table of records has it; the text stays where it is none.
func Day(text string, opts Options) DateRange {
	d, _, _ := dateReader{monthFirst: opts.MonthFirst, today: opts.Today}.read(text)
	return d
}

// NameMissing is why a row without any name is refused.
func NameMissing() message.Text { return message.T("archive.name-missing") }
