package vouchers

import (
	"context"
	"math"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// NewDryer is a dryer that is set up: with its trays by name from the top, or with so many trays that bear numbers.
type NewDryer struct {
	Name   string   `json:"name"`
	Trays  []string `json:"trays,omitempty"`
	Rows   int      `json:"rows,omitempty"` // trays, where they have no names
	Places int      `json:"places"`         // a tray; 1: one number a tray
}

// Made is the answer.
type Made struct {
	ID foray.ID `json:"id"`
}

// AddDryer sets a dryer up. Its places must be told from those of the others, and from each other.
func AddDryer(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in NewDryer) (Made, error) {
	cmd.Type, cmd.Body = "dryer.add.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Made, error) {
		if _, err := w.Tx.LockEvent(scope.Society, scope.Event); err != nil { // two that are added at once
			return Made{}, err
		}
		d := in.dryer()
		rows, err := w.Tx.LockDryers(scope.Society, scope.Event)
		if err != nil {
			return Made{}, err
		}
		if err := d.Check(hall.DryersOf(rows)); err != nil {
			return Made{}, err
		}
		if err := oneAPlace(w, d); err != nil {
			return Made{}, err
		}
		id, err := w.NewID()
		if err != nil {
			return Made{}, err
		}
		w.Note("", id, d.Name)
		w.Changed("dryer", id)
		return Made{ID: id}, w.Tx.AddDryer(store.Dryer{SocietyID: scope.Society, EventID: scope.Event, ID: id, Name: d.Name, Trays: strings.Join(d.Trays, "\n"),
			Places: d.Places, AddedBy: w.Actor.Person, AddedAt: w.Stamp()})
	})
}

func (in NewDryer) dryer() foray.Dryer {
	d := foray.Dryer{Name: strings.Join(strings.Fields(in.Name), " "), Places: in.Places}
	for _, tray := range in.Trays {
		if tray = strings.Join(strings.Fields(tray), " "); tray != "" {
			d.Trays = append(d.Trays, tray)
		}
	}
	if len(d.Trays) == 0 && in.Rows > 0 && in.Rows <= foray.MostTrays {
		d.Trays = foray.NumberedTrays(in.Rows)
	}
	return d
}

// oneAPlace refuses a dryer in which two plates would lie at one place, by what was written before it was set up.
func oneAPlace(w *hall.Write, d foray.Dryer) error {
	there, err := w.Tx.InDryer(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return err
	}
	slots, first := hall.SlotsOf([]foray.Dryer{d}), map[string]foray.Number{}
	for _, c := range there {
		slot, is := slots[foray.SlotKey(c.Position)]
		if !is {
			continue
		}
		if other, taken := first[slot.Key]; taken {
			return fault.Wrong("trays", "dryer.two-there", "slot", slot.Text, "number", other.String(), "other", c.Number().String())
		}
		first[slot.Key] = c.Number()
	}
	return nil
}

// Taken is a dryer by its id or name.
type Taken struct {
	Dryer string `json:"dryer"`
}

// TakeDryer takes an empty dryer away; what was read of it stays.
func TakeDryer(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Taken) (Made, error) {
	cmd.Type, cmd.Body = "dryer.take.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Made, error) {
		d, err := dryerOf(w, in.Dryer)
		if err != nil {
			return Made{}, err
		}
		there, err := w.Tx.InDryer(scope.Society, scope.Event)
		if err != nil {
			return Made{}, err
		}
		slots := hall.SlotsOf([]foray.Dryer{hall.DryerOf(d)})
		for _, c := range there {
			if _, in := slots[foray.SlotKey(c.Position)]; in {
				return Made{}, fault.New(fault.Refused, "dryer.not-empty", "name", d.Name, "number", c.Number().String())
			}
		}
		w.Note("", d.ID, d.Name)
		w.Changed("dryer", d.ID)
		return Made{ID: d.ID}, w.Tx.TakeDryer(scope.Society, scope.Event, d.ID, w.Actor.Person, w.Stamp())
	})
}

// dryerOf finds a dryer that stands by its id or name, and keeps others from putting plates into any.
func dryerOf(w *hall.Write, written string) (store.Dryer, error) {
	rows, err := w.Tx.LockDryers(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return store.Dryer{}, err
	}
	written = strings.TrimSpace(written)
	for _, d := range rows {
		if d.ID.String() == written || strings.EqualFold(d.Name, written) {
			return d, nil
		}
	}
	return store.Dryer{}, fault.Wrong("dryer", "dryer.unknown")
}

// Temperature is what somebody read.
type Temperature struct {
	Dryer   string  `json:"dryer"` // its id or name
	Celsius float64 `json:"celsius"`
	Words   string  `json:"words,omitempty"`
}

// Advised is the answer: a word about what was read; empty where it is as it should be.
type Advised struct {
	ID     foray.ID          `json:"id"`
	Advice foray.DryerAdvice `json:"advice,omitempty"`
	Text   string            `json:"text,omitempty"`
}

// Coldest and Hottest are what a thermometer in a hall can show, °C.
const Coldest, Hottest = -20.0, 150.0

// ReadTemperature writes a temperature down. What is too hot is said, and kept all the same: it was read.
func ReadTemperature(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Temperature) (Advised, error) {
	cmd.Type, cmd.Body = "dryer.temperature.v1", in
	return hall.Do(ctx, h, actor, access.RemovePlates, scope, cmd, func(w *hall.Write) (Advised, error) {
		words, err := tidy("words", in.Words)
		if err != nil {
			return Advised{}, err
		}
		if math.IsNaN(in.Celsius) || in.Celsius < Coldest || in.Celsius > Hottest {
			return Advised{}, fault.Wrong("celsius", "dryer.celsius", "least", Coldest, "most", Hottest)
		}
		d, err := dryerOf(w, in.Dryer)
		if err != nil {
			return Advised{}, err
		}
		wanted, err := tissueWanted(w, d)
		if err != nil {
			return Advised{}, err
		}
		id, err := w.NewID()
		if err != nil {
			return Advised{}, err
		}
		w.Note("", d.ID, d.Name)
		w.Changed("dryer", d.ID)
		out := Advised{ID: id, Advice: foray.Advise(in.Celsius, wanted)}
		if out.Advice != foray.Warm {
			out.Text = message.From(ctx).Say("dryer.advice." + string(out.Advice))
		}
		return out, w.Tx.AddDryerReading(store.DryerReading{SocietyID: scope.Society, EventID: scope.Event, ID: id, DryerID: d.ID,
			Celsius: math.Round(in.Celsius*10) / 10, Words: words, ReadBy: w.Actor.Person, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
	})
}

// tissueWanted reports whether a sequence is wanted of anything that lies in a dryer.
func tissueWanted(w *hall.Write, d store.Dryer) (bool, error) {
	there, err := w.Tx.InDryer(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return false, err
	}
	vouchers, err := w.Vouchers()
	slots := hall.SlotsOf([]foray.Dryer{hall.DryerOf(d)})
	for _, c := range there {
		if _, in := slots[foray.SlotKey(c.Position)]; in && vouchers[c.ID].Tissue {
			return true, err
		}
	}
	return false, err
}
