package muster_test

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
	"forayhall/internal/muster"
)

var roster = []muster.Member{leader, walker, guardian, child, frail}

// anyDay draws marks and counts of a day, no two in the same minute: paper says the minute and no more.
func anyDay(t *rapid.T) *script {
	s := &script{}
	minutes := rapid.SliceOfNDistinct(rapid.IntRange(0, 599), 0, 25, rapid.ID[int]).Draw(t, "minutes")
	if rapid.Bool().Draw(t, "a usual start") {
		s.mark("08:00", muster.Out, roster...).count("08:01", muster.CountOut, len(roster))
	}
	for _, m := range minutes {
		when := clock("08:30").Add(time.Duration(m) * time.Minute).Format("15:04")
		if rapid.IntRange(0, 3).Draw(t, "kind of entry") == 0 {
			kind := rapid.SampledFrom(muster.CountKinds).Draw(t, "count")
			if heads := rapid.IntRange(-1, 7).Draw(t, "heads"); heads < 0 {
				s.line(when, kind)
			} else {
				s.count(when, kind, heads)
			}
			continue
		}
		who := rapid.SampledFrom(append(slices.Clone(roster), muster.Member{ID: foray.ID{2, 9}})).Draw(t, "who")
		s.mark(when, rapid.SampledFrom(muster.MarkKinds).Draw(t, "mark"), who)
	}
	return s
}

func anyPlan(t *rapid.T) muster.Plan {
	p := plan(roster[:rapid.IntRange(0, len(roster)).Draw(t, "members")]...)
	p.Due = rapid.SampledFrom([]*time.Time{nil, at("12:30"), at("16:15"), at("19:00")}).Draw(t, "due")
	if rapid.Bool().Draw(t, "without light") {
		p = lightless(p)
	}
	return p
}

func same(t *rapid.T, what string, a, b muster.Standing) {
	if !reflect.DeepEqual(a, b) {
		t.Fatalf("%s:\n%+v\n%+v", what, a, b)
	}
}

func TestAnyOrderAndAnyRepetitionGivesTheSameStanding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, day := anyPlan(t), anyDay(t)
		want := muster.Replay(p, day.marks, day.counts)
		marks := rapid.Permutation(day.marks).Draw(t, "marks in another order")
		counts := rapid.Permutation(day.counts).Draw(t, "counts in another order")
		same(t, "another order", want, muster.Replay(p, marks, counts))
		if len(marks) > 0 {
			marks = append(marks, rapid.SampledFrom(marks).Draw(t, "a mark again"))
		}
		if len(counts) > 0 {
			counts = append(counts, rapid.SampledFrom(counts).Draw(t, "a count again"))
		}
		same(t, "repeated", want, muster.Replay(p, marks, counts))
	})
}

// A sheet that is typed in the evening with its true times gives what entering at once would have given, whoever typed
// which line first, and under other ids.
func TestAPaperSheetEnteredLateIsAsGoodAsAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, day := anyPlan(t), anyDay(t)
		want := muster.Replay(p, day.marks, day.counts)
		late := func(s *muster.Stamp) {
			s.RecordedAt = s.RecordedAt.Add(time.Duration(rapid.IntRange(0, 900).Draw(t, "minutes late")) * time.Minute)
			s.ID[1] = rapid.Byte().Draw(t, "id")
		}
		marks, counts := slices.Clone(day.marks), slices.Clone(day.counts)
		for i := range marks {
			if marks[i].HappenedAt.After(clock("08:10")) || rapid.Bool().Draw(t, "the start too") {
				late(&marks[i].Stamp)
			}
		}
		for i := range counts {
			late(&counts[i].Stamp)
		}
		got := muster.Replay(p, marks, counts)
		same(t, "late", want, got)
		now := clock("08:00").Add(time.Duration(rapid.IntRange(0, 900).Draw(t, "now")) * time.Minute)
		if a, b := muster.Warnings(now, p, muster.Usual(), want), muster.Warnings(now, p, muster.Usual(), got); !reflect.DeepEqual(a, b) {
			t.Fatalf("late: %+v, at once: %+v", b, a)
		}
	})
}

// reckoned is a second reckoning of a day, from the newest entry of each kind.
type reckoned struct {
	stands map[foray.ID]muster.Mark
	newest map[muster.CountKind]muster.Count // with heads, but for those out
}

func reckon(day *script) reckoned {
	r := reckoned{map[foray.ID]muster.Mark{}, map[muster.CountKind]muster.Count{}}
	for _, m := range day.marks {
		if old, ok := r.stands[m.Member]; !ok || m.HappenedAt.After(old.HappenedAt) {
			r.stands[m.Member] = m
		}
	}
	for _, c := range day.counts {
		if c.Heads == nil && c.Kind != muster.CountOut {
			continue
		}
		if old, ok := r.newest[c.Kind]; !ok || c.HappenedAt.After(old.HappenedAt) {
			r.newest[c.Kind] = c
		}
	}
	return r
}

func (r reckoned) number(kind muster.MarkKind, from time.Time) (n int) {
	for _, m := range r.stands {
		if m.Kind == kind && !m.HappenedAt.Before(from) {
			n++
		}
	}
	return n
}

func TestATeamIsNeverAllBackWhileANameIsOutOrHeadsAreShort(t *testing.T) {
	ended := 0
	rapid.Check(t, func(t *rapid.T) {
		p, day := anyPlan(t), anyDay(t)
		if rapid.Bool().Draw(t, "a usual end") {
			day.mark("19:00", muster.Back, roster...).count("19:01", muster.CountBack, rapid.IntRange(3, 6).Draw(t, "heads at the end"))
		}
		s, r := muster.Replay(p, day.marks, day.counts), reckon(day)
		if !s.Ended() {
			return
		}
		ended++
		if n := r.number(muster.Out, time.Time{}); n > 0 {
			t.Fatalf("%s with %d names out", s.State, n)
		}
		went, back := r.newest[muster.CountOut], r.newest[muster.CountBack]
		names := r.number(muster.Back, went.HappenedAt)
		if names > 0 && (back.HappenedAt.Before(went.HappenedAt) || *back.Heads < names) {
			t.Fatalf("%s with heads not counted for %d names", s.State, names)
		}
		away := r.number(muster.LeftEarly, went.HappenedAt) + r.number(muster.Found, went.HappenedAt)
		heard := r.newest[muster.Heard]
		if went.Heads != nil && heard.HappenedAt.Before(went.HappenedAt) && names > 0 && *back.Heads+away < *went.Heads {
			t.Fatalf("%s: %d went, %d are back and %d away", s.State, *went.Heads, *back.Heads, away)
		}
	})
	if ended == 0 {
		t.Error("no team ever came back: the property was never tried")
	}
}

// Everybody who is marked is in exactly one list.
func TestNobodyIsLostAndNobodyIsTwoPeople(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, day := anyPlan(t), anyDay(t)
		s := muster.Replay(p, day.marks, day.counts)
		seen := map[foray.ID]int{}
		for _, list := range [][]muster.Member{s.Out, s.Back, s.Left, s.Found, s.NotGoing, s.Unmarked} {
			for _, m := range list {
				seen[m.ID]++
			}
		}
		for _, m := range p.Members {
			seen[m.ID] += 0
		}
		for _, m := range day.marks {
			seen[m.Member] += 0
		}
		for id, n := range seen {
			if n != 1 {
				t.Fatalf("%s is in %d lists", id, n)
			}
		}
	})
}

// Waiting never makes a team less late, and what was announced as the next step comes when it was announced.
func TestTheLadderOnlyRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, day := anyPlan(t), anyDay(t)
		s := muster.Replay(p, day.marks, day.counts)
		before := muster.Alert{}
		for now := clock("08:00"); now.Before(clock("08:00").Add(20 * time.Hour)); now = now.Add(7 * time.Minute) {
			a := muster.Warnings(now, p, muster.Usual(), s)
			if a.Step < before.Step {
				t.Fatalf("at %s %s after %s", now, a.Step, before.Step)
			}
			if a.Step > before.Step && before.Step != muster.Wait && (before.NextAt == nil || a.At.Before(*before.NextAt)) {
				t.Fatalf("at %s %s, which was announced for %v", now, a.Step, before.NextAt)
			}
			before = a
		}
		if s.Ended() && before.Step != muster.Wait {
			t.Fatalf("%s, and %s", s.State, before.Step)
		}
	})
}
