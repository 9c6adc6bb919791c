package hall

import (
	"cmp"
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// GapKind is what is not as it should be with a voucher.
type GapKind string

const (
	GapInDryer  GapKind = "in_dryer"  // chosen, and in the dryer still
	GapUnpacked GapKind = "unpacked"  // chosen, and neither packed nor dropped
	GapMissing  GapKind = "missing"   // chosen, and discarded or lost
	GapUnchosen GapKind = "unchosen"  // in the dryer, and nobody chose it
	GapOffMap   GapKind = "off_map"   // in the dryer, at no place of any tray
	GapShared   GapKind = "shared"    // two at one place
	GapReturned GapKind = "in_again"  // packed, and in the dryer
	GapNotDry   GapKind = "not_dry"   // packed, and not cracker dry when it was taken out
	GapNotBack  GapKind = "no_number" // sent, and no accession came back yet
)

// GapKinds lists them in the order in which they are mended.
var GapKinds = []GapKind{GapShared, GapMissing, GapInDryer, GapUnchosen, GapOffMap, GapReturned, GapUnpacked, GapNotDry, GapNotBack}

// Closes reports whether an event may be closed with such a gap: a number comes back months later, and two at one
// place are said for themselves.
func (k GapKind) Closes() bool {
	return !slices.Contains([]GapKind{GapInDryer, GapUnpacked, GapMissing, GapUnchosen, GapReturned}, k)
}

// Gap is a plate with which something is not as it should be.
type Gap struct {
	Kind   GapKind
	Plate  Plate
	Others []foray.Number // that lie at the same place
	To     string         // the institution that it was sent to
}

// Text says it.
func (g Gap) Text() message.Text {
	return message.T("voucher.gap."+string(g.Kind), "number", g.Plate.Number().String(), "slot", g.Plate.Position, "to", g.To)
}

// Reconcile holds the vouchers that were chosen against the map of the dryers, the packets and what came back.
func (l *Look) Reconcile() ([]Gap, error) {
	plates, err := l.Plates()
	if err != nil {
		return nil, err
	}
	vouchers, err := l.Vouchers()
	if err != nil {
		return nil, err
	}
	rows, err := l.Tx.Dryers(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	return Gaps(plates, vouchers, DryersOf(rows)), nil
}

// Gaps is what Reconcile finds, in the order of the kinds and then of the numbers.
func Gaps(plates []Plate, vouchers map[foray.ID]Voucher, dryers []foray.Dryer) []Gap {
	at, slots := map[string][]foray.Number{}, SlotsOf(dryers)
	for _, p := range plates {
		if p.Whereabouts == foray.InDryer {
			at[foray.SlotKey(p.Position)] = append(at[foray.SlotKey(p.Position)], p.Number())
		}
	}
	var gaps []Gap
	for _, p := range plates {
		v := vouchers[p.ID]
		for _, kind := range gapsOf(p, v, slots, at) {
			g := Gap{Kind: kind, Plate: p, To: v.To}
			if kind == GapShared {
				g.Others = slices.DeleteFunc(slices.Clone(at[foray.SlotKey(p.Position)]), func(n foray.Number) bool { return n == p.Number() })
			}
			gaps = append(gaps, g)
		}
	}
	slices.SortStableFunc(gaps, func(a, b Gap) int {
		return cmp.Or(cmp.Compare(slices.Index(GapKinds, a.Kind), slices.Index(GapKinds, b.Kind)), a.Plate.Number().Compare(b.Plate.Number()))
	})
	return gaps
}

func gapsOf(p Plate, v Voucher, slots map[string]foray.Slot, at map[string][]foray.Number) (kinds []GapKind) {
	add := func(is bool, kind GapKind) {
		if is {
			kinds = append(kinds, kind)
		}
	}
	inDryer, gone := p.Whereabouts == foray.InDryer, p.Whereabouts == foray.Discarded || p.Whereabouts == foray.Lost
	if inDryer {
		_, onMap := slots[foray.SlotKey(p.Position)]
		add(len(at[foray.SlotKey(p.Position)]) > 1, GapShared)
		add(!onMap && len(slots) > 0, GapOffMap)
		add(!v.Chosen, GapUnchosen)
	}
	if !v.Chosen {
		return kinds
	}
	add(gone, GapMissing)
	add(inDryer && !v.Packed, GapInDryer)
	add(inDryer && v.Packed, GapReturned)
	add(!inDryer && !gone && !v.Packed, GapUnpacked)
	add(v.Packed && v.Out && !v.OutDry, GapNotDry)
	add(v.Packed && (v.Sent || p.Whereabouts == foray.SentTo) && v.Accession == "", GapNotBack)
	return kinds
}
