package hall

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/muster"
	"forayhall/internal/store"
)

// Muster is a team with its sheet and how it stands.
type Muster struct {
	Team     store.Team
	Walk     store.Walk // zero: of no walk
	Plan     muster.Plan
	Standing muster.Standing
}

// Awaited reports whether somebody of the team may still be out: one that nobody counted out is awaited where
// nobody said of a name on its sheet whether they went, and its walk was not called off.
func (m Muster) Awaited() bool {
	if m.Standing.State == muster.NotOut {
		return len(m.Standing.Unmarked) > 0 && m.Walk.CalledOffAt.IsZero()
	}
	return !m.Standing.Ended()
}

// Musters reads how every team of the scope's event stands, with the light that it has at its site.
func (l *Look) Musters() ([]Muster, error) {
	r, err := l.readSheets()
	if err != nil {
		return nil, err
	}
	musters := make([]Muster, len(r.teams))
	for i, t := range r.teams {
		m := Muster{Team: t, Walk: r.walks[r.plans[t.ID].WalkID]}
		m.Plan = muster.Plan{Team: t.ID, Number: t.Number, Members: r.members[t.ID], Leader: r.leader[t.ID],
			Due: r.due(t.ID), Zone: Zone(r.event)}
		r.lit(&m.Plan, t, l.Now)
		m.Standing = muster.Replay(m.Plan, r.marked, r.counted)
		musters[i] = m
	}
	return musters, nil
}

// sheets is the rows of every team's sheet.
type sheets struct {
	event   store.Event
	teams   []store.Team
	walks   map[foray.ID]store.Walk
	sites   map[foray.ID]store.Site
	plans   map[foray.ID]store.TeamPlan
	members map[foray.ID][]muster.Member
	leader  map[foray.ID]foray.ID // the leader's own line on the team's sheet
	marked  []muster.Mark
	counted []muster.Count
}

func (l *Look) readSheets() (r sheets, err error) {
	society, event := l.Scope.Society, l.Scope.Event
	r.walks, r.plans, r.sites = map[foray.ID]store.Walk{}, map[foray.ID]store.TeamPlan{}, map[foray.ID]store.Site{}
	r.members, r.leader = map[foray.ID][]muster.Member{}, map[foray.ID]foray.ID{}
	if r.event, err = l.Tx.EventByID(society, event); err != nil {
		return r, err
	}
	if r.teams, err = l.Tx.Teams(society, event); err != nil {
		return r, err
	}
	walks, err := l.Tx.Walks(society, event)
	if err != nil {
		return r, err
	}
	for _, w := range walks {
		r.walks[w.ID] = w
	}
	sites, err := l.Tx.Sites(society, event)
	if err != nil {
		return r, err
	}
	for _, s := range sites {
		r.sites[s.ID] = s
	}
	plans, err := l.Tx.TeamPlans(society, event)
	if err != nil {
		return r, err
	}
	for _, p := range plans {
		r.plans[p.TeamID] = p
	}
	members, err := l.Tx.TeamMembers(society, event, foray.ID{})
	if err != nil {
		return r, err
	}
	r.take(members)
	return r, r.readMarks(l)
}

func (r *sheets) take(members []store.TeamMember) {
	leaders := map[foray.ID]foray.ID{}
	for _, t := range r.teams {
		leaders[t.ID] = t.LeaderID
	}
	for _, m := range members {
		if !m.RemovedAt.IsZero() {
			continue
		}
		r.members[m.TeamID] = append(r.members[m.TeamID], muster.Member{ID: m.ID, Name: m.Name, Minor: m.Minor, Vulnerable: m.Vulnerable,
			Guardian: m.GuardianID, PassengerOf: m.DriverID})
		if !m.PersonID.IsZero() && m.PersonID == leaders[m.TeamID] {
			r.leader[m.TeamID] = m.ID
		}
	}
}

func (r *sheets) readMarks(l *Look) (err error) {
	marks, err := l.Tx.HeadMarks(l.Scope.Society, l.Scope.Event, foray.ID{})
	if err != nil {
		return err
	}
	for _, m := range marks {
		r.marked = append(r.marked, muster.Mark{Stamp: muster.Stamp{ID: m.ID, HappenedAt: m.HappenedAt.Time, RecordedAt: m.RecordedAt.Time},
			Team: m.TeamID, Member: m.MemberID, Kind: muster.MarkKind(m.Kind)})
	}
	counts, err := l.Tx.HeadCounts(l.Scope.Society, l.Scope.Event, foray.ID{})
	for _, c := range counts {
		r.counted = append(r.counted, muster.Count{Stamp: muster.Stamp{ID: c.ID, HappenedAt: c.HappenedAt.Time, RecordedAt: c.RecordedAt.Time},
			Team: c.TeamID, Kind: muster.CountKind(c.Kind), Heads: c.Heads})
	}
	return err
}

// due is when a team is due: by its own plan, else by its walk.
func (r sheets) due(team foray.ID) *time.Time {
	due := r.plans[team].DueAt
	if due.IsZero() {
		due = r.walks[r.plans[team].WalkID].DueAt
	}
	if due.IsZero() {
		return nil
	}
	return &due.Time
}

// Ladder is how long an event waits before what.
func Ladder(e store.Event) muster.Ladder {
	l := muster.Usual()
	minutes := func(n int) time.Duration { return time.Duration(n) * time.Minute }
	l.Leader, l.SafetyLead, l.Search = minutes(e.RingMin), minutes(e.TellMin), minutes(e.SearchMin)
	l.BeforeSunset, l.Silence = minutes(e.SunsetMin), minutes(e.SilenceMin)
	return l
}
