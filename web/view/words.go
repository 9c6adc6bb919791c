package view

import (
	"context"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// setting is the name as it is set anywhere.
func (n SciName) setting() taxon.Setting { return taxon.Setting(n) }

// String is the name in one line, for titles and labels that take no markup.
func (n SciName) String() string { return strings.Join(n.setting().Words(), " ") }

func clock(t time.Time) string { return t.Format("15:04") }

func stamp(t time.Time) string { return t.Format(time.RFC3339) }

// date is a day in the reader's language.
func date(ctx context.Context, t time.Time) string { return tell(ctx, Day(t)) }

// days is a day or from one to another.
func days(ctx context.Context, from, to time.Time) string {
	if to.IsZero() || from.YearDay() == to.YearDay() && from.Year() == to.Year() {
		return date(ctx, from)
	}
	return say(ctx, "date.span", "from", date(ctx, from), "to", date(ctx, to))
}

// span is a duration as people say it, to the minute.
func span(d time.Duration) message.Text {
	d = d.Abs().Round(time.Minute)
	h, m := int(d.Hours()), int(d.Minutes())%60
	switch {
	case h == 0:
		return T("span.minutes", "m", m)
	case h >= 48:
		return T("span.days", "d", h/24)
	case m == 0:
		return T("span.hours", "h", h)
	}
	return T("span.both", "h", h, "m", m)
}

// spoils says how long a plate lasts.
func spoils(d *time.Duration) message.Text {
	if d == nil {
		return T("spoils.weeks")
	}
	if *d <= 0 {
		return T("spoils.past", "span", span(*d))
	}
	return T("spoils.in", "span", span(*d))
}

// urgent reports whether a plate spoils within two hours, the point where a queue goes out of its way (common
// practice: the most fleeting groups last two to six hours on a table).
func urgent(d *time.Duration) bool { return d != nil && *d < 2*time.Hour }

// joined is what is drawn as one list of data.
func joined(list []string) string { return strings.Join(list, ", ") }

func itoa(n int) string { return strconv.Itoa(n) }

// texts says several texts one after the other.
func texts(ctx context.Context, list []message.Text) string {
	said := make([]string, len(list))
	for i, t := range list {
		said[i] = tell(ctx, t)
	}
	return strings.Join(said, ", ")
}

// text says where a plate is: the kind of place, and which.
func (w Where) text() message.Text {
	switch {
	case w.Place == "":
		return T("where.unknown")
	case w.Detail == "":
		return T("where." + w.Place)
	case w.Position == "":
		return T("where.at", "place", T("where."+w.Place), "detail", w.Detail)
	}
	return T("where.exactly", "place", T("where."+w.Place), "detail", w.Detail, "position", w.Position)
}

// class is the style class of a hazard.
func (h Hazard) class() string {
	if h.Severity < 1 || h.Severity > 5 {
		return "hazard-none"
	}
	return "hazard-" + strconv.Itoa(h.Severity)
}

// word is what the band says. There is no word for harmless.
func (h Hazard) word() message.Text {
	if h.Severity < 1 || h.Severity > 5 {
		return T("hazard.none")
	}
	return T("hazard." + strconv.Itoa(h.Severity))
}

// shortWord is the word of the mark in a line of text.
func (h Hazard) shortWord() message.Text {
	if word := h.word(); word.Key != T("hazard.none").Key {
		return word
	}
	return T("hazard.none.short")
}
