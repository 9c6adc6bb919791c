package vouchers

import (
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Sight is the vouchers of an event as they stand.
type Sight struct {
	Event     store.Event
	Zone      *time.Location
	Held      access.Held
	Proposals []Proposal
	Kept      []Kept // that were chosen, by number
	Dropped   []Kept
	Dryers    []DryerMap
	Loose     []hall.Plate // in the dryer, at no place that one has
	Gaps      []hall.Gap
	People    map[foray.ID]store.Person
}

// Kept is a plate that was chosen once, with all that was said.
type Kept struct {
	Plate   hall.Plate
	Voucher hall.Voucher
	Said    []store.VoucherWord // oldest first
	Codes   []store.VoucherCode // every one that it ever bore, oldest first
	Stays   []Stay
}

// Stay is a time in the dryer; times are UTC, as everywhere.
type Stay struct {
	Slot    string
	In, Out time.Time // zero Out: it is there
}

// DryerMap is a dryer with what lies where.
type DryerMap struct {
	store.Dryer
	Trays    []Tray
	Readings []store.DryerReading // newest first
	Lies     int
	Tissue   bool              // a sequence is wanted of something in it
	Advice   foray.DryerAdvice // of the newest reading
}

// Tray is one tray of it.
type Tray struct {
	Name   string
	Places []Place
}

// Place is one place of a tray. More than one plate there is a mistake that was made elsewhere.
type Place struct {
	foray.Slot
	Plates []hall.Plate
}

// Free counts the places at which nothing lies.
func (d DryerMap) Free() (n int) {
	for _, t := range d.Trays {
		for _, p := range t.Places {
			if len(p.Plates) == 0 {
				n++
			}
		}
	}
	return n
}

// See shows the vouchers to those who choose, dry and pack them.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Sight, error) {
	var s Sight
	err := h.View(ctx, actor, access.RemovePlates, scope, func(l *hall.Look) (err error) {
		s, err = look(l)
		return err
	})
	return s, err
}

func look(l *hall.Look) (s Sight, err error) {
	s.Held = l.Held
	if s.Event, err = l.Event(); err != nil {
		return s, err
	}
	s.Zone = hall.Zone(s.Event)
	plates, err := l.Plates()
	if err != nil {
		return s, err
	}
	vouchers, err := l.Vouchers()
	if err != nil {
		return s, err
	}
	if s.People, err = l.PeopleNames(); err != nil {
		return s, err
	}
	if err := s.kept(l, plates, vouchers); err != nil {
		return s, err
	}
	if err := s.dryers(l, plates, vouchers); err != nil {
		return s, err
	}
	p, err := newProposer(l, s.Event, plates, vouchers)
	if err != nil {
		return s, err
	}
	s.Proposals = p.propose(plates)
	rows := make([]store.Dryer, len(s.Dryers))
	for i, d := range s.Dryers {
		rows[i] = d.Dryer
	}
	s.Gaps = hall.Gaps(plates, vouchers, hall.DryersOf(rows))
	return s, nil
}

func (s *Sight) kept(l *hall.Look, plates []hall.Plate, vouchers map[foray.ID]hall.Voucher) error {
	words, err := l.Tx.VoucherWords(l.Scope.Society, l.Scope.Event, foray.ID{})
	if err != nil {
		return err
	}
	codes, err := l.Tx.VoucherCodes(l.Scope.Society, l.Scope.Event, foray.ID{})
	if err != nil {
		return err
	}
	places, err := l.Tx.EventPlacements(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	said, borne, stood := map[foray.ID][]store.VoucherWord{}, map[foray.ID][]store.VoucherCode{}, map[foray.ID][]store.Placement{}
	for _, w := range words {
		said[w.CollectionID] = append(said[w.CollectionID], w)
	}
	for _, c := range codes {
		borne[c.CollectionID] = append(borne[c.CollectionID], c)
	}
	for _, p := range places {
		stood[p.CollectionID] = append(stood[p.CollectionID], p)
	}
	for _, p := range plates {
		k := Kept{Plate: p, Voucher: vouchers[p.ID], Said: said[p.ID], Codes: borne[p.ID], Stays: stays(stood[p.ID])}
		switch {
		case k.Voucher.Chosen:
			s.Kept = append(s.Kept, k)
		case k.Voucher.Dropped:
			s.Dropped = append(s.Dropped, k)
		}
	}
	return nil
}

// stays is a plate's times in the dryer. Moved from one place of it to another it stayed in.
func stays(places []store.Placement) (all []Stay) {
	for _, p := range places {
		last := len(all) - 1
		open := last >= 0 && all[last].Out.IsZero()
		switch {
		case p.Whereabouts == foray.InDryer && open:
			all[last].Slot = p.Position
		case p.Whereabouts == foray.InDryer:
			all = append(all, Stay{Slot: p.Position, In: p.HappenedAt.Time})
		case open:
			all[last].Out = p.HappenedAt.Time
		}
	}
	return all
}

func (s *Sight) dryers(l *hall.Look, plates []hall.Plate, vouchers map[foray.ID]hall.Voucher) error {
	rows, err := l.Tx.Dryers(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	readings, err := l.Tx.DryerReadings(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	at := map[string][]hall.Plate{}
	slots := hall.SlotsOf(hall.DryersOf(rows))
	for _, p := range plates {
		if p.Whereabouts != foray.InDryer {
			continue
		}
		key := foray.SlotKey(p.Position)
		if _, on := slots[key]; !on {
			s.Loose = append(s.Loose, p)
		}
		at[key] = append(at[key], p)
	}
	for _, row := range rows {
		d := mapped(row, at, vouchers)
		for _, r := range slices.Backward(readings) {
			if r.DryerID == row.ID {
				d.Readings = append(d.Readings, r)
			}
		}
		if len(d.Readings) > 0 {
			d.Advice = foray.Advise(d.Readings[0].Celsius, d.Tissue)
		}
		s.Dryers = append(s.Dryers, d)
	}
	return nil
}

func mapped(row store.Dryer, at map[string][]hall.Plate, vouchers map[foray.ID]hall.Voucher) DryerMap {
	d := DryerMap{Dryer: row}
	for _, slot := range hall.DryerOf(row).Slots() {
		if last := len(d.Trays) - 1; last < 0 || d.Trays[last].Name != slot.Tray {
			d.Trays = append(d.Trays, Tray{Name: slot.Tray})
		}
		there := at[slot.Key]
		tray := &d.Trays[len(d.Trays)-1]
		tray.Places = append(tray.Places, Place{Slot: slot, Plates: there})
		d.Lies += len(there)
		for _, p := range there {
			d.Tissue = d.Tissue || vouchers[p.ID].Tissue
		}
	}
	return d
}

// One is what was said of one plate as a voucher.
type One struct {
	Kept
	People map[foray.ID]store.Person
	Held   access.Held
	Barred bool // the law keeps it out of the dryer
}

// SeeOne shows one plate, by its number, to those who choose, dry and pack.
func SeeOne(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n foray.Number) (One, error) {
	var out One
	err := h.View(ctx, actor, access.RemovePlates, scope, func(l *hall.Look) (err error) {
		out.Held = l.Held
		if out.Plate, err = l.PlateByNumber(n); err != nil {
			return err
		}
		if out.People, err = l.PeopleNames(); err != nil {
			return err
		}
		all, err := l.Vouchers()
		if err != nil {
			return err
		}
		out.Voucher = all[out.Plate.ID]
		if out.Said, err = l.Tx.VoucherWords(scope.Society, scope.Event, out.Plate.ID); err != nil {
			return err
		}
		if out.Codes, err = l.Tx.VoucherCodes(scope.Society, scope.Event, out.Plate.ID); err != nil {
			return err
		}
		places, err := l.Tx.Placements(scope.Society, scope.Event, out.Plate.ID)
		if err != nil {
			return err
		}
		out.Stays = stays(places)
		out.Barred = l.PermitFlagged(out.Plate, foray.InDryer) != nil
		return nil
	})
	return out, err
}
