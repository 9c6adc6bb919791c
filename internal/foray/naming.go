package foray

import (
	"slices"
	"sort"
)

// Naming is how a collection is named.
type Naming string

const (
	BroughtIn   Naming = "brought_in"
	Provisional Naming = "provisional"
	Confirmed   Naming = "confirmed"
	Unnameable  Naming = "not_nameable"
	NotAFungus  Naming = "not_fungus"
)

// Namings lists the states in the order in which a collection meets them.
var Namings = []Naming{BroughtIn, Provisional, Confirmed, Unnameable, NotAFungus}

// Standing is what the slips of a collection give. It is always computed from all of them, in order.
type Standing struct {
	Naming   Naming
	Disputed bool   // only with Provisional: two sign-offs stand against each other
	Sides    []Slip // the latest sign-off of each person whose word stands: one side when confirmed, several when disputed
	Struck   map[ID]Slip
	Question []Asked // names in question, in the order of product rules, each once
	Words    []Slip  // the slips that put them in question: two people may say one name
	Version  int
}

// Asked is a name in question and the slip that raised it.
type Asked struct {
	SlipName
	Slip ID
	By   ID
	Kind SlipKind
}

// Current is the sign-off under whose name the collection is confirmed; an empty slip where there is none.
func (s *Standing) Current() (*Slip, bool) {
	if s.Naming != Confirmed || len(s.Sides) == 0 {
		return &Slip{}, false
	}
	return &s.Sides[len(s.Sides)-1], true
}

// IsParty reports whether a person's sign-off is one of those that stand.
func (s Standing) IsParty(person ID) bool {
	_, ok := s.side(person)
	return ok
}

func (s Standing) side(person ID) (Slip, bool) {
	for _, slip := range s.Sides {
		if slip.Determiner == person {
			return slip, true
		}
	}
	return Slip{}, false
}

// Replay computes the standing of a collection from all its slips, in any order.
func Replay(slips []Slip) Standing {
	ordered := append([]Slip(nil), slips...)
	sort.SliceStable(ordered, func(i, j int) bool { return ordered[i].Seq < ordered[j].Seq })
	st := Standing{Naming: BroughtIn, Struck: map[ID]Slip{}}
	for _, slip := range ordered {
		st.Version = max(st.Version, slip.Seq)
		if slip.Kind == Strike {
			st.Struck[slip.Strikes] = slip
		}
	}
	var live []Slip
	for _, slip := range ordered {
		if _, gone := st.Struck[slip.ID]; gone || slip.Kind == Strike {
			continue
		}
		live = append(live, slip)
		st.follow(slip)
	}
	st.Words = words(st, live)
	for _, slip := range st.Words {
		st.Question = appendNames(st.Question, slip)
	}
	return st
}

// follow takes the standing one unstruck slip further: the table of what may follow what.
func (s *Standing) follow(slip Slip) {
	switch slip.Kind {
	case FieldName:
		if s.Naming != Confirmed {
			s.Naming = Provisional
		}
	case SignOff:
		s.sign(slip)
	case NotNameable:
		*s = Standing{Naming: Unnameable, Struck: s.Struck, Version: s.Version}
	case NotFungus:
		*s = Standing{Naming: NotAFungus, Struck: s.Struck, Version: s.Version}
	}
}

// sign adds a sign-off. A party replaces its own word; somebody else settles a dispute, agrees, or dissents.
func (s *Standing) sign(slip Slip) {
	if s.Disputed && !s.IsParty(slip.Determiner) {
		s.Sides = nil // settled by one who was no party
	}
	kept := s.Sides[:0:0]
	for _, side := range s.Sides {
		if side.Determiner != slip.Determiner {
			kept = append(kept, side)
		}
	}
	s.Sides = append(kept, slip)
	s.Disputed = !agree(s.Sides)
	s.Naming = Confirmed
	if s.Disputed {
		s.Naming = Provisional
	}
}

func agree(sides []Slip) bool {
	for _, side := range sides[1:] {
		if !side.Name().SameAs(sides[0].Name()) {
			return false
		}
	}
	return true
}

// words gives the slips whose names are in question. Before a sign-off, and when it was found not nameable: the newest
// slip of each person. After one: the sign-offs that stand, and field names made later than the one that confirmed, or,
// in a dispute, than the oldest of them. A thing that is no fungus has none.
func words(s Standing, live []Slip) []Slip {
	if s.Naming == NotAFungus {
		return nil
	}
	after := 0
	for i, side := range s.Sides {
		if i == 0 || !s.Disputed || side.Seq < after {
			after = side.Seq
		}
	}
	return append(slices.Clone(s.Sides), newestOfEach(live, len(s.Sides) > 0, after)...)
}

func newestOfEach(live []Slip, fieldOnly bool, after int) []Slip {
	var kept []Slip
	for _, slip := range live {
		naming := slip.Kind == FieldName || slip.Kind == SignOff && !fieldOnly
		if !naming || slip.Seq <= after {
			continue
		}
		kept = slices.DeleteFunc(kept, func(s Slip) bool { return s.Determiner == slip.Determiner })
		kept = append(kept, slip)
	}
	return kept
}

func appendNames(asked []Asked, slip Slip) []Asked {
next:
	for _, name := range slip.Names {
		for _, a := range asked {
			if a.SameAs(name) {
				continue next
			}
		}
		asked = append(asked, Asked{SlipName: name, Slip: slip.ID, By: slip.Determiner, Kind: slip.Kind})
	}
	return asked
}

// IsSide reports whether a slip is one of the sign-offs that stand.
func (s Standing) IsSide(slip ID) bool {
	for _, side := range s.Sides {
		if side.ID == slip {
			return true
		}
	}
	return false
}
