package muster

import "time"

func (s *sheet) standing() Standing {
	st := Standing{Out: s.list(Out), Back: s.list(Back), Left: s.list(LeftEarly), Found: s.list(Found),
		NotGoing: s.list(NotGoing), Unmarked: s.list(""), WentAt: s.went, LastHeard: s.heard, Acted: s.acted}
	st.Afield, st.Home = s.afield(), s.atHome()
	st.ReturnedAt, st.LeaderAt = s.returnedAt(), s.leaderAt()
	st.Unnamed = s.unnamed(st)
	st.State = s.state(st)
	st.Findings = s.findings(st)
	return st
}

// afield compares the newest count in the field with the names that should have been among them: all who went and
// were not home, gone or found by then. Who was marked out after the count was there: one counts, then ticks.
func (s *sheet) afield() *Heads {
	if s.field == nil {
		return nil
	}
	at := s.field.At
	names := s.number(func(l last) bool {
		return l.went && (l.kind == Out || (l.kind == Back || l.away()) && l.at.After(at))
	})
	return &Heads{Counted: s.field.Counted, Names: names, At: at}
}

// atHome compares heads back with names back. A straggler who is marked back later wants a new count: heads are
// counted, never assumed.
func (s *sheet) atHome() *Heads {
	if s.home == nil {
		return nil
	}
	return &Heads{Counted: s.home.Counted, Names: s.number(s.returned), At: s.home.At}
}

// unnamed is how many heads are not accounted for beyond the names that are out: fewer counted back than marked back, or
// fewer than were counted in the field.
func (s *sheet) unnamed(st Standing) int {
	heads := s.number(s.returned)
	short := 0
	if st.Home != nil {
		heads, short = st.Home.Counted, -st.Home.Difference()
	}
	if st.Afield != nil {
		before := s.number(func(l last) bool { return s.returned(l) && !l.at.After(st.Afield.At) })
		gone := s.number(func(l last) bool { return l.went && l.away() && l.at.After(st.Afield.At) })
		short = max(short, st.Afield.Counted+before-gone-len(st.Out)-heads)
	}
	return max(0, short)
}

// returnedAt is the first to be back on this outing, by name or by count.
func (s *sheet) returnedAt() (first *time.Time) {
	for _, l := range s.members {
		if s.returned(l) && (first == nil || l.at.Before(*first)) {
			first = &l.at
		}
	}
	if s.home != nil && (first == nil || s.home.At.Before(*first)) {
		first = &s.home.At
	}
	return first
}

func (s *sheet) leaderAt() *time.Time {
	if l, ok := s.byID[s.plan.Leader]; ok && s.returned(*l) {
		return &l.at
	}
	return nil
}

func (s *sheet) state(st Standing) State {
	out := len(st.Out) > 0 || st.Unnamed > 0
	switch {
	case s.went == nil && s.field == nil && s.home == nil && len(st.Back)+len(st.Found)+len(st.Out) == 0:
		return NotOut
	case out && st.ReturnedAt == nil:
		return Afield
	case out:
		return Short
	case s.unsettled(st):
		return Unsettled
	case s.handed:
		return HandedIn
	}
	return AllBack
}

// unsettled: heads were not counted back, or somebody on the sheet may have gone: nobody said, and no count in the field
// agrees with the names without them.
func (s *sheet) unsettled(st Standing) bool {
	uncounted := st.Home == nil && s.number(s.returned) > 0
	perhaps := len(st.Unmarked) > 0 && (st.Afield == nil || st.Afield.Difference() > 0)
	return uncounted || perhaps
}
