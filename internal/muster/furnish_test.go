package muster_test

import (
	"strconv"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/muster"
)

// A Saturday in late October in the north of England; sunset and dusk are near those of the day.
var (
	team   = foray.ID{1}
	day    = time.Date(2026, 10, 24, 0, 0, 0, 0, time.UTC)
	sunset = clock("16:45")
	dusk   = clock("17:20")
)

func clock(s string) time.Time {
	t, err := time.Parse("15:04", s)
	if err != nil {
		panic(err)
	}
	return day.Add(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute)
}

func at(s string) *time.Time {
	t := clock(s)
	return &t
}

// The people of the sheet: a leader who drives, a grown-up, a child with its guardian, one who is vulnerable.
var (
	leader   = muster.Member{ID: foray.ID{2, 1}, Name: "Ines Okafor", Car: "blue estate"}
	walker   = muster.Member{ID: foray.ID{2, 2}, Name: "Tomas Lindqvist", PassengerOf: leader.ID}
	guardian = muster.Member{ID: foray.ID{2, 3}, Name: "Wen Abara"}
	child    = muster.Member{ID: foray.ID{2, 4}, Name: "Jun Abara", Minor: true, Guardian: guardian.ID}
	frail    = muster.Member{ID: foray.ID{2, 5}, Name: "Odile Marsh", Vulnerable: true}
)

func plan(members ...muster.Member) muster.Plan {
	return muster.Plan{Team: team, Number: 3, Leader: leader.ID, Members: members, Due: at("12:30"), Sunset: &sunset, CivilDusk: &dusk}
}

// script is what happened, a line an entry: "09:00 out leader", "12:30 counted back 4".
type script struct {
	marks  []muster.Mark
	counts []muster.Count
}

func (s *script) stamp(t string) muster.Stamp {
	n := len(s.marks) + len(s.counts) + 1
	return muster.Stamp{ID: foray.ID{3, byte(n >> 8), byte(n)}, HappenedAt: clock(t), RecordedAt: clock(t)}
}

func (s *script) mark(t string, kind muster.MarkKind, members ...muster.Member) *script {
	for _, m := range members {
		s.marks = append(s.marks, muster.Mark{Stamp: s.stamp(t), Team: team, Member: m.ID, Kind: kind})
	}
	return s
}

func (s *script) count(t string, kind muster.CountKind, heads int) *script {
	s.counts = append(s.counts, muster.Count{Stamp: s.stamp(t), Team: team, Kind: kind, Heads: &heads})
	return s
}

// line is an entry without a count.
func (s *script) line(t string, kind muster.CountKind) *script {
	s.counts = append(s.counts, muster.Count{Stamp: s.stamp(t), Team: team, Kind: kind})
	return s
}

func went(members ...muster.Member) *script {
	return (&script{}).mark("09:00", muster.Out, members...).count("09:05", muster.CountOut, len(members))
}

func names(members []muster.Member) (list []string) {
	for _, m := range members {
		list = append(list, m.Name)
	}
	return list
}

func kinds(findings []muster.Finding) (list []string) {
	for _, f := range findings {
		list = append(list, string(f.Kind)+" "+strconv.Itoa(f.N))
	}
	return list
}
