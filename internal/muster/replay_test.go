package muster_test

import (
	"slices"
	"strings"
	"testing"

	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/muster"
)

func TestHowATeamStands(t *testing.T) {
	two := []muster.Member{leader, walker}
	for name, c := range map[string]struct {
		what     *script
		state    muster.State
		out      []string
		unnamed  int
		findings []string
	}{
		"nobody has gone": {&script{}, muster.NotOut, nil, 0, nil},
		"nobody went":     {(&script{}).mark("09:00", muster.NotGoing, two...), muster.NotOut, nil, 0, nil},
		"they are out":    {went(two...), muster.Afield, []string{leader.Name, walker.Name}, 0, nil},
		"heads were counted out and no names marked": {(&script{}).count("09:00", muster.CountOut, 2), muster.Afield, nil, 2,
			[]string{"more_out 2", "unmarked 2"}},
		"one who is marked back stays out no longer, the other does": {went(two...).mark("12:20", muster.Back, leader),
			muster.Short, []string{walker.Name}, 0, []string{"uncounted 1"}},
		"names without a count are not all back": {went(two...).mark("12:20", muster.Back, two...), muster.Unsettled, nil, 0,
			[]string{"uncounted 2"}},
		"names and heads agree": {went(two...).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 2),
			muster.AllBack, nil, 0, nil},
		"fewer heads than names: somebody is missing": {went(two...).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 1),
			muster.Short, nil, 1, []string{"fewer_back 1"}},
		"more heads than names: a walk-up without a name": {went(two...).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 3),
			muster.AllBack, nil, 0, []string{"more_back 1"}},
		"a walk-up who was counted out and not back is missing": {
			(&script{}).mark("09:00", muster.Out, two...).count("09:05", muster.CountOut, 3).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 2),
			muster.Short, nil, 1, []string{"more_out 1"}},
		"who went home and told somebody is waited for no longer": {
			went(two...).mark("11:00", muster.LeftEarly, walker).mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 1),
			muster.AllBack, nil, 0, nil},
		"who was found elsewhere is waited for no longer": {
			went(two...).mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 1).mark("14:00", muster.Found, walker),
			muster.AllBack, nil, 0, nil},
		"who was counted again in the field after one left": {
			went(two...).mark("11:00", muster.LeftEarly, walker).count("11:30", muster.Heard, 1).mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 1),
			muster.AllBack, nil, 0, nil},
		"one was back before the others were counted in the field with a walk-up": {
			went(two...).mark("11:00", muster.Back, walker).count("11:30", muster.Heard, 2).mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 2),
			muster.Short, nil, 1, []string{"more_out 1"}},
		"a count heard that is short says so": {went(two...).count("11:00", muster.Heard, 1), muster.Afield,
			[]string{leader.Name, walker.Name}, 0, []string{"fewer_out 1"}},
		"word without a count is no count": {went(two...).line("11:00", muster.Heard), muster.Afield,
			[]string{leader.Name, walker.Name}, 0, nil},
		"who was not marked and not counted did not go": {
			(&script{}).mark("09:00", muster.Out, leader).count("09:00", muster.CountOut, 1).mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 1),
			muster.AllBack, nil, 0, nil},
		"who was not marked may have gone where nobody counted": {
			(&script{}).mark("09:00", muster.Out, leader).mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 1),
			muster.Unsettled, nil, 0, []string{"unmarked 1"}},
		"coming back without a count is no count": {went(two...).mark("12:20", muster.Back, two...).line("12:20", muster.CountBack),
			muster.Unsettled, nil, 0, []string{"uncounted 2"}},
		"going out without a count forgets the count of the morning": {
			went(two...).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 2).mark("13:30", muster.Out, leader).line("13:30", muster.CountOut),
			muster.Afield, []string{leader.Name}, 0, nil},
		"out again after lunch: the count of noon says nothing of now": {
			went(two...).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 2).mark("13:30", muster.Out, two...).count("13:30", muster.CountOut, 2),
			muster.Afield, []string{leader.Name, walker.Name}, 0, nil},
		"out again after lunch and one stayed at the hall": {
			went(two...).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 2).mark("13:30", muster.Out, leader).count("13:30", muster.CountOut, 1).
				mark("15:00", muster.Back, leader).count("15:00", muster.CountBack, 1),
			muster.AllBack, nil, 0, nil},
		"one who was marked back by mistake is out again": {
			went(two...).mark("12:20", muster.Back, two...).mark("12:25", muster.Out, walker).count("12:25", muster.CountBack, 1),
			muster.Short, []string{walker.Name}, 0, nil},
		"somebody on no sheet is not forgotten": {
			went(two...).mark("09:10", muster.Out, frail).mark("12:20", muster.Back, two...).count("12:20", muster.CountBack, 2),
			muster.Short, []string{""}, 0, []string{"fewer_out 1", "off_sheet 1"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := muster.Replay(plan(two...), c.what.marks, c.what.counts)
			if s.State != c.state || s.Unnamed != c.unnamed {
				t.Errorf("%s with %d heads missing, want %s with %d", s.State, s.Unnamed, c.state, c.unnamed)
			}
			if !slices.Equal(names(s.Out), c.out) {
				t.Errorf("out are %v, want %v", names(s.Out), c.out)
			}
			if !slices.Equal(kinds(s.Findings), c.findings) {
				t.Errorf("found %v, want %v", kinds(s.Findings), c.findings)
			}
		})
	}
}

func TestHandedInIsSaidOnlyOfATeamThatIsBack(t *testing.T) {
	p := plan(leader, walker)
	what := went(leader, walker).mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 1).line("12:40", muster.HandIn)
	if s := muster.Replay(p, what.marks, what.counts); s.State != muster.Short {
		t.Errorf("handed in with a name out is %s", s.State)
	}
	what.mark("12:50", muster.Back, walker).count("12:50", muster.CountBack, 2)
	if s := muster.Replay(p, what.marks, what.counts); s.State != muster.HandedIn {
		t.Errorf("handed in with all back is %s", s.State)
	}
	what.mark("13:30", muster.Out, leader).count("13:30", muster.CountOut, 1).mark("15:00", muster.Back, leader).count("15:00", muster.CountBack, 1)
	if s := muster.Replay(p, what.marks, what.counts); s.State != muster.AllBack {
		t.Errorf("back from the afternoon, the morning's handing-in makes it %s", s.State)
	}
}

// Would catch a standing that counts another team's people, and a person's morning against their afternoon.
func TestMarksOfOtherTeamsArePassedOver(t *testing.T) {
	what := went(leader)
	other := (&script{}).mark("12:00", muster.Back, leader).count("12:00", muster.CountBack, 9)
	other.marks[0].Team, other.counts[0].Team = foray.ID{9}, foray.ID{9}
	s := muster.Replay(plan(leader), append(what.marks, other.marks...), append(what.counts, other.counts...))
	if s.State != muster.Afield || !s.LastHeard.Equal(clock("09:05")) {
		t.Errorf("%s, heard %v", s.State, s.LastHeard)
	}
}

// A clock that runs ahead must not hide a silence, nor outlive the marks that follow.
func TestNothingHappensAfterItWasRecorded(t *testing.T) {
	what := went(leader)
	what.marks[0].HappenedAt = clock("20:00")
	what.mark("12:20", muster.Back, leader).count("12:20", muster.CountBack, 1)
	if s := muster.Replay(plan(leader), what.marks, what.counts); s.State != muster.AllBack || s.LastHeard.After(clock("12:20")) {
		t.Errorf("%s, heard %v", s.State, s.LastHeard)
	}
}

func TestOfMarksOfOneMinuteTheLastRecordedStands(t *testing.T) {
	what := (&script{}).mark("09:00", muster.Out, leader).mark("09:00", muster.NotGoing, leader)
	what.marks[0].RecordedAt = clock("09:02")
	what.marks[1].RecordedAt = clock("09:01")
	if s := muster.Replay(plan(leader), what.marks, nil); s.State != muster.Afield {
		t.Errorf("%s", s.State)
	}
}

func TestChildrenAndPassengersAreLookedAfter(t *testing.T) {
	family := []muster.Member{leader, walker, guardian, child}
	alone := child
	alone.Guardian = foray.ID{}
	for name, c := range map[string]struct {
		members []muster.Member
		what    *script
		want    []string
	}{
		"together is right":                        {family, went(family...), nil},
		"together and back is right":               {family, went(family...).mark("12:20", muster.Back, family...).count("12:20", muster.CountBack, 4), nil},
		"back without the guardian":                {family, went(family...).mark("12:20", muster.Back, leader, walker, child).count("12:20", muster.CountBack, 3), []string{"back_without_guardian"}},
		"the guardian back, not the child":         {family, went(family...).mark("12:20", muster.Back, leader, walker, guardian).count("12:20", muster.CountBack, 3), []string{"guardian_back_alone"}},
		"the guardian went home without the child": {family, went(family...).mark("11:00", muster.LeftEarly, guardian), []string{"guardian_left"}},
		"both went home":                           {family, went(family...).mark("11:00", muster.LeftEarly, guardian, child), nil},
		"the child went home alone":                {family, went(family...).mark("11:00", muster.LeftEarly, child), []string{"left_without_guardian"}},
		"the guardian did not come":                {family, went(leader, walker, child).mark("09:00", muster.NotGoing, guardian), []string{"guardian_not_along"}},
		"no guardian is named":                     {[]muster.Member{leader, alone}, went(leader, alone), []string{"no_guardian"}},
		"the guardian is on another sheet":         {[]muster.Member{leader, child}, went(leader, child), []string{"guardian_not_along"}},
		"nobody said whether the child goes":       {[]muster.Member{leader, alone}, went(leader), nil},
		"the driver did not come":                  {[]muster.Member{leader, walker}, went(walker).mark("09:00", muster.NotGoing, leader), []string{"no_driver"}},
		"the driver went home":                     {family, went(family...).mark("11:00", muster.LeftEarly, leader), []string{"no_driver"}},
		"driver and passenger went home":           {family, went(family...).mark("11:00", muster.LeftEarly, leader, walker), nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := muster.Replay(plan(c.members...), c.what.marks, c.what.counts)
			var got []string
			for _, f := range s.Findings {
				if !f.Member.IsZero() {
					got = append(got, string(f.Kind))
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("found %v, want %v", got, c.want)
			}
		})
	}
}

// Would catch a text without its argument or its key.
func TestEveryTextSaysWhatItIsGiven(t *testing.T) {
	english := message.For(message.English)
	check := func(text message.Text) {
		if said := english.Text(text); strings.ContainsAny(said, "{}⟪⟫") || strings.Contains(said, "  ") {
			t.Errorf("%s says %q", text.Key, said)
		}
	}
	for _, s := range muster.States {
		check(s.Text())
	}
	for _, k := range muster.MarkKinds {
		check(k.Text())
	}
	for _, k := range muster.CountKinds {
		check(k.Text())
	}
	for _, s := range muster.Steps {
		check(s.Text())
	}
	everybody := []muster.Member{leader, walker, guardian, child, frail}
	for _, what := range everyScript(everybody) {
		for _, p := range []muster.Plan{plan(everybody...), withDue(plan(everybody...), nil), withDue(plan(everybody...), at("18:00")), lightless(plan(everybody...))} {
			s := muster.Replay(p, what.marks, what.counts)
			for _, now := range []string{"12:45", "13:00", "13:30", "16:00", "16:50", "18:30", "23:00"} {
				a := muster.Warnings(clock(now), p, muster.Usual(), s)
				for _, f := range append(s.Findings, a.Findings...) {
					check(f.Text)
				}
				for _, do := range a.Do {
					check(do)
				}
				if a.Step > muster.Wait {
					check(a.Reason)
				}
			}
		}
	}
}

func everyScript(all []muster.Member) []*script {
	scripts := []*script{{}, went(all...), (&script{}).count("09:00", muster.CountOut, 4), went(all...).mark("12:20", muster.Back, all...)}
	for _, kind := range muster.MarkKinds {
		for i := range all {
			scripts = append(scripts, went(all...).mark("12:20", muster.Back, all[:i]...).mark("12:25", kind, all[i:]...).count("12:26", muster.CountBack, i))
		}
	}
	return scripts
}
