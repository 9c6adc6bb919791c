package list

import (
	"cmp"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/tally"
)

// finder reads an event's collections and field records as the list sees them.
type finder struct {
	look     *hall.Look
	zone     *time.Location
	people   map[foray.ID]store.Person
	places   hall.Places
	vouchers map[foray.ID]hall.Voucher
	pictures map[foray.ID]int
	plates   []hall.Plate
	seen     []hall.SeenThere
	unnamed  int // brought in, without any name
	bounds   *Bounds
}

func newFinder(l *hall.Look, e store.Event) (*finder, error) {
	f := &finder{look: l, zone: hall.Zone(e), pictures: map[foray.ID]int{}}
	var err error
	if f.people, err = l.PeopleNames(); err != nil {
		return nil, err
	}
	if f.places, err = l.Places(); err != nil {
		return nil, err
	}
	if f.vouchers, err = l.Vouchers(); err != nil {
		return nil, err
	}
	pictures, err := l.Tx.Photographs(l.Scope.Society, l.Scope.Event)
	for _, p := range pictures {
		if !p.Private && p.HiddenAt.IsZero() {
			f.pictures[cmp.Or(p.CollectionID, p.RecordID)]++
		}
	}
	return f, err
}

// all gives the finds that have a name, and counts those that have none.
func (f *finder) all() (finds []tally.Find, err error) {
	if f.plates, err = f.look.Plates(); err != nil {
		return nil, err
	}
	if f.seen, err = f.look.SeenThere(); err != nil {
		return nil, err
	}
	finds = make([]tally.Find, 0, len(f.plates)+len(f.seen))
	for i := range f.plates {
		if p := &f.plates[i]; !f.plate(p, &finds) && p.Naming == foray.BroughtIn {
			f.unnamed++
		}
	}
	for i := range f.seen {
		if s := &f.seen[i]; s.Struck == nil {
			finds = append(finds, f.fieldRecord(s))
		}
	}
	return finds, nil
}

// put says where a find is from, as far as the public may know.
func (f *finder) put(find *tally.Find, site foray.ID, place foray.PublicPlace) {
	find.GridM, f.bounds = place.GeneralisedM(), f.bounds.with(place)
	if find.Place = place.Name(); find.Place != "" {
		find.Site = f.places.Code(site)
	}
}

// fieldRecord reads one field record: confirmed while somebody stands behind it.
func (f *finder) fieldRecord(s *hall.SeenThere) tally.Find {
	name := s.SlipName()
	find := tally.Find{ID: s.ID.String(), Field: true, Seen: s.Count, Outside: s.Outside, Names: []tally.Named{f.named(name)},
		State: tally.Provisional, Day: s.HappenedAt.In(f.zone).Format(time.DateOnly)}
	f.put(&find, s.SiteID, f.places.Of(s.SiteID, name))
	find.Photographs = f.pictures[s.ID]
	for _, w := range s.Stands {
		find.State = tally.Confirmed
		if who := hall.CreditedName(f.people[w.PersonID]); who != "" {
			find.Determiners = append(find.Determiners, who)
		}
	}
	return find
}

// plate reads one plate into the finds: its standing names where it was signed, its first choice where it was not. It
// reports whether the plate has a name.
func (f *finder) plate(p *hall.Plate, finds *[]tally.Find) bool {
	find := tally.Find{Outside: p.Outside, Cultivated: p.Cultivated}
	switch {
	case p.Standing.Naming == foray.Confirmed:
		find.State = tally.Confirmed
	case p.Standing.Disputed:
		find.State = tally.Disputed
	case p.Standing.Naming == foray.Provisional && len(p.Standing.Question) > 0:
		find.State = tally.Provisional
		choice, ok := p.FirstChoice()
		if !ok {
			return false
		}
		find.Names = []tally.Named{f.named(choice)}
	default:
		return false
	}
	find.ID, find.Number, find.Day = p.ID.String(), p.Number().String(), hall.FoundOn(f.zone, &p.Collection)
	find.Voucher, find.Photographs = f.vouchers[p.ID].Chosen, f.pictures[p.ID]
	f.put(&find, p.SiteID, f.places.OfPlate(p))
	if find.State != tally.Provisional {
		f.signed(p, &find)
	}
	*finds = append(*finds, find)
	return true
}

// signed takes what was signed of a plate.
func (f *finder) signed(p *hall.Plate, find *tally.Find) {
	if current, ok := p.Standing.Current(); ok {
		find.Names = []tally.Named{f.named(current.Name())}
		find.Asked = len(current.Looked)
		for _, l := range current.Looked {
			if l.Answer != foray.NotRecorded {
				find.Answered++
			}
		}
	}
	for i := range p.Standing.Sides {
		side := &p.Standing.Sides[i]
		if find.State == tally.Disputed {
			find.Names = append(find.Names, f.named(side.Name()))
		}
		if who := hall.CreditedName(f.people[side.Determiner]); who != "" {
			find.Determiners = append(find.Determiners, who)
		}
	}
}

// markFirsts marks the lines that are new somewhere. A doubtful name is a first of nothing.
func (f *finder) markFirsts(l *tally.List) error {
	firsts, err := f.look.FirstsAmong(f.plates, f.seen, f.places, f.vouchers)
	if err != nil {
		return err
	}
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.Apart != tally.Counted || line.Current == nil {
			continue
		}
		for _, first := range firsts.Of(line.Current, line.Places...) {
			line.Firsts = append(line.Firsts, tally.First{Scope: first.Scope, Place: first.Place, Against: first.List, Sure: first.Sure, Text: first.Text()})
		}
	}
	return nil
}
