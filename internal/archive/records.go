package archive

import (
	"time"

	"forayhall/internal/message"
)

// Record is a collection as a recorder wrote it down. Nothing in it was matched or changed; dates, coordinates and
// the number were read.
type Record struct {
	Line                          int
	Base                          int // 0 where Options.AutoNumbers let a row go without
	Suffix                        string
	NumberAsWritten               string
	Names                         []NamedChoice // first choice first
	Determiner, Writer, Collector string
	Confirmed                     *bool // nil where nothing is said
	Basis                         string
	Picked, DateDetermined        DateRange
	Site, Substrate, Host         string
	Habitat, Remarks              string
	GroupKey, TeamNumber, Table   string
	Count                         *int
	Characters                    map[string]string // by "odour", "latex", "colour change"; as written
	Outside, Cultivated           bool
	Lat, Lon                      *float64          // decimal degrees WGS 84
	Extra                         map[string]string // columns that are no field, by heading as written
}

// NamedChoice is one name of the first, second or third choice.
type NamedChoice struct{ Verbatim, Qualifier string }

// Refused is one problem of one row. A row with several has one for each.
type Refused struct {
	Line   int
	Field  string // the column as the file has it
	Value  string
	Reason message.Text
}

// Options is what a reader of records must be told, since it has no clock and knows no event.
type Options struct {
	EventCode   string
	MonthFirst  bool              // 03/04/2025 is 4 March; otherwise 3 April
	AutoNumbers bool              // rows without a number are taken, for the caller to number
	Today       time.Time         // later dates are refused; zero: none
	Groups      map[string]string // key of a group by each of its names; nil: any group is taken as written
}

const (
	maxText    = 1_000 // characters
	maxRemarks = 4_000
)

// CollectionRecords reads past or paper records. A row is a Record or has at least one Refused; an error means that
// the table as a whole cannot be such records.
func CollectionRecords(t *Table, opts Options) (recs []Record, refused []Refused, notes []message.Text, err error) {
	l := findLayout(t)
	if !l.has("number") && !opts.AutoNumbers {
		return nil, nil, nil, missingColumn(t, "number")
	}
	if !l.has("name") && !l.has("group") {
		return nil, nil, nil, missingColumn(t, "name")
	}
	r := newRecordReader(l, opts)
	for _, row := range t.Rows {
		before := len(r.refused)
		rec := r.read(row)
		if len(r.refused) == before {
			recs = append(recs, rec)
		}
	}
	notes = append(t.Notes(), l.notes()...)
	return recs, r.refused, append(notes, r.notes()...), nil
}
