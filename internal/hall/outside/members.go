package outside

import (
	"context"
	"strconv"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/muster"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// About is what a sheet says of somebody.
type About struct {
	Name       string   `json:"name"`
	Minor      bool     `json:"minor,omitempty"`
	Vulnerable bool     `json:"vulnerable,omitempty"`
	Guardian   foray.ID `json:"guardian,omitzero"` // another member, of this team or another
	Drives     bool     `json:"drives,omitempty"`
	Driver     foray.ID `json:"driver,omitzero"` // the member in whose car they came
}

// Join puts somebody on a team's sheet; with Out they are marked out in the same breath: a walk-up.
type Join struct {
	Team   string   `json:"team"`            // its id or number
	Person foray.ID `json:"person,omitzero"` // of the society; zero: a guest
	About
	Out bool `json:"out,omitempty"`
}

// Member is a member with what the sheet is to say.
type Member struct {
	ID foray.ID `json:"id"`
	About
}

// Taken is a member who was put on the sheet by mistake.
type Taken struct {
	ID foray.ID `json:"id"`
}

// AddMember puts somebody on a team's sheet.
func AddMember(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Join) (Stood, error) {
	cmd.Type, cmd.Body = "member.add.v1", in
	return onTeam(ctx, h, actor, scope, cmd, in.Team, hallToo, func(w *hall.Write, t store.Team) (foray.ID, error) {
		m := store.TeamMember{SocietyID: t.SocietyID, EventID: t.EventID, TeamID: t.ID, AddedBy: w.Actor.Person, AddedAt: w.Stamp()}
		if err := ofSociety(w, t, in.Person, &in.About); err != nil {
			return foray.ID{}, err
		}
		m.PersonID = in.Person
		id, err := join(w, t, m, in.About)
		if err != nil || !in.Out {
			return id, err
		}
		return id, addMarks(w, t, []Mark{{id, muster.Out}}, "")
	})
}

// ofSociety takes the name from the person, who is on no other sheet of the same walk.
func ofSociety(w *hall.Write, t store.Team, person foray.ID, about *About) error {
	if person.IsZero() {
		return nil
	}
	people, err := w.PeopleNames()
	if err != nil {
		return err
	}
	p, ok := people[person]
	if !ok {
		return fault.Wrong("person", "team.person-unknown")
	}
	if tidy(about.Name) == "" {
		about.Name = p.Name
	}
	all, err := w.Musters()
	if err != nil {
		return err
	}
	members, err := w.Tx.TeamMembers(w.Scope.Society, w.Scope.Event, foray.ID{})
	if err != nil {
		return err
	}
	walk, on := map[foray.ID]foray.ID{}, map[foray.ID]int{}
	for _, m := range all {
		walk[m.Team.ID], on[m.Team.ID] = m.Walk.ID, m.Team.Number
	}
	for _, m := range members {
		if m.PersonID != person || !m.RemovedAt.IsZero() {
			continue
		}
		if m.TeamID == t.ID || !walk[t.ID].IsZero() && walk[m.TeamID] == walk[t.ID] {
			return fault.Wrong("person", "team.already-on", "name", p.Name, "team", on[m.TeamID])
		}
	}
	return nil
}

// join stores a new member.
func join(w *hall.Write, t store.Team, m store.TeamMember, about About) (id foray.ID, err error) {
	on, err := sheetOf(&w.Look, t.ID)
	if err != nil {
		return id, err
	}
	if len(on) >= mostMembers {
		return id, fault.New(fault.Refused, "team.full", "most", mostMembers)
	}
	if m.ID, err = w.NewID(); err != nil {
		return id, err
	}
	if err := about.fill(w, &m); err != nil {
		return id, err
	}
	for _, other := range on {
		if taxon.Fold(other.Name) == taxon.Fold(m.Name) && m.PersonID.IsZero() {
			return id, fault.Wrong("name", "team.name-twice", "name", other.Name)
		}
	}
	w.Note("member.add", m.ID, "team "+strconv.Itoa(t.Number))
	return m.ID, w.Tx.AddTeamMembers([]store.TeamMember{m})
}

// fill writes what was said onto the row; whoever is leant on is somebody else on a sheet of this event.
func (a About) fill(w *hall.Write, m *store.TeamMember) error {
	m.Name, m.Minor, m.Vulnerable, m.Drives = tidy(a.Name), a.Minor, a.Vulnerable, a.Drives
	if m.Name == "" || len(m.Name) > mostName {
		return fault.Wrong("name", "team.name-missing", "most", mostName)
	}
	m.GuardianID, m.DriverID = a.Guardian, a.Driver
	all, err := sheetOf(&w.Look, foray.ID{})
	if err != nil {
		return err
	}
	guardian, ok := all[a.Guardian]
	if !a.Guardian.IsZero() && (!ok || a.Guardian == m.ID || guardian.Minor) {
		return fault.Wrong("guardian", "team.guardian")
	}
	driver, ok := all[a.Driver]
	if !a.Driver.IsZero() && (!ok || a.Driver == m.ID || !driver.Drives) {
		return fault.Wrong("driver", "team.driver")
	}
	return nil
}

// ChangeMember says other things of a member. Others lean on them: who no longer drives leaves no passenger behind.
func ChangeMember(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Member) (Stood, error) {
	cmd.Type, cmd.Body = "member.change.v1", in
	return onMember(ctx, h, actor, scope, cmd, in.ID, func(w *hall.Write, t store.Team, m store.TeamMember) error {
		all, err := sheetOf(&w.Look, foray.ID{})
		if err != nil {
			return err
		}
		for _, other := range all {
			if other.DriverID == m.ID && !in.Drives {
				return fault.Wrong("drives", "team.has-passengers", "name", other.Name)
			}
			if other.GuardianID == m.ID && in.Minor {
				return fault.Wrong("minor", "team.is-guardian", "name", other.Name)
			}
		}
		if err := in.About.fill(w, &m); err != nil {
			return err
		}
		return w.Tx.SetTeamMember(m)
	})
}

// TakeOff takes somebody off a sheet who was put on it by mistake. Whoever was marked stays: they were there, or were
// said not to be.
func TakeOff(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Taken) (Stood, error) {
	cmd.Type, cmd.Body = "member.take-off.v1", in
	return onMember(ctx, h, actor, scope, cmd, in.ID, func(w *hall.Write, t store.Team, m store.TeamMember) error {
		marks, err := w.Tx.HeadMarks(t.SocietyID, t.EventID, t.ID)
		if err != nil {
			return err
		}
		for _, mark := range marks {
			if mark.MemberID == m.ID {
				return fault.New(fault.Refused, "team.was-marked", "name", m.Name)
			}
		}
		all, err := sheetOf(&w.Look, foray.ID{})
		if err != nil {
			return err
		}
		for _, other := range all {
			if other.GuardianID == m.ID || other.DriverID == m.ID {
				return fault.New(fault.Refused, "team.leant-on", "name", m.Name, "other", other.Name)
			}
		}
		m.RemovedAt = w.Stamp()
		return w.Tx.SetTeamMember(m)
	})
}

// onMember is onTeam for what is done to one member.
func onMember(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, id foray.ID,
	fn func(*hall.Write, store.Team, store.TeamMember) error) (Stood, error) {
	team, err := teamOf(ctx, h, actor, scope, id)
	if err != nil {
		return Stood{}, err
	}
	return onTeam(ctx, h, actor, scope, cmd, team.String(), hallToo, func(w *hall.Write, t store.Team) (foray.ID, error) {
		m, err := w.Tx.TeamMemberByID(t.SocietyID, t.EventID, id)
		if err != nil || m.TeamID != t.ID || !m.RemovedAt.IsZero() {
			return id, missing(err)
		}
		return id, fn(w, t, m)
	})
}

// teamOf finds whose sheet a member is on; a member never goes to another. Whoever may run no team is told so first.
func teamOf(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, member foray.ID) (team foray.ID, err error) {
	err = h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Can(access.RunOwnTeam) && !l.Held.Can(access.SignAnyoneIn) {
			return hall.NotAllowed(access.RunOwnTeam)
		}
		m, err := l.Tx.TeamMemberByID(scope.Society, scope.Event, member)
		team = m.TeamID
		return err
	})
	return team, err
}

func missing(err error) error {
	if err != nil {
		return err
	}
	return fault.Missing()
}
