package setup

import (
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Team is a team to be made; the leader is named, and added to the society where needed. A team without a site of its
// own goes to its walk's.
type Team struct {
	Number int       `json:"number"`
	Name   string    `json:"name,omitempty"`
	Leader string    `json:"leader,omitempty"`
	Site   string    `json:"site,omitempty"`  // code
	Walk   string    `json:"walk,omitempty"`  // its id or number
	DueAt  time.Time `json:"due_at,omitzero"` // zero: the walk's
}

// TeamChange is a team as it is to be; its number stays.
type TeamChange struct {
	ID   foray.ID `json:"id"`
	Team Team     `json:"team"`
}

// AddTeam makes a team.
func AddTeam(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Team) (Made, error) {
	cmd.Type, cmd.Body = "team.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "team", func(w *hall.Write, id foray.ID) error {
		if in.Number < 1 || in.Number > mostNumber {
			return fault.Wrong("number", "setup.team-number")
		}
		teams, err := w.Tx.Teams(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, other := range teams {
			if other.Number == in.Number {
				return fault.Wrong("number", "setup.team-taken", "number", in.Number)
			}
		}
		t := store.Team{SocietyID: scope.Society, EventID: scope.Event, ID: id, Number: in.Number, CreatedAt: w.Stamp()}
		plan, err := in.fill(w, &t)
		if err != nil {
			return err
		}
		if err := w.Tx.AddTeam(t); err != nil {
			return err
		}
		return setPlan(w, plan, store.TeamPlan{})
	})
}

// ChangeTeam gives a team another name, leader, site, walk or due time.
func ChangeTeam(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in TeamChange) (Made, error) {
	cmd.Type, cmd.Body = "team.change.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		if in.ID.IsZero() {
			return Made{}, fault.Missing()
		}
		t, err := w.Tx.LockTeam(scope.Society, scope.Event, in.ID)
		if err != nil {
			return Made{}, err
		}
		old, err := planOf(w, t.ID)
		if err != nil {
			return Made{}, err
		}
		was := struct {
			Name   string
			Leader foray.ID
			Site   foray.ID
			Walk   foray.ID
			DueAt  time.Time
		}{t.Name, t.LeaderID, t.SiteID, old.WalkID, old.DueAt.Time}
		plan, err := in.Team.fill(w, &t)
		if err != nil {
			return Made{}, err
		}
		if err := w.Tx.SetTeam(t); err != nil {
			return Made{}, err
		}
		return changed(w, "team", t.ID, was, setPlan(w, plan, old))
	})
}

func (in Team) fill(w *hall.Write, t *store.Team) (plan store.TeamPlan, err error) {
	plan = store.TeamPlan{SocietyID: t.SocietyID, EventID: t.EventID, TeamID: t.ID, DueAt: store.At(in.DueAt)}
	if t.Name = tidy(in.Name); len(t.Name) > mostName {
		return plan, fault.Wrong("name", "setup.name-missing")
	}
	walk, err := walkWritten(w, in.Walk)
	if err != nil {
		return plan, err
	}
	if !in.DueAt.IsZero() && !walk.StartsAt.IsZero() && !in.DueAt.After(walk.StartsAt.Time) {
		return plan, fault.Wrong("due_at", "setup.walk-times")
	}
	plan.WalkID = walk.ID
	if t.SiteID, err = siteID(w, in.Site); err != nil {
		return plan, err
	}
	if t.SiteID.IsZero() {
		t.SiteID = walk.SiteID
	}
	t.LeaderID, err = w.PersonNamed(in.Leader)
	return plan, err
}

// setPlan stores what a team is out for, where that says something or is to say nothing any more.
func setPlan(w *hall.Write, plan, old store.TeamPlan) error {
	if plan.WalkID == old.WalkID && plan.DueAt.Equal(old.DueAt.Time) {
		return nil
	}
	return w.Tx.SetTeamPlan(plan)
}

func planOf(w *hall.Write, team foray.ID) (store.TeamPlan, error) {
	plans, err := w.Tx.TeamPlans(w.Scope.Society, w.Scope.Event)
	for _, p := range plans {
		if p.TeamID == team {
			return p, err
		}
	}
	return store.TeamPlan{}, err
}

// teamID is a team by its id or number; nothing written is no team.
func teamID(w *hall.Write, written string) (foray.ID, error) {
	if written == "" {
		return foray.ID{}, nil
	}
	t, err := w.TeamWritten(written)
	if fault.Is(err, fault.NotFound) {
		err = fault.Wrong("team", "field.team-unknown", "team", written)
	}
	return t.ID, err
}
