package foray

import (
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// StrikeWindow is how long a scribe may take back a slip that he or she wrote for somebody else.
const StrikeWindow = time.Hour

// Hand is who is acting and in what capacity; rights come from the access table, never from a form.
type Hand struct {
	Person     ID
	MaySign    bool // identifier or chief identifier: may sign in their own name
	MayScribe  bool // may write for a determiner
	MaySettle  bool // identifier or chief identifier
	MayName    bool // field names for any collection
	OwnsThis   bool // the collection is the person's own: a member may name it
	Determiner bool // the slip's determiner may determine at this event
	Past       bool // brings records of the past: what nobody asked then may be missing
}

// Permit says whether a slip may be added to a collection that stands so, by this hand, now. The error is Invalid
// where the form can be mended, NotAllowed for a right, Refused for a rule.
func (s Standing) Permit(slip Slip, by Hand, slips []Slip, now time.Time) error {
	if err := checkShape(slip, by.Past); err != nil {
		return err
	}
	switch slip.Kind {
	case FieldName:
		if !by.MayName && !by.OwnsThis {
			return notAllowed("field_name")
		}
		return nil
	case Strike:
		return s.permitStrike(slip, by, slips, now)
	case SignOff:
		if err := s.permitWord(slip, by); err != nil {
			return err
		}
		return s.permitSignOff(slip, by)
	}
	return s.permitWord(slip, by)
}

func notAllowed(action string) error {
	return fault.New(fault.NotAllowed, "fault.not-allowed", "action", message.T("action."+action))
}

// permitWord: a determiner writes in their own name; a scribe writes for somebody who may determine here.
func (s Standing) permitWord(slip Slip, by Hand) error {
	own := slip.Determiner == by.Person
	switch {
	case own && by.MaySign:
		return nil
	case own:
		return notAllowed("sign_off")
	case !by.MayScribe:
		return fault.New(fault.NotAllowed, "slip.only-scribes-write-for-others")
	case !by.Determiner:
		return fault.Wrong("determiner", "slip.not-a-determiner")
	}
	return nil
}

// permitSignOff asks nothing of the past: a dispute that was settled then stays settled, also without a reason.
func (s Standing) permitSignOff(slip Slip, by Hand) error {
	if by.Past {
		return nil
	}
	if s.Disputed {
		if slip.Determiner != by.Person || !by.MaySettle {
			return fault.New(fault.NotAllowed, "slip.settle-in-person")
		}
		return nil
	}
	for _, side := range s.Sides {
		if side.Determiner != slip.Determiner && !slip.Name().SameAs(side.Name()) && slip.Remarks == "" {
			return fault.Wrong("remarks", "slip.dissent-needs-reason")
		}
	}
	return nil
}

func (s Standing) permitStrike(slip Slip, by Hand, slips []Slip, now time.Time) error {
	for _, other := range slips {
		if other.ID != slip.Strikes {
			continue
		}
		if _, gone := s.Struck[other.ID]; gone {
			return fault.New(fault.Refused, "slip.struck-already")
		}
		if other.Kind == Strike {
			return fault.New(fault.Refused, "slip.strike-of-strike")
		}
		if other.Determiner == by.Person {
			return nil
		}
		if other.Writer == by.Person && !other.Carried() && now.Sub(other.RecordedAt) <= StrikeWindow {
			return nil
		}
		return fault.New(fault.NotAllowed, "slip.strike-own-only")
	}
	return fault.Missing()
}

// checkShape refuses a slip that is not whole, whatever the collection's state.
func checkShape(slip Slip, past bool) error {
	wrong := map[string]message.Text{}
	switch slip.Kind {
	case FieldName:
		if len(slip.Names) == 0 {
			wrong["name_1"] = message.T("slip.name-missing")
		}
		if len(slip.Names) > MostNames {
			wrong["name_1"] = message.T("slip.too-many-names", "most", MostNames)
		}
		for i, a := range slip.Names {
			for _, b := range slip.Names[:i] {
				if a.SameAs(b) {
					wrong["name_2"] = message.T("slip.name-twice", "name", a.Verbatim)
				}
			}
		}
	case SignOff:
		if len(slip.Names) != 1 {
			wrong["name"] = message.T("slip.name-missing")
		}
		if !slip.Basis.Known() && (!past || slip.Basis != NotStated) {
			wrong["basis"] = message.T("slip.basis-missing")
		}
	case NotNameable, NotFungus:
	case Strike:
		if slip.Remarks == "" {
			wrong["remarks"] = message.T("slip.strike-needs-reason")
		}
	default:
		wrong["kind"] = message.T("slip.kind-unknown")
	}
	if slip.Determiner.IsZero() || slip.Writer.IsZero() {
		wrong["determiner"] = message.T("slip.determiner-missing")
	}
	for _, n := range slip.Names {
		if n.Verbatim == "" {
			wrong["name"] = message.T("slip.name-missing")
		}
	}
	if len(wrong) > 0 {
		return fault.Many(wrong)
	}
	return nil
}
