package desk

import (
	"bytes"
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Merge is a plate that is the same find as another.
type Merge struct {
	Collection foray.ID `json:"collection"` // which is no plate afterwards
	Into       string   `json:"into"`       // the other's number
	Reason     string   `json:"reason"`
}

// Merged is the answer: what was put together, and where it is now.
type Merged struct {
	Number string   `json:"number"`
	Into   string   `json:"into"`
	ID     foray.ID `json:"id"` // of the plate that stays
}

// MergeCollection puts two plates of one find together. Whatever was in question of either is in question of what stays.
func MergeCollection(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Merge) (Merged, error) {
	cmd.Type, cmd.Body = "collection.merge.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Merged, error) {
		from, into, err := lockBoth(w, in)
		if err != nil {
			return Merged{}, err
		}
		reason, err := reasonGiven(in.Reason)
		if err == nil {
			err = w.AfterClosing(reason)
		}
		if err != nil {
			return Merged{}, err
		}
		if err := bring(w, from, &into, into.Unnamed(), "slip.from-merge"); err != nil {
			return Merged{}, err
		}
		if err := w.CarryVoucher(from.Collection, into.Collection); err != nil {
			return Merged{}, err
		}
		if err := link(w, store.OfMerge, from.ID, into.ID, reason); err != nil {
			return Merged{}, err
		}
		done := Merged{Number: from.Number().String(), Into: into.Number().String(), ID: into.ID}
		w.Note("collection.merge", from.ID, done.Number+" into "+done.Into+" "+reason)
		w.Changed("collection", from.ID)
		w.Changed("collection", into.ID)
		return done, w.Tx.SetFate(from.Collection, store.Merged)
	})
}

// lockBoth takes two plates in the order of their ids, whichever goes into which: two desks that merge the same two at
// once must not wait for each other.
func lockBoth(w *hall.Write, in Merge) (from, into hall.Plate, err error) {
	other, err := w.CollectionWritten(in.Into)
	switch {
	case fault.Is(err, fault.Invalid):
		return from, into, fault.Many(map[string]message.Text{"into": fault.From(err).Fields["number"]})
	case fault.Is(err, fault.NotFound):
		return from, into, fault.Wrong("into", "merge.no-plate", "number", strings.TrimSpace(in.Into))
	case err != nil:
		return from, into, err
	case other.ID == in.Collection:
		return from, into, fault.Wrong("into", "merge.itself")
	}
	locks := []func() error{
		func() (err error) { from, err = w.LockPlate(in.Collection); return err },
		func() (err error) { into, err = w.LockPlate(other.ID); return err },
	}
	if bytes.Compare(other.ID[:], in.Collection[:]) < 0 {
		locks[0], locks[1] = locks[1], locks[0]
	}
	for _, lock := range locks {
		if err := lock(); err != nil {
			return from, into, err
		}
	}
	return from, into, nil
}
