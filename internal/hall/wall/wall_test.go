package wall_test

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/wall"
	"forayhall/internal/muster"
	"forayhall/internal/store"
)

var ctx = context.Background()

func logged(t *testing.T, g *halltest.Ground, number int, group string) foray.ID {
	t.Helper()
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: fmt.Sprint(number), Field: desk.Field{Group: group, Team: "4"}})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID
}

// out sends team 4 with two people, due in half an hour.
func out(t *testing.T, g *halltest.Ground) foray.ID {
	t.Helper()
	made, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 4, Leader: "Ines Okafor"})
	if err != nil {
		t.Fatal(err)
	}
	now, by := store.At(g.Hall.Now()), g.As[access.Desk].Person
	row := func() (foray.ID, foray.ID) { return g.Scope.Society, g.Scope.Event }
	society, event := row()
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		if err := tx.SetTeamPlan(store.TeamPlan{SocietyID: society, EventID: event, TeamID: made.ID, DueAt: store.At(g.Hall.Now().Add(30 * time.Minute))}); err != nil {
			return err
		}
		for i := range 2 {
			m := store.TeamMember{SocietyID: society, EventID: event, ID: foray.ID{9, byte(i)}, TeamID: made.ID, Name: fmt.Sprint("Walker ", i), AddedBy: by, AddedAt: now}
			mark := store.HeadMark{SocietyID: society, EventID: event, ID: foray.ID{8, byte(i)}, TeamID: made.ID, MemberID: m.ID, Kind: "out", MarkedBy: by, HappenedAt: now, RecordedAt: now}
			if err := tx.AddTeamMembers([]store.TeamMember{m}); err != nil {
				return err
			}
			if err := tx.AddHeadMarks([]store.HeadMark{mark}); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return made.ID
}

// TestWallShowsTheHallAndNoPerson would catch a count that is wrong, a late team that nobody sees, and a name.
func TestWallShowsTheHallAndNoPerson(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		out(t, g)
		deadly := logged(t, g, 401, "white_spored")
		logged(t, g, 402, "inkcap")
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: deadly, Names: []hall.NameInput{{Text: "Amanita phalloides"}}}); err != nil {
			t.Fatal(err)
		}
		g.Pass(3 * time.Hour)
		w, err := wall.See(ctx, g.Hall, g.As[access.Steward], g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		if w.States["brought_in"] != 1 || w.States["provisional"] != 1 || w.Waiting != 2 || w.OnTables != 0 || w.Contact {
			t.Errorf("counts: %+v", w)
		}
		if len(w.Spoiling) != 1 || w.Spoiling[0].Number.Base != 402 {
			t.Errorf("spoiling: %+v", w.Spoiling)
		}
		if len(w.Teams) != 1 || w.Teams[0].State != muster.Afield || w.Teams[0].Out != 2 || w.Teams[0].Alert.Step < muster.PlanSearch {
			t.Errorf("teams: %+v", w.Teams)
		}
		if len(w.Warnings) == 0 || w.Warnings[0].Name != "Amanita phalloides" || w.Warnings[0].Severity != 5 {
			t.Errorf("warnings: %+v", w.Warnings)
		}
		wide := logged(t, g, 403, "webcap")
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: wide, Names: []hall.NameInput{{Text: "Cortinarius sp."}}}); err != nil {
			t.Fatal(err)
		}
		if again, err := wall.See(ctx, g.Hall, g.As[access.Steward], g.Scope); err != nil || len(again.Wide) != 1 || again.Nameless != 1 {
			t.Errorf("named too widely %v, nameless %d, %v", again.Wide, again.Nameless, err)
		}
		shown, err := json.Marshal([]any{w.Teams, w.Spoiling, w.Warnings, w.States})
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"Ines", "Walker"} {
			if strings.Contains(string(shown), name) {
				t.Errorf("the wall names %s: %s", name, shown)
			}
		}
		for _, right := range []access.Right{access.Visitor, access.Member} {
			if _, err := wall.See(ctx, g.Hall, g.As[right], g.Scope); !fault.Is(err, fault.NotAllowed) && !fault.Is(err, fault.NotSignedIn) {
				t.Errorf("%s sees the wall: %v", right, err)
			}
		}
	})
}
