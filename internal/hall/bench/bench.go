// Package bench is where collections get their names: field names by anyone allowed, sign-offs, dissents and
// settlements by those who may determine, also through a scribe. Every word is a slip that is added; none is changed.
package bench

import (
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// FieldName is a tentative determination: one to five names, best first.
type FieldName struct {
	Collection foray.ID         `json:"collection"`
	By         foray.ID         `json:"by,omitzero"` // zero: whoever writes
	Names      []hall.NameInput `json:"names"`
	Remarks    string           `json:"remarks,omitempty"`
}

// Word is a determiner's word: a sign-off, a dissent, a settlement, or that there is nothing to name.
type Word struct {
	Collection foray.ID       `json:"collection"`
	Determiner foray.ID       `json:"determiner,omitzero"` // zero: whoever writes
	Name       hall.NameInput `json:"name,omitzero"`
	Basis      foray.Basis    `json:"basis,omitempty"`
	Remarks    string         `json:"remarks,omitempty"`
	Looked     []Looked       `json:"looked,omitempty"` // for the signs of what is dangerous; what is left out is not recorded
}

// Struck is a slip to be taken back, with the reason.
type Struck struct {
	Collection foray.ID `json:"collection"`
	Slip       foray.ID `json:"slip"`
	Remarks    string   `json:"remarks"`
}

// Done is the answer to a slip: what the collection is now.
type Done struct {
	Slip     foray.ID     `json:"slip"`
	Number   string       `json:"number"`
	Naming   foray.Naming `json:"naming"`
	Disputed bool         `json:"disputed"`
	Version  int          `json:"version"`
}

// First is what somebody is shown who came second: the slip that was added meanwhile.
type First struct {
	Version int       `json:"version"`
	Slip    foray.ID  `json:"slip"`
	Kind    string    `json:"kind"`
	Names   []string  `json:"names"`
	By      string    `json:"by"`
	At      time.Time `json:"at"`
}

// GiveFieldName adds a field name. It needs no version: a suggestion never overtakes anybody.
func GiveFieldName(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in FieldName) (Done, error) {
	cmd.Type, cmd.Body = "slip.field-name.v1", in
	return addSlip(ctx, h, actor, access.NameOwn, scope, cmd, in.Collection, false, func(w *hall.Write, p hall.Plate) (foray.Slip, error) {
		if err := oneQualifier(in.Names...); err != nil {
			return foray.Slip{}, err
		}
		names, err := w.ReadNames(in.Names, nil)
		if err != nil {
			return foray.Slip{}, err
		}
		s := foray.Slip{Kind: foray.FieldName, Determiner: in.By, Names: names, Remarks: in.Remarks}
		if !s.Determiner.IsZero() && s.Determiner != w.Actor.Person {
			if _, err := w.Tx.PersonByID(w.Scope.Society, s.Determiner); err != nil {
				return foray.Slip{}, err
			}
			if err := w.May(access.NameAny); err != nil {
				return foray.Slip{}, err
			}
		}
		return s, nil
	})
}

// SignOff adds a sign-off; whether it confirms, dissents or settles follows from what stands.
func SignOff(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Word) (Done, error) {
	cmd.Type, cmd.Body = "slip.sign-off.v1", in
	return addSlip(ctx, h, actor, wordAction(in, actor), scope, cmd, in.Collection, true, func(w *hall.Write, p hall.Plate) (foray.Slip, error) {
		if err := oneQualifier(in.Name); err != nil {
			return foray.Slip{}, err
		}
		name, err := w.ReadName(in.Name, 1, nil)
		if err != nil {
			return foray.Slip{}, err
		}
		looked, err := lookedFor(w, p, name, in.Looked)
		return foray.Slip{Kind: foray.SignOff, Determiner: in.Determiner, Names: []foray.SlipName{name}, Basis: in.Basis, Remarks: in.Remarks,
			Looked: looked}, err
	})
}

// FindNotNameable says that a collection is too old or immature to be named.
func FindNotNameable(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Word) (Done, error) {
	cmd.Type, cmd.Body = "slip.not-nameable.v1", in
	return nothingToName(ctx, h, actor, scope, cmd, in, foray.NotNameable)
}

// FindNotFungus says that a thing is no fungus.
func FindNotFungus(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Word) (Done, error) {
	cmd.Type, cmd.Body = "slip.not-fungus.v1", in
	return nothingToName(ctx, h, actor, scope, cmd, in, foray.NotFungus)
}

func nothingToName(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Word, kind foray.SlipKind) (Done, error) {
	return addSlip(ctx, h, actor, wordAction(in, actor), scope, cmd, in.Collection, true, func(*hall.Write, hall.Plate) (foray.Slip, error) {
		return foray.Slip{Kind: kind, Determiner: in.Determiner, Basis: in.Basis, Remarks: in.Remarks}, nil
	})
}

// wordAction is what the table is asked: one's own word, or a scribe's.
func wordAction(in Word, actor access.Actor) access.Action {
	if in.Determiner.IsZero() || in.Determiner == actor.Person {
		return access.SignOff
	}
	return access.ScribeSignOff
}

// StrikeSlip takes a slip back; it stays to be read.
func StrikeSlip(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Struck) (Done, error) {
	cmd.Type, cmd.Body = "slip.strike.v1", in
	return addSlip(ctx, h, actor, access.NameOwn, scope, cmd, in.Collection, true, func(*hall.Write, hall.Plate) (foray.Slip, error) {
		return foray.Slip{Kind: foray.Strike, Strikes: in.Slip, Remarks: in.Remarks}, nil
	})
}

// addSlip is the one way a slip gets onto a collection: lock, compare the version where it is a decision, ask the
// rules, add, and keep the collection's columns in step.
func addSlip(ctx context.Context, h *hall.Hall, actor access.Actor, action access.Action, scope access.Scope, cmd hall.Command,
	collection foray.ID, decision bool, write func(*hall.Write, hall.Plate) (foray.Slip, error)) (Done, error) {
	return hall.Do(ctx, h, actor, action, scope, cmd, func(w *hall.Write) (Done, error) {
		plate, err := w.LockPlate(collection)
		if err != nil {
			return Done{}, err
		}
		if err := open(w); err != nil {
			return Done{}, err
		}
		if decision {
			if err := w.Expect(plate.Collection, func() (any, error) { return first(w, plate) }); err != nil {
				return Done{}, err
			}
		}
		slip, err := write(w, plate)
		if err != nil {
			return Done{}, err
		}
		return keep(w, plate, slip)
	})
}

// open refuses new slips once the event's list is closed for good; between hall closed and event closed later
// determinations still come in.
func open(w *hall.Write) error {
	event, err := w.Event()
	if err != nil {
		return err
	}
	if event.Home == "lent" {
		return fault.New(fault.Refused, "event.is-lent")
	}
	return nil
}

func keep(w *hall.Write, plate hall.Plate, slip foray.Slip) (Done, error) {
	determiner := slip.Determiner
	if determiner.IsZero() {
		determiner = w.Actor.Person
	}
	hand, err := handOf(w, plate, determiner)
	if err != nil {
		return Done{}, err
	}
	slip, err = w.AddSlip(&plate, slip, hand)
	return Done{Slip: slip.ID, Number: plate.Number().String(), Naming: plate.Naming, Disputed: plate.Disputed, Version: plate.Version}, err
}

func handOf(w *hall.Write, plate hall.Plate, determiner foray.ID) (foray.Hand, error) {
	may, err := w.Held.Can(access.SignOff), error(nil)
	if determiner != w.Actor.Person {
		may, err = w.MayDetermine(determiner)
	}
	return foray.Hand{
		Person:     w.Actor.Person,
		MaySign:    w.Held.Can(access.SignOff),
		MayScribe:  w.Held.Can(access.ScribeSignOff),
		MaySettle:  w.Held.Can(access.Settle),
		MayName:    w.Held.Can(access.NameAny),
		OwnsThis:   plate.CollectorID == w.Actor.Person,
		Determiner: may,
	}, err
}

// first is the newest slip, for whoever came second.
func first(w *hall.Write, plate hall.Plate) (First, error) {
	f := First{Version: plate.Version}
	if len(plate.Slips) == 0 {
		return f, nil
	}
	newest := plate.Slips[len(plate.Slips)-1]
	f.Slip, f.Kind, f.At = newest.ID, string(newest.Kind), newest.RecordedAt
	for _, n := range newest.Names {
		f.Names = append(f.Names, hall.Written(n))
	}
	by, err := w.Tx.PersonByID(w.Scope.Society, newest.Determiner)
	f.By = by.Name
	return f, err
}
