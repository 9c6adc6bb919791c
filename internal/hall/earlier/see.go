package earlier

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Room is a society's earlier lists as the staff of one of its events see them.
type Room struct {
	Lists  []Listed // in force first, then those that were withdrawn
	Sites  []string // codes and names that the society's events use
	People map[foray.ID]store.Person
	Held   access.Held
}

// Listed is a list with what its names are today.
type Listed struct {
	store.EarlierList
	Species int        // distinct, as finds are compared
	Unknown []ReadName // names that the classification does not know
}

// staff is who reads the lists line by line: a line may say where a sensitive find was made.
func staff(l *hall.Look) error {
	if l.Held.Staff() {
		return nil
	}
	return may(l)
}

// See shows the lists to the event's staff.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Room, error) {
	var room Room
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if err = staff(l); err != nil {
			return err
		}
		room.Held = l.Held
		if room.People, err = l.PeopleNames(); err != nil {
			return err
		}
		if err = room.readSites(l); err != nil {
			return err
		}
		return room.readLists(l)
	})
	return room, err
}

func (room *Room) readSites(l *hall.Look) error {
	anywhere, err := l.KeptBackAnywhere()
	seen := map[string]bool{}
	for _, s := range anywhere.Sites {
		for _, called := range []string{s.Code, s.Name} {
			if key := taxon.Fold(called); !seen[key] {
				seen[key] = true
				room.Sites = append(room.Sites, called)
			}
		}
	}
	return err
}

func (room *Room) readLists(l *hall.Look) error {
	lists, err := l.Tx.EarlierLists(l.Scope.Society)
	if err != nil {
		return err
	}
	for _, inForce := range []bool{true, false} {
		for _, list := range lists {
			if list.InForce() != inForce {
				continue
			}
			one := Listed{EarlierList: list}
			if inForce {
				if err := one.count(l); err != nil {
					return err
				}
			}
			room.Lists = append(room.Lists, one)
		}
	}
	return nil
}

// count reads the names of a list under the classification that the society follows now.
func (one *Listed) count(l *hall.Look) error {
	names, err := l.Tx.EarlierNames(l.Scope.Society, one.ID)
	species := map[string]bool{}
	at := map[string]int{}
	for _, r := range names {
		n := r.SlipName()
		if l.Hall.Current(n) == nil {
			i, there := at[r.Name]
			if !there {
				i = len(one.Unknown)
				at[r.Name] = i
				one.Unknown = append(one.Unknown, ReadName{Written: r.Verbatim, First: r.Line})
			}
			one.Unknown[i].Lines += *r.N
			one.Unknown[i].First = min(one.Unknown[i].First, r.Line)
		}
		if key := l.Hall.SpeciesKey(n); key != "" && !hall.Doubtful(n.Qualifier) {
			species[key] = true
		}
	}
	one.Species = len(species)
	return err
}

// Line is one line of a list, and what its name is today.
type Line struct {
	store.EarlierRecord
	Now *taxon.Name // nil where the classification does not know it
}

// MostShown is how many lines are read at once.
const MostShown = 200

// Page is a stretch of a list.
type Page struct {
	List  store.EarlierList
	Lines []Line
	Next  int // the last line shown, after which more come; 0: no more
}

// Lines shows a list line by line to the event's staff, after a line.
func Lines(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, list foray.ID, after int) (Page, error) {
	var p Page
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if err = staff(l); err != nil {
			return err
		}
		if p.List, err = l.Tx.EarlierListByID(l.Scope.Society, list); err != nil {
			return err
		}
		rows, err := l.Tx.EarlierRecords(l.Scope.Society, list, after, MostShown+1)
		if len(rows) > MostShown {
			rows = rows[:MostShown]
			p.Next = rows[MostShown-1].Line
		}
		for _, r := range rows {
			p.Lines = append(p.Lines, Line{EarlierRecord: r, Now: l.Hall.Current(r.SlipName())})
		}
		return err
	})
	return p, err
}

// FirstRecords are the first records of an event, with what the finds were compared with.
type FirstRecords struct {
	Event    store.Event
	Taxa     []hall.FirstTaxon
	Compared []hall.Compared
}

// Firsts shows the first records to everybody; of a site that the public does not learn of nothing is told.
func Firsts(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (FirstRecords, error) {
	return firsts(ctx, h, actor, access.ReadPublic, scope, false)
}

// AllFirsts shows the first records of all sites to those who keep the list.
func AllFirsts(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (FirstRecords, error) {
	return firsts(ctx, h, actor, access.NameOwn, scope, true)
}

func firsts(ctx context.Context, h *hall.Hall, actor access.Actor, action access.Action, scope access.Scope, whole bool) (FirstRecords, error) {
	var r FirstRecords
	err := h.View(ctx, actor, action, scope, func(l *hall.Look) (err error) {
		if whole {
			if err = may(l); err != nil {
				return err
			}
		}
		if r.Event, err = l.Event(); err != nil {
			return err
		}
		f, err := l.Firsts()
		r.Taxa, r.Compared = f.All(whole), f.Compared(whole)
		return err
	})
	return r, err
}
