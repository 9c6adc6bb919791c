package hall

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/store"
)

// Address is an event found by the codes of its address.
type Address struct {
	Society store.Society
	Event   store.Event
	Scope   access.Scope
}

// Said is what a society says of itself and for all its events, beside what is in their change logs.
type Said struct {
	Name          string
	Publisher     store.Publisher
	BorrowedNames string
}

// Says is what the society of an address says.
func (a Address) Says() Said {
	return Said{a.Society.Name, a.Society.Publisher, a.Society.BorrowedNames}
}

// FindEvent finds an event by the codes of its address; what is not there is fault.NotFound.
func (h *Hall) FindEvent(ctx context.Context, society, event string) (Address, error) {
	var a Address
	err := h.Store.Read(ctx, func(tx *store.Tx) (err error) {
		a, err = addressOf(tx, society, event)
		return err
	})
	return a, err
}

func addressOf(tx *store.Tx, society, event string) (a Address, err error) {
	if a.Society, err = tx.SocietyByCode(society); err != nil {
		return a, err
	}
	if a.Event, err = tx.EventByCode(a.Society.ID, event); err != nil {
		return a, err
	}
	a.Scope = access.Scope{Society: a.Society.ID, Event: a.Event.ID}
	return a, nil
}

// FindEventAnywhere finds an event by its code alone, for a command on the machine; a code that several societies
// use is fault.Invalid unless the society is given.
func (h *Hall) FindEventAnywhere(ctx context.Context, society, event string) (Address, error) {
	if society != "" {
		return h.FindEvent(ctx, society, event)
	}
	var a Address
	err := h.Store.Read(ctx, func(tx *store.Tx) error {
		events, err := tx.EventsByCode(event)
		switch {
		case err != nil:
			return err
		case len(events) == 0:
			return fault.Wrong("event", "event.unknown", "event", event)
		case len(events) > 1:
			return fault.Wrong("society", "event.several", "event", event)
		}
		a.Event = events[0]
		a.Scope = access.Scope{Society: a.Event.SocietyID, Event: a.Event.ID}
		a.Society, err = tx.SocietyByID(a.Event.SocietyID)
		return err
	})
	return a, err
}

// PublicEvent is an event as the start page lists it.
type PublicEvent struct {
	Society store.Society
	Event   store.Event
	Version int // newest published; 0: none
}

// PublicEvents lists the events of every society, newest first: their lists are open to everybody.
func (h *Hall) PublicEvents(ctx context.Context) ([]PublicEvent, error) {
	var all []PublicEvent
	err := h.Store.Read(ctx, func(tx *store.Tx) error {
		societies, err := tx.Societies()
		if err != nil {
			return err
		}
		for _, s := range societies {
			events, err := publicEvents(tx, s)
			if err != nil {
				return err
			}
			all = append(all, events...)
		}
		return nil
	})
	return all, err
}

// SocietyEvents lists the events of one society, newest first; a society that is not there is fault.NotFound.
func (h *Hall) SocietyEvents(ctx context.Context, code string) (s store.Society, events []PublicEvent, err error) {
	err = h.Store.Read(ctx, func(tx *store.Tx) error {
		if s, err = tx.SocietyByCode(code); err != nil {
			return err
		}
		events, err = publicEvents(tx, s)
		return err
	})
	return s, events, err
}

func publicEvents(tx *store.Tx, s store.Society) ([]PublicEvent, error) {
	events, err := tx.Events(s.ID)
	if err != nil {
		return nil, err
	}
	all := make([]PublicEvent, len(events))
	for i, e := range events {
		versions, err := tx.Publications(s.ID, e.ID)
		if err != nil {
			return nil, err
		}
		all[i] = PublicEvent{Society: s, Event: e}
		if len(versions) > 0 {
			all[i].Version = versions[0].Version
		}
	}
	return all, nil
}
