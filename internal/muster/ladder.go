package muster

import "time"

// Ladder is how long to wait before what. The usual values are common practice; an event may set its own.
type Ladder struct {
	Leader       time.Duration // after the due time the leader is rung
	SafetyLead   time.Duration // after the due time the safety lead is told
	Search       time.Duration // after the due time a search plan is made
	BeforeSunset time.Duration // or so long before sunset, whichever is first
	// Parted is how long after the rest of the team came back somebody vulnerable may still be out.
	Parted time.Duration
	// Rescue is after the due time, where the site has neither sunset nor dusk to wait for. From memory.
	Rescue time.Duration
	// Silence is how long nobody may have been heard from, however much time is left. From memory.
	Silence time.Duration
}

// Usual is the ladder of common practice.
func Usual() Ladder {
	return Ladder{Leader: 15 * time.Minute, SafetyLead: 30 * time.Minute, Search: time.Hour, BeforeSunset: time.Hour,
		Parted: 15 * time.Minute, Rescue: 3 * time.Hour, Silence: 90 * time.Minute}
}

// Step is what is to be done about a team that is late, in rising order; each holds the ones below it.
type Step int

const (
	Wait Step = iota
	RingLeader
	TellSafetyLead
	PlanSearch
	CallRescue
)

// Steps lists them in that order.
var Steps = []Step{Wait, RingLeader, TellSafetyLead, PlanSearch, CallRescue}

var stepNames = [...]string{"wait", "ring_leader", "tell_safety_lead", "plan_search", "call_rescue"}

func (s Step) String() string { return stepNames[s] }

// rung is when a step is due and why.
type rung struct {
	step   Step
	at     time.Time
	reason string
}

// rungs are the steps that lie before a team that stands so.
func (l Ladder) rungs(p Plan, s Standing) (all []rung) {
	if s.State == Unsettled {
		return l.settle(p, s)
	}
	if s.State != Afield && s.State != Short {
		return nil
	}
	from, reason := start(p, s)
	if from != nil {
		all = append(all, rung{RingLeader, from.Add(l.Leader), reason}, rung{TellSafetyLead, from.Add(l.SafetyLead), reason},
			rung{PlanSearch, from.Add(l.Search), reason})
	}
	all = append(all, l.light(from, lightEnds(p))...)
	if from != nil && caredFor(s) {
		all = append(all, l.vulnerable(*from, s))
	}
	return all
}

// settle: nobody is missing by name, so the leader is asked and nothing more.
func (l Ladder) settle(p Plan, s Standing) []rung {
	from := earlier(p.Due, s.ReturnedAt)
	if from == nil {
		return nil
	}
	return []rung{{RingLeader, from.Add(l.Leader), "unsettled"}}
}

// start is when the ladder begins: at the due time; or when the team, that is its leader, came back without somebody,
// if that was before. While the leader is out the first to be back are only ahead of the others.
func start(p Plan, s Standing) (*time.Time, string) {
	if s.State != Short {
		return p.Due, "overdue"
	}
	parted := s.LeaderAt
	if parted == nil && !leaderOut(p, s) {
		parted = s.ReturnedAt
	}
	if parted == nil {
		return p.Due, "overdue"
	}
	return earlier(p.Due, parted), "short"
}

func leaderOut(p Plan, s Standing) bool {
	for _, m := range s.Out {
		if m.ID == p.Leader {
			return true
		}
	}
	return false
}

// light gives the steps that the end of the day brings. A team that is due in the last hour of light has its search
// planned as soon as it is late; one that was meant to be out in the dark is given the hour and no more.
func (l Ladder) light(from, end *time.Time) []rung {
	switch {
	case end == nil && from == nil:
		return nil
	case end == nil:
		return []rung{{CallRescue, from.Add(l.Rescue), "no_sunset"}}
	case from == nil:
		return []rung{{PlanSearch, end.Add(-l.BeforeSunset), "light"}, {CallRescue, *end, "sunset"}}
	case from.Before(*end):
		return []rung{{PlanSearch, later(*from, end.Add(-l.BeforeSunset)), "light"}, {CallRescue, *end, "sunset"}}
	}
	return []rung{{CallRescue, from.Add(l.Search), "dark"}}
}

// lightEnds is sunset, or civil dusk where the sun does not rise.
func lightEnds(p Plan) *time.Time {
	if p.Sunset != nil {
		return p.Sunset
	}
	return p.CivilDusk
}

// vulnerable: with the whole team out, rescue is called when others would plan a search; where the team is back without
// them, almost at once.
func (l Ladder) vulnerable(from time.Time, s Standing) rung {
	if s.State == Short {
		return rung{CallRescue, from.Add(l.Parted), "vulnerable"}
	}
	return rung{CallRescue, from.Add(l.Search), "vulnerable"}
}

// caredFor: somebody vulnerable is out, or may be: heads are missing, and one of whom nobody said whether they went.
func caredFor(s Standing) bool {
	perhaps := s.Out
	if s.Unnamed > 0 {
		perhaps = append(perhaps[:len(perhaps):len(perhaps)], s.Unmarked...)
	}
	for _, m := range perhaps {
		if m.needsCare() {
			return true
		}
	}
	return false
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earlier(a, b *time.Time) *time.Time {
	if a == nil || b != nil && b.Before(*a) {
		return b
	}
	return a
}
