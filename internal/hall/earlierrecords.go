package hall

import (
	"cmp"
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// EarlierRecord is a dated find of the past, of an earlier list or of an event that ended before the scope's began.
type EarlierRecord struct {
	Key     string      // of the species, as finds are compared
	Name    *taxon.Name // as it is called now; nil where the classification does not know it
	Written string      // as it was determined
	From    string      // ISO dates: the first and the last day on which it may have been found
	To      string
	Scope   string // of the list it stands on: site, society, record; empty where it comes from an event
	Event   string // code of the event; empty where it comes from a list
}

// EarlierRecords reads the dated finds of the society's past, under the names as they are called now, the oldest first:
// those of every earlier list in force, and what was confirmed at the events before the scope's, or at all events where
// the scope has none. What is doubtful, named no farther than to genus, or not dated is left out.
func (l *Look) EarlierRecords() ([]EarlierRecord, error) {
	var before *store.Event
	if !l.Scope.Event.IsZero() {
		event, err := l.Event()
		if err != nil {
			return nil, err
		}
		before = &event
	}
	p, err := l.pastBefore(before)
	if err != nil {
		return nil, err
	}
	var all []EarlierRecord
	for _, list := range p.lists {
		records, err := p.recordsOf(list.EarlierList)
		if err != nil {
			return nil, err
		}
		all = append(all, records...)
	}
	for _, e := range p.events {
		records, err := p.findsOf(e.Event)
		if err != nil {
			return nil, err
		}
		all = append(all, records...)
	}
	slices.SortStableFunc(all, func(a, b EarlierRecord) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To), cmp.Compare(a.Key, b.Key))
	})
	return all, nil
}

func (p *past) recordsOf(list store.EarlierList) ([]EarlierRecord, error) {
	rows, err := p.look.Tx.EarlierRecords(list.SocietyID, list.ID, 0, 0)
	if err != nil {
		return nil, err
	}
	var all []EarlierRecord
	for _, r := range rows {
		if rec, ok := p.record(r.SlipName()); ok && r.DayFrom != "" {
			rec.From, rec.To, rec.Scope = r.DayFrom, r.DayTo, list.Scope
			all = append(all, rec)
		}
	}
	return all, nil
}

func (p *past) findsOf(event store.Event) ([]EarlierRecord, error) {
	finds, _, err := p.look.pastFinds(event)
	if err != nil {
		return nil, err
	}
	var all []EarlierRecord
	for _, f := range finds {
		if rec, ok := p.record(f.name); ok && f.from != "" {
			rec.From, rec.To, rec.Event = f.from, f.to, event.Code
			all = append(all, rec)
		}
	}
	return all, nil
}

func (p *past) record(n foray.SlipName) (EarlierRecord, bool) {
	rec := EarlierRecord{Key: p.look.Hall.SpeciesKey(n), Name: p.look.Hall.Current(n), Written: n.Name}
	return rec, rec.Key != "" && !Doubtful(n.Qualifier)
}
