package store_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// TestCheckReportsHeadsThatAreNobodys would catch a mark on another team's sheet, and a count below nought.
func TestCheckReportsHeadsThatAreNobodys(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		event := whole(t, s)
		at := store.At(now)
		var by store.Person
		read(t, s, func(tx *store.Tx) error {
			people, err := tx.Persons(event.SocietyID)
			by = people[0]
			return err
		})
		one := store.Team{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), Number: 1, CreatedAt: at}
		other := store.Team{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), Number: 2, CreatedAt: at}
		member := store.TeamMember{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), TeamID: one.ID, Name: "Adaeze Marsh", AddedBy: by.ID, AddedAt: at}
		heads := 1
		write(t, s, func(tx *store.Tx) error {
			return errors.Join(tx.AddTeam(one), tx.AddTeam(other), tx.AddTeamMembers([]store.TeamMember{member}),
				tx.AddHeadMarks([]store.HeadMark{{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), TeamID: one.ID, MemberID: member.ID, Kind: "out", MarkedBy: by.ID, HappenedAt: at, RecordedAt: at}}),
				tx.AddHeadCount(store.HeadCount{SocietyID: event.SocietyID, EventID: event.ID, ID: id(t), TeamID: one.ID, Kind: "out", Heads: &heads, CountedBy: by.ID, HappenedAt: at, RecordedAt: at}))
		})
		if c := check(t, s); len(c.Broken) > 0 {
			t.Fatalf("a good sheet: %+v", c.Broken)
		}
		undo := errors.New("undo")
		for statement, rule := range map[string]string{
			"UPDATE head_mark SET team_id = (SELECT id FROM team WHERE number = 2)": "marks",
			"UPDATE team_member SET removed_at = added_at":                          "marks",
			"UPDATE head_count SET heads = -1":                                      "heads",
		} {
			err := s.Write(context.Background(), func(tx *store.Tx) error {
				if err := breakIt(tx, []string{statement}); err != nil {
					return err
				}
				c, err := tx.Check()
				if got := rulesOf(c); err == nil && !slices.Equal(got, []string{rule}) {
					t.Errorf("%s: reported %q, want %q", statement, got, rule)
				}
				return errors.Join(err, undo)
			})
			if !errors.Is(err, undo) {
				t.Errorf("%s: %v", statement, err)
			}
		}
	})
}
