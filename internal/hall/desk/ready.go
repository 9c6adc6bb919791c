package desk

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Ready is what the desk needs before the next basket is emptied.
type Ready struct {
	Event      store.Event
	Teams      []store.Team
	Sites      []store.Site
	People     []store.Person
	Number     foray.Number // offered
	Block      *store.NumberBlock
	Groups     []string // by the organiser's order, or as they come
	Ordered    bool     // the order is the organiser's
	Often      []string // most used at this event, first
	Habitats   []string // written at this event
	AtDesk     []foray.Number
	Incomplete int
}

// GetReady shows the desk to whoever may log. team is an id or number, or empty; last is the base of the number that
// was logged last at this desk, or 0.
func GetReady(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, team string, last int) (Ready, error) {
	var r Ready
	err := h.View(ctx, actor, access.LogCollection, scope, func(l *hall.Look) (err error) {
		society, event := scope.Society, scope.Event
		if r.Event, err = l.Tx.EventByID(society, event); err != nil {
			return err
		}
		if r.Teams, err = l.Tx.Teams(society, event); err != nil {
			return err
		}
		if r.Sites, err = l.Tx.Sites(society, event); err != nil {
			return err
		}
		if r.People, err = l.Tx.Persons(society); err != nil {
			return err
		}
		if r.Number, err = nextNumber(l, team, last); err != nil {
			return err
		}
		if err = r.block(l, team); err != nil {
			return err
		}
		collections, err := l.Tx.Collections(society, event)
		r.used(collections)
		r.Groups, r.Ordered = h.GroupOrder(r.Event), r.Event.GroupOrder != ""
		return err
	})
	return r, err
}

func (r *Ready) block(l *hall.Look, team string) error {
	rows, err := l.Tx.NumberBlocks(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	id, err := teamNamed(l, team)
	if b, ok := blockOf(rows, r.Number.Base, id); ok {
		r.Block = &b
	}
	return err
}

// used reads from what was logged which groups come most and which habitats are written; and counts what is to follow.
func (r *Ready) used(collections []store.Collection) {
	times, habitats := map[string]int{}, map[string]int{}
	for _, c := range collections {
		if c.Fate != store.Live {
			continue
		}
		times[c.FormGroup]++
		if c.Habitat != "" {
			habitats[c.Habitat]++
		}
		if c.Whereabouts == foray.AtDesk {
			r.AtDesk = append(r.AtDesk, c.Number())
		}
		if len(Missing(c, r.Teams, r.Sites)) > 0 {
			r.Incomplete++
		}
	}
	r.Often, r.Habitats = mostFirst(times), mostFirst(habitats)
}

func mostFirst(times map[string]int) []string {
	words := make([]string, 0, len(times))
	for w := range times {
		words = append(words, w)
	}
	slices.SortFunc(words, func(a, b string) int {
		if times[a] != times[b] {
			return times[b] - times[a]
		}
		return strings.Compare(a, b)
	})
	return words
}

// teamNamed finds a team by its id or number; none where it is not there.
func teamNamed(l *hall.Look, team string) (foray.ID, error) {
	if team == "" {
		return foray.ID{}, nil
	}
	teams, err := l.Tx.Teams(l.Scope.Society, l.Scope.Event)
	for _, t := range teams {
		if t.ID.String() == team || strconv.Itoa(t.Number) == team {
			return t.ID, err
		}
	}
	return foray.ID{}, err
}

// NextNumber is the number that the next label most likely bears.
func NextNumber(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, team string, last int) (n foray.Number, err error) {
	err = h.View(ctx, actor, access.LogCollection, scope, func(l *hall.Look) error {
		n, err = nextNumber(l, team, last)
		return err
	})
	return n, err
}
