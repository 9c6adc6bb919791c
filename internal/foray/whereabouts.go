package foray

import (
	"forayhall/internal/fault"
)

// Whereabouts is where a plate is, a fact apart from how it is named.
type Whereabouts string

const (
	AtDesk      Whereabouts = "desk"
	AtBench     Whereabouts = "bench" // with whom
	OnTable     Whereabouts = "table"
	OnBackTable Whereabouts = "back_table"
	InDryer     Whereabouts = "dryer" // tray
	SentTo      Whereabouts = "sent"  // to whom
	Discarded   Whereabouts = "discarded"
	Lost        Whereabouts = "lost"
)

// AllWhereabouts lists them in the order of a plate's day.
var AllWhereabouts = []Whereabouts{AtDesk, AtBench, OnTable, OnBackTable, InDryer, SentTo, Discarded, Lost}

// Placement is one row of a plate's history of places.
type Placement struct {
	Where    Whereabouts
	TableID  ID     // for OnTable
	Position string // on the table, or the dryer tray
	With     string // at the bench with whom, sent to whom
}

// InHall reports whether a plate that is there can still be met by somebody in the hall. What is lost may be.
func (w Whereabouts) InHall() bool { return w != Discarded && w != SentTo && w != InDryer }

// Shown reports whether visitors may meet what lies there.
func (w Whereabouts) Shown() bool { return w == OnTable || w == OnBackTable }

// PermitPlacement says whether a plate may be put there. A plate that nobody has named is not thrown away.
func PermitPlacement(p Placement, naming Naming) error {
	known := false
	for _, w := range AllWhereabouts {
		known = known || w == p.Where
	}
	switch {
	case !known:
		return fault.Wrong("where", "place.unknown")
	case p.Where == OnTable && p.TableID.IsZero():
		return fault.Wrong("table", "place.table-missing")
	case p.Where == SentTo && p.With == "":
		return fault.Wrong("with", "place.sent-to-whom")
	case p.Where == InDryer && p.Position == "":
		return fault.Wrong("position", "place.which-tray")
	case p.Where == Discarded && naming == BroughtIn:
		return fault.New(fault.Refused, "place.discard-unnamed")
	}
	return nil
}
