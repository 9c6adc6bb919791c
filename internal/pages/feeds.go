package pages

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/xml"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"forayhall/internal/hall"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/outside"
	"forayhall/internal/message"
	"forayhall/web/view"
)

const (
	atomType     = "application/atom+xml"
	calendarType = "text/calendar"
)

// shortSum is a part of the hash of a text.
func shortSum(text string) []byte {
	sum := sha256.Sum256([]byte(text))
	return sum[:6]
}

// tell is a text in the reader's language.
func (r *request) tell(key string, pairs ...any) string {
	return message.From(r.ctx).Text(view.T(key, pairs...))
}

// The elements of an Atom feed (RFC 4287) that are needed here.
type (
	atomFeed struct {
		XMLName xml.Name    `xml:"http://www.w3.org/2005/Atom feed"`
		Lang    string      `xml:"xml:lang,attr"`
		ID      string      `xml:"id"`
		Title   string      `xml:"title"`
		Updated string      `xml:"updated"`
		Author  atomPerson  `xml:"author"`
		Links   []atomLink  `xml:"link"`
		Rights  string      `xml:"rights,omitempty"`
		Entries []atomEntry `xml:"entry"`
	}
	atomPerson struct {
		Name string `xml:"name"`
	}
	atomLink struct {
		Rel  string `xml:"rel,attr"`
		Type string `xml:"type,attr"`
		Href string `xml:"href,attr"`
	}
	atomEntry struct {
		ID        string     `xml:"id"`
		Title     string     `xml:"title"`
		Published string     `xml:"published"`
		Updated   string     `xml:"updated"`
		Links     []atomLink `xml:"link"`
		Summary   string     `xml:"summary"`
	}
)

// mostNews is how many entries a feed holds: whoever follows it reads the newest.
const mostNews = 100

// societyFeed is the news of a society: events that were made, and versions that were signed.
func societyFeed(r *request, _ string) error {
	news, err := list.SeeNews(r.ctx, r.hall(), r.actor, r.at.Society.ID)
	if err != nil {
		return err
	}
	s := r.society()
	feed := atomFeed{Lang: message.From(r.ctx).Language(), ID: r.at.Society.ID.URN(), Title: r.tell("society.feed.title", "society", s.Name), Author: atomPerson{s.Name},
		Links:   []atomLink{{"self", atomType, r.address(s.Feed())}, {"alternate", "text/html", r.address(s.Path)}},
		Entries: r.newestFirst(news), Updated: atomTime(r.at.Society.CreatedAt.Time)}
	if len(feed.Entries) > 0 {
		feed.Updated = max(feed.Updated, feed.Entries[0].Updated) // of one form, so that their order is that of the times
	}
	var b bytes.Buffer
	b.WriteString(xml.Header)
	if err := xml.NewEncoder(&b).Encode(feed); err != nil {
		return fmt.Errorf("write the feed of %s: %w", s.Path, err)
	}
	return r.echo.Blob(http.StatusOK, atomType+"; charset=utf-8", b.Bytes())
}

func (r *request) newestFirst(news list.News) (entries []atomEntry) {
	for _, e := range news.Events {
		at := view.Event{Path: r.society().Event(e.Event.Code)}
		made := atomTime(e.Event.CreatedAt.Time)
		entries = append(entries, atomEntry{ID: e.Event.ID.URN(), Title: r.tell("society.feed.event", "event", e.Event.Code, "name", e.Event.Name), Published: made, Updated: made,
			Links: []atomLink{{"alternate", "text/html", r.address(at.Path)}}, Summary: r.tell("society.feed.event.about", "days", r.daysOf(e.Event), "place", e.Event.Place)})
		for _, v := range e.Versions {
			signed := atomTime(v.SignedAt)
			entries = append(entries, atomEntry{ID: v.ID.URN(), Title: r.tell("society.feed.version", "version", v.Version, "event", e.Event.Code), Published: signed, Updated: signed,
				Links: []atomLink{{"alternate", "text/html", r.address(at.Version(v.Version))}}, Summary: r.tell("society.feed.version.about", "version", v.Version, "name", e.Event.Name)})
		}
	}
	slices.SortStableFunc(entries, func(a, b atomEntry) int { return cmp.Compare(b.Updated, a.Updated) })
	return entries[:min(len(entries), mostNews)]
}

// daysOf is an event's days in the reader's language.
func (r *request) daysOf(e hall.Event) message.Text {
	from, to := days(e)
	if to.IsZero() {
		return view.Day(from)
	}
	return view.T("date.span", "from", view.Day(from), "to", view.Day(to))
}

// atomTime is a moment as RFC 3339 has it, always in UTC and to the second.
func atomTime(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05Z") }

// calendarBack is how long past events stay in the calendar.
const calendarBack = 400 * 24 * time.Hour

// societyCalendar is the events and walks to come, running and of the last year, as iCalendar (RFC 5545).
func societyCalendar(r *request, _ string) error {
	news, err := list.SeeNews(r.ctx, r.hall(), r.actor, r.at.Society.ID)
	if err != nil {
		return err
	}
	name := r.tell("society.calendar.title", "society", r.at.Society.Name)
	c := calendar{}
	c.line("BEGIN", "VCALENDAR")
	c.line("VERSION", "2.0")
	c.line("PRODID", "-//Foray Hall//Events//EN")
	c.line("CALSCALE", "GREGORIAN")
	c.line("METHOD", "PUBLISH")
	c.text("NAME", name) // RFC 7986, 5.1
	c.text("X-WR-CALNAME", name)
	since := r.hall().Now().Add(-calendarBack).Format(time.DateOnly)
	for _, e := range news.Events {
		if cmp.Or(e.Event.EndsOn, e.Event.StartsOn) < since || day(e.Event.StartsOn).IsZero() {
			continue
		}
		walks, err := r.walksOf(news, e.Event)
		if err != nil {
			return err
		}
		r.calendarEvent(&c, e)
		for _, w := range walks {
			r.calendarWalk(&c, e, w)
		}
	}
	c.line("END", "VCALENDAR")
	r.header("Content-Disposition", fmt.Sprintf(`inline; filename="%s.ics"`, r.at.Society.Code))
	return r.echo.Blob(http.StatusOK, calendarType+"; charset=utf-8", c.Bytes())
}

// calendarEvent is whole days, so that it stands on the same days wherever it is read; DTEND is the day after.
func (r *request) calendarEvent(c *calendar, e list.NewsEvent) {
	from, to := days(e.Event)
	if to.IsZero() {
		to = from
	}
	c.line("BEGIN", "VEVENT")
	c.line("UID", e.Event.ID.URN())
	c.line("DTSTAMP", utc(e.Changed))
	c.line("DTSTART;VALUE=DATE", from.Format("20060102"))
	c.line("DTEND;VALUE=DATE", to.AddDate(0, 0, 1).Format("20060102"))
	c.text("SUMMARY", e.Event.Name)
	if e.Event.Place != "" {
		c.text("LOCATION", e.Event.Place)
	}
	c.line("URL", r.address(r.society().Event(e.Event.Code)))
	c.line("END", "VEVENT")
}

func (r *request) calendarWalk(c *calendar, e list.NewsEvent, w outside.Walk) {
	if w.StartsAt.IsZero() {
		return
	}
	c.line("BEGIN", "VEVENT")
	c.line("UID", w.ID.URN())
	c.line("DTSTAMP", utc(e.Changed))
	c.line("DTSTART", utc(w.StartsAt))
	if w.DueAt.After(w.StartsAt) {
		c.line("DTEND", utc(w.DueAt))
	}
	c.text("SUMMARY", r.tell("society.calendar.walk", "event", e.Event.Code, "walk", w.Title))
	switch {
	case w.KeptBack:
		c.text("DESCRIPTION", r.tell("walks.kept-back"))
	case w.Place != "":
		c.text("LOCATION", w.Place)
	}
	if w.CalledOff {
		c.line("STATUS", "CANCELLED")
	}
	c.line("URL", r.address(view.Event{Path: r.society().Event(e.Event.Code)}.Walks()))
	c.line("END", "VEVENT")
}

func utc(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

// calendar is content lines: ended by CRLF, and folded so that none is longer than 75 octets without its end (RFC 5545,
// 3.1).
type calendar struct{ bytes.Buffer }

const longestLine = 75

func (c *calendar) line(name, value string) {
	rest := name + ":" + strings.NewReplacer("\r", "", "\n", "").Replace(value)
	for room := longestLine; len(rest) > room; room = longestLine - 1 {
		at := room
		for !utf8.RuneStart(rest[at]) {
			at--
		}
		c.WriteString(rest[:at] + "\r\n ")
		rest = rest[at:]
	}
	c.WriteString(rest + "\r\n")
}

// escapedText is what stands for the letters that mean something in a text (RFC 5545, 3.3.11).
var escapedText = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`)

// text is a line whose value is of the type TEXT.
func (c *calendar) text(name, value string) { c.line(name, escapedText.Replace(printable(value))) }

// printable leaves out the control letters that no TEXT may hold.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\r' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, s)
}
