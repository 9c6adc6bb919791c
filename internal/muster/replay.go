package muster

import (
	"cmp"
	"slices"
	"time"

	"forayhall/internal/foray"
)

// last is a member with the mark that stands.
type last struct {
	Member
	kind   MarkKind // "" where nobody said
	at     time.Time
	went   bool // was out at some time, or must have been
	listed bool
}

func (l last) away() bool { return l.kind == LeftEarly || l.kind == Found }

// sheet is a team's sheet with the marks and counts that stand.
type sheet struct {
	plan    Plan
	members []last
	byID    map[foray.ID]*last
	field   *Heads // newest out, or heard with heads
	home    *Heads // newest back after the newest out
	from    time.Time
	handed  bool
	acted   []Acted
	went    *time.Time
	heard   *time.Time
}

// Replay computes a team's standing from its marks and counts, in any order and however often; those of other teams
// are passed over. Of several marks of a person the one that happened last stands, then the one recorded last.
func Replay(plan Plan, marks []Mark, counts []Count) Standing {
	marks = slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool { return m.Team != plan.Team || !m.Kind.Known() })
	counts = slices.DeleteFunc(slices.Clone(counts), func(c Count) bool { return c.Team != plan.Team || !c.Kind.Known() || c.Heads != nil && *c.Heads < 0 })
	slices.SortFunc(marks, func(a, b Mark) int {
		return cmp.Or(a.compare(b.Stamp), cmp.Compare(a.Kind, b.Kind), slices.Compare(a.Member[:], b.Member[:]))
	})
	slices.SortFunc(counts, func(a, b Count) int {
		return cmp.Or(a.compare(b.Stamp), cmp.Compare(a.Kind, b.Kind), cmp.Compare(counted(a), counted(b)))
	})
	s := read(plan, marks)
	s.count(counts)
	return s.standing()
}

// read puts the marks on the sheet. Somebody marked who is not on it is added without a name: nobody who went out may
// be lost because a sheet was changed.
func read(plan Plan, marks []Mark) *sheet {
	s := &sheet{plan: plan, byID: map[foray.ID]*last{}}
	for _, m := range plan.Members {
		s.members = append(s.members, last{Member: m, listed: true})
	}
	for _, id := range strangers(plan, marks) {
		s.members = append(s.members, last{Member: Member{ID: id}})
	}
	for i := range s.members {
		s.byID[s.members[i].ID] = &s.members[i]
	}
	for _, m := range marks {
		l := s.byID[m.Member]
		l.went = l.went || m.Kind == Out || m.Kind == Back || m.Kind == Found
		l.kind, l.at = m.Kind, m.at()
		if m.Kind != NotGoing { // which is said of somebody who is not in the field
			s.heardAt(m.at())
		}
		if m.Kind == Out {
			s.wentAt(m.at())
		}
	}
	return s
}

func strangers(plan Plan, marks []Mark) (ids []foray.ID) {
	for _, m := range marks {
		if !slices.ContainsFunc(plan.Members, func(o Member) bool { return o.ID == m.Member }) {
			ids = append(ids, m.Member)
		}
	}
	slices.SortFunc(ids, func(a, b foray.ID) int { return slices.Compare(a[:], b[:]) })
	return slices.Compact(ids)
}

// counted is -1 where nobody counted.
func counted(c Count) int {
	if c.Heads == nil {
		return -1
	}
	return *c.Heads
}

// count keeps the newest count of each kind; what is from before the team went out again says nothing of now.
func (s *sheet) count(counts []Count) {
	for _, c := range counts {
		step, act := acts[c.Kind]
		if act {
			s.act(Acted{step, c.at()})
			continue
		}
		s.heardAt(c.at())
		switch c.Kind {
		case CountOut:
			s.field, s.home, s.handed, s.acted, s.from = c.heads(), nil, false, nil, c.at()
			s.wentAt(c.at())
		case Heard:
			s.field = cmp.Or(c.heads(), s.field)
		case CountBack:
			s.home = cmp.Or(c.heads(), s.home)
		case HandIn:
			s.handed = true
		}
	}
}

// act passes over an entry that was sent twice.
func (s *sheet) act(a Acted) {
	if n := len(s.acted); n == 0 || s.acted[n-1].Step != a.Step || !s.acted[n-1].At.Equal(a.At) {
		s.acted = append(s.acted, a)
	}
}

// heads is what was counted, without the names; nil where nobody counted.
func (c Count) heads() *Heads {
	if c.Heads == nil {
		return nil
	}
	return &Heads{Counted: *c.Heads, At: c.at()}
}

func (s *sheet) heardAt(t time.Time) {
	if s.heard == nil || t.After(*s.heard) {
		s.heard = &t
	}
}

func (s *sheet) wentAt(t time.Time) {
	if s.went == nil || t.Before(*s.went) {
		s.went = &t
	}
}

// returned: back on this outing, not from the one before.
func (s *sheet) returned(l last) bool { return l.kind == Back && !l.at.Before(s.from) }

func (s *sheet) number(which func(last) bool) (n int) {
	for _, l := range s.members {
		if which(l) {
			n++
		}
	}
	return n
}

func (s *sheet) list(kind MarkKind) (members []Member) {
	for _, l := range s.members {
		if l.kind == kind {
			members = append(members, l.Member)
		}
	}
	return members
}
