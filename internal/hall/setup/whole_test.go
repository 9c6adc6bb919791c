package setup_test

import (
	"context"
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

var (
	leaves = time.Date(2026, 10, 24, 9, 0, 0, 0, time.UTC) // ten o'clock in summer time, the day before the clocks change
	due    = leaves.Add(150 * time.Minute)
)

// fitted is an event with one of everything.
type fitted struct {
	*halltest.Ground
	site, walk, team, table foray.ID
}

func fit(t *testing.T, g *halltest.Ground) *fitted {
	t.Helper()
	f := &fitted{Ground: g}
	made := func(m setup.Made, err error) foray.ID {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return m.ID
	}
	o := g.As[access.Organiser]
	f.site = made(setup.AddSite(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Site{Code: "AB", Name: "Alder Bottom", Latitude: ptr(53.1), Longitude: ptr(-1.5),
		Permitted: true, Permit: "Nothing above 1.5 kg.", CountNeeded: true, Directions: "By the mill."}))
	f.walk = made(setup.AddWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Walk{Number: 1, Title: "Alders", Site: "ab", Leader: "Ines Okafor", StartsAt: leaves, DueAt: due, Capacity: 12}))
	f.team = made(setup.AddTeam(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Team{Number: 3, Leader: "Ines Okafor", Walk: "1", DueAt: due.Add(time.Hour)}))
	f.table = made(setup.AddTable(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Table{Number: 7, Title: "Boletes", Groups: []string{"bolete", "bracket", "bolete"}, PlanXMM: 1200}))
	return f
}

func (f *fitted) room(t *testing.T) setup.Room {
	t.Helper()
	room, err := setup.See(ctx, f.Hall, f.As[access.Organiser], f.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return room
}

// was is the newest audit row of a kind: what was there before.
func (f *fitted) was(t *testing.T, kind string) string {
	t.Helper()
	var detail string
	if err := f.Store.Read(ctx, func(tx *store.Tx) error {
		audits, err := tx.AuditsOfKinds(f.Scope.Society, f.Scope.Event, []string{kind}, 1)
		if len(audits) == 1 {
			detail = audits[0].Detail
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return detail
}

func TestWhatIsChangedIsCheckedAndWhatWasThereIsOnRecord(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := fit(t, g)
		o := g.As[access.Organiser]
		for _, err := range []error{
			second(setup.ChangeSite(ctx, g.Hall, o, g.Scope, g.Command(t), setup.SiteChange{ID: f.site, Site: setup.Site{Name: "Alder Top", Sensitive: true, GridM: 2000}})),
			second(setup.ChangeWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.WalkChange{ID: f.walk, Walk: setup.Walk{Title: "Tops", Site: "AB", StartsAt: leaves, DueAt: due.Add(time.Hour)}})),
			second(setup.ChangeTeam(ctx, g.Hall, o, g.Scope, g.Command(t), setup.TeamChange{ID: f.team, Team: setup.Team{Name: "The slow ones", Walk: f.walk.String()}})),
			second(setup.ChangeTable(ctx, g.Hall, o, g.Scope, g.Command(t), setup.TableChange{ID: f.table, Table: setup.Table{Title: "Rail", Hazards: true, LengthMM: 2440, DepthMM: 760, Turned: true}})),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		room := f.room(t)
		if s := room.Sites[0]; s.Name != "Alder Top" || !s.Sensitive || s.GridM != 2000 || s.Latitude != nil || s.Permitted || s.Code != "AB" {
			t.Errorf("site %+v", s)
		}
		if w := room.Walks[0]; w.Title != "Tops" || !w.LeaderID.IsZero() || !w.DueAt.Equal(due.Add(time.Hour)) || w.Number != 1 {
			t.Errorf("walk %+v", w)
		}
		if m := room.Teams[0]; m.Name != "The slow ones" || m.SiteID != f.site || !room.Plans[m.ID].DueAt.IsZero() || room.Plans[m.ID].WalkID != f.walk {
			t.Errorf("team %+v, plan %+v", m, room.Plans[m.ID])
		}
		if b := room.Tables[0]; b.Title != "Rail" || !b.Hazards || b.LengthMM != 2440 || b.FormGroups != "" || !b.Turned || b.PlanXMM != 0 {
			t.Errorf("table %+v", b)
		}
		for kind, want := range map[string]string{"site.change": `"Alder Bottom"`, "walk.change": `"Alders"`, "team.change": f.walk.String(), "table.change": `"bolete","bracket"`} {
			if got := f.was(t, kind); !strings.Contains(got, want) || !json.Valid([]byte(got)) {
				t.Errorf("%s keeps %s, want %s in it", kind, got, want)
			}
		}
		for name, err := range map[string]error{
			"a site that is none":  second(setup.ChangeSite(ctx, g.Hall, o, g.Scope, g.Command(t), setup.SiteChange{ID: f.walk, Site: setup.Site{Name: "x"}})),
			"a walk that is none":  second(setup.ChangeWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.WalkChange{ID: f.site})),
			"a team that is none":  second(setup.ChangeTeam(ctx, g.Hall, o, g.Scope, g.Command(t), setup.TeamChange{})),
			"a table that is none": second(setup.ChangeTable(ctx, g.Hall, o, g.Scope, g.Command(t), setup.TableChange{})),
		} {
			if !fault.Is(err, fault.NotFound) {
				t.Errorf("%s: %v", name, err)
			}
		}
		for name, c := range map[string]struct {
			err   error
			field string
		}{
			"a walk that is back before it leaves": {second(setup.AddWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Walk{Number: 2, StartsAt: due, DueAt: leaves})), "due_at"},
			"a walk without a start":               {second(setup.AddWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Walk{Number: 2, DueAt: due})), "starts_at"},
			"a walk of a week":                     {second(setup.AddWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Walk{Number: 2, StartsAt: leaves, DueAt: due.AddDate(0, 0, 7)})), "due_at"},
			"a walk that is there":                 {second(setup.AddWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Walk{Number: 1, StartsAt: leaves, DueAt: due})), "number"},
			"a walk at no site":                    {second(setup.AddWalk(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Walk{Number: 2, Site: "ZZ", StartsAt: leaves, DueAt: due})), "site"},
			"a team on no walk":                    {second(setup.AddTeam(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Team{Number: 8, Walk: "9"})), "walk"},
			"a team that is due before it leaves":  {second(setup.AddTeam(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Team{Number: 8, Walk: "1", DueAt: leaves})), "due_at"},
			"a table of a group that is none":      {second(setup.AddTable(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Table{Number: 8, Groups: []string{"roses"}})), "groups"},
			"a table as long as a street":          {second(setup.AddTable(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Table{Number: 8, LengthMM: 10001})), "length_mm"},
		} {
			if !names(c.err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, c.err, c.field)
			}
		}
	})
}

func second[A any](_ A, err error) error { return err }

func TestAWalkIsCalledOffAndOnAgain(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := fit(t, g)
		for _, on := range []bool{false, true} {
			if _, err := setup.CallWalkOff(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.CallOff{ID: f.walk, On: on}); err != nil {
				t.Fatal(err)
			}
			if off := !f.room(t).Walks[0].CalledOffAt.IsZero(); off == on {
				t.Errorf("asked for on %v: called off is %v", on, off)
			}
		}
	})
}

func TestDetailsOfAnEventAreCheckedAndGroupsAreMoved(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := fit(t, g)
		o := g.As[access.Organiser]
		good := setup.DetailsOf(f.room(t).Event)
		if good.RingMin != 15 || good.TellMin != 30 || good.SearchMin != 60 { // common practice
			t.Errorf("the ladder begins as %+v", good)
		}
		for name, c := range map[string]struct {
			change func(*setup.Details)
			field  string
		}{
			"no name":                             {func(d *setup.Details) { d.Name = " " }, "name"},
			"the last day first":                  {func(d *setup.Details) { d.EndsOn = "2026-10-01" }, "starts_on"},
			"a wait of no minutes":                {func(d *setup.Details) { d.RingMin = 0 }, "ring_min"},
			"a search before anybody was rung":    {func(d *setup.Details) { d.SearchMin = 10 }, "search_min"},
			"data that goes during the event":     {func(d *setup.Details) { d.DeletePersonalOn = d.EndsOn }, "delete_personal_on"},
			"data that goes on a day that is not": {func(d *setup.Details) { d.DeletePersonalOn = "2027-02-31" }, "delete_personal_on"},
		} {
			in := good
			c.change(&in)
			if _, err := setup.ChangeEvent(ctx, g.Hall, o, g.Scope, g.Command(t), in); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		good.DeletePersonalOn, good.Jurisdiction, good.EverythingRecorded = "2027-01-31", "England", true
		if _, err := setup.ChangeEvent(ctx, g.Hall, o, g.Scope, g.Command(t), good); err != nil {
			t.Fatal(err)
		}
		if got := setup.DetailsOf(f.room(t).Event); got != good {
			t.Errorf("stored %+v, want %+v", got, good)
		}
		before := f.room(t).Groups
		for _, m := range []setup.MoveGroup{{Group: before[1], Up: true}, {Group: before[1], Up: true}} { // the second time it is on top
			if _, err := setup.MoveGroupOnTables(ctx, g.Hall, o, g.Scope, g.Command(t), m); err != nil {
				t.Fatal(err)
			}
		}
		want := slices.Clone(before)
		want[0], want[1] = want[1], want[0]
		if got := f.room(t).Groups; !slices.Equal(got, want) {
			t.Errorf("order %v, want %v", got[:3], want[:3])
		}
		if _, err := setup.MoveGroupOnTables(ctx, g.Hall, o, g.Scope, g.Command(t), setup.MoveGroup{Group: "roses"}); !names(err, "group") {
			t.Errorf("a group that is none: %v", err)
		}
	})
}

func TestABlockOverlapsNoOther(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := fit(t, g)
		issue := func(b setup.Block) error {
			return second(setup.IssueBlock(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), b))
		}
		if room := f.room(t); room.NextFrom != 1 || room.NextTo != 50 {
			t.Errorf("the first pad is %d to %d", room.NextFrom, room.NextTo)
		}
		if err := issue(setup.Block{From: 101, To: 150, Team: "3"}); err != nil {
			t.Fatal(err)
		}
		if room := f.room(t); room.NextFrom != 151 || room.NextTo != 200 {
			t.Errorf("the next pad is %d to %d", room.NextFrom, room.NextTo)
		}
		for name, b := range map[string]setup.Block{"the same": {From: 101, To: 150, Person: "Mei Adeyemi"}, "one number of it": {From: 150, To: 160, Person: "Mei Adeyemi"},
			"round it": {From: 1, To: 500, Team: "3"}, "within it": {From: 120, To: 121, Team: "3"}} {
			err := issue(b)
			if !names(err, "from") || !strings.Contains(message.For(message.English).Text(fault.From(err).Fields["from"]), "0101 to 0150 were issued to team 3") {
				t.Errorf("%s: %v", name, err)
			}
		}
		for name, c := range map[string]struct {
			b     setup.Block
			field string
		}{"to nobody": {setup.Block{From: 1, To: 50}, "team"}, "to no team": {setup.Block{From: 1, To: 50, Team: "9"}, "team"}, "backwards": {setup.Block{From: 50, To: 1, Team: "3"}, "from"},
			"nought": {setup.Block{To: 50, Team: "3"}, "from"}, "beyond a label": {setup.Block{From: 999990, To: 1000000, Team: "3"}, "from"}, "a thousand and one": {setup.Block{From: 2000, To: 3000, Team: "3"}, "to"}} {
			if err := issue(c.b); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		if err := issue(setup.Block{From: 1, To: 100, Person: "Mei Adeyemi"}); err != nil {
			t.Errorf("a block that touches another: %v", err)
		}
	})
}

func TestAFlagIsOfOneTaxonWithASource(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := fit(t, g)
		o := g.As[access.Organiser]
		add := func(in setup.Flag) (setup.Made, error) {
			return setup.AddFlag(ctx, g.Hall, o, g.Scope, g.Command(t), in)
		}
		made, err := add(setup.Flag{Name: "hericium erinaceus", Flag: "protected", Source: "Schedule of the county"})
		if err != nil {
			t.Fatal(err)
		}
		for name, c := range map[string]struct {
			in    setup.Flag
			field string
		}{
			"a name that is none":       {setup.Flag{Name: "Hollinbeckia mirabilis", Flag: "protected", Source: "x"}, "name"},
			"a form group":              {setup.Flag{Name: "bolete", Flag: "protected", Source: "x"}, "name"},
			"a name with a doubt in it": {setup.Flag{Name: "Hericium cf. coralloides", Flag: "protected", Source: "x"}, "name"},
			"the same again":            {setup.Flag{Name: "Hericium erinaceus", Flag: "protected", Source: "x"}, "name"},
			"without a source":          {setup.Flag{Name: "Hericium coralloides", Flag: "protected"}, "source"},
			"another kind":              {setup.Flag{Name: "Hericium coralloides", Flag: "rare", Source: "x"}, "flag"},
		} {
			if _, err := add(c.in); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		if _, err := setup.ChangeFlag(ctx, g.Hall, o, g.Scope, g.Command(t), setup.FlagChange{ID: made.ID, Flag: setup.Flag{Name: "Hericium erinaceus", Flag: "protected", Source: "Schedule of the county", Permit: "P 4"}}); err != nil {
			t.Fatal(err)
		}
		flags := f.room(t).Flags
		if len(flags) != 1 || flags[0].Name != "Hericium erinaceus" || flags[0].Permit != "P 4" || flags[0].ID == made.ID {
			t.Errorf("flags %+v", flags)
		}
		if _, err := setup.TakeFlag(ctx, g.Hall, o, g.Scope, g.Command(t), setup.FlagTaken{ID: flags[0].ID}); err != nil || len(f.room(t).Flags) != 0 {
			t.Errorf("a flag that was taken stands: %v", err)
		}
		if _, err := setup.TakeFlag(ctx, g.Hall, o, g.Scope, g.Command(t), setup.FlagTaken{ID: flags[0].ID}); !fault.Is(err, fault.NotFound) {
			t.Errorf("taken twice: %v", err)
		}
	})
}

func TestAnEventIsMadeAsAnEarlierOneWasSetUp(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := fit(t, g)
		o := g.As[access.Organiser]
		details := setup.DetailsOf(f.room(t).Event)
		details.Jurisdiction, details.RingMin, details.DeletePersonalOn, details.EverythingRecorded = "England", 20, "2026-12-01", true
		for _, err := range []error{
			second(setup.ChangeEvent(ctx, g.Hall, o, g.Scope, g.Command(t), details)),
			second(setup.MoveGroupOnTables(ctx, g.Hall, o, g.Scope, g.Command(t), setup.MoveGroup{Group: "bracket", Up: true})),
			second(setup.AddFlag(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Flag{Name: "Hericium erinaceus", Flag: "protected", Source: "Schedule", Permit: "P 4"})),
			second(setup.IssueBlock(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Block{From: 1, To: 50, Team: "3"})),
			second(setup.CallWalkOff(ctx, g.Hall, o, g.Scope, g.Command(t), setup.CallOff{ID: f.walk})),
			second(safety.TypeContact(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Contact{Name: "Poison line", Phone: "0300 555 0142"})),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		society := access.Scope{Society: g.Scope.Society}
		in := setup.EventFrom{From: "hb26", Code: "HB27", StartsOn: "2027-04-03"}
		for name, c := range map[string]struct {
			by    access.Right
			in    setup.EventFrom
			field string
		}{
			"from an event that is none": {access.Organiser, setup.EventFrom{From: "HB20", Code: "HB27", StartsOn: "2027-04-03"}, "from"},
			"under the same code":        {access.Organiser, setup.EventFrom{From: "HB26", Code: "HB26", StartsOn: "2027-04-03"}, "code"},
			"without a day":              {access.Organiser, setup.EventFrom{From: "HB26", Code: "HB27"}, "starts_on"},
		} {
			if _, err := setup.AddEventFrom(ctx, g.Hall, g.As[c.by], society, g.Command(t), c.in); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		if _, err := setup.AddEventFrom(ctx, g.Hall, g.As[access.Member], society, g.Command(t), in); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a member sees where a sensitive site is: %v", err)
		}
		cmd := g.Command(t)
		made, err := setup.AddEventFrom(ctx, g.Hall, g.As[access.Steward], society, cmd, in)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := setup.AddEventFrom(ctx, g.Hall, g.As[access.Steward], society, cmd, in); err != nil || again != made {
			t.Errorf("sent again: %v %v", again, err)
		}
		old := f.room(t)
		room, err := setup.See(ctx, g.Hall, g.As[access.Steward], access.Scope{Society: g.Scope.Society, Event: made.ID})
		if err != nil {
			t.Fatal(err)
		}
		want := details
		want.StartsOn, want.EndsOn, want.DeletePersonalOn = "2027-04-03", "2027-04-04", "2027-05-11" // 161 days later
		if got := setup.DetailsOf(room.Event); got != want || room.Event.State != "open" {
			t.Errorf("details %+v, want %+v", got, want)
		}
		if !slices.Equal(room.Groups, old.Groups) || len(room.Flags) != 1 || room.Flags[0].Permit != "P 4" {
			t.Errorf("groups %v, flags %+v", room.Groups[:3], room.Flags)
		}
		if len(room.Sites) != 1 || room.Sites[0].ID == f.site || !reflect.DeepEqual(setup.SiteOf(room.Sites[0]), setup.SiteOf(old.Sites[0])) {
			t.Errorf("sites %+v", room.Sites)
		}
		if len(room.Tables) != 1 || room.Tables[0].ID == f.table || !reflect.DeepEqual(setup.TableOf(room.Tables[0]), setup.TableOf(old.Tables[0])) {
			t.Errorf("tables %+v", room.Tables)
		}
		// Ten o'clock in summer time before and after: the clocks changed twice in between.
		if w := room.Walks[0]; w.SiteID != room.Sites[0].ID || !w.StartsAt.Equal(time.Date(2027, 4, 3, 9, 0, 0, 0, time.UTC)) || w.DueAt.Sub(w.StartsAt.Time) != 150*time.Minute || !w.CalledOffAt.IsZero() || w.LeaderID.IsZero() {
			t.Errorf("walk %+v", w)
		}
		team := room.Teams[0]
		if p := room.Plans[team.ID]; team.LeaderID != old.Teams[0].LeaderID || p.WalkID != room.Walks[0].ID || !p.DueAt.Equal(time.Date(2027, 4, 3, 12, 30, 0, 0, time.UTC)) {
			t.Errorf("team %+v, plan %+v", team, p)
		}
		if len(room.Rights) != len(old.Rights)+1 { // and who made it organises it
			t.Errorf("%d rights, want %d", len(room.Rights), len(old.Rights)+1)
		}
		if len(room.Contacts) != 0 || len(room.Blocks) != 0 || len(room.Plates) != 0 {
			t.Errorf("copied what is typed anew: %d contacts, %d blocks, %d plates", len(room.Contacts), len(room.Blocks), len(room.Plates))
		}
	})
}

// A right that somebody has by a pass ends with its event.
func TestAPassIsNotCarriedIntoTheNextEvent(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		id := func() foray.ID { return g.Command(t).ID }
		o, at := g.As[access.Organiser], store.At(halltest.Saturday)
		person, account, pass := id(), id(), id()
		if err := g.Store.Write(ctx, func(tx *store.Tx) error {
			s, e := g.Scope.Society, g.Scope.Event
			for _, err := range []error{tx.AddPerson(store.Person{SocietyID: s, ID: person, Name: "Walk In", Credit: "full", Kind: "person", CreatedAt: at}),
				tx.AddAccount(store.Account{SocietyID: s, ID: account, PersonID: person, Login: "pass-1", CreatedAt: at}),
				tx.AddHallPass(store.HallPass{SocietyID: s, EventID: e, ID: pass, Held: "desk", SecretSha256: "x", MostUses: 3, MadeBy: o.Person, MadeAt: at}),
				tx.AddPassUse(store.PassUse{SocietyID: s, EventID: e, PassID: pass, PersonID: person, AccountID: account, UsedAt: at}),
				tx.GiveRight(store.EventRight{SocietyID: s, EventID: e, PersonID: person, Held: access.Desk, GivenBy: o.Person, GivenAt: at})} {
				if err != nil {
					return err
				}
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		made, err := setup.AddEventFrom(ctx, g.Hall, o, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.EventFrom{From: "HB26", Code: "HB27", StartsOn: "2027-04-03"})
		if err != nil {
			t.Fatal(err)
		}
		room, err := setup.See(ctx, g.Hall, o, access.Scope{Society: g.Scope.Society, Event: made.ID})
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range room.Rights {
			if r.PersonID == person {
				t.Errorf("the pass's right came along: %+v", r)
			}
		}
	})
}

func TestWhatIsMissingIsSaidWithItsPlace(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		keys := func(room setup.Room) (keys []string) {
			for _, m := range room.Missing() {
				if !message.Has(m.Text.Key) || !slices.Contains(setup.Parts, m.Part) {
					t.Errorf("%+v has no text or place", m)
				}
				keys = append(keys, strings.TrimPrefix(m.Text.Key, "setup.lacks."))
			}
			return keys
		}
		bare, err := setup.See(ctx, g.Hall, g.As[access.Organiser], g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := keys(bare), []string{"delete-personal", "sites", "walks", "teams", "tables", "contact"}; !slices.Equal(got, want) {
			t.Errorf("of a bare event: %v, want %v", got, want)
		}
		f := fit(t, g)
		o := g.As[access.Organiser]
		if got, want := keys(f.room(t)), []string{"delete-personal", "team-block", "table-hazards", "contact"}; !slices.Equal(got, want) {
			t.Errorf("fitted: %v, want %v", got, want)
		}
		for _, err := range []error{
			second(setup.ChangeSite(ctx, g.Hall, o, g.Scope, g.Command(t), setup.SiteChange{ID: f.site, Site: setup.Site{Name: "Alder Bottom"}})),
			second(setup.ChangeTable(ctx, g.Hall, o, g.Scope, g.Command(t), setup.TableChange{ID: f.table})),
			second(setup.AddFlag(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Flag{Name: "Hericium erinaceus", Flag: "protected", Source: "Schedule"})),
			second(safety.TypeContact(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Contact{Name: "Poison line", Phone: "0300 555 0142"})),
			second(setup.TakeRight(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Right{Person: g.As[access.SafetyLead].Person, Right: access.SafetyLead})),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		g.Pass(72 * time.Hour)
		if got, want := keys(f.room(t)), []string{"past", "jurisdiction", "delete-personal", "sunset", "team-block", "table-groups", "table-hazards", "safety-lead", "contact-test"}; !slices.Equal(got, want) {
			t.Errorf("with holes: %v, want %v", got, want)
		}
		if rows := f.room(t).Missing(); rows[3].Row != f.site || rows[4].Part != setup.PartNumbers {
			t.Errorf("the places are %+v and %+v", rows[3], rows[4])
		}
	})
}

func TestEverybodyOnStaffSeesWhoGaveWhat(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		o, member := g.As[access.Organiser], g.As[access.Member]
		for _, change := range []func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, setup.Right) (setup.Made, error){setup.GiveRight, setup.TakeRight} {
			g.Pass(time.Minute)
			if _, err := change(ctx, g.Hall, o, g.Scope, g.Command(t), setup.Right{Person: member.Person, Right: access.Scribe}); err != nil {
				t.Fatal(err)
			}
		}
		history, err := setup.RightHistory(ctx, g.Hall, g.As[access.Desk], g.Scope)
		if err != nil || len(history) < 2 || history[0].Given || !history[1].Given || history[0].Right != access.Scribe || history[0].To != member.Person || history[0].By != o.Person {
			t.Errorf("%+v %v", history, err)
		}
		if _, err := setup.RightHistory(ctx, g.Hall, member, g.Scope); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a member: %v", err)
		}
	})
}
