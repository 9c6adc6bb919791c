package hall

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// PersonalKinds lists the kinds of personal data in the order in which a page names them.
var PersonalKinds = store.PersonalKinds

// PersonalWarning is how long before personal data goes its organisers are told.
const PersonalWarning = 14 * 24 * time.Hour

// Homes of an event.
const (
	HomeHere     = "here"
	HomeLent     = "lent"     // its home is here, and others work on it
	HomeBorrowed = "borrowed" // its home is elsewhere
)

// LastPersonalDay is the latest day on which an event's personal data may go: so many months after its end as the event
// says. An ISO date.
func LastPersonalDay(e store.Event) string {
	end, err := time.Parse(time.DateOnly, e.EndsOn)
	if err != nil {
		return ""
	}
	return end.AddDate(0, e.PersonalMonths, 0).Format(time.DateOnly)
}

// PersonalDue reports whether the day has come, where the event is, on which its personal data goes. An event that is
// still going on is left alone whatever its date says: somebody may need a telephone number. Of a borrowed event only
// its home deletes.
func PersonalDue(e store.Event, now time.Time) bool {
	today := now.In(Zone(e)).Format(time.DateOnly)
	return e.DeletePersonalOn != "" && e.DeletePersonalOn <= today && e.EndsOn < today && e.Home != HomeBorrowed
}

// PersonalSoon reports whether that day is near, or past.
func PersonalSoon(e store.Event, now time.Time) bool { return PersonalDue(e, now.Add(PersonalWarning)) }

// Personal is what of an event's personal data is there still, and when it goes.
type Personal struct {
	On      string // ISO date; empty: none is set
	Latest  string // ISO date; On is not later
	Months  int    // by which Latest is counted
	Contact int    // months after the answer until whoever asked for a correction is forgotten
	Soon    bool   // within a fortnight, or past
	Held    map[string]int
	Gone    []PersonalGone // newest first
	Home    string
}

// PersonalGone is one deletion.
type PersonalGone struct {
	At   time.Time
	By   foray.ID
	Rows string
}

// Personal tells what is there still and when it goes.
func (l *Look) Personal(e store.Event) (p Personal, err error) {
	p = Personal{On: e.DeletePersonalOn, Latest: LastPersonalDay(e), Months: e.PersonalMonths, Contact: e.ContactMonths, Soon: PersonalSoon(e, l.Now), Home: e.Home}
	if p.Held, err = l.Tx.PersonalHeld(e.SocietyID, e.ID, store.At(l.Now)); err != nil {
		return p, err
	}
	gone, err := l.Tx.DeletedPersonal(e.SocietyID, e.ID)
	for _, a := range gone {
		p.Gone = append(p.Gone, PersonalGone{At: a.RecordedAt.Time, By: a.PersonID, Rows: a.Detail})
	}
	return p, err
}

// Total is how many rows are there still.
func (p Personal) Total() (n int) {
	for _, held := range p.Held {
		n += held
	}
	return n
}

// ContactReason says why whoever asked for a correction is forgotten.
type ContactReason string

const (
	ContactAsked    ContactReason = "asked"    // they asked for it
	ContactDate     ContactReason = "date"     // the event's personal data goes
	ContactAnswered ContactReason = "answered" // so many months after the answer
	ContactOld      ContactReason = "old"      // a year after it was sent, whatever became of it
)

// contactMost is how many months a contact is kept where nobody answers.
const contactMost = 12

// ContactUntil says on which day whoever asked for a correction is forgotten, as far as is known now, and why: what came
// before the day on which the event's personal data goes is forgotten on that day; all of it so many months after the
// answer, as the event says, and a year after it was sent at the latest. answered is zero while it is open.
func ContactUntil(e store.Event, sent, answered time.Time) (day string, why ContactReason) {
	zone := Zone(e)
	day, why = sent.In(zone).AddDate(0, contactMost, 0).Format(time.DateOnly), ContactOld
	if !answered.IsZero() {
		if d := answered.In(zone).AddDate(0, e.ContactMonths, 0).Format(time.DateOnly); d < day {
			day, why = d, ContactAnswered
		}
	}
	if on := e.DeletePersonalOn; on != "" && sent.In(zone).Format(time.DateOnly) < on && on < day {
		day, why = on, ContactDate
	}
	return day, why
}
