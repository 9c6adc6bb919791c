package api_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
)

// wholeSetUp is a command of the set-up or the closing to which nothing but a right could be lacking.
func (s *served) wholeSetUp(t *testing.T, kind string) object {
	t.Helper()
	s.planned++
	n := 1 + s.planned // of walk and team; 1 is of those that were there from the start
	from := halltest.Saturday.Add(time.Hour)
	switch kind {
	case "event.from.v1":
		return s.cmd(t, kind, object{"from": "HB26", "code": fmt.Sprint("EF", n), "starts_on": "2027-04-10"})
	case "event.change.v1":
		return s.cmd(t, kind, object{"name": "Autumn foray", "starts_on": "2026-10-24", "time_zone": "Europe/London", "region": "EU", "ring_min": 15,
			"tell_min": 30, "search_min": 60, "sunset_min": 60, "silence_min": 90})
	case "society.borrowed-names.v1":
		return s.cmd(t, kind, object{"choice": "shown"})
	case "society.publisher.v1":
		return s.cmd(t, kind, object{"licence": "", "contact": fmt.Sprint("Recorder ", n)})
	case "event.rain.v1":
		return s.cmd(t, kind, object{"days": []object{{"day": "2026-10-20", "mm": n}}})
	case "society.checklist.v1":
		return s.cmd(t, kind, object{})
	case "event.move-group.v1":
		return s.cmd(t, kind, object{"group": "bolete"})
	case "site.change.v1":
		return s.cmd(t, kind, object{"id": s.room(t).Sites[0].ID, "site": object{"code": "DELL", "name": secretName, "sensitive": true, "permitted": true}})
	case "walk.add.v1":
		return s.cmd(t, kind, object{"number": n, "starts_at": from, "due_at": from.Add(time.Hour)})
	case "walk.change.v1":
		return s.cmd(t, kind, object{"id": s.walk(t, n), "walk": object{"number": n, "starts_at": from, "due_at": from.Add(2 * time.Hour)}})
	case "walk.call-off.v1":
		return s.cmd(t, kind, object{"id": s.walk(t, n)})
	case "team.change.v1":
		made, err := setup.AddTeam(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), setup.Team{Number: n})
		s.must(t, err)
		return s.cmd(t, kind, object{"id": made.ID, "team": object{"number": n, "leader": "Ines Halloway"}})
	case "table.change.v1":
		return s.cmd(t, kind, object{"id": s.room(t).Tables[0].ID, "table": object{"number": 1, "groups": []string{"bolete"}}})
	case "block.issue.v1":
		room := s.room(t)
		return s.cmd(t, kind, object{"from": room.NextFrom, "to": room.NextTo, "person": "Ines Halloway"})
	case "flag.add.v1":
		return s.cmd(t, kind, object{"name": flaggable[len(s.room(t).Flags)], "flag": "protected", "source": "Schedule"})
	case "flag.change.v1":
		f := s.flag(t)
		return s.cmd(t, kind, object{"id": f.ID, "flag": object{"name": f.Name, "flag": "protected", "source": "Schedule", "permit": "P 4"}})
	case "flag.take.v1":
		return s.cmd(t, kind, object{"id": s.flag(t).ID})
	case "flag.take-over.v1":
		return s.cmd(t, kind, object{"jurisdiction": setup.Jurisdictions(s.Hall)[0], "all": true})
	case "card-stock.add.v1":
		return s.cmd(t, kind, stockOf(n))
	case "card-stock.take.v1":
		made, err := setup.AddStock(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), setup.NewStock{Name: fmt.Sprint("Labels ", n), PageW: 210, PageH: 297, CardW: 99, CardH: 67, Columns: 2, Rows: 4})
		s.must(t, err)
		return s.cmd(t, kind, object{"id": made.ID})
	case "event.close-hall.v1":
		s.settled(t)
		return s.cmd(t, kind, object{"bagged": s.cleared(t)})
	case "event.reopen.v1":
		s.hallClosed(t)
		return s.cmd(t, kind, object{"reason": "a slip was found"})
	case "event.close.v1":
		s.accounted(t)
		return s.cmd(t, kind, object{"words": "Thanks to everybody."})
	}
	return nil
}

// stockOf is paper of a name of its own.
func stockOf(n int) object {
	return object{"name": fmt.Sprint("Cards ", n), "page_w": 210, "page_h": 297, "card_w": 99.1, "card_h": 67.7, "columns": 2, "rows": 4, "left": 4.65, "top": 13.1, "gap_x": 2.5}
}

// flaggable are taxa that are flagged one after the other.
var flaggable = []string{"Hericium erinaceus", "Hericium coralloides", "Psilocybe semilanceata", "Hygrocybe coccinea"}

func (s *served) must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func (s *served) room(t *testing.T) setup.Room {
	t.Helper()
	room, err := setup.See(ctx, s.Hall, s.Machine, s.Scope)
	s.must(t, err)
	return room
}

func (s *served) walk(t *testing.T, n int) foray.ID {
	t.Helper()
	made, err := setup.AddWalk(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), setup.Walk{Number: n, StartsAt: halltest.Saturday, DueAt: halltest.Saturday.Add(time.Hour)})
	s.must(t, err)
	return made.ID
}

func (s *served) flag(t *testing.T) hall.TaxonFlag {
	t.Helper()
	flags := s.room(t).Flags
	if len(flags) == 0 {
		_, err := setup.AddFlag(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), setup.Flag{Name: flaggable[0], Flag: hall.Protected, Source: "Schedule"})
		s.must(t, err)
		flags = s.room(t).Flags
	}
	return flags[0]
}

// cleared puts away what is hazardous, each in a tray of its own, and says how many the records say were bagged.
func (s *served) cleared(t *testing.T) int {
	t.Helper()
	if s.barred {
		return 0
	}
	sight, err := closing.See(ctx, s.Hall, s.Machine, s.Scope)
	s.must(t, err)
	s.dry(t, append(written(sight.Hazards.Here), written(sight.Hazards.Lost)...))
	return sight.Hazards.Bagged
}

func written(all []foray.Number) []string {
	out := make([]string, len(all))
	for i, n := range all {
		out[i] = n.String()
	}
	return out
}

func (s *served) dry(t *testing.T, numbers []string) {
	t.Helper()
	for _, n := range numbers {
		number, err := foray.ParseNumber(n, "HB26")
		s.must(t, err)
		var id foray.ID
		s.must(t, s.View(ctx, s.Machine, access.LogCollection, s.Scope, func(l *hall.Look) error {
			p, err := l.PlateByNumber(number)
			id = p.ID
			return err
		}))
		_, err = tables.PlacePlate(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), tables.Place{Collection: id, Where: foray.InDryer, Position: "tray " + n})
		s.must(t, err)
	}
}

func (s *served) hallClosed(t *testing.T) {
	t.Helper()
	if s.barred {
		return
	}
	bagged := s.cleared(t)
	sight, err := closing.See(ctx, s.Hall, s.Machine, s.Scope)
	s.must(t, err)
	if sight.Event.State == hall.EventOpen {
		_, err := closing.EndDay(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), closing.CloseHall{Bagged: bagged})
		s.must(t, err)
	}
}

// accounted brings an event to where it may be closed.
func (s *served) accounted(t *testing.T) {
	t.Helper()
	if s.barred {
		return
	}
	s.hallClosed(t)
	ledger, err := desk.SeeLedger(ctx, s.Hall, s.Machine, s.Scope)
	s.must(t, err)
	for _, e := range ledger.Entries {
		if e.Fate == foray.Open {
			_, err := desk.SayFate(ctx, s.Hall, s.Machine, s.Scope, s.Command(t), desk.Fate{Number: e.From.String(), To: e.To.String(), Fate: "unused"})
			s.must(t, err)
		}
	}
	s.reconciled(t)
	s.Pass(time.Second)
	seq, err := s.ChangeSeq(ctx, s.Scope)
	s.must(t, err)
	_, err = list.Publish(ctx, s.Hall, s.As[access.ListKeeper], s.Scope, s.Command(t), list.Sign{Seq: seq})
	s.must(t, err)
}

// TestASensitiveSiteIsSeenInFullByStaffOnly reads the same sites as nobody, as a member and at the desk.
func TestASensitiveSiteIsSeenInFullByStaffOnly(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		for _, as := range []string{"visitor", "member", stranger} {
			_, body := s.get(t, as, "/hollinbeck/HB26/sites")
			if strings.Contains(string(body), secretName) || strings.Contains(string(body), "DELL") || strings.Contains(string(body), "full") {
				t.Errorf("%s reads %s", as, body)
			}
		}
		got := see[api.ShownSites](t, s, "desk", "/hollinbeck/HB26/sites")
		if len(got.Sites) != 1 || got.Sites[0].Full == nil || got.Sites[0].Full.Name != secretName || got.Sites[0].GeneralisedM != 1000 {
			t.Errorf("the desk reads %+v", got)
		}
		room := see[api.SetUp](t, s, "desk", "/hollinbeck/HB26/setup")
		if len(room.Sites) != 1 || len(room.Tables) != 1 || len(room.Missing) == 0 || len(room.History) == 0 || room.Details.RingMin != 15 {
			t.Errorf("the set-up is %+v", room)
		}
		closed := see[api.Closing](t, s, "organiser", "/hollinbeck/HB26/closing")
		if len(closed.Hall) == 0 || len(closed.Here) == 0 || closed.State != "open" {
			t.Errorf("the closing is %+v", closed)
		}
	})
}
