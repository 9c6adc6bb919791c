package muster

import (
	"cmp"
	"slices"
	"time"

	"forayhall/internal/message"
)

// Alert is how far the ladder has come with a team, and what else the hour says of it.
type Alert struct {
	Step     Step
	At       *time.Time   // when the step was reached; nil with Wait
	Done     bool         // somebody has taken the step, or a higher one, since it was reached
	Reason   message.Text // without names: a wall may show it
	Do       []message.Text
	Next     Step // the step that follows if nothing changes; Wait for none
	NextAt   *time.Time
	Findings []Finding // not heard from is apart from overdue
}

// Warnings says what is to be done about a team now.
func Warnings(now time.Time, p Plan, l Ladder, s Standing) Alert {
	var a Alert
	reached := rung{}
	rungs := l.rungs(p, s)
	for _, r := range rungs {
		if r.at.After(now) {
			continue
		}
		if r.step > reached.step || r.step == reached.step && r.at.Before(reached.at) {
			reached = r
		}
	}
	if reached.step > Wait {
		a.Step, a.At = reached.step, &reached.at
		a.Done = slices.ContainsFunc(s.Acted, func(d Acted) bool { return d.Step >= a.Step && !d.At.Before(reached.at) && !d.At.After(now) })
		a.Reason, a.Do = reason(reached, p, s), todo(now, reached.step, p)
	}
	for _, r := range rungs {
		if r.step > a.Step && r.at.After(now) && (a.NextAt == nil || r.at.Before(*a.NextAt)) {
			a.Next, a.NextAt = r.step, &r.at
		}
	}
	a.Findings = l.timely(now, p, s)
	return a
}

func reason(r rung, p Plan, s Standing) message.Text {
	return message.T("muster.reason."+r.reason, "team", p.Number, "n", s.People(), "due", p.optional(p.Due),
		"back", p.optional(cmp.Or(s.LeaderAt, s.ReturnedAt)), "light", p.optional(lightEnds(p)))
}

// optional is empty for a time that a text with this reason does not say.
func (p Plan) optional(t *time.Time) string {
	if t == nil {
		return ""
	}
	return p.clock(*t)
}

// todo is what to do, and how long there is light to do it in.
func todo(now time.Time, step Step, p Plan) []message.Text {
	do := []message.Text{message.T("muster.do." + step.String())}
	switch {
	case step < PlanSearch || p.CivilDusk == nil:
	case now.Before(*p.CivilDusk):
		do = append(do, message.T("muster.light.until", "dusk", p.clock(*p.CivilDusk)))
	default:
		do = append(do, message.T("muster.light.gone", "dusk", p.clock(*p.CivilDusk)))
	}
	return do
}

// timely are the findings that come with the hour.
func (l Ladder) timely(now time.Time, p Plan, s Standing) (all []Finding) {
	afield := s.State == Afield || s.State == Short
	if afield && s.LastHeard != nil && now.Sub(*s.LastHeard) >= l.Silence {
		all = append(all, p.since(NotHeard, *s.LastHeard))
	}
	if afield && p.Due == nil {
		all = append(all, find(NoDueTime, 1, "team", p.Number))
	}
	if s.State == NotOut && p.Due != nil && !now.Before(*p.Due) && len(s.Unmarked) > 0 {
		all = append(all, p.since(NotSignedOut, *p.Due))
	}
	if end := lightEnds(p); !s.Ended() && p.Due != nil && end != nil && p.Due.After(end.Add(-l.BeforeSunset)) {
		all = append(all, p.since(DueLate, *end))
	}
	return all
}

func (p Plan) since(kind FindingKind, t time.Time) Finding {
	f := find(kind, 1, "team", p.Number, "time", p.clock(t), "due", p.optional(p.Due))
	f.Since = &t
	return f
}
