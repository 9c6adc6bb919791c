package store

import (
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// headRows is who walked with which team, and what was marked and counted.
type headRows struct {
	teams   map[foray.ID]Team
	members map[foray.ID]TeamMember
	marks   []HeadMark
	counts  []HeadCount
}

func (t *Tx) headRows(e Event) (h headRows, err error) {
	h.teams, h.members = map[foray.ID]Team{}, map[foray.ID]TeamMember{}
	teams, err := t.Teams(e.SocietyID, e.ID)
	if err != nil {
		return h, err
	}
	for _, row := range teams {
		h.teams[row.ID] = row
	}
	members, err := t.TeamMembers(e.SocietyID, e.ID, foray.ID{})
	if err != nil {
		return h, err
	}
	for _, m := range members {
		h.members[m.ID] = m
	}
	if h.marks, err = t.HeadMarks(e.SocietyID, e.ID, foray.ID{}); err != nil {
		return h, err
	}
	h.counts, err = t.HeadCounts(e.SocietyID, e.ID, foray.ID{})
	return h, err
}

// marksOfOwnTeam: a mark is of somebody who is on the sheet of its team and was not taken off it.
func marksOfOwnTeam(r *eventRows) (found []message.Text) {
	for _, m := range r.heads.marks {
		if on := r.heads.members[m.MemberID]; on.TeamID != m.TeamID || !on.RemovedAt.IsZero() {
			found = append(found, message.T("check.mark", "event", r.event.Code, "team", r.heads.teams[m.TeamID].Number))
		}
	}
	return found
}

// headsCountable: nobody counts fewer than no heads.
func headsCountable(r *eventRows) (found []message.Text) {
	for _, c := range r.heads.counts {
		if c.Heads != nil && *c.Heads < 0 {
			found = append(found, message.T("check.heads", "event", r.event.Code, "team", r.heads.teams[c.TeamID].Number))
		}
	}
	return found
}
