package worth

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Rain is daily rain at the event's place, in mm: days, or lines of a spreadsheet (date,mm), or both. All is taken or
// nothing.
type Rain struct {
	Days   []RainDay `json:"days,omitempty"`
	Lines  string    `json:"lines,omitempty"`
	Source string    `json:"source,omitempty"` // which gauge or station
}

// RainDay is one day's.
type RainDay struct {
	Day  string   `json:"day"`            // ISO date
	MM   *float64 `json:"mm,omitempty"`   // needed unless Back
	Back bool     `json:"back,omitempty"` // nobody knows after all
}

// RainDone is what became of it. What stands already as it was sent is left.
type RainDone struct {
	Entered  int `json:"entered"`
	Replaced int `json:"replaced"`
	Taken    int `json:"taken_back"`
	Same     int `json:"same"`
}

const (
	mostRainDays = 800
	mostRainText = 40_000 // letters
	mostMM       = 2000   // more than has fallen on a day anywhere: 1,825 mm at Foc-Foc, Réunion, in January 1966 (WMO archive; from memory)
	mostSource   = 200
	rainBefore   = 400 // days before the event that may be entered
	rainAfter    = 31
)

// EnterRain takes in days of rain, from the organiser or whoever keeps the list. A day that was entered is replaced by a
// new row; the old one stays to be read.
func EnterRain(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Rain) (RainDone, error) {
	cmd.Type, cmd.Body = "event.rain.v1", in
	return hall.Do(ctx, h, actor, access.ReadPublic, scope, cmd, func(w *hall.Write) (RainDone, error) {
		if err := w.May(access.SetUp, access.PublishList); err != nil {
			return RainDone{}, err
		}
		event, err := w.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return RainDone{}, err
		}
		days, err := in.read(event, w.Now.In(hall.Zone(event)).Format(time.DateOnly))
		if err != nil {
			return RainDone{}, err
		}
		return enter(w, event, days, strings.Join(strings.Fields(in.Source), " "))
	})
}

func enter(w *hall.Write, event store.Event, days []RainDay, source string) (done RainDone, err error) {
	history, err := w.Tx.RainHistory(event.SocietyID, event.ID)
	if err != nil {
		return done, err
	}
	stands := standing(history)
	var rows []store.Rain
	for _, day := range days {
		old, there := stands[day.Day]
		switch {
		case !there && day.Back, there && !day.Back && *old.MM == *day.MM && (source == "" || source == old.Source):
			done.Same++
			continue
		case day.Back:
			done.Taken++
		case there:
			done.Replaced++
		default:
			done.Entered++
		}
		id, err := w.NewID()
		if err != nil {
			return done, err
		}
		rows = append(rows, store.Rain{SocietyID: event.SocietyID, EventID: event.ID, ID: id, Day: day.Day, MM: day.MM, Source: source,
			EnteredBy: w.Actor.Person, RecordedAt: w.Stamp()})
	}
	if len(rows) > 0 {
		w.Note("event.rain", event.ID, fmt.Sprintf("%s … %s", rows[0].Day, rows[len(rows)-1].Day))
		w.Changed("rain", event.ID)
	}
	return done, w.Tx.AddRain(rows)
}

// standing is what holds, by day.
func standing(history []store.Rain) map[string]store.Rain {
	stands := map[string]store.Rain{}
	for _, r := range history { // the newest of a day comes last
		if stands[r.Day] = r; r.MM == nil {
			delete(stands, r.Day)
		}
	}
	return stands
}

// read gives the days in order, each once.
func (in Rain) read(event store.Event, today string) ([]RainDay, error) {
	if utf8.RuneCountInString(in.Source) > mostSource {
		return nil, fault.Wrong("source", "text.too-long", "most", mostSource)
	}
	days := slices.Clone(in.Days)
	for _, d := range days {
		if field, why := d.wrong(event, today); field != "" {
			return nil, fault.Many(map[string]message.Text{field: why})
		}
	}
	lines, err := readLines(in.Lines, event, today)
	if err != nil {
		return nil, err
	}
	days = append(days, lines...)
	if len(days) == 0 {
		return nil, fault.Wrong("day", "rain.nothing")
	}
	slices.SortFunc(days, func(a, b RainDay) int { return strings.Compare(a.Day, b.Day) })
	for i := 1; i < len(days); i++ {
		if days[i].Day == days[i-1].Day {
			return nil, fault.Wrong("lines", "rain.twice", "day", days[i].Day)
		}
	}
	return days, nil
}

// wrong is what cannot be taken of a day, and why.
func (d RainDay) wrong(event store.Event, today string) (field string, why message.Text) {
	day, err := time.Parse(time.DateOnly, d.Day)
	begins, _ := time.Parse(time.DateOnly, event.StartsOn)
	ends, _ := time.Parse(time.DateOnly, event.EndsOn)
	switch {
	case err != nil:
		return "day", message.T("rain.no-day", "text", d.Day)
	case d.Day > today:
		return "day", message.T("rain.future", "day", d.Day)
	case day.Before(begins.AddDate(0, 0, -rainBefore)), day.After(ends.AddDate(0, 0, rainAfter)):
		return "day", message.T("rain.far", "day", d.Day, "before", rainBefore, "after", rainAfter)
	case d.Back && d.MM != nil:
		return "mm", message.T("rain.back-and-mm")
	case d.Back:
		return "", message.Text{}
	case d.MM == nil:
		return "mm", message.T("rain.no-mm")
	case !(*d.MM >= 0 && *d.MM <= mostMM):
		return "mm", message.T("rain.range", "most", mostMM)
	}
	return "", message.Text{}
}

// readLines reads what was pasted. It names the first line that cannot be read.
func readLines(text string, event store.Event, today string) (days []RainDay, err error) {
	if len(text) > mostRainText {
		return nil, fault.Wrong("lines", "rain.long", "most", mostRainDays)
	}
	text = strings.TrimPrefix(text, "\uFEFF")
	n := 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimSpace(line)
		if line == "" || len(days) == 0 && isHeader(line) {
			continue
		}
		day, why := readLine(line)
		if why.IsZero() {
			_, why = day.wrong(event, today)
		}
		if !why.IsZero() {
			return nil, fault.Wrong("lines", "rain.line", "line", n, "why", why)
		}
		if days = append(days, day); len(days) > mostRainDays {
			return nil, fault.Wrong("lines", "rain.long", "most", mostRainDays)
		}
	}
	return days, nil
}

// isHeader reports whether a line names columns: it has no digit.
func isHeader(line string) bool { return !strings.ContainsAny(line, "0123456789") }

// readLine takes a comma, a semicolon or a tab between day and millimetres; after the last two a decimal comma too.
func readLine(line string) (day RainDay, why message.Text) {
	separator := ","
	for _, s := range []string{"\t", ";"} {
		if strings.Contains(line, s) {
			separator = s
			break
		}
	}
	cells := strings.Split(line, separator)
	if len(cells) != 2 {
		return day, message.T("rain.columns", "n", len(cells))
	}
	cell := func(i int) string { return strings.Trim(strings.TrimSpace(cells[i]), `"`) }
	mm, err := ReadMM(cell(1))
	if err != nil {
		return day, message.T("rain.no-number", "text", cell(1))
	}
	return RainDay{Day: cell(0), MM: mm}, why
}

// ReadMM reads millimetres with a point or a comma; nothing written is nil.
func ReadMM(text string) (*float64, error) {
	text = strings.Replace(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "mm")), ",", ".", 1)
	if text == "" {
		return nil, nil
	}
	mm, err := strconv.ParseFloat(text, 64)
	return &mm, err
}

// RainRoom is what was entered of an event's rain, for its staff.
type RainRoom struct {
	Days []RainEntry `json:"days"`      // the newest day first
	Edit bool        `json:"may_enter"` // the reader may
}

// RainEntry is a day with all that was entered for it.
type RainEntry struct {
	Day     string    `json:"day"`
	MM      *float64  `json:"mm"` // what holds; nil: taken back
	Source  string    `json:"source,omitempty"`
	Entries []Entered `json:"entries"` // oldest first
}

// Entered is one entry of the history.
type Entered struct {
	MM     *float64  `json:"mm"`
	Source string    `json:"source,omitempty"`
	By     string    `json:"by"`
	At     time.Time `json:"at"`
}

// SeeRain shows it to the event's staff.
func SeeRain(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (RainRoom, error) {
	room := RainRoom{Days: []RainEntry{}}
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.SetUp)
		}
		room.Edit = l.Held.Can(access.SetUp) || l.Held.Can(access.PublishList)
		history, err := l.Tx.RainHistory(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		people, err := l.PeopleNames()
		room.read(history, people)
		return err
	})
	return room, err
}

func (room *RainRoom) read(history []store.Rain, people map[foray.ID]store.Person) {
	for _, r := range history {
		if n := len(room.Days); n == 0 || room.Days[n-1].Day != r.Day {
			room.Days = append(room.Days, RainEntry{Day: r.Day})
		}
		day := &room.Days[len(room.Days)-1]
		day.MM, day.Source = r.MM, r.Source
		day.Entries = append(day.Entries, Entered{MM: r.MM, Source: r.Source, By: people[r.EnteredBy].Name, At: r.RecordedAt.Time})
	}
	slices.Reverse(room.Days)
}
