package archive

import (
	"bufio"
	"bytes"
	"cmp"
	"regexp"
	"slices"
	"strings"
	"time"

	"forayhall/internal/message"
)

// ListRecord is one line of a list of what was found before. Nothing in it was matched or changed.
type ListRecord struct {
	Line      int
	Name      string // as written
	Author    string // from a column of its own
	Rank      string // as written
	Qualifier string // from a column of its own
	Place     string
	Day       DateRange // without days where what is written is no date; the text is kept
	Count     *int      // nil where no whole number is written
	CountText string
	Collector, Determiner,
	Host, Substrate, Remarks string
	AsItCame string // the line, as CSV under the table's header
}

// Words of a list's columns that a collection's slip has no field for. Terms are Darwin Core's; the rest is common
// practice.
var listHeadings = map[string][]string{
	"author":  {"scientificNameAuthorship", "author", "authority", "authors"},
	"rank":    {"taxonRank", "verbatimTaxonRank", "rank"},
	"genus":   {"genus", "genericName"},
	"epithet": {"specificEpithet", "species epithet", "epithet"},
	"infra":   {"infraspecificEpithet"},
	"year":    {"year"}, "month": {"month"}, "day": {"day"},
	"written": {"verbatimEventDate"},
	"status":  {"taxonomicStatus", "status"},
	"present": {"occurrenceStatus"},
	"count":   {"individualCount", "organismQuantity", "count", "quantity", "how many"},
}

type listReader struct {
	*recordReader
	at       map[string]int
	names    []int // columns that may hold the whole name, the best first
	dateless int
	synonyms int
	first    int // line of the first that was dateless
}

// ListRecords reads a list. A row is a ListRecord or has at least one Refused, but for blank ones and for rows that the
// file itself calls synonyms, which the notes count. An error means that the table as a whole can be no list.
func ListRecords(t *Table, opts Options) (recs []ListRecord, refused []Refused, notes []message.Text, err error) {
	r := newListReader(t, opts)
	if len(r.names) == 0 && !r.inParts() {
		return nil, nil, nil, missingColumn(t, "name")
	}
	for _, row := range t.Rows {
		before := len(r.refused)
		rec, taken := r.readLine(row)
		if taken && len(r.refused) == before {
			recs = append(recs, rec)
		}
	}
	return recs, r.refused, append(t.Notes(), r.said()...), nil
}

func newListReader(t *Table, opts Options) *listReader {
	r := &listReader{recordReader: newRecordReader(findLayout(t), opts), at: map[string]int{}}
	for what, names := range listHeadings {
		if i, ok := t.Column(names...); ok {
			r.at[what] = i
		}
	}
	for _, name := range headings["name"] {
		if i, ok := t.Column(name); ok && !slices.Contains(r.names, i) {
			r.names = append(r.names, i)
		}
	}
	return r
}

func (r *listReader) inParts() bool {
	_, genus := r.at["genus"]
	_, epithet := r.at["epithet"]
	return genus && epithet
}

func (r *listReader) cell(what string) string {
	i, ok := r.at[what]
	if !ok {
		return ""
	}
	return strings.TrimSpace(r.row.Cells[i])
}

// synonymous are beginnings of what a list of taxa calls a name that is not current (Darwin Core, taxonomicStatus;
// common practice).
var synonymous = []string{"synonym", "heterotypicsynonym", "homotypicsynonym", "proparte", "misapplied"}

func (r *listReader) readLine(row Row) (rec ListRecord, taken bool) {
	r.row = row
	r.checkTexts()
	rec = ListRecord{Line: row.Line, Name: r.wholeName(), Author: r.cell("author"), Rank: r.cell("rank"), Qualifier: r.text("qualifier"), Place: r.text("site"),
		Collector: r.text("collector"), Determiner: r.text("determiner"), Host: r.text("host"), Substrate: r.text("substrate"), Remarks: r.text("remarks"),
		AsItCame: csvLine(append(row.Cells[:len(row.Cells):len(row.Cells)], row.Surplus...))}
	switch status := fold(r.cell("status")); {
	case slices.ContainsFunc(synonymous, func(word string) bool { return strings.HasPrefix(status, word) }):
		r.synonyms++
		return rec, false
	case fold(r.cell("present")) == "absent":
		r.refuseCell("present", message.T("archive.list-absent"))
	case rec.Name == "":
		r.refuse("name", message.T("archive.list-name-missing"))
	}
	r.when(&rec)
	r.howMany(&rec)
	return rec, true
}

func (r *listReader) refuseCell(what string, reason message.Text) {
	r.refused = append(r.refused, Refused{Line: r.row.Line, Field: r.layout.header[r.at[what]], Value: r.cell(what), Reason: reason})
}

// wholeName is the name as it stands in the first of its columns that is filled, or put together of its parts. An
// epithet under "species" is joined to the genus beside it.
func (r *listReader) wholeName() string {
	genus := r.cell("genus")
	for _, i := range r.names {
		name := strings.TrimSpace(r.row.Cells[i])
		switch {
		case name == "":
		case genus != "" && name[0] >= 'a' && name[0] <= 'z' && !strings.Contains(name, " "):
			return strings.TrimSpace(genus + " " + name + " " + r.cell("infra"))
		default:
			return name
		}
	}
	if r.cell("epithet") == "" {
		return ""
	}
	return strings.Join(strings.Fields(genus+" "+r.cell("epithet")+" "+r.cell("infra")), " ")
}

// when reads the day. What is no date is kept as it is written: of an old list the name matters more. A day that is yet
// to come is a slip of the key.
func (r *listReader) when(rec *ListRecord) {
	text := cmp.Or(r.text("picked"), r.partsOfDay(), r.cell("written"))
	d, twoWays, reason := r.dates.read(text)
	rec.Day = d
	rec.Day.Text = text
	switch {
	case reason.Key == "archive.date-future":
		f := r.layout.heading("picked")
		r.refused = append(r.refused, Refused{Line: r.row.Line, Field: f, Value: text, Reason: reason})
	case !reason.IsZero():
		if r.dateless++; r.dateless == 1 {
			r.first = r.row.Line
		}
	case twoWays:
		r.noted["picked"] = append(r.noted["picked"], Refused{Line: r.row.Line, Field: r.layout.heading("picked"), Value: text})
	}
}

// partsOfDay is a day from columns of its year, month and day, as far as they are filled.
func (r *listReader) partsOfDay() string {
	day := r.cell("year")
	for _, part := range []string{"month", "day"} {
		if day == "" || r.cell(part) == "" {
			break
		}
		day += "-" + r.cell(part)
	}
	return day
}

// howMany keeps "many" and "c. 20" as they are.
func (r *listReader) howMany(rec *ListRecord) {
	rec.CountText = r.cell("count")
	n := 0
	for _, c := range rec.CountText {
		if c < '0' || c > '9' || n > 100_000_000 {
			return
		}
		n = n*10 + int(c-'0')
	}
	if rec.CountText != "" {
		rec.Count = &n
	}
}

func (r *listReader) said() []message.Text {
	notes := r.notes()
	if r.dateless > 0 {
		notes = append(notes, message.T("archive.note-list-dateless", "n", r.dateless, "line", r.first))
	}
	if r.synonyms > 0 {
		notes = append(notes, message.T("archive.note-list-synonyms", "n", r.synonyms))
	}
	return notes
}

// csvLine is cells as one line of CSV, without its end.
func csvLine(cells []string) string {
	var out bytes.Buffer
	b := bufio.NewWriter(&out)
	writeRow(b, cells, 0, Raw)
	_ = b.Flush() // into memory
	return strings.TrimSuffix(out.String(), "\r\n")
}

// HeaderLine is a table's header as one line of CSV.
func (t *Table) HeaderLine() string { return csvLine(t.Header) }

var yearsApart = regexp.MustCompile(`^(\d{4})\s*(?:-|to|until)\s*(\d{4})$`)

// ReadPeriod reads a year, a month or a day, or the first and the last of them: "1998/2019", "1998–2019", "1998 to 2019".
func ReadPeriod(text string, today time.Time) (DateRange, message.Text) {
	r, d := dateReader{today: today}, DateRange{Text: strings.TrimSpace(text)}
	whole, _, reason := r.read(d.Text)
	if reason.IsZero() {
		return whole, reason
	}
	from, to, two := strings.Cut(d.Text, "/")
	if m := yearsApart.FindStringSubmatch(dashes.Replace(d.Text)); m != nil {
		from, to, two = m[1], m[2], true
	}
	if !two {
		return d, reason
	}
	first, _, wrong := r.read(strings.TrimSpace(from))
	last, _, alsoWrong := r.read(strings.TrimSpace(to))
	if !wrong.IsZero() || !alsoWrong.IsZero() || last.To.Before(first.From) {
		return d, reason
	}
	d.From, d.To = first.From, last.To
	return d, message.Text{}
}
