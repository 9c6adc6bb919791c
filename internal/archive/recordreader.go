package archive

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

type recordReader struct {
	layout  layout
	opts    Options
	dates   dateReader
	groups  map[string]string
	used    map[foray.Number]int // the line of the first row with a number
	refused []Refused
	noted   map[field][]Refused // dates that read two ways and counts that are no number
	row     Row
}

func newRecordReader(l layout, opts Options) *recordReader {
	r := &recordReader{layout: l, opts: opts, used: map[foray.Number]int{}, noted: map[field][]Refused{},
		dates: dateReader{monthFirst: opts.MonthFirst, today: opts.Today}}
	if opts.Groups != nil {
		r.groups = make(map[string]string, len(opts.Groups))
		for name, key := range opts.Groups {
			r.groups[fold(name)] = key
		}
	}
	return r
}

func (r *recordReader) read(row Row) Record {
	r.row = row
	rec := Record{Line: row.Line}
	r.checkTexts()
	r.number(&rec)
	r.names(&rec)
	rec.Determiner, rec.Writer, rec.Collector = r.text("determiner"), r.text("writer"), r.text("collector")
	rec.Basis = r.text("basis")
	rec.Picked, rec.DateDetermined = r.date("picked"), r.date("determined")
	rec.Site, rec.Substrate, rec.Host = r.text("site"), r.text("substrate"), r.text("host")
	rec.Habitat, rec.Remarks = r.text("habitat"), r.text("remarks")
	rec.TeamNumber, rec.Table = r.text("team"), r.text("table")
	rec.Confirmed = r.yesNo("confirmed")
	rec.Outside, rec.Cultivated = is(r.yesNo("outside")), is(r.yesNo("cultivated"))
	rec.Characters = r.characters()
	rec.Extra = r.extra()
	r.count(&rec)
	r.place(&rec)
	return rec
}

func (r *recordReader) text(f field) string { return r.layout.cell(r.row, f) }

func (r *recordReader) refuse(f field, reason message.Text) {
	r.refused = append(r.refused, Refused{Line: r.row.Line, Field: r.layout.heading(f), Value: r.text(f), Reason: reason})
}

// checkTexts also refuses what stands beyond the last heading, since nobody knows what it is.
func (r *recordReader) checkTexts() {
	for i, cell := range r.row.Cells {
		limit := maxText
		if at, ok := r.layout.at["remarks"]; ok && at == i || slices.Contains(r.layout.extra, i) {
			limit = maxRemarks
		}
		if n := utf8.RuneCountInString(cell); n > limit {
			r.refused = append(r.refused, Refused{Line: r.row.Line, Field: r.layout.header[i], Value: shorten(cell),
				Reason: message.T("archive.text-too-long", "length", n, "limit", limit)})
		}
	}
	if r.row.Surplus != nil {
		r.refused = append(r.refused, Refused{Line: r.row.Line, Value: shorten(strings.Join(r.row.Surplus, " | ")),
			Reason: message.T("archive.surplus", "columns", len(r.layout.header))})
	}
}

// shorten keeps a report of a monstrous cell readable.
func shorten(cell string) string {
	const keep = 60
	if utf8.RuneCountInString(cell) <= keep {
		return cell
	}
	return string([]rune(cell)[:keep]) + "…"
}

func (r *recordReader) number(rec *Record) {
	rec.NumberAsWritten = r.text("number")
	if rec.NumberAsWritten == "" && r.opts.AutoNumbers {
		return
	}
	n, reason := readNumber(rec.NumberAsWritten, r.opts.EventCode)
	if !reason.IsZero() {
		r.refuse("number", reason)
		return
	}
	if first, twice := r.used[n]; twice {
		r.refuse("number", message.T("archive.number-twice", "number", n.String(), "first", first))
		return
	}
	r.used[n] = r.row.Line
	rec.Base, rec.Suffix = n.Base, n.Suffix
}

func (r *recordReader) names(rec *Record) {
	for _, f := range []field{"name", "name2", "name3"} {
		if name := r.text(f); name != "" {
			rec.Names = append(rec.Names, NamedChoice{Verbatim: name})
		}
	}
	if r.text("name") != "" {
		rec.Names[0].Qualifier = r.text("qualifier")
	}
	group := r.text("group")
	if len(rec.Names) == 0 && group == "" {
		r.refuse("name", message.T("archive.name-missing"))
	}
	rec.GroupKey = group
	if group == "" || r.groups == nil {
		return
	}
	key, ok := r.groups[fold(group)]
	if !ok {
		r.refuse("group", message.T("archive.group-unknown", "group", group,
			"groups", strings.Join(slices.Compact(slices.Sorted(maps.Values(r.groups))), ", ")))
	}
	rec.GroupKey = key
}

func (r *recordReader) date(f field) DateRange {
	d, twoWays, reason := r.dates.read(r.text(f))
	if !reason.IsZero() {
		r.refuse(f, reason)
	}
	if twoWays {
		r.remember(f)
	}
	return d
}

func (r *recordReader) remember(f field) {
	r.noted[f] = append(r.noted[f], Refused{Line: r.row.Line, Field: r.layout.heading(f), Value: r.text(f)})
}

// notes says once a column what was decided for many of its cells.
func (r *recordReader) notes() []message.Text {
	var notes []message.Text
	for _, f := range slices.SortedFunc(maps.Keys(r.noted), cmp.Compare[field]) {
		first := r.noted[f][0]
		notes = append(notes, message.T(r.noteKey(f), "n", len(r.noted[f]), "column", first.Field,
			"line", first.Line, "value", first.Value))
	}
	return notes
}

func (r *recordReader) noteKey(f field) string {
	switch {
	case f == "count":
		return "archive.note-count"
	case r.opts.MonthFirst:
		return "archive.note-month-first"
	}
	return "archive.note-day-first"
}

var yesWords = map[string]bool{
	"yes": true, "y": true, "true": true, "1": true, "x": true, "✓": true, "confirmed": true, "verified": true,
	"cultivated": true, "planted": true, "alien": true, "introduced": true, "outside": true,
	"no": false, "n": false, "false": false, "0": false, "-": false, "provisional": false, "unconfirmed": false,
	"unverified": false, "wild": false, "native": false, "inside": false,
}

func (r *recordReader) yesNo(f field) *bool {
	word := r.text(f)
	if word == "" {
		return nil
	}
	yes, known := yesWords[fold(word)]
	if !known {
		r.refuse(f, message.T("archive.yes-no", "word", word))
		return nil
	}
	return &yes
}

func is(yes *bool) bool { return yes != nil && *yes }

func (r *recordReader) characters() map[string]string {
	seen := map[string]string{}
	for f, name := range map[field]string{"odour": "odour", "latex": "latex", "colourchange": "colour change"} {
		if text := r.text(f); text != "" {
			seen[name] = text
		}
	}
	return seen
}

func (r *recordReader) extra() map[string]string {
	kept := map[string]string{}
	for _, i := range r.layout.extra {
		if cell := strings.TrimSpace(r.row.Cells[i]); cell != "" {
			kept[r.layout.header[i]] = cell
		}
	}
	return kept
}

// count keeps "many" and "c. 20" as they are: a count in words is no reason to refuse a record.
func (r *recordReader) count(rec *Record) {
	text := r.text("count")
	if text == "" {
		return
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		rec.Extra[r.layout.heading("count")] = text
		r.remember("count")
		return
	}
	rec.Count = &n
}

func (r *recordReader) place(rec *Record) {
	lat, lon := r.text("latitude"), r.text("longitude")
	switch {
	case lat == "" && lon == "":
		return
	case lat == "":
		r.refuse("latitude", message.T("archive.coordinate-half"))
	case lon == "":
		r.refuse("longitude", message.T("archive.coordinate-half"))
	}
	rec.Lat = r.degrees("latitude", "N", "S", 90)
	rec.Lon = r.degrees("longitude", "E", "W", 180)
}

func (r *recordReader) degrees(f field, positive, negative string, limit float64) *float64 {
	if r.text(f) == "" {
		return nil
	}
	value, ok := readDegrees(r.text(f), positive, negative, limit)
	if !ok {
		r.refuse(f, message.T("archive.coordinate-bad", "limit", limit))
		return nil
	}
	return &value
}
