package outside

import (
	"context"
	"strconv"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Private is what only the team's leader, the safety lead and the organiser may read of a member.
type Private struct {
	ID        foray.ID `json:"id"` // the member's
	Phone     string   `json:"phone,omitempty"`
	Car       string   `json:"car,omitempty"` // registration
	Emergency string   `json:"emergency,omitempty"`
	Medical   string   `json:"medical,omitempty"`
}

// PrivateLine is a member with it.
type PrivateLine struct {
	Name string
	Private
	Known bool // something was written down at all
}

// PrivateSheet is a team's, as it was read once.
type PrivateSheet struct {
	Team  store.Team
	Lines []PrivateLine
}

// Reading is that somebody read what is private.
type Reading struct {
	At   time.Time
	By   string
	Team int // 0: something else than a team's sheet
	What string
}

// readsPrivate reports whether a team's private lines are for the actor: its leader, the safety lead, the organiser.
func readsPrivate(l *hall.Look, t store.Team) bool {
	return l.Leads(t) || l.Held.Can(access.TendHazards)
}

// SetPrivate writes down what must be known of somebody if things go wrong. A member may write their own.
func SetPrivate(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Private) (Stood, error) {
	cmd.Type, cmd.Body = "member.private.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Stood, error) {
		m, err := w.Tx.TeamMemberByID(scope.Society, scope.Event, in.ID)
		if err != nil {
			return Stood{}, err
		}
		t, err := w.Tx.LockTeam(scope.Society, scope.Event, m.TeamID)
		if err != nil {
			return Stood{}, err
		}
		own := m.PersonID == actor.Person && actor.SignedIn()
		if !own && !readsPrivate(&w.Look, t) {
			return Stood{}, hall.NotAllowed(access.RunOwnTeam)
		}
		for field, text := range map[string]string{"phone": in.Phone, "car": in.Car, "emergency": in.Emergency, "medical": in.Medical} {
			if len(text) > mostWords {
				return Stood{}, fault.Wrong(field, "text.too-long", "most", mostWords)
			}
		}
		w.Note("", m.ID, "") // what was there is private, and stays out of the audit
		w.Changed("team", t.ID)
		return Stood{Team: t.Number, Member: m.ID}, w.Tx.SetMemberPrivate(store.MemberPrivate{SocietyID: t.SocietyID, EventID: t.EventID, MemberID: m.ID,
			Phone: tidy(in.Phone), CarRegistration: tidy(in.Car), EmergencyContact: tidy(in.Emergency), Medical: tidy(in.Medical), UpdatedAt: w.Stamp()})
	})
}

// readPrivate is the command of a reading; what is read is no part of its answer, which is kept.
type readPrivate struct {
	Team string `json:"team"`
}

// ReadPrivate reads a team's private lines and, in the same transaction, writes down that they were read and by whom.
// Each call is a reading of its own.
func ReadPrivate(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, team string) (PrivateSheet, error) {
	var p PrivateSheet
	id, err := h.NewID()
	if err != nil {
		return p, err
	}
	cmd := hall.Command{ID: id, Type: "private.read.v1", Body: readPrivate{team}}
	_, err = hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Stood, error) {
		if !w.Held.Can(access.RunOwnTeam) && !w.Held.Can(access.TendHazards) {
			return Stood{}, hall.NotAllowed(access.RunOwnTeam)
		}
		t, err := w.TeamWritten(team)
		if err != nil {
			return Stood{}, err
		}
		if !readsPrivate(&w.Look, t) {
			return Stood{}, hall.NotAllowed(access.RunOwnTeam)
		}
		w.Note("", t.ID, "team "+strconv.Itoa(t.Number))
		if p, err = privateSheet(&w.Look, t); err != nil {
			return Stood{}, err
		}
		return Stood{Team: t.Number}, writeDown(w, p)
	})
	if err != nil {
		return PrivateSheet{}, err
	}
	return p, nil
}

// readTeam is what a reading of a team's private lines is called in the store.
const readTeam = "team"

// writeDown adds a reading of each member of whom something is known, so that each can be told who read of them; of a
// sheet on which nothing is known, one of the team.
func writeDown(w *hall.Write, p PrivateSheet) error {
	subjects := []foray.ID{}
	for _, line := range p.Lines {
		if line.Known {
			subjects = append(subjects, line.ID)
		}
	}
	if len(subjects) == 0 {
		subjects = append(subjects, p.Team.ID)
	}
	for _, subject := range subjects {
		id, err := w.NewID()
		if err != nil {
			return err
		}
		if err := w.Tx.AddPrivateRead(store.PrivateRead{SocietyID: w.Scope.Society, ID: id, EventID: w.Scope.Event, PersonID: w.Actor.Person,
			What: readTeam, Subject: subject, RecordedAt: w.Stamp()}); err != nil {
			return err
		}
	}
	return nil
}

func privateSheet(l *hall.Look, t store.Team) (PrivateSheet, error) {
	p := PrivateSheet{Team: t}
	members, err := l.Tx.TeamMembers(t.SocietyID, t.EventID, t.ID)
	if err != nil {
		return p, err
	}
	rows, err := l.Tx.MemberPrivates(t.SocietyID, t.EventID, t.ID)
	if err != nil {
		return p, err
	}
	by := map[foray.ID]store.MemberPrivate{}
	for _, r := range rows {
		by[r.MemberID] = r
	}
	for _, m := range members {
		if !m.RemovedAt.IsZero() {
			continue
		}
		r, known := by[m.ID]
		p.Lines = append(p.Lines, PrivateLine{Name: m.Name, Known: known,
			Private: Private{ID: m.ID, Phone: r.Phone, Car: r.CarRegistration, Emergency: r.EmergencyContact, Medical: r.Medical}})
	}
	return p, nil
}

// SeeReadings lists who read what is private, for the safety lead and the organiser.
func SeeReadings(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]Reading, error) {
	var all []Reading
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if err := l.May(access.TendHazards, access.SetUp); err != nil {
			return err
		}
		reads, err := l.Tx.PrivateReads(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		people, err := l.PeopleNames()
		if err != nil {
			return err
		}
		teams, err := l.Tx.Teams(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		members, err := l.Tx.TeamMembers(scope.Society, scope.Event, foray.ID{})
		if err != nil {
			return err
		}
		number := map[foray.ID]int{} // by team and by member
		for _, t := range teams {
			number[t.ID] = t.Number
		}
		for _, m := range members {
			number[m.ID] = number[m.TeamID]
		}
		for _, r := range reads { // one reading of a team is a row for each of its members
			next := Reading{At: r.RecordedAt.Time, By: people[r.PersonID].Name, Team: number[r.Subject], What: r.What}
			if n := len(all); n == 0 || all[n-1] != next {
				all = append(all, next)
			}
		}
		return nil
	})
	return all, err
}
