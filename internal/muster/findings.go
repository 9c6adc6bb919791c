package muster

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// FindingKind is something a person should look at, apart from being late.
type FindingKind string

const (
	FewerOut  FindingKind = "fewer_out" // fewer heads in the field than names
	MoreOut   FindingKind = "more_out"
	FewerBack FindingKind = "fewer_back"
	MoreBack  FindingKind = "more_back"
	Uncounted FindingKind = "uncounted"
	Unmarked  FindingKind = "unmarked"
	OffSheet  FindingKind = "off_sheet" // marked, and on no sheet

	NoGuardian          FindingKind = "no_guardian"
	GuardianNotAlong    FindingKind = "guardian_not_along"
	GuardianLeft        FindingKind = "guardian_left"
	GuardianBackAlone   FindingKind = "guardian_back_alone"
	BackWithoutGuardian FindingKind = "back_without_guardian"
	LeftWithoutGuardian FindingKind = "left_without_guardian"
	NoDriver            FindingKind = "no_driver"

	NotSignedOut FindingKind = "not_signed_out"
	NoDueTime    FindingKind = "no_due_time"
	DueLate      FindingKind = "due_late"
	NotHeard     FindingKind = "not_heard"
)

// Finding is one such thing. Its text may name people: it is for those who see the sheet, not for a wall.
type Finding struct {
	Kind   FindingKind
	Member foray.ID
	Other  foray.ID // the guardian or the driver
	N      int
	Since  *time.Time
	Text   message.Text
}

func find(kind FindingKind, n int, pairs ...any) Finding {
	return Finding{Kind: kind, N: n, Text: message.T("muster.finding."+string(kind), append(pairs, "n", n)...)}
}

func (s *sheet) findings(st Standing) []Finding {
	all := s.headFindings(st)
	for _, l := range s.members {
		if f, ok := s.guardianFinding(l); l.Minor && ok {
			all = append(all, f)
		}
		if s.strands(l) {
			all = append(all, s.about(NoDriver, l, l.PassengerOf))
		}
	}
	return all
}

// headFindings says differences both ways, and what was not counted or marked while that still matters.
func (s *sheet) headFindings(st Standing) (all []Finding) {
	add := func(when bool, kind FindingKind, n int) {
		if when {
			all = append(all, find(kind, n, "team", s.plan.Number))
		}
	}
	open := st.State == Afield || st.State == Short || st.State == Unsettled
	if h := st.Afield; h != nil && open {
		add(h.Difference() < 0, FewerOut, -h.Difference())
		add(h.Difference() > 0, MoreOut, h.Difference())
	}
	if h := st.Home; h != nil {
		add(h.Difference() < 0, FewerBack, -h.Difference())
		add(h.Difference() > 0, MoreBack, h.Difference())
	}
	add(st.Home == nil && s.number(s.returned) > 0, Uncounted, s.number(s.returned))
	add(open && len(st.Unmarked) > 0, Unmarked, len(st.Unmarked))
	strangers := s.number(func(l last) bool { return !l.listed })
	add(strangers > 0, OffSheet, strangers)
	return all
}

// about is a finding of one person and the one they depend on.
func (s *sheet) about(kind FindingKind, l last, other foray.ID) Finding {
	name := ""
	if o, ok := s.byID[other]; ok {
		name = o.Name
	}
	f := find(kind, 1, "team", s.plan.Number, "name", l.Name, "other", name)
	f.Member, f.Other = l.ID, other
	return f
}

// guardianFinding: a child is with its guardian, out or back; everything else is said.
func (s *sheet) guardianFinding(l last) (Finding, bool) {
	kind := s.apart(l, s.guardian(l))
	return s.about(kind, l, l.Guardian), kind != ""
}

// guardian is the guardian's mark: NotGoing where the guardian is on another sheet or none.
func (s *sheet) guardian(l last) MarkKind {
	if g, ok := s.byID[l.Guardian]; ok {
		return g.kind
	}
	return NotGoing
}

func (s *sheet) apart(l last, guardian MarkKind) FindingKind {
	switch {
	case l.kind == NotGoing, l.kind == Found:
		return ""
	case l.kind == LeftEarly:
		if guardian != LeftEarly {
			return LeftWithoutGuardian
		}
		return ""
	case guardian == LeftEarly:
		return GuardianLeft
	case l.kind == "":
		return ""
	case l.Guardian.IsZero():
		return NoGuardian
	case l.kind == Back && guardian != Back:
		return BackWithoutGuardian
	case l.kind == Out && guardian == Back:
		return GuardianBackAlone
	case l.kind == Out && guardian != Out:
		return GuardianNotAlong
	}
	return ""
}

// strands: the driver is not coming back to the car park, and the passenger is.
func (s *sheet) strands(l last) bool {
	driver, ok := s.byID[l.PassengerOf]
	if !ok || l.kind == NotGoing || l.away() {
		return false
	}
	return driver.kind == NotGoing || driver.away()
}
