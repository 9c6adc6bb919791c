// Package outside is what happens away from the hall: who walks with which team, heads counted out and back, and what
// the hall did while a team was late. Marks and counts are only ever added. It must never count a head that nobody
// counted, and never say that a team is back because nobody said otherwise; that is for package muster to work out.
package outside

import (
	"context"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/muster"
	"forayhall/internal/store"
)

// Stood is how a team stands after what was written.
type Stood struct {
	Team     int                  `json:"team"` // its number
	State    muster.State         `json:"state"`
	Out      int                  `json:"out"` // people who are not back, by name or by head
	Member   foray.ID             `json:"member,omitzero"`
	Findings []muster.FindingKind `json:"findings"`
}

const (
	mostHeads = 999
	mostWords = 500
	mostName  = 200
	// mostMembers is more than any team has, so that a sheet can be read on a telephone.
	mostMembers = 150
)

// door is who may act on a team.
type door int

const (
	leaderOnly door = iota // its leader, and the organiser
	hallToo                // and whoever may sign anyone in
)

func (d door) open(l *hall.Look, t store.Team) error {
	if l.Leads(t) {
		return nil
	}
	if d == leaderOnly {
		return hall.NotAllowed(access.RunOwnTeam)
	}
	return l.May(access.SignAnyoneIn)
}

// onTeam writes to one team, one command after the other.
func onTeam(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, team string, d door,
	fn func(*hall.Write, store.Team) (foray.ID, error)) (Stood, error) {
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Stood, error) {
		if !w.Held.Can(access.RunOwnTeam) && !w.Held.Can(access.SignAnyoneIn) {
			return Stood{}, hall.NotAllowed(access.RunOwnTeam)
		}
		found, err := w.TeamWritten(team)
		if err != nil {
			return Stood{}, err
		}
		t, err := w.Tx.LockTeam(scope.Society, scope.Event, found.ID)
		if err != nil {
			return Stood{}, err
		}
		if err := d.open(&w.Look, t); err != nil {
			return Stood{}, err
		}
		member, err := fn(w, t)
		if err != nil {
			return Stood{}, err
		}
		w.Note("", t.ID, "team "+strconv.Itoa(t.Number))
		w.Changed("team", t.ID)
		return stood(w, t, member)
	})
}

// stood computes the standing anew from what is stored now.
func stood(w *hall.Write, t store.Team, member foray.ID) (Stood, error) {
	m, err := mustered(&w.Look, t.ID)
	s := Stood{Team: t.Number, State: m.Standing.State, Out: m.Standing.People(), Member: member, Findings: []muster.FindingKind{}}
	for _, f := range m.Standing.Findings {
		s.Findings = append(s.Findings, f.Kind)
	}
	return s, err
}

func mustered(l *hall.Look, team foray.ID) (hall.Muster, error) {
	all, err := l.Musters()
	for _, m := range all {
		if m.Team.ID == team {
			return m, nil
		}
	}
	if err == nil {
		err = fault.Missing()
	}
	return hall.Muster{}, err
}

// sheetOf is who is on a team's sheet now, by id.
func sheetOf(l *hall.Look, team foray.ID) (map[foray.ID]store.TeamMember, error) {
	members, err := l.Tx.TeamMembers(l.Scope.Society, l.Scope.Event, team)
	on := map[foray.ID]store.TeamMember{}
	for _, m := range members {
		if m.RemovedAt.IsZero() {
			on[m.ID] = m
		}
	}
	return on, err
}

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }
