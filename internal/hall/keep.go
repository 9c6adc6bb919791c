package hall

import (
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// AddSlip is the one way a slip gets onto a locked plate: the rules are asked with by as the hand, the slip is added in
// the writer's name, and the collection's columns are kept in step. The plate is as it is after.
func (w *Write) AddSlip(plate *Plate, slip foray.Slip, by foray.Hand) (foray.Slip, error) {
	var err error
	if slip.ID, err = w.NewID(); err != nil {
		return slip, err
	}
	slip.CollectionID, slip.Seq, slip.Writer = plate.ID, plate.Version+1, w.Actor.Person
	slip.HappenedAt, slip.RecordedAt = w.Happens, w.Now
	if slip.Determiner.IsZero() {
		slip.Determiner = w.Actor.Person
	}
	if err := plate.Standing.Permit(slip, by, plate.Slips, w.Now); err != nil {
		return slip, err
	}
	if err := w.Tx.AddSlip(w.Scope.Society, w.Scope.Event, slip); err != nil {
		return slip, err
	}
	plate.Slips = append(slices.Clone(plate.Slips), slip)
	plate.Standing = foray.Replay(plate.Slips)
	standing := plate.Standing
	if err := w.Tx.SetStanding(plate.Collection, standing.Naming, standing.Disputed, standing.Version, w.Stamp()); err != nil {
		return slip, err
	}
	plate.Naming, plate.Disputed, plate.Version = standing.Naming, standing.Disputed, standing.Version
	w.Note("slip."+string(slip.Kind), plate.ID, plate.Number().String())
	w.Changed("collection", plate.ID)
	return slip, nil
}

// AddFieldName adds a field name in the words of its determiner, who was heard by whoever may write here.
func (w *Write) AddFieldName(plate *Plate, slip foray.Slip) error {
	slip.Kind = foray.FieldName
	_, err := w.AddSlip(plate, slip, foray.Hand{Person: w.Actor.Person, MayName: true})
	return err
}

// Stand is the one way a collection gets anywhere: the row, the audit and the change. Whether it may go there was asked
// before.
func (w *Write) Stand(c store.Collection, p foray.Placement) error {
	id, err := w.NewID()
	if err != nil {
		return err
	}
	w.Note("plate.place", c.ID, c.Number().String()+" "+string(p.Where))
	w.Changed("collection", c.ID)
	return w.Tx.Place(store.Placement{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, CollectionID: c.ID, Whereabouts: p.Where,
		TableID: p.TableID, Position: p.Position, WithWhom: p.With, PlacedBy: w.Actor.Person, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
}
