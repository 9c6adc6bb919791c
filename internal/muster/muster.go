// Package muster says whether everybody is back: who is out by name, whether the heads that were counted agree with
// the names, and how long anybody may wait before the next thing is done. It is pure: marks and counts come in, in any
// order and as late as a paper sheet is typed. Where it cannot tell, somebody is still out; it must never call a team
// back because nobody said otherwise.
package muster

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"forayhall/internal/foray"
)

// Member is a person on a team's sheet.
type Member struct {
	ID          foray.ID
	Name        string
	Minor       bool
	Vulnerable  bool     // somebody of age for whom a night outside, or being alone, is a danger
	Guardian    foray.ID // of a minor
	Car         string   // the car this person drives, as it is known at the car park
	PassengerOf foray.ID // who drives this person
}

// needsCare: such a person missing shortens the ladder.
func (m Member) needsCare() bool { return m.Minor || m.Vulnerable }

// MarkKind is what was seen or heard of one person.
type MarkKind string

const (
	Out      MarkKind = "out"
	Back     MarkKind = "back"
	NotGoing MarkKind = "not_going"
	// LeftEarly is somebody who went home on their own and told somebody.
	LeftEarly MarkKind = "left_early"
	// Found is somebody known to be well who is not back with the team: searchers have them, or they answered from home.
	Found MarkKind = "found"
)

// MarkKinds lists the kinds in the order in which a day meets them.
var MarkKinds = []MarkKind{NotGoing, Out, LeftEarly, Back, Found}

// Known reports whether a kind is one of the list.
func (k MarkKind) Known() bool { return slices.Contains(MarkKinds, k) }

// Stamp orders marks and counts. A device's clock may be wrong or its sheet typed hours later: HappenedAt is when it
// was so, RecordedAt when the hall learned of it.
type Stamp struct {
	ID         foray.ID
	HappenedAt time.Time
	RecordedAt time.Time
}

// at is when it happened; not later than it was recorded, so that a clock that is ahead neither hides a silence nor
// outlives the marks that follow.
func (s Stamp) at() time.Time {
	if !s.RecordedAt.IsZero() && s.HappenedAt.After(s.RecordedAt) {
		return s.RecordedAt
	}
	return s.HappenedAt
}

func (s Stamp) compare(o Stamp) int {
	return cmp.Or(s.at().Compare(o.at()), s.RecordedAt.Compare(o.RecordedAt), bytes.Compare(s.ID[:], o.ID[:]))
}

// Mark is one person's mark on a team's sheet.
type Mark struct {
	Stamp
	Team   foray.ID
	Member foray.ID
	Kind   MarkKind
}

// CountKind is where heads were counted.
type CountKind string

const (
	CountOut  CountKind = "out"
	CountBack CountKind = "back"
	// Heard is word from the field: a call, a message, somebody who met them.
	Heard CountKind = "heard"
	// HandIn: the sheet and the collections were handed in.
	HandIn CountKind = "hand_in"
	// What the hall did because a team was late; none of it is word from the field.
	Rung     CountKind = "rung"
	Told     CountKind = "told"
	Searched CountKind = "search"
	Rescue   CountKind = "rescue"
)

// CountKinds lists the kinds in the order in which a day meets them.
var CountKinds = []CountKind{CountOut, Heard, CountBack, HandIn, Rung, Told, Searched, Rescue}

// acts are the steps of the ladder that an entry says were taken.
var acts = map[CountKind]Step{Rung: RingLeader, Told: TellSafetyLead, Searched: PlanSearch, Rescue: CallRescue}

// Known reports whether a kind is one of the list.
func (k CountKind) Known() bool { return slices.Contains(CountKinds, k) }

// Count is a line of a team's sheet: heads counted by somebody who looked at them, or what was heard or done. A count
// back is of all who went and are back, not of the last few to arrive.
type Count struct {
	Stamp
	Team  foray.ID
	Kind  CountKind
	Heads *int // nil where nobody counted
}

// Plan is a team's sheet as it was meant.
type Plan struct {
	Team      foray.ID
	Number    int
	Leader    foray.ID // one of the members
	Members   []Member
	Due       *time.Time
	Sunset    *time.Time // at the site
	CivilDusk *time.Time // at the site
	Zone      *time.Location
}

// clock writes a time as the wall of the hall shows it.
func (p Plan) clock(t time.Time) string {
	if p.Zone == nil {
		return t.UTC().Format("15:04 MST")
	}
	return t.In(p.Zone).Format("15:04")
}
