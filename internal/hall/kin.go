package hall

import (
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Kin is the collections that what is said of one was said of too, itself first: the plate it is a part of, the plates
// that were merged into it, and theirs in turn.
func (l *Look) Kin(collection foray.ID) ([]foray.ID, error) {
	kin := []foray.ID{collection}
	for i := 0; i < len(kin); i++ {
		links, err := l.Tx.LinksTo(l.Scope.Society, l.Scope.Event, kin[i])
		if err != nil {
			return nil, err
		}
		for _, link := range links {
			if !slices.Contains(kin, link.FromID) {
				kin = append(kin, link.FromID)
			}
		}
	}
	return kin, nil
}

// NotesOf lists the characters noted for a collection and its kin, oldest first: what was noted before a split is true
// of a part or it is not, and whoever names the part must see it.
func (l *Look) NotesOf(collection foray.ID) ([]store.CharacterNote, error) {
	kin, err := l.Kin(collection)
	if err != nil {
		return nil, err
	}
	var notes []store.CharacterNote
	for _, id := range kin {
		of, err := l.Tx.CharacterNotes(l.Scope.Society, l.Scope.Event, id)
		if err != nil {
			return nil, err
		}
		notes = append(notes, of...)
	}
	slices.SortStableFunc(notes, func(a, b store.CharacterNote) int { return a.RecordedAt.Compare(b.RecordedAt.Time) })
	return notes, nil
}

// AddFieldName adds a field name to a collection in the words of its determiner and keeps the collection's columns in
// step. The plate is as it is after.
func (w *Write) AddFieldName(plate *Plate, slip foray.Slip) error {
	var err error
	if slip.ID, err = w.NewID(); err != nil {
		return err
	}
	slip.Kind, slip.CollectionID, slip.Seq, slip.Writer = foray.FieldName, plate.ID, plate.Version+1, w.Actor.Person
	slip.HappenedAt, slip.RecordedAt = w.Happens, w.Now
	if err := plate.Standing.Permit(slip, foray.Hand{Person: w.Actor.Person, MayName: true}, plate.Slips, w.Now); err != nil {
		return err
	}
	if err := w.Tx.AddSlip(w.Scope.Society, w.Scope.Event, slip); err != nil {
		return err
	}
	plate.Slips = append(slices.Clone(plate.Slips), slip)
	plate.Standing = foray.Replay(plate.Slips)
	standing := plate.Standing
	if err := w.Tx.SetStanding(plate.Collection, standing.Naming, standing.Disputed, standing.Version, w.Stamp()); err != nil {
		return err
	}
	plate.Naming, plate.Disputed, plate.Version = standing.Naming, standing.Disputed, standing.Version
	w.Note("slip.field_name", plate.ID, plate.Number().String())
	return nil
}
