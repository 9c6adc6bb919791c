package archive

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/message"
)

// DateRange is a date as written and the days it covers, first and last, both at midnight UTC. A whole year or
// month is a range; so is "2024-10-12/2024-10-13".
type DateRange struct {
	Text     string
	From, To time.Time
}

// IsZero reports that no date was written.
func (d DateRange) IsZero() bool { return d.Text == "" }

// earliestYear is before every fungarium sheet: an older year is a slip of the key.
const earliestYear = 1700

// dateReader reads dates as people write them. The time of day is not read; it stays in the text.
type dateReader struct {
	monthFirst bool
	today      time.Time // zero: anything goes
}

var (
	weekday    = regexp.MustCompile(`(?i)^(?:mon|tue|tues|wed|wednes|thu|thur|thurs|fri|sat|satur|sun)(?:day)?[.,]?\s+`)
	timeOfDay  = regexp.MustCompile(`(?i)[T\s]+\d{1,2}[:.]\d{2}(?:[:.]\d{2}(?:[.,]\d+)?)?\s*(?:am|pm)?\s*(?:Z|[+-]\d{2}:?\d{2})?$`)
	yearFirst  = regexp.MustCompile(`^(\d{4})(?:[-/.](\d{1,2})(?:[-/.](\d{1,2}))?)?$`)
	isoTail    = regexp.MustCompile(`^\d{2}(?:-\d{2})?$`)
	isoTime    = regexp.MustCompile(`^\d{2}:\d{2}(?::\d{2})?(?:Z|[+-]\d{2}:?\d{2})?$`)
	compact    = regexp.MustCompile(`^(\d{4})(\d{2})(\d{2})$`)
	yearLast   = regexp.MustCompile(`^(\d{1,2})\s*([-/.])\s*(\d{1,2})\s*[-/.]\s*(\d{4}|\d{2})$`)
	monthYear  = regexp.MustCompile(`^(\d{1,2})[-/.](\d{4})$`)
	dayNamed   = regexp.MustCompile(`(?i)^(\d{1,2})(?:st|nd|rd|th)?[\s\-/.]+([a-z]+)[\s\-/.,]+(\d{4}|\d{2})$`)
	namedDay   = regexp.MustCompile(`(?i)^([a-z]+)[\s.]+(\d{1,2})(?:st|nd|rd|th)?[\s,]+(\d{4})$`)
	namedMonth = regexp.MustCompile(`(?i)^([a-z]+)[\s\-/.,]+(\d{4})$`)
)

// read answers with the reason where the text is no date; twoWays says that day and month could be either.
func (r dateReader) read(text string) (d DateRange, twoWays bool, reason message.Text) {
	d.Text = text
	if text == "" {
		return d, false, reason
	}
	s := weekday.ReplaceAllString(dashes.Replace(text), "")
	from, to, isRange := strings.Cut(s, "/")
	if isRange && strings.Count(s, "-") >= 2 {
		d.From, d.To, twoWays, reason = r.interval(from, to)
	} else {
		d.From, d.To, twoWays, reason = r.one(s)
	}
	return r.check(d, twoWays, reason)
}

// interval reads two dates with a stroke between them. After an ISO 8601 date the second may leave out its year, its
// month, or the whole day and give a time only.
func (r dateReader) interval(from, to string) (first, last time.Time, twoWays bool, reason message.Text) {
	first, _, twoWays, reason = r.one(from)
	if !reason.IsZero() {
		return first, last, false, reason
	}
	day := timeOfDay.ReplaceAllString(from, "")
	switch {
	case yearFirst.MatchString(day) && isoTail.MatchString(to) && len(to) < len(day):
		to = day[:len(day)-len(to)] + to
	case yearFirst.MatchString(day) && isoTime.MatchString(to):
		to = day
	}
	_, last, _, reason = r.one(to)
	if reason.IsZero() && last.Before(first) {
		reason = message.T("archive.date-bad")
	}
	return first, last, twoWays, reason
}

func (r dateReader) check(d DateRange, twoWays bool, reason message.Text) (DateRange, bool, message.Text) {
	switch {
	case !reason.IsZero():
	case d.From.Year() < earliestYear:
		reason = message.T("archive.date-bad")
	case !r.today.IsZero() && d.From.After(r.today):
		reason = message.T("archive.date-future", "today", r.today.Format(time.DateOnly))
	default:
		return d, twoWays, reason
	}
	return DateRange{Text: d.Text}, false, reason
}

func (r dateReader) one(s string) (from, to time.Time, twoWays bool, reason message.Text) {
	s = strings.TrimSpace(timeOfDay.ReplaceAllString(s, ""))
	if m := yearLast.FindStringSubmatch(s); m != nil {
		return r.numeric(m)
	}
	var y, mo, d string
	if m := yearFirst.FindStringSubmatch(s); m != nil {
		y, mo, d = m[1], m[2], m[3]
	} else if m := compact.FindStringSubmatch(s); m != nil {
		y, mo, d = m[1], m[2], m[3]
	} else if m := monthYear.FindStringSubmatch(s); m != nil {
		y, mo = m[2], m[1]
	} else if m := dayNamed.FindStringSubmatch(s); m != nil {
		y, mo, d = m[3], monthNumber(m[2]), m[1]
	} else if m := namedDay.FindStringSubmatch(s); m != nil {
		y, mo, d = m[3], monthNumber(m[1]), m[2]
	} else if m := namedMonth.FindStringSubmatch(s); m != nil {
		y, mo = m[2], monthNumber(m[1])
	}
	from, to, ok := r.days(y, mo, d)
	if !ok {
		reason = message.T("archive.date-bad")
	}
	return from, to, false, reason
}

// numeric reads 12/10/2024. With dots the day is first everywhere (common practice); with slashes and dashes it may
// be the month, and a date that only reads the other way round speaks against the order of the whole file.
func (r dateReader) numeric(m []string) (from, to time.Time, twoWays bool, reason message.Text) {
	day, month, year := m[1], m[3], m[4]
	dots := m[2] == "."
	if r.monthFirst && !dots {
		day, month = month, day
	}
	from, to, ok := r.days(year, month, day)
	_, _, other := r.days(year, day, month)
	switch {
	case ok:
		return from, to, other && day != month && !dots, reason
	case other && !dots:
		return from, to, false, message.T("archive.date-other-order")
	}
	return from, to, false, message.T("archive.date-bad")
}

// days turns the digits of a year, month and day into first and last day; month and day may be missing.
func (r dateReader) days(y, mo, d string) (from, to time.Time, ok bool) {
	year, err := strconv.Atoi(y)
	if err != nil {
		return from, to, false
	}
	if len(y) == 2 {
		year = r.century(year)
	}
	if mo == "" {
		return date(year, 1, 1), date(year, 12, 31), true
	}
	month, err := strconv.Atoi(mo)
	if err != nil || month < 1 || month > 12 {
		return from, to, false
	}
	if d == "" {
		return date(year, month, 1), date(year, month+1, 0), true
	}
	day, err := strconv.Atoi(d)
	from = date(year, month, day)
	return from, from, err == nil && from.Day() == day && day > 0
}

// century takes a year of two digits for the latest that is not to come.
func (r dateReader) century(year int) int {
	year += 2000
	if !r.today.IsZero() && year > r.today.Year() {
		year -= 100
	}
	return year
}

func date(year, month, day int) time.Time {
	return time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
}

// monthNumber takes an English month or its beginning of at least three letters; "0" is no month.
func monthNumber(word string) string {
	word = strings.ToLower(word)
	for m := time.January; m <= time.December; m++ {
		if len(word) >= 3 && strings.HasPrefix(strings.ToLower(m.String()), word) || word == "sept" && m == time.September {
			return strconv.Itoa(int(m))
		}
	}
	return "0"
}
