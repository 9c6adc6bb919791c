package hall

import (
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// MostPosition is the longest word for a place on a table or in the dryer.
const MostPosition = 40

// MayStand says whether a plate may be put there: by its name, by what became of its number, by the flags of its taxon,
// by an incident, and by what lies there. It gives the placement back with the dryer's place as it is written down.
func (w *Write) MayStand(plate Plate, p foray.Placement) (foray.Placement, error) {
	if plate.Fate != store.Live {
		return p, fault.New(fault.Refused, "place.no-plate", "number", plate.Number().String())
	}
	if err := foray.PermitPlacement(p, plate.Naming); err != nil {
		return p, err
	}
	if len(p.Position) > MostPosition || len(p.With) > 200 {
		return p, fault.Wrong("position", "text.too-long", "most", MostPosition)
	}
	if err := w.PermitFlagged(plate, p.Where); err != nil {
		return p, err
	}
	switch p.Where {
	case foray.InDryer:
		return w.freeSlot(plate.ID, p)
	case foray.Discarded, foray.SentTo:
		kept, err := w.KeptForIncident(plate.ID)
		if err == nil && kept {
			err = fault.New(fault.Refused, "place.kept-for-incident", "number", plate.Number().String())
		}
		return p, err
	}
	return p, nil
}

// freeSlot refuses a place of a dryer's tray where another plate lies, naming it. A place that no dryer has is taken as
// it was written.
func (w *Write) freeSlot(plate foray.ID, p foray.Placement) (foray.Placement, error) {
	rows, err := w.Tx.LockDryers(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return p, err
	}
	slot, known := SlotsOf(DryersOf(rows))[foray.SlotKey(p.Position)]
	if !known {
		return p, nil
	}
	p.Position = slot.Text
	there, err := w.Tx.InDryer(w.Scope.Society, w.Scope.Event)
	for _, c := range there {
		if err == nil && c.ID != plate && foray.SlotKey(c.Position) == slot.Key {
			e := fault.Wrong("position", "dryer.taken", "slot", slot.Text, "number", c.Number().String())
			e.Other = Occupied{Slot: slot.Text, Number: c.Number().String()}
			return p, e
		}
	}
	return p, err
}

// Occupied is what somebody is told who puts a plate where another lies.
type Occupied struct {
	Slot   string `json:"slot"`
	Number string `json:"number"`
}

// DryerOf is a stored dryer as the rules read it.
func DryerOf(d store.Dryer) foray.Dryer {
	return foray.Dryer{Name: d.Name, Trays: strings.Split(d.Trays, "\n"), Places: d.Places}
}

// DryersOf is several.
func DryersOf(rows []store.Dryer) []foray.Dryer {
	all := make([]foray.Dryer, len(rows))
	for i, d := range rows {
		all[i] = DryerOf(d)
	}
	return all
}

// SlotsOf is the places of all dryers by their keys.
func SlotsOf(dryers []foray.Dryer) map[string]foray.Slot {
	by := map[string]foray.Slot{}
	for _, d := range dryers {
		for _, s := range d.Slots() {
			by[s.Key] = s
		}
	}
	return by
}

// SlotFree reports whether a place in the dryer is nobody else's: a plate that came to be again, or a part of what was
// split, has no right to where it lay.
func (w *Write) SlotFree(c store.Collection) (bool, error) {
	_, err := w.freeSlot(c.ID, foray.Placement{Where: foray.InDryer, Position: c.Position})
	if fault.Is(err, fault.Invalid) {
		return false, nil
	}
	return err == nil, err
}
