package demo

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// sheet is the people who are registered for a team on an evening before. A command each would take longer than all
// that happens to plates; so they are asked the same and stored together.
type sheet struct{ members []member }

func (s *sheet) registered(ctx context.Context, b *book, by string) error {
	err := b.p.hall.Store.Write(ctx, func(tx *store.Tx) error { return s.store(b, tx, by) })
	for _, m := range s.members {
		if err == nil {
			err = m.tells(ctx, b, by)
		}
	}
	return err
}

func (s *sheet) store(b *book, tx *store.Tx, by string) error {
	if err := b.must(by, access.SetUp); err != nil {
		return err
	}
	b.Tx, b.Now = tx, b.p.now
	if err := b.readGround(); err != nil {
		return err
	}
	leans := map[foray.ID]store.TeamMember{}
	var rows []store.TeamMember
	var audits []store.Audit
	for _, m := range s.members {
		row, err := m.row(b, by, leans)
		if err != nil {
			return err
		}
		audit, err := b.p.hall.NewID()
		if err != nil {
			return err
		}
		leans[row.ID], rows = row, append(rows, row)
		audits = append(audits, store.Audit{SocietyID: row.SocietyID, ID: audit, EventID: row.EventID, PersonID: row.AddedBy,
			Action: string(access.NameOwn), Kind: "member.add", Subject: row.ID, Detail: "team " + m.team, RecordedAt: row.AddedAt})
	}
	if err := tx.AddTeamMembers(rows); err != nil {
		return err
	}
	if err := tx.AddAudit(audits); err != nil {
		return err
	}
	_, err := tx.AddChanges(b.Scope.Society, b.Scope.Event, []store.Change{{SocietyID: b.Scope.Society, EventID: b.Scope.Event, Kind: "team",
		Subject: rows[0].TeamID, RecordedAt: rows[0].AddedAt}})
	return err
}

// row is a member's line; whoever is leant on stands above it on the same sheet, and can be leant on.
func (m member) row(b *book, by string, leans map[foray.ID]store.TeamMember) (store.TeamMember, error) {
	id, now, err := b.row()
	if err != nil {
		return store.TeamMember{}, err
	}
	row := store.TeamMember{SocietyID: b.Scope.Society, EventID: b.Scope.Event, ID: id, TeamID: b.teams[m.team].ID, PersonID: b.p.person[m.person],
		Name: tidy(m.about.Name), Minor: m.about.Minor, Vulnerable: m.about.Vulnerable, Drives: m.about.Drives, GuardianID: b.members[m.guardian],
		DriverID: b.members[m.driver], AddedBy: b.p.person[by], AddedAt: now}
	if m.person != "" {
		row.Name = b.p.story.named(m.person)
	}
	guardian, minded := leans[row.GuardianID]
	driver, driven := leans[row.DriverID]
	switch {
	case row.Name == "":
		return row, fault.Wrong("name", "team.name-missing", "most", 200)
	case m.guardian != "" && (!minded || guardian.Minor):
		return row, fault.Wrong("guardian", "team.guardian")
	case m.driver != "" && (!driven || !driver.Drives):
		return row, fault.Wrong("driver", "team.driver")
	}
	b.members[m.key], b.sheets[m.team] = id, append(b.sheets[m.team], m.key)
	return row, nil
}
