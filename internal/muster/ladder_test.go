package muster_test

import (
	"slices"
	"testing"
	"time"

	"forayhall/internal/message"
	"forayhall/internal/muster"
)

func withDue(p muster.Plan, due *time.Time) muster.Plan {
	p.Due = due
	return p
}

func lightless(p muster.Plan) muster.Plan {
	p.Sunset, p.CivilDusk = nil, nil
	return p
}

func polar(p muster.Plan) muster.Plan {
	p.Sunset = nil
	return p
}

// The ladder of common practice: 15 minutes after the due time the leader is rung, at 30 the safety lead is told, at 60
// or 60 before sunset a search is planned, at sunset or for somebody vulnerable rescue is called.
func TestTheLadder(t *testing.T) {
	adults := []muster.Member{leader, walker}
	family := []muster.Member{leader, guardian, child}
	out := went(adults...)
	short := went(adults...).mark("12:00", muster.Back, leader).count("12:00", muster.CountBack, 1)
	ahead := went(adults...).mark("12:00", muster.Back, walker).count("12:00", muster.CountBack, 1)
	lost := went(family...).mark("12:00", muster.Back, leader, guardian).count("12:00", muster.CountBack, 2)
	heads := went(adults...).mark("12:00", muster.Back, adults...).count("12:00", muster.CountBack, 1)
	uncounted := went(adults...).mark("12:00", muster.Back, adults...)
	home := went(adults...).mark("12:40", muster.Back, adults...).count("12:40", muster.CountBack, 2)
	for name, c := range map[string]struct {
		plan   muster.Plan
		what   *script
		now    string
		step   muster.Step
		reason string
		next   string // when the next step comes
	}{
		"before the due time nothing":                    {plan(adults...), out, "12:29", muster.Wait, "", "12:45"},
		"a minute before the quarter nothing":            {plan(adults...), out, "12:44", muster.Wait, "", "12:45"},
		"a quarter of an hour late the leader is rung":   {plan(adults...), out, "12:45", muster.RingLeader, "overdue", "13:00"},
		"half an hour late the safety lead is told":      {plan(adults...), out, "13:00", muster.TellSafetyLead, "overdue", "13:30"},
		"an hour late a search is planned":               {plan(adults...), out, "13:30", muster.PlanSearch, "overdue", "16:45"},
		"at sunset rescue is called":                     {plan(adults...), out, "16:45", muster.CallRescue, "sunset", ""},
		"an hour before sunset is before an hour late":   {withDue(plan(adults...), at("15:30")), out, "15:45", muster.PlanSearch, "light", "16:45"},
		"due in the last hour of light, late at once":    {withDue(plan(adults...), at("16:15")), out, "16:16", muster.PlanSearch, "light", "16:45"},
		"not due yet in the last hour of light":          {withDue(plan(adults...), at("16:15")), out, "16:10", muster.Wait, "", "16:15"},
		"meant to be out in the dark":                    {withDue(plan(adults...), at("19:00")), out, "18:59", muster.Wait, "", "19:15"},
		"meant to be out in the dark, half an hour late": {withDue(plan(adults...), at("19:00")), out, "19:30", muster.TellSafetyLead, "overdue", "20:00"},
		"meant to be out in the dark, an hour late":      {withDue(plan(adults...), at("19:00")), out, "20:00", muster.CallRescue, "dark", ""},
		"with a child the hour calls rescue":             {plan(family...), went(family...), "13:30", muster.CallRescue, "vulnerable", ""},
		"with somebody frail the hour calls rescue":      {plan(leader, frail), went(leader, frail), "13:30", muster.CallRescue, "vulnerable", ""},
		"with a child half an hour does not":             {plan(family...), went(family...), "13:29", muster.TellSafetyLead, "overdue", "13:30"},
		"no due time: the light decides":                 {withDue(plan(adults...), nil), out, "15:45", muster.PlanSearch, "light", "16:45"},
		"no due time and no sunset: nothing can say":     {lightless(withDue(plan(adults...), nil)), out, "23:00", muster.Wait, "", ""},
		"no sunset: rescue after hours":                  {lightless(plan(adults...)), out, "15:30", muster.CallRescue, "no_sunset", ""},
		"no sunset but a dusk: dusk is the limit":        {polar(plan(adults...)), out, "17:20", muster.CallRescue, "sunset", ""},
		"the leader is back without one: from then on":   {plan(adults...), short, "12:15", muster.RingLeader, "short", "12:30"},
		"some are ahead of the leader: the due time":     {plan(adults...), ahead, "12:40", muster.Wait, "", "12:45"},
		"a child did not come back with the others":      {plan(family...), lost, "12:15", muster.CallRescue, "vulnerable", ""},
		"ticking the names takes a while":                {plan(family...), lost, "12:05", muster.Wait, "", "12:15"},
		"heads are short: somebody is missing":           {plan(adults...), heads, "13:00", muster.PlanSearch, "short", "16:45"},
		"names back and heads not counted":               {plan(adults...), uncounted, "20:00", muster.RingLeader, "unsettled", ""},
		"the first reason that held is the one told":     {plan(family...), went(family...), "17:00", muster.CallRescue, "vulnerable", ""},
		"a child of whom nobody said whether it went":    {plan(family...), (&script{}).count("09:00", muster.CountOut, 3), "13:30", muster.CallRescue, "vulnerable", ""},
		"all back": {plan(adults...), home, "20:00", muster.Wait, "", ""},
		"not out":  {plan(adults...), &script{}, "20:00", muster.Wait, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			a := muster.Warnings(clock(c.now), c.plan, muster.Usual(), muster.Replay(c.plan, c.what.marks, c.what.counts))
			reason := ""
			if a.Step > muster.Wait {
				reason = a.Reason.Key
				if a.At == nil || a.At.After(clock(c.now)) || len(a.Do) == 0 {
					t.Errorf("reached at %v, do %v", a.At, a.Do)
				}
				c.reason = "muster.reason." + c.reason
			}
			if a.Step != c.step || reason != c.reason {
				t.Errorf("%s for %q, want %s for %q", a.Step, reason, c.step, c.reason)
			}
			if (a.NextAt == nil) != (c.next == "") || a.NextAt != nil && !a.NextAt.Equal(clock(c.next)) {
				t.Errorf("next is %v, want %q", a.NextAt, c.next)
			}
		})
	}
}

func TestAnEventMaySetItsOwnLadder(t *testing.T) {
	l := muster.Usual()
	l.Leader = 5 * time.Minute
	p, what := plan(leader), went(leader)
	if a := muster.Warnings(clock("12:36"), p, l, muster.Replay(p, what.marks, what.counts)); a.Step != muster.RingLeader {
		t.Errorf("%s", a.Step)
	}
}

// What was done is shown as done, and counts for the step that is reached and not for the next.
func TestAStepThatWasTakenIsDone(t *testing.T) {
	p, what := plan(leader), went(leader).line("12:50", muster.Rung)
	for now, done := range map[string]bool{"12:49": false, "12:50": true, "12:59": true, "13:00": false} {
		if a := muster.Warnings(clock(now), p, muster.Usual(), muster.Replay(p, what.marks, what.counts)); a.Done != done {
			t.Errorf("at %s %s is done: %t", now, a.Step, a.Done)
		}
	}
}

func TestFindingsOfTheHour(t *testing.T) {
	for name, c := range map[string]struct {
		plan muster.Plan
		what *script
		now  string
		want []string
	}{
		"heard at the start":                   {plan(leader), went(leader), "10:34", nil},
		"not heard from, and not overdue":      {plan(leader), went(leader), "10:35", []string{"not_heard 1"}},
		"word ends the silence":                {plan(leader), went(leader).line("10:30", muster.Heard), "11:59", nil},
		"not going is no word from the field":  {plan(leader, walker), went(leader).mark("10:30", muster.NotGoing, walker), "10:35", []string{"not_heard 1"}},
		"ringing without an answer is no word": {plan(leader), went(leader).line("10:30", muster.Rung), "10:35", []string{"not_heard 1"}},
		"all back is no silence":               {plan(leader), went(leader).mark("12:00", muster.Back, leader).count("12:00", muster.CountBack, 1), "20:00", nil},
		"due and never signed out":             {plan(leader), &script{}, "12:30", []string{"not_signed_out 1"}},
		"nobody went: nothing is due":          {plan(leader), (&script{}).mark("09:00", muster.NotGoing, leader), "12:30", nil},
		"no due time":                          {withDue(plan(leader), nil), went(leader), "10:00", []string{"no_due_time 1"}},
		"due in the last hour of light":        {withDue(plan(leader), at("16:00")), went(leader), "10:00", []string{"due_late 1"}},
		"due an hour before sunset":            {withDue(plan(leader), at("15:45")), went(leader), "10:00", nil},
	} {
		t.Run(name, func(t *testing.T) {
			a := muster.Warnings(clock(c.now), c.plan, muster.Usual(), muster.Replay(c.plan, c.what.marks, c.what.counts))
			if !slices.Equal(kinds(a.Findings), c.want) {
				t.Errorf("found %v, want %v", kinds(a.Findings), c.want)
			}
		})
	}
}

// The emergency number differs by country: it is said in words and never made up.
func TestRescueIsSaidInWords(t *testing.T) {
	p, what := plan(leader), went(leader)
	a := muster.Warnings(clock("17:00"), p, muster.Usual(), muster.Replay(p, what.marks, what.counts))
	english := message.For(message.English)
	if said := english.Text(a.Do[0]); said == "" || slices.ContainsFunc([]rune(said), func(r rune) bool { return r >= '0' && r <= '9' }) {
		t.Errorf("rescue says %q", said)
	}
	if said, want := english.Text(a.Reason), "Team 3: one person is not back, and the day ended at 16:45 UTC."; said != want {
		t.Errorf("the reason says %q, want %q", said, want)
	}
	if said, want := english.Text(a.Do[1]), "It is light enough to search until 17:20 UTC."; said != want {
		t.Errorf("the light says %q, want %q", said, want)
	}
}
