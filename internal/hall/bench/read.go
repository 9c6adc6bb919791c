package bench

import (
	"context"
	"sort"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Sight is one collection as somebody at the bench sees it.
type Sight struct {
	Event       store.Event
	Plate       hall.Plate
	Assessment  hazard.Assessment
	Notes       []store.CharacterNote
	People      map[foray.ID]store.Person
	Teams       []store.Team
	Sites       []store.Site
	Tables      []store.HallTable
	Determiners []store.Person // who may be chosen by a scribe; empty for others
	Placements  []store.Placement
	SpoilsAt    time.Time // zero: keeps for weeks, or the group is not known
	Held        access.Held
	Now         time.Time
}

// SeeCollection shows one collection to whoever may see it: staff, and the member whose own it is.
func SeeCollection(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n foray.Number) (Sight, error) {
	var s Sight
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		s.Held, s.Now = l.Held, l.Now
		if s.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if s.Plate, err = l.PlateByNumber(n); err != nil {
			return err
		}
		if !l.Held.Staff() && s.Plate.CollectorID != actor.Person {
			return fault.Missing()
		}
		if s.Notes, err = l.Tx.CharacterNotes(scope.Society, scope.Event, s.Plate.ID); err != nil {
			return err
		}
		s.Assessment = h.Knowledge.Hazards.Worst(s.Plate.Questions(), s.Event.Region)
		s.SpoilsAt = spoilsAt(l, s.Plate)
		return s.around(l)
	})
	return s, err
}

func (s *Sight) around(l *hall.Look) (err error) {
	society, event := l.Scope.Society, l.Scope.Event
	if s.People, err = l.PeopleNames(); err != nil {
		return err
	}
	if s.Teams, err = l.Tx.Teams(society, event); err != nil {
		return err
	}
	if s.Sites, err = l.Tx.Sites(society, event); err != nil {
		return err
	}
	if s.Tables, err = l.Tx.HallTables(society, event); err != nil {
		return err
	}
	if s.Placements, err = l.Tx.Placements(society, event, s.Plate.ID); err != nil {
		return err
	}
	if l.Held.Can(access.ScribeSignOff) {
		s.Determiners, err = l.Determiners()
	}
	return err
}

// Waiting is one collection of the queue.
type Waiting struct {
	Plate      hall.Plate
	Assessment hazard.Assessment
	SpoilsAt   time.Time
	Since      time.Time
}

// Queue is the collections that wait for an identifier, most urgent first: time left before it spoils, hazard,
// waiting. Sent, discarded, dried and lost ones cannot be looked at.
func Queue(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]Waiting, access.Held, error) {
	var rows []Waiting
	var held access.Held
	err := h.View(ctx, actor, access.NameAny, scope, func(l *hall.Look) error {
		held = l.Held
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		plates, err := l.Plates()
		if err != nil {
			return err
		}
		for _, p := range plates {
			if waits(p) {
				rows = append(rows, Waiting{Plate: p, Assessment: h.Knowledge.Hazards.Worst(p.Questions(), event.Region),
					SpoilsAt: spoilsAt(l, p), Since: p.HappenedAt.Time})
			}
		}
		return nil
	})
	return InOrder(rows), held, err
}

// InOrder keeps those that wait for a determiner, most urgent first.
func InOrder(all []Waiting) []Waiting {
	var rows []Waiting
	for _, w := range all {
		if waits(w.Plate) {
			rows = append(rows, w)
		}
	}
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].before(rows[j]) })
	return rows
}

func waits(p hall.Plate) bool {
	open := p.Naming == foray.BroughtIn || p.Naming == foray.Provisional
	return open && p.Whereabouts.InHall() && p.Whereabouts != foray.Lost
}

// before compares by the hour in which it spoils, then hazard, then waiting.
func (a Waiting) before(b Waiting) bool {
	x, y := a.SpoilsAt.Truncate(time.Hour), b.SpoilsAt.Truncate(time.Hour)
	switch {
	case x.IsZero() != y.IsZero():
		return y.IsZero()
	case !x.Equal(y):
		return x.Before(y)
	case a.Assessment.Weight != b.Assessment.Weight:
		return a.Assessment.Weight > b.Assessment.Weight
	}
	return a.Since.Before(b.Since)
}

// spoilsAt is when a plate of its group is past use on a warm table, counted from picking; kept cool it lasts about
// twice as long (common practice). What keeps for weeks has none.
func spoilsAt(l *hall.Look, p hall.Plate) time.Time {
	for _, g := range l.Hall.Knowledge.Groups {
		if g.Key != p.FormGroup || g.SpoilsH <= 0 || g.SpoilsH >= 24*7 {
			continue
		}
		hours := time.Duration(g.SpoilsH) * time.Hour
		if p.KeptCool {
			hours *= 2
		}
		from := p.PickedAt.Time
		if from.IsZero() {
			from = p.HappenedAt.Time
		}
		return from.Add(hours)
	}
	return time.Time{}
}

// All is every collection of the event with its hazard, for staff.
func All(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]Waiting, error) {
	var rows []Waiting
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		plates, err := l.Plates()
		if err != nil {
			return err
		}
		for _, p := range plates {
			if !l.Held.Staff() && p.CollectorID != actor.Person {
				continue
			}
			rows = append(rows, Waiting{Plate: p, Assessment: h.Knowledge.Hazards.Worst(p.Questions(), event.Region),
				SpoilsAt: spoilsAt(l, p), Since: p.HappenedAt.Time})
		}
		return nil
	})
	return rows, err
}

// MayStrike reports whether an actor may take a slip back now, for drawing the form; the command asks again.
func (s Sight) MayStrike(actor access.Actor, slip foray.Slip) bool {
	if !actor.SignedIn() {
		return false
	}
	strike := foray.Slip{Kind: foray.Strike, Strikes: slip.ID, Determiner: actor.Person, Writer: actor.Person, Remarks: "asked"}
	return s.Plate.Standing.Permit(strike, foray.Hand{Person: actor.Person}, s.Plate.Slips, s.Now) == nil
}
