package closing

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// onList are acts that change what a list says without adding a row of history.
var onList = []string{"collection.correct", "site.change", "flag.add", "flag.change", "flag.take"}

// lastSaid is when something was last recorded that a list is made from. Where a plate stands is none of it: dryers are
// emptied long after the list was signed.
func lastSaid(l *hall.Look) (time.Time, error) {
	var last newest
	for _, part := range []func(*hall.Look, *newest) error{saidOfPlates, saidOfNumbers, saidInTheField} {
		if err := part(l, &last); err != nil {
			return last.at, err
		}
	}
	audits, err := l.Tx.AuditsOfKinds(l.Scope.Society, l.Scope.Event, onList, 1)
	for _, a := range audits {
		last.take(a.RecordedAt.Time)
	}
	return last.at, err
}

type newest struct{ at time.Time }

func (n *newest) take(at time.Time) {
	if at.After(n.at) {
		n.at = at
	}
}

func saidOfPlates(l *hall.Look, last *newest) error {
	collections, err := l.Tx.Collections(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	for _, c := range collections {
		last.take(c.RecordedAt.Time)
	}
	slips, err := l.Tx.Slips(l.Scope.Society, l.Scope.Event, foray.ID{})
	for _, s := range slips {
		last.take(s.RecordedAt)
	}
	return err
}

// saidOfNumbers is splits and merges, and plates whose number was said to be spoilt; a label that nobody used is none.
func saidOfNumbers(l *hall.Look, last *newest) error {
	links, err := l.Tx.CollectionLinks(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	for _, k := range links {
		last.take(k.RecordedAt.Time)
	}
	all, err := l.AllNumbered()
	if err != nil {
		return err
	}
	bears := map[foray.Number]bool{}
	for _, p := range all {
		bears[p.Number()] = true
	}
	fates, err := l.Tx.NumberFates(l.Scope.Society, l.Scope.Event)
	for _, f := range fates {
		if bears[foray.Number{Base: f.NumberBase, Suffix: f.NumberSuffix}] && f.Fate == string(foray.Spoilt) {
			last.take(f.RecordedAt.Time)
		}
	}
	return err
}

func saidInTheField(l *hall.Look, last *newest) error {
	records, err := l.Tx.FieldRecords(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	for _, r := range records {
		last.take(r.RecordedAt.Time)
	}
	words, err := l.Tx.FieldWords(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	for _, w := range words {
		last.take(w.RecordedAt.Time)
	}
	tallies, err := l.Tx.FieldTallies(l.Scope.Society, l.Scope.Event)
	for _, t := range tallies {
		last.take(t.RecordedAt.Time)
	}
	return err
}
