package bench

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// Groups is what somebody determines at an event, in place of what was said before; none means every group.
type Groups struct {
	Person foray.ID `json:"person,omitzero"` // zero: whoever says it; a scribe or organiser may say it for a determiner
	Groups []string `json:"groups"`
}

// SayGroups says which form groups a person determines here.
func SayGroups(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Groups) (Groups, error) {
	cmd.Type, cmd.Body = "bench.groups.v1", in
	return hall.Do(ctx, h, actor, access.NameAny, scope, cmd, func(w *hall.Write) (Groups, error) {
		said := Groups{Person: in.Person, Groups: slices.Compact(slices.Sorted(slices.Values(in.Groups)))}
		if err := said.permit(w); err != nil {
			return Groups{}, err
		}
		rows := make([]store.PersonGroup, len(said.Groups))
		for i, g := range said.Groups {
			rows[i] = store.PersonGroup{SocietyID: scope.Society, EventID: scope.Event, PersonID: said.Person, FormGroup: g,
				SaidBy: w.Actor.Person, SaidAt: w.Stamp()}
		}
		w.Note("bench.groups", said.Person, "")
		w.Changed("bench", said.Person)
		return said, w.Tx.SetPersonGroups(scope.Society, scope.Event, said.Person, rows)
	})
}

func (g *Groups) permit(w *hall.Write) error {
	if g.Person.IsZero() {
		g.Person = w.Actor.Person
	}
	if g.Person != w.Actor.Person {
		if err := w.May(access.ScribeSignOff, access.SetUp); err != nil {
			return err
		}
		if may, err := w.MayDetermine(g.Person); err != nil || !may {
			return orNotADeterminer(err)
		}
	}
	for _, key := range g.Groups {
		if !slices.ContainsFunc(w.Hall.Knowledge.Groups, func(known hazard.Group) bool { return known.Key == key }) {
			return fault.Wrong("groups", "bench.group-unknown", "group", key)
		}
	}
	return nil
}

func orNotADeterminer(err error) error {
	if err != nil {
		return err
	}
	return fault.Wrong("person", "slip.not-a-determiner")
}

// Identifier is somebody who may determine at the event, with their groups.
type Identifier struct {
	Person store.Person
	Groups []string
}

// identifiers lists who may determine, by name.
func identifiers(l *hall.Look) ([]Identifier, error) {
	persons, err := l.Determiners()
	if err != nil {
		return nil, err
	}
	of, err := groupsOf(l)
	all := make([]Identifier, len(persons))
	for i, p := range persons {
		all[i] = Identifier{Person: p, Groups: of[p.ID]}
	}
	return all, err
}

func groupsOf(l *hall.Look) (map[foray.ID][]string, error) {
	rows, err := l.Tx.PersonGroups(l.Scope.Society, l.Scope.Event)
	of := map[foray.ID][]string{}
	for _, r := range rows {
		of[r.PersonID] = append(of[r.PersonID], r.FormGroup)
	}
	return of, err
}

// viewer is whoever looks, with their groups.
func viewer(l *hall.Look) (Identifier, error) {
	person, err := l.Tx.PersonByID(l.Scope.Society, l.Actor.Person)
	if err != nil {
		return Identifier{}, err
	}
	of, err := groupsOf(l)
	return Identifier{Person: person, Groups: of[person.ID]}, err
}

// Identifiers lists who may determine at the event and what, for a scribe who chooses and for whoever passes a plate on.
func Identifiers(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (all []Identifier, err error) {
	err = h.View(ctx, actor, access.NameAny, scope, func(l *hall.Look) error {
		all, err = identifiers(l)
		return err
	})
	return all, err
}

// Scribing is what a scribe's page shows: whom they may write for, and whom they do.
type Scribing struct {
	All   []Identifier
	For   *Identifier // nil: nobody is chosen
	Basis foray.Basis // of that person's newest sign-off
}

// Scribe shows a scribe for whom they may write; somebody who may not determine here is fault.NotFound.
func Scribe(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, determiner foray.ID) (s Scribing, err error) {
	err = h.View(ctx, actor, access.ScribeSignOff, scope, func(l *hall.Look) error {
		if s.All, err = identifiers(l); err != nil || determiner.IsZero() {
			return err
		}
		i := slices.IndexFunc(s.All, func(one Identifier) bool { return one.Person.ID == determiner })
		if i < 0 {
			return fault.Missing()
		}
		s.For = &s.All[i]
		s.Basis, err = l.Tx.LastBasis(scope.Society, scope.Event, determiner)
		return err
	})
	return s, err
}
