package hall

import (
	"slices"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Plate is a collection with everything said of it and what that gives.
type Plate struct {
	store.Collection
	Slips    []foray.Slip
	Standing foray.Standing
}

// PlateByNumber reads one plate of the scope's event.
func (l *Look) PlateByNumber(n foray.Number) (Plate, error) {
	c, err := l.Tx.CollectionByNumber(l.Scope.Society, l.Scope.Event, n)
	if err != nil {
		return Plate{}, err
	}
	return l.withSlips(c)
}

// LockPlate reads one plate and keeps others from writing to it until the transaction ends. What is no plate any more
// takes no further word.
func (w *Write) LockPlate(id foray.ID) (Plate, error) {
	plate, err := w.LockNumbered(id)
	if err == nil && plate.Fate != store.Live {
		err = fault.New(fault.Refused, "collection.no-plate."+plate.Fate, "number", plate.Number().String())
	}
	return plate, err
}

// LockNumbered is LockPlate for what may be split, merged or spoilt.
func (w *Write) LockNumbered(id foray.ID) (Plate, error) {
	if id.IsZero() {
		return Plate{}, fault.Missing()
	}
	c, err := w.Tx.LockCollection(w.Scope.Society, w.Scope.Event, id)
	if err != nil {
		return Plate{}, err
	}
	return w.withSlips(c)
}

func (l *Look) withSlips(c store.Collection) (Plate, error) {
	slips, err := l.Tx.Slips(l.Scope.Society, l.Scope.Event, c.ID)
	if err != nil {
		return Plate{}, err
	}
	return Plate{Collection: c, Slips: slips, Standing: foray.Replay(slips)}, nil
}

// Plates reads the plates of the scope's event by number: what was split, merged or spoilt is none any more. Others read
// the same ones: who puts them into another order or leaves some out makes a copy first.
func (l *Look) Plates() ([]Plate, error) {
	n, err := l.numbered()
	return n.plates, err
}

// AllNumbered gives everything of the scope's event that bears a number, plate or not, on the terms of Plates.
func (l *Look) AllNumbered() ([]Plate, error) {
	n, err := l.numbered()
	return n.all, err
}

// numbered is from memory for a read, as far as nothing changed; a write reads it anew.
func (l *Look) numbered() (numbered, error) {
	if l.writes || l.Hall.Plates == nil {
		return l.readNumbered()
	}
	return l.Hall.Plates.numbered(l)
}

func (l *Look) readNumbered() (numbered, error) {
	collections, err := l.Tx.Collections(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return numbered{}, err
	}
	slips, err := l.Tx.Slips(l.Scope.Society, l.Scope.Event, foray.ID{})
	if err != nil {
		return numbered{}, err
	}
	of := map[foray.ID][]foray.Slip{}
	for _, s := range slips {
		of[s.CollectionID] = append(of[s.CollectionID], s)
	}
	plates := make([]Plate, len(collections))
	for i, c := range collections {
		plates[i] = Plate{Collection: c, Slips: of[c.ID], Standing: foray.Replay(of[c.ID])}.clipped()
	}
	return numberedOf(plates), nil
}

// Questions is what a plate may turn out to be, as hazard asks it. The form group stands in while nothing better is
// known, and beside a name that cannot be read.
func (p Plate) Questions() []hazard.Question {
	if p.Standing.Naming == foray.NotAFungus {
		return nil
	}
	var asked []hazard.Question
	for _, name := range p.Standing.Question {
		asked = append(asked, hazard.Question{Text: Written(name.SlipName), Group: p.FormGroup})
	}
	if len(asked) == 0 {
		asked = append(asked, hazard.Question{Group: p.FormGroup})
	}
	return asked
}

// GroupInQuestion reports whether a plate's form group is part of what it may turn out to be: while it has no name, and
// beside one that cannot be read.
func (p Plate) GroupInQuestion() bool {
	unread := func(a foray.Asked) bool { return a.CurrentKey == "" }
	return p.Unnamed() || slices.ContainsFunc(p.Standing.Question, unread)
}

// Unnamed reports whether nothing but its form group says what a plate may be.
func (p Plate) Unnamed() bool {
	return len(p.Standing.Question) == 0 && p.Standing.Naming != foray.NotAFungus
}

// Waits reports whether a plate waits for somebody to name it. What was lost waits for nobody: it cannot be looked at.
func (p Plate) Waits() bool {
	open := p.Naming == foray.BroughtIn || p.Naming == foray.Provisional
	return open && p.Whereabouts.InHall() && p.Whereabouts != foray.Lost
}

// BaggedFirst reports whether a plate is cleared and counted before the hall closes: the worst that its names or its form
// group bring is dangerous, or nobody can say what it is. A doubt raised after it was confirmed makes it unknown again.
func (p Plate) BaggedFirst(a hazard.Assessment) bool {
	doubted := p.Naming != foray.Confirmed || len(p.Standing.Question) > 1
	unknown := a.NoEntry && doubted && p.Naming != foray.NotAFungus
	return a.Severity >= hazard.Dangerous || unknown
}

// Written is a name as hazard reads it: with its qualifier, as it was written where that says more.
func Written(n foray.SlipName) string {
	switch {
	case n.Key == "" || n.CurrentKey == "":
		return n.Verbatim
	case n.Qualifier == "":
		return n.Name
	case n.Qualifier == "cf." || n.Qualifier == "aff.":
		return n.Qualifier + " " + n.Name
	}
	return n.Name + " " + n.Qualifier
}

// StateWord is the state as it is drawn: a dispute is a state of its own for the eye.
func (p Plate) StateWord() string {
	if p.Standing.Disputed {
		return "disputed"
	}
	return string(p.Standing.Naming)
}

// What a sign-off did when it came, where it did more than confirm.
const (
	Dissents = "dissent"
	Settles  = "settles"
)

// Did says what the plate's i-th slip did when it came: its kind, but for a sign-off that stood against another or
// ended a dispute.
func (p Plate) Did(i int) string {
	slip := p.Slips[i]
	if slip.Kind != foray.SignOff {
		return string(slip.Kind)
	}
	before, after := foray.Replay(p.Slips[:i]), foray.Replay(p.Slips[:i+1])
	switch {
	case before.Disputed && !after.Disputed:
		return Settles
	case !before.Disputed && after.Disputed:
		return Dissents
	}
	return string(slip.Kind)
}
