package hall

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Machine finds the person that stands for commands on the machine in a society, or makes it.
func (h *Hall) Machine(ctx context.Context, society foray.ID) (id foray.ID, err error) {
	err = h.Store.Read(ctx, func(tx *store.Tx) error {
		id, err = tx.InstallationPerson(society)
		return err
	})
	if err != nil || !id.IsZero() {
		return id, err
	}
	err = h.Store.Write(ctx, func(tx *store.Tx) error {
		id, err = h.MachineIn(tx, society)
		return err
	})
	return id, err
}

// MachineIn is Machine within a transaction.
func (h *Hall) MachineIn(tx *store.Tx, society foray.ID) (foray.ID, error) {
	if err := tx.LockSociety(society); err != nil { // two who look at once make one
		return foray.ID{}, err
	}
	id, err := tx.InstallationPerson(society)
	if err != nil || !id.IsZero() {
		return id, err
	}
	id, err = h.NewID()
	if err != nil {
		return id, err
	}
	return id, tx.AddPerson(store.Person{SocietyID: society, ID: id, Name: "Installation", Credit: "none", Kind: "installation", CreatedAt: store.At(h.Now())})
}

// Unsigned is the actor for what may be sent by anybody without a sign-in to the society: it may do what a visitor may
// and stands in the audit as the installation. Its commands are told apart by their ids, which nobody can guess.
func (h *Hall) Unsigned(ctx context.Context, actor access.Actor, society foray.ID) (access.Actor, error) {
	if actor.SignedIn() && actor.Society == society {
		return actor, nil
	}
	id, err := h.Machine(ctx, society)
	return access.Actor{Society: society, Person: id, Only: []access.Right{access.Visitor}}, err
}
