package foray

// Act is what a sign-off would do to a collection as it stands: said on the page before anybody presses the button.
type Act string

const (
	Confirms     Act = "confirm"     // the first sign-off
	Agrees       Act = "agree"       // the name that stands, by one more person or once more
	Dissents     Act = "dissent"     // another name than somebody else's: needs a reason, and both slips stand
	Settles      Act = "settle"      // ends a dispute: in person only
	Redetermines Act = "redetermine" // another name than one's own before
)

// Acts lists them in the order in which a bench meets them.
var Acts = []Act{Confirms, Agrees, Dissents, Settles, Redetermines}

// Act says what a sign-off of the name by the determiner would be. It follows from the same rules as Replay; whether
// the hand may do it at all is for Permit.
func (s Standing) Act(name SlipName, determiner ID) Act {
	if len(s.Sides) == 0 {
		return Confirms
	}
	own, party := s.side(determiner)
	if s.Disputed && !party {
		return Settles
	}
	apart := false
	for _, side := range s.Sides {
		apart = apart || side.Determiner != determiner && !side.Name().SameAs(name)
	}
	switch {
	case s.Disputed && apart:
		return Redetermines // one's own word is another now, and the dispute goes on
	case s.Disputed:
		return Settles
	case apart:
		return Dissents
	case party && !own.Name().SameAs(name):
		return Redetermines
	}
	return Agrees
}

// InPerson reports whether a sign-off of whatever name is for the determiner's own hand: in a dispute no scribe writes.
func (s Standing) InPerson() bool { return s.Disputed }
