package vouchers

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// Load is plates that go into the dryer.
type Load struct {
	Dryer  string    `json:"dryer,omitempty"` // its id or name: plates without a slot get its next free ones
	Plates []Loading `json:"plates"`
	// Reason chooses those that were not chosen yet.
	Reason foray.VoucherReason `json:"reason,omitempty"`
}

// Loading is a plate by its number and its place: "A 3-2".
type Loading struct {
	Number string `json:"number"`
	Slot   string `json:"slot,omitempty"`
}

// Loaded is the answer.
type Loaded struct {
	Plates []Loading `json:"plates"`
}

// LoadDryer puts plates into the dryer, one number a place: all of them, or none. They move by the rules by which any plate
// moves.
func LoadDryer(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Load) (Loaded, error) {
	cmd.Type, cmd.Body = "dryer.load.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Loaded, error) {
		room, err := newRoom(w, in)
		if err != nil {
			return Loaded{}, err
		}
		numbers := make([]string, len(in.Plates))
		for i, p := range in.Plates {
			numbers[i] = p.Number
		}
		done := Loaded{Plates: []Loading{}}
		_, err = each(w, numbers, func(i int, plate hall.Plate) error {
			slot, err := room.slot(plate.ID, in.Plates[i].Slot)
			if err != nil {
				return err
			}
			at, err := w.MayStand(plate, foray.Placement{Where: foray.InDryer, Position: slot})
			if err != nil {
				return err
			}
			if err := room.choose(w, plate, in.Reason); err != nil {
				return err
			}
			done.Plates = append(done.Plates, Loading{Number: plate.Number().String(), Slot: at.Position})
			return w.Stand(plate.Collection, at)
		})
		return done, err
	})
}

// room is the places of the dryers while one is loaded.
type room struct {
	slots  map[string]foray.Slot
	taken  map[string]bool
	free   []foray.Slot // of the dryer that is loaded
	chosen map[foray.ID]hall.Voucher
	dryer  string
}

func newRoom(w *hall.Write, in Load) (*room, error) {
	rows, err := w.Tx.LockDryers(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return nil, err
	}
	r := &room{slots: hall.SlotsOf(hall.DryersOf(rows)), taken: map[string]bool{}}
	if r.chosen, err = w.Vouchers(); err != nil {
		return nil, err
	}
	there, err := w.Tx.InDryer(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return nil, err
	}
	for _, c := range there {
		r.taken[foray.SlotKey(c.Position)] = true
	}
	for _, p := range in.Plates {
		if p.Slot != "" {
			r.taken[foray.SlotKey(p.Slot)] = true
		}
	}
	if in.Dryer == "" {
		return r, nil
	}
	d, err := dryerOf(w, in.Dryer)
	if err != nil {
		return nil, err
	}
	r.dryer = d.Name
	r.free = slices.DeleteFunc(hall.DryerOf(d).Slots(), func(s foray.Slot) bool { return r.taken[s.Key] })
	return r, nil
}

// slot is where a plate is to lie: as written, or the next that is free.
func (r *room) slot(plate foray.ID, written string) (string, error) {
	if written == "" {
		switch {
		case r.dryer == "":
			return "", fault.Wrong("slot", "dryer.no-slot-given")
		case len(r.free) == 0:
			return "", fault.Wrong("slot", "dryer.full", "name", r.dryer)
		}
		next := r.free[0]
		r.free = r.free[1:]
		return next.Text, nil
	}
	s, known := r.slots[foray.SlotKey(written)]
	if !known {
		return "", fault.Wrong("slot", "dryer.no-slot", "slot", written)
	}
	return s.Text, nil
}

func (r *room) choose(w *hall.Write, plate hall.Plate, reason foray.VoucherReason) error {
	if reason == "" || r.chosen[plate.ID].Chosen {
		return nil
	}
	return choose(w, plate, foray.VoucherSaid{Act: foray.VoucherChosen, Reason: reason})
}

// TakeOut is plates that come out of the dryer.
type TakeOut struct {
	Numbers []string          `json:"numbers"`
	Dry     bool              `json:"dry,omitempty"`   // cracker dry
	Where   foray.Whereabouts `json:"where,omitempty"` // desk, where nothing is said, or back_table
	Words   string            `json:"words,omitempty"`
}

// TakeOutOfDryer takes plates out of the dryer: all of them, or none. That one is not dry is kept, and is no bar.
func TakeOutOfDryer(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in TakeOut) (Said, error) {
	cmd.Type, cmd.Body = "dryer.take-out.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Said, error) {
		words, err := tidy("words", in.Words)
		if err != nil {
			return Said{}, err
		}
		if in.Where == "" {
			in.Where = foray.AtDesk
		}
		if in.Where != foray.AtDesk && in.Where != foray.OnBackTable {
			return Said{}, fault.Wrong("where", "dryer.out-where")
		}
		return each(w, in.Numbers, func(_ int, plate hall.Plate) error {
			if err := w.SayVoucher(plate.Collection, foray.VoucherSaid{Act: foray.VoucherTakenOut, Dry: in.Dry, Words: words}); err != nil {
				return err
			}
			return stand(w, plate, foray.Placement{Where: in.Where})
		})
	})
}

func stand(w *hall.Write, plate hall.Plate, p foray.Placement) error {
	at, err := w.MayStand(plate, p)
	if err != nil {
		return err
	}
	return w.Stand(plate.Collection, at)
}
