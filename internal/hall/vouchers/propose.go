package vouchers

import (
	"cmp"
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Proposal is a plate that may be worth keeping, with why. It is computed at each look and never stored: what is kept
// somebody chose.
type Proposal struct {
	Plate    hall.Plate
	Reasons  []foray.VoucherReason
	Severity int
	Barred   message.Text // zero: it may be kept; else what the law says
}

// proposer knows what is new and what was kept before.
type proposer struct {
	look     *hall.Look
	event    store.Event
	vouchers map[foray.ID]hall.Voucher
	flags    []store.TaxonFlag
	firsts   hall.Firsts
	kept     map[string]bool
}

func newProposer(l *hall.Look, event store.Event, plates []hall.Plate, vouchers map[foray.ID]hall.Voucher) (p proposer, err error) {
	p = proposer{look: l, event: event, vouchers: vouchers}
	if p.flags, err = l.Tx.TaxonFlags(l.Scope.Society, l.Scope.Event); err != nil {
		return p, err
	}
	if p.firsts, err = l.Firsts(); err != nil {
		return p, err
	}
	if p.kept, err = l.Tx.KeysKept(l.Scope.Society, l.Scope.Event); err != nil {
		return p, err
	}
	for _, plate := range plates {
		if vouchers[plate.ID].Chosen {
			for _, key := range keysOf(plate) {
				p.kept[key] = true
			}
		}
	}
	return p, nil
}

// propose lists plates that nobody chose or dropped, by the weight of their reasons and then by number. Of a species of
// which nothing is kept the plate with most fruitbodies is proposed.
func (p proposer) propose(plates []hall.Plate) []Proposal {
	best := p.bestOf(plates)
	var all []Proposal
	for _, plate := range plates {
		v := p.vouchers[plate.ID]
		if v.Chosen || v.Dropped || !stillThere(plate) || plate.Naming == foray.NotAFungus {
			continue
		}
		worst := p.look.Hall.Knowledge.Hazards.Worst(plate.Questions(), p.event.Region)
		one := Proposal{Plate: plate, Severity: worst.Severity, Reasons: p.reasons(plate, worst, best)}
		if len(one.Reasons) == 0 {
			continue
		}
		one.Barred = p.barred(plate)
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b Proposal) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(len(b.Reasons), len(a.Reasons)), a.Plate.Number().Compare(b.Plate.Number()))
	})
	return all
}

// grave is the severity from which a named plate is proposed for its hazard: harm to organs, and worse.
const grave = 4

func rank(p Proposal) int { return slices.Index(foray.VoucherReasons, p.Reasons[0]) }

// stillThere reports whether a plate can be kept at all.
func stillThere(p hall.Plate) bool {
	return p.Whereabouts != foray.Discarded && p.Whereabouts != foray.Lost && p.Whereabouts != foray.SentTo
}

func (p proposer) reasons(plate hall.Plate, worst hazard.Assessment, best map[string]foray.ID) (why []foray.VoucherReason) {
	add := func(is bool, reason foray.VoucherReason) {
		if is {
			why = append(why, reason)
		}
	}
	add(p.firsts.Has(plate), foray.ForFirstRecord)
	add(unresolved(plate), foray.ForUnresolved)
	add(worst.Severity >= grave && len(plate.Standing.Question) > 0, foray.ForHazard)
	key, confirmed := species(plate)
	add(confirmed && best[key] == plate.ID, foray.ForNoneKept)
	return why
}

// unresolved: two stand against each other, or a name is said with a doubt.
func unresolved(plate hall.Plate) bool {
	doubt := func(a foray.Asked) bool { return hall.Doubtful(a.Qualifier) }
	return plate.Standing.Disputed || slices.ContainsFunc(plate.Standing.Question, doubt)
}

// species is the current name of a plate that is confirmed as a species without a doubt.
func species(plate hall.Plate) (string, bool) {
	signed, ok := plate.Standing.Current()
	n := signed.Name()
	return n.CurrentKey, ok && n.CurrentKey != "" && n.NameRank == string(taxon.Species) && !unresolved(plate)
}

func keysOf(plate hall.Plate) (keys []string) {
	if signed, ok := plate.Standing.Current(); ok {
		n := signed.Name()
		keys = append(keys, n.Key, n.CurrentKey)
	}
	return keys
}

// bestOf is, of each species of which nothing is kept, the plate with most fruitbodies that can still be kept.
func (p proposer) bestOf(plates []hall.Plate) map[string]foray.ID {
	best, most := map[string]foray.ID{}, map[string]int{}
	for _, plate := range plates {
		key, ok := species(plate)
		if !ok || p.kept[key] || !stillThere(plate) || p.vouchers[plate.ID].Dropped || !p.barred(plate).IsZero() {
			continue
		}
		n := 1
		if plate.Fruitbodies != nil {
			n = *plate.Fruitbodies
		}
		if n > most[key] {
			best[key], most[key] = plate.ID, n
		}
	}
	return best
}

// barred is the flag that keeps a plate out of the dryer.
func (p proposer) barred(plate hall.Plate) message.Text {
	for _, f := range p.look.Hall.FlagsOn(p.flags, plate.Asked()) {
		if f.Forbids(foray.InDryer) {
			return f.Text()
		}
	}
	return message.Text{}
}
