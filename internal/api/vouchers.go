package api

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/vouchers"
)

// Vouchers is what is kept of an event, and where it is.
type Vouchers struct {
	Proposals []VoucherProposal `json:"proposals"`
	Vouchers  []Voucher         `json:"vouchers"` // chosen or dropped once, by number
	Dryers    []Dryer           `json:"dryers"`
	Loose     []string          `json:"loose"` // in the dryer at no place of any tray
	Gaps      []VoucherGap      `json:"gaps"`  // what is not as it should be
}

// VoucherProposal is a plate that may be worth keeping, with why.
type VoucherProposal struct {
	Number   string                `json:"number"`
	Names    []Name                `json:"names"`
	Reasons  []foray.VoucherReason `json:"reasons"`
	Severity int                   `json:"severity"`
	Barred   string                `json:"barred,omitempty"` // the flag that keeps it from being kept
}

// Voucher is one plate that was chosen once.
type Voucher struct {
	Number      string              `json:"number"`
	Names       []Name              `json:"names"`
	Where       foray.Whereabouts   `json:"where"`
	Slot        string              `json:"slot,omitempty"`
	Chosen      bool                `json:"chosen"`
	Reason      foray.VoucherReason `json:"reason,omitempty"`
	Fruitbodies *int                `json:"fruitbodies,omitempty"`
	Tissue      bool                `json:"tissue_wanted"`
	Words       string              `json:"words,omitempty"`
	CrackerDry  bool                `json:"cracker_dry"`
	Packed      bool                `json:"packed"`
	Freezer     bool                `json:"freezer"`
	Sent        bool                `json:"sent"`
	Institution string              `json:"institution,omitempty"`
	OwnNumber   string              `json:"own_number,omitempty"`
	Accessions  []hall.Accession    `json:"accessions,omitempty"`
	Tissues     []hall.Tissue       `json:"tissues,omitempty"`
	Sequences   []hall.Sequence     `json:"sequences,omitempty"`
	Codes       []VoucherCode       `json:"codes,omitempty"` // every one that it ever bore, oldest first, with the ids that put one right
	Stays       []DryerStay         `json:"stays,omitempty"`
}

// VoucherCode is a row of what a plate bears.
type VoucherCode struct {
	ID       foray.ID       `json:"id"`
	Kind     foray.CodeKind `json:"kind"`
	Code     string         `json:"code,omitempty"` // missing: what it replaces was wrong, and nothing stands in its place
	HeldAt   string         `json:"held_at,omitempty"`
	Replaces foray.ID       `json:"replaces,omitzero"`
	Words    string         `json:"words,omitempty"`
	At       time.Time      `json:"at"`
}

// DryerStay is a time in the dryer.
type DryerStay struct {
	Slot string    `json:"slot"`
	In   time.Time `json:"in"`
	Out  time.Time `json:"out,omitzero"`
}

// Dryer is a dryer with its map.
type Dryer struct {
	ID       foray.ID          `json:"id"`
	Name     string            `json:"name"`
	Places   int               `json:"places"` // a tray
	Trays    []DryerTray       `json:"trays"`
	Readings []DryerReading    `json:"readings"` // newest first
	Tissue   bool              `json:"tissue_wanted"`
	Advice   foray.DryerAdvice `json:"advice,omitempty"`
}

// DryerTray is a tray with what lies at each place.
type DryerTray struct {
	Name  string      `json:"name"`
	Slots []DryerSlot `json:"slots"`
}

// DryerSlot is one place.
type DryerSlot struct {
	Slot    string   `json:"slot"`
	Numbers []string `json:"numbers,omitempty"`
}

// DryerReading is a temperature.
type DryerReading struct {
	Celsius float64   `json:"celsius"`
	At      time.Time `json:"at"`
	Words   string    `json:"words,omitempty"`
}

// VoucherGap is a plate with which something is not as it should be.
type VoucherGap struct {
	Kind   hall.GapKind `json:"kind"`
	Number string       `json:"number"`
	Slot   string       `json:"slot,omitempty"`
	Closes bool         `json:"closes"` // the event may be closed all the same
}

func seeVouchers(r *request) (Vouchers, error) {
	s, err := vouchers.See(r.ctx, r.hall(), r.actor, r.scope())
	out := Vouchers{Proposals: []VoucherProposal{}, Vouchers: []Voucher{}, Dryers: []Dryer{}, Loose: []string{}, Gaps: []VoucherGap{}}
	if err != nil {
		return out, err
	}
	for _, p := range s.Proposals {
		row := VoucherProposal{Number: p.Plate.Number().String(), Names: r.inQuestion(p.Plate), Reasons: p.Reasons, Severity: p.Severity}
		if !p.Barred.IsZero() {
			row.Barred = r.say().Text(p.Barred)
		}
		out.Proposals = append(out.Proposals, row)
	}
	for _, k := range append(s.Kept, s.Dropped...) {
		out.Vouchers = append(out.Vouchers, r.voucher(k))
	}
	for _, d := range s.Dryers {
		out.Dryers = append(out.Dryers, dryer(d))
	}
	for _, p := range s.Loose {
		out.Loose = append(out.Loose, p.Number().String())
	}
	for _, g := range s.Gaps {
		row := VoucherGap{Kind: g.Kind, Number: g.Plate.Number().String(), Closes: g.Kind.Closes()}
		if g.Plate.Whereabouts == foray.InDryer {
			row.Slot = g.Plate.Position
		}
		out.Gaps = append(out.Gaps, row)
	}
	return out, nil
}

func (r *request) voucher(k vouchers.Kept) Voucher {
	v := k.Voucher
	out := Voucher{Number: k.Plate.Number().String(), Names: r.inQuestion(k.Plate), Where: k.Plate.Whereabouts, Chosen: v.Chosen, Reason: v.Reason, Fruitbodies: v.Kept,
		Tissue: v.Tissue, Words: v.Why, CrackerDry: v.OutDry, Packed: v.Packed, Freezer: v.Freezer, Sent: v.Sent, Institution: v.Institution, OwnNumber: v.OwnNumber,
		Accessions: v.Accessions, Tissues: v.Tissues, Sequences: v.Sequences}
	if k.Plate.Whereabouts == foray.InDryer {
		out.Slot = k.Plate.Position
	}
	for _, c := range k.Codes {
		out.Codes = append(out.Codes, VoucherCode{ID: c.ID, Kind: c.Kind, Code: c.Code, HeldAt: c.HeldAt, Replaces: c.Replaces, Words: c.Words, At: c.RecordedAt.Time})
	}
	for _, s := range k.Stays {
		out.Stays = append(out.Stays, DryerStay{Slot: s.Slot, In: s.In, Out: s.Out})
	}
	return out
}

func dryer(d vouchers.DryerMap) Dryer {
	out := Dryer{ID: d.ID, Name: d.Name, Places: d.Places, Trays: []DryerTray{}, Readings: []DryerReading{}, Tissue: d.Tissue, Advice: d.Advice}
	for _, t := range d.Trays {
		tray := DryerTray{Name: t.Name, Slots: []DryerSlot{}}
		for _, p := range t.Places {
			slot := DryerSlot{Slot: p.Text}
			for _, plate := range p.Plates {
				slot.Numbers = append(slot.Numbers, plate.Number().String())
			}
			tray.Slots = append(tray.Slots, slot)
		}
		out.Trays = append(out.Trays, tray)
	}
	for _, t := range d.Readings {
		out.Readings = append(out.Readings, DryerReading{Celsius: t.Celsius, At: t.HappenedAt.Time, Words: t.Words})
	}
	return out
}
