package store

import (
	"fmt"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

// PersonGroup is a form group that a person determines at an event.
type PersonGroup struct {
	SocietyID foray.ID
	EventID   foray.ID
	PersonID  foray.ID
	FormGroup string
	SaidBy    foray.ID
	SaidAt    Stamp
}

// PersonGroups lists who determines what at an event.
func (t *Tx) PersonGroups(society, event foray.ID) ([]PersonGroup, error) {
	return many[PersonGroup](t.ofEvent(society, event).Order("person_id, form_group"))
}

// SetPersonGroups stores a person's groups in place of those they had.
func (t *Tx) SetPersonGroups(society, event, person foray.ID, groups []PersonGroup) error {
	err := t.db.Exec("DELETE FROM person_group WHERE society_id = ? AND event_id = ? AND person_id = ?", society, event, person).Error
	if err != nil {
		return fmt.Errorf("clear a person's groups: %w", err)
	}
	return add(t, groups...)
}

// LastBasis is what a person's newest sign-off at an event rests on; empty where there is none.
func (t *Tx) LastBasis(society, event, determiner foray.ID) (foray.Basis, error) {
	var basis []foray.Basis
	err := t.db.Raw("SELECT basis FROM slip WHERE society_id = ? AND event_id = ? AND determiner_id = ? AND kind = ? ORDER BY recorded_at DESC, id DESC LIMIT 1",
		society, event, determiner, foray.SignOff).Scan(&basis).Error
	if err != nil || len(basis) == 0 {
		return "", err
	}
	return basis[0], nil
}

// Neighbours are the plates before and after a number; zero where there is none.
func (t *Tx) Neighbours(society, event foray.ID, n foray.Number) (before, after foray.Number, err error) {
	if before, err = t.neighbour(society, event, n, "<", "number_base DESC, number_suffix DESC"); err != nil {
		return before, after, err
	}
	after, err = t.neighbour(society, event, n, ">", "number_base, number_suffix")
	return before, after, err
}

// Safety: side and order are literals of Neighbours.
func (t *Tx) neighbour(society, event foray.ID, n foray.Number, side, order string) (foray.Number, error) {
	c, err := one[Collection](t.ofEvent(society, event).Where("fate = ?", Live).
		Where("(number_base, number_suffix) "+side+" (?, ?)", n.Base, n.Suffix).Order(order))
	if fault.Is(err, fault.NotFound) {
		return foray.Number{}, nil
	}
	return c.Number(), err
}
