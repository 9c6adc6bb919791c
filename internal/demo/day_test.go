package demo_test

import (
	"regexp"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/muster"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// organiser finds who sets the demo's events up.
func (l laid) organiser(t *testing.T) access.Actor {
	t.Helper()
	actor := access.Actor{Society: l.scope(t, "HB26").Society}
	err := l.Store.Read(t.Context(), func(tx *store.Tx) error {
		all, err := tx.Persons(actor.Society)
		for _, p := range all {
			if p.Name == "Maren Halloway" {
				actor.Person = p.ID
			}
		}
		return err
	})
	if err != nil || actor.Person.IsZero() {
		t.Fatalf("no organiser: %v", err)
	}
	return actor
}

// What happens away from the plates is filled in once.
func TestDay(t *testing.T) {
	l := fill(t, storetest.New(t, store.SQLite))
	for rule, holds := range map[string]func(*testing.T, laid){
		"Five teams are back and one is overdue":           five_teams_are_back_and_one_is_overdue,
		"Sheets hold children and who minds them":          sheets_hold_children_and_who_minds_them,
		"A straggler came after the first count":           a_straggler_came_after_the_first_count,
		"Numbers lie in the block that the team was given": numbers_lie_in_the_block_that_the_team_was_given,
		"A mixed find was split and a double put together": a_mixed_find_was_split_and_a_double_put_together,
		"Papers in the hall say what is no longer so":      papers_in_the_hall_say_what_is_no_longer_so,
		"Identifiers say what they determine":              identifiers_say_what_they_determine,
		"The hall has a plan and hazards stand apart":      the_hall_has_a_plan_and_hazards_stand_apart,
		"Tomorrow has walks that people wish for":          tomorrow_has_walks_that_people_wish_for,
		"What was seen outside counts once vouched for":    what_was_seen_outside_counts_once_vouched_for,
		"Last year has nothing left to close":              last_year_has_nothing_left_to_close,
	} {
		t.Run(rule, func(t *testing.T) { holds(t, l) })
	}
}

func (l laid) teams(t *testing.T) outside.Teams {
	t.Helper()
	teams, err := outside.SeeTeams(t.Context(), l.Hall, l.organiser(t), l.scope(t, "HB26"))
	if err != nil {
		t.Fatal(err)
	}
	return teams
}

func five_teams_are_back_and_one_is_overdue(t *testing.T, l laid) {
	back := 0
	for _, s := range l.teams(t).Sheets {
		if len(s.Standing.Findings) > 0 {
			t.Errorf("team %d: %v", s.Team.Number, s.Standing.Findings)
		}
		if s.Standing.State == muster.HandedIn && s.Alert.Step == muster.Wait {
			back++
			continue
		}
		if s.Team.Number != 6 || s.Standing.State != muster.Afield || s.Alert.Step != muster.RingLeader || s.Standing.People() != 7 {
			t.Errorf("team %d is %s with %d out: %s", s.Team.Number, s.Standing.State, s.Standing.People(), s.Alert.Step)
		}
		if due := s.Plan.Due.In(hall.Zone(l.teams(t).Event)).Format("15:04"); due != "15:15" || len(s.Standing.Left) != 1 {
			t.Errorf("team 6 is due at %s, %d went home early", due, len(s.Standing.Left))
		}
	}
	if back != 5 {
		t.Errorf("%d teams are back", back)
	}
}

func sheets_hold_children_and_who_minds_them(t *testing.T, l laid) {
	count := map[string]int{}
	for _, s := range l.teams(t).Sheets {
		if n := len(s.Lines); n < 6 || n > 12 {
			t.Errorf("team %d has %d people", s.Team.Number, n)
		}
		for _, line := range s.Lines {
			for what, is := range map[string]bool{"minor": line.Minor, "minded": line.Minor && !line.GuardianID.IsZero(), "vulnerable": line.Vulnerable,
				"drives": line.Drives, "driven": !line.DriverID.IsZero(), "not going": line.Mark == muster.NotGoing, "guest": line.PersonID.IsZero()} {
				if is {
					count[what]++
				}
			}
		}
	}
	if count["minor"] != 3 || count["minded"] != 3 || count["vulnerable"] != 1 || count["drives"] < 8 || count["driven"] < 12 ||
		count["not going"] != 1 || count["guest"] != 5 {
		t.Errorf("on the sheets: %v", count)
	}
}

func a_straggler_came_after_the_first_count(t *testing.T, l laid) {
	for _, s := range l.teams(t).Sheets {
		var back []int
		for _, entry := range s.Log {
			if entry.Kind == muster.CountBack {
				back = append(back, *entry.Heads)
			}
		}
		if s.Team.Number == 3 && (len(back) != 2 || back[0] != 12 || back[1] != 11) {
			t.Errorf("team 3 was counted back as %v, the newest first", back)
		}
	}
}

func (l laid) ledger(t *testing.T, code string) desk.Ledger {
	t.Helper()
	ledger, err := desk.SeeLedger(t.Context(), l.Hall, l.organiser(t), l.scope(t, code))
	if err != nil {
		t.Fatal(err)
	}
	return ledger
}

func numbers_lie_in_the_block_that_the_team_was_given(t *testing.T, l laid) {
	ledger := l.ledger(t, "HB26")
	for _, p := range l.plates(t, "HB26") {
		fits := 0
		for _, b := range ledger.Blocks {
			if b.FromNumber <= p.NumberBase && p.NumberBase <= b.ToNumber && b.TeamID == p.TeamID {
				fits++
			}
		}
		if fits != 1 {
			t.Errorf("%s lies in %d blocks of its team", p.Number(), fits)
		}
	}
	if ledger.Counts[foray.Spoilt] < 1 || ledger.Counts[foray.LostNumber] < 1 || ledger.Counts[foray.Unused] < 1 || ledger.Unaccounted() == 0 {
		t.Errorf("numbers: %v", ledger.Counts)
	}
}

func a_mixed_find_was_split_and_a_double_put_together(t *testing.T, l laid) {
	ledger := l.ledger(t, "HB26")
	parts := ledger.Next[foray.Number{Base: 137}]
	if len(parts) != 2 || parts[0].String() != "0137a" || parts[1].String() != "0137b" {
		t.Errorf("0137 became %v", parts)
	}
	if into := ledger.Next[foray.Number{Base: 288}]; len(into) != 1 || ledger.Counts[foray.Fate(store.Merged)] != 1 {
		t.Errorf("0288 became %v", into)
	}
}

func papers_in_the_hall_say_what_is_no_longer_so(t *testing.T, l laid) {
	seen, err := tables.SeePapers(t.Context(), l.Hall, l.organiser(t), l.scope(t, "HB26"))
	if err != nil {
		t.Fatal(err)
	}
	jobs := map[string]int{}
	for _, j := range seen.Jobs {
		jobs[j.Kind]++
		if j.Kind == "swap_card" && len(j.Differs) == 0 {
			t.Errorf("the card of %s still says %s, and in what it is wrong is not said", j.Number, j.Is)
		}
	}
	if jobs["swap_card"] < 4 || jobs["away_card"] < 2 || jobs["swap_sheet"] != 1 || seen.Standing < 50 || len(seen.Lacking) == 0 {
		t.Errorf("%v of %d papers, %d plates lack a card", jobs, seen.Standing, len(seen.Lacking))
	}
}

func identifiers_say_what_they_determine(t *testing.T, l laid) {
	all, err := bench.Identifiers(t.Context(), l.Hall, l.organiser(t), l.scope(t, "HB26"))
	if err != nil || len(all) != 7 {
		t.Fatalf("%d identifiers: %v", len(all), err)
	}
	by := map[string]string{}
	for _, one := range all {
		for _, g := range one.Groups {
			if by[g] != "" {
				t.Errorf("%s is %s's and %s's", g, by[g], one.Person.Name)
			}
			by[g] = one.Person.Name
		}
	}
	for _, p := range l.plates(t, "HB26") {
		if by[p.FormGroup] == "" {
			t.Errorf("nobody determines %s, of which %s is one", p.FormGroup, p.Number())
		}
	}
}

// No table covers another, and the barrier's table stands away from all.
func the_hall_has_a_plan_and_hazards_stand_apart(t *testing.T, l laid) {
	room, err := setup.See(t.Context(), l.Hall, l.organiser(t), l.scope(t, "HB26"))
	if err != nil {
		t.Fatal(err)
	}
	const reach = 1000 // mm that an arm reaches over a barrier, and more
	for i, a := range room.Tables {
		for _, b := range room.Tables[:i] {
			apart := 0
			if a.Hazards || b.Hazards {
				apart = reach
			}
			if near(a.PlanXMM, across(a, false), b.PlanXMM, across(b, false), apart) && near(a.PlanYMM, across(a, true), b.PlanYMM, across(b, true), apart) {
				t.Errorf("tables %d and %d stand in each other's way", a.Number, b.Number)
			}
		}
	}
	for _, s := range room.Sites {
		if s.Permit == "" || s.Directions == "" {
			t.Errorf("site %s has no permit or directions", s.Code)
		}
	}
}

func near(a, length, b, other, apart int) bool { return a < b+other+apart && b < a+length+apart }

// across is how far a table reaches along the plan's width, or its height.
func across(h hall.Table, height bool) int {
	if h.Turned == height {
		return h.LengthMM
	}
	return h.DepthMM
}

func tomorrow_has_walks_that_people_wish_for(t *testing.T, l laid) {
	seen, err := outside.SeeWalks(t.Context(), l.Hall, l.organiser(t), l.scope(t, "HB26"))
	if err != nil {
		t.Fatal(err)
	}
	open := 0
	for _, w := range seen.Walks {
		if w.Open {
			open++
		}
	}
	if open < 1 || len(seen.Walks)-open != 6 || len(seen.Wishers) < 4 {
		t.Errorf("%d walks, %d still to come, %d people wish for one", len(seen.Walks), open, len(seen.Wishers))
	}
}

func what_was_seen_outside_counts_once_vouched_for(t *testing.T, l laid) {
	var behind, seen int
	err := l.View(t.Context(), l.organiser(t), access.NameOwn, l.scope(t, "HB26"), func(look *hall.Look) error {
		all, err := look.SeenThere()
		for _, s := range all {
			if seen++; len(s.Stands) > 0 {
				behind++
			}
		}
		return err
	})
	if err != nil || seen != 6 || behind != 3 {
		t.Errorf("%d records, somebody stands behind %d: %v", seen, behind, err)
	}
}

func last_year_has_nothing_left_to_close(t *testing.T, l laid) {
	sight, err := closing.See(t.Context(), l.Hall, l.organiser(t), l.scope(t, "HB25"))
	if err != nil || len(sight.Hall) > 0 || len(sight.Finish) > 0 {
		t.Errorf("missing: %v %v %v", sight.Hall, sight.Finish, err)
	}
	if n := l.ledger(t, "HB25").Unaccounted(); n > 0 {
		t.Errorf("%d numbers are unaccounted for", n)
	}
}

func TestPrivate_contacts_are_nobodys_and_few(t *testing.T) {
	number := regexp.MustCompile(`\d{5} \d{6}`)
	few := 0
	for _, m := range table(t, "members") {
		told := m["phone"] + " " + m["emergency"]
		if strings.TrimSpace(told) != "" {
			few++
		}
		for _, n := range number.FindAllString(told, -1) {
			if !drama.MatchString(n) {
				t.Errorf("%s: %s may be somebody's", m["key"], n)
			}
		}
	}
	if few < 4 || few > 10 {
		t.Errorf("of %d people a telephone number is known", few)
	}
}
