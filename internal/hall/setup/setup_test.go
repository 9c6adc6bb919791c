package setup_test

import (
	"context"
	"math"
	"strings"
	"sync"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

var ctx = context.Background()

func ptr[T any](v T) *T { return &v }

// names reports whether an error is Invalid and names the field.
func names(err error, field string) bool {
	_, ok := fault.From(err).Fields[field]
	return ok && fault.Is(err, fault.Invalid)
}

func TestAnEventIsMadeWholeOrNotAtAll(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		good := setup.Event{Code: "hb27", Name: "Spring foray", StartsOn: "2027-04-10", TimeZone: "Europe/London", Region: "EU"}
		society := access.Scope{Society: g.Scope.Society}
		for name, c := range map[string]struct {
			change func(*setup.Event)
			field  string
		}{
			"a code of words":             {func(e *setup.Event) { e.Code = "SPRING FORAY" }, "code"},
			"a code that is taken":        {func(e *setup.Event) { e.Code = "HB26" }, "code"},
			"no name":                     {func(e *setup.Event) { e.Name = " " }, "name"},
			"a name without end":          {func(e *setup.Event) { e.Name = strings.Repeat("x", 201) }, "name"},
			"no day":                      {func(e *setup.Event) { e.StartsOn = "soon" }, "starts_on"},
			"a day that is none":          {func(e *setup.Event) { e.StartsOn = "2027-02-30" }, "starts_on"},
			"an end before the beginning": {func(e *setup.Event) { e.EndsOn = "2027-04-09" }, "starts_on"},
			"no time zone":                {func(e *setup.Event) { e.TimeZone = "" }, "time_zone"},
			"a zone that is none":         {func(e *setup.Event) { e.TimeZone = "Hollinbeck" }, "time_zone"},
			"the zone of some machine":    {func(e *setup.Event) { e.TimeZone = "Local" }, "time_zone"},
			"a region that is none":       {func(e *setup.Event) { e.Region = "Atlantis" }, "region"},
		} {
			in := good
			c.change(&in)
			if _, err := setup.AddEvent(ctx, g.Hall, g.As[access.Member], society, g.Command(t), in); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		if _, err := setup.AddEvent(ctx, g.Hall, access.Nobody, society, g.Command(t), good); !fault.Is(err, fault.NotSignedIn) {
			t.Errorf("a visitor: %v", err)
		}
		made, err := setup.AddEvent(ctx, g.Hall, g.As[access.Member], society, g.Command(t), good)
		if err != nil {
			t.Fatal(err)
		}
		a, err := g.FindEvent(ctx, "hollinbeck", "HB27")
		if err != nil || a.Event.ID != made.ID || a.Event.EndsOn != "2027-04-10" {
			t.Errorf("%+v %v", a.Event, err)
		}
		if held, err := g.HeldIn(ctx, g.As[access.Member], a.Scope); err != nil || !held.Has(access.Organiser) {
			t.Errorf("who made it holds %v, %v", held, err)
		}
		if held, err := g.HeldIn(ctx, g.As[access.Organiser], a.Scope); err != nil || held.Staff() {
			t.Errorf("the organiser of another event holds %v, %v", held, err)
		}
	})
}

func TestSitesTeamsAndTablesAreChecked(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser := g.As[access.Organiser]
		site := func(s setup.Site) error {
			_, err := setup.AddSite(ctx, g.Hall, organiser, g.Scope, g.Command(t), s)
			return err
		}
		team := func(s setup.Team) error {
			_, err := setup.AddTeam(ctx, g.Hall, organiser, g.Scope, g.Command(t), s)
			return err
		}
		table := func(s setup.Table) error {
			_, err := setup.AddTable(ctx, g.Hall, organiser, g.Scope, g.Command(t), s)
			return err
		}
		for _, err := range []error{site(setup.Site{Code: "ab", Name: "Alder Bottom", Latitude: ptr(53.1), Longitude: ptr(-1.5)}),
			team(setup.Team{Number: 1, Leader: "Ines Okafor", Site: "AB"}), table(setup.Table{Number: 7, Title: "Boletes"})} {
			if err != nil {
				t.Fatal(err)
			}
		}
		for name, c := range map[string]struct {
			err   error
			field string
		}{
			"a site without a name":       {site(setup.Site{Code: "CD"}), "name"},
			"a site without a code":       {site(setup.Site{Name: "Clay Dell"}), "name"},
			"a site with half a point":    {site(setup.Site{Code: "CD", Name: "Clay Dell", Latitude: ptr(53.1)}), "latitude"},
			"a site beyond the pole":      {site(setup.Site{Code: "CD", Name: "Clay Dell", Latitude: ptr(90.1), Longitude: ptr(0.0)}), "latitude"},
			"a site round the world":      {site(setup.Site{Code: "CD", Name: "Clay Dell", Latitude: ptr(53.1), Longitude: ptr(181.0)}), "latitude"},
			"a grid as wide as the world": {site(setup.Site{Code: "CD", Name: "Clay Dell", GridM: math.MaxInt32}), "grid_m"},
			"an uncertainty below nought": {site(setup.Site{Code: "CD", Name: "Clay Dell", UncertaintyM: -1}), "grid_m"},
			"a site code that is taken":   {site(setup.Site{Code: "AB", Name: "Another"}), "code"},
			"a team without a number":     {team(setup.Team{}), "number"},
			"a team that is there":        {team(setup.Team{Number: 1}), "number"},
			"a team at an unknown site":   {team(setup.Team{Number: 2, Site: "ZZ"}), "site"},
			"table nought":                {table(setup.Table{}), "number"},
			"table 1000":                  {table(setup.Table{Number: 1000}), "number"},
			"a table that is there":       {table(setup.Table{Number: 7}), "number"},
		} {
			if !names(c.err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, c.err, c.field)
			}
		}
		for _, right := range access.Rights {
			_, err := setup.AddTable(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), setup.Table{Number: 100 + len(right)*10 + int(right[0])%10})
			if may := access.Allows(right, access.SetUp); (err == nil) != may {
				t.Errorf("%s makes a table: %v", right, err)
			}
		}
		room, err := setup.See(ctx, g.Hall, organiser, g.Scope)
		if err != nil || len(room.Sites) != 1 || len(room.Teams) != 1 || len(room.Tables) != 2 {
			t.Errorf("%d sites, %d teams, %d tables, %v", len(room.Sites), len(room.Teams), len(room.Tables), err)
		}
		if _, err := setup.See(ctx, g.Hall, g.As[access.Member], g.Scope); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a member sees the set-up: %v", err)
		}
	})
}

func TestRightsAreGivenTakenAndOnRecord(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser, member := g.As[access.Organiser], g.As[access.Member]
		give := func(r setup.Right) (setup.Made, error) {
			return setup.GiveRight(ctx, g.Hall, organiser, g.Scope, g.Command(t), r)
		}
		take := func(r setup.Right) error {
			_, err := setup.TakeRight(ctx, g.Hall, organiser, g.Scope, g.Command(t), r)
			return err
		}
		if err := take(setup.Right{Person: organiser.Person, Right: access.Organiser}); !fault.Is(err, fault.Refused) {
			t.Errorf("the last organiser goes: %v", err)
		}
		if _, err := give(setup.Right{Person: member.Person, Right: access.Organiser}); err != nil {
			t.Fatal(err)
		}
		if err := take(setup.Right{Person: organiser.Person, Right: access.Organiser}); err != nil {
			t.Fatal(err)
		}
		if _, err := give(setup.Right{Person: organiser.Person, Right: access.Desk}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the organiser of before still gives: %v", err)
		}
		organiser = member
		made, err := give(setup.Right{Name: "Dora Vale", Right: access.Identifier})
		if err != nil || made.ID.IsZero() {
			t.Errorf("a determiner without an account: %v", err)
		}
		for name, c := range map[string]struct {
			right setup.Right
			field string
		}{
			"a right that is none":       {setup.Right{Person: member.Person, Right: "king"}, "role"},
			"what comes by itself":       {setup.Right{Person: member.Person, Right: access.Member}, "role"},
			"nobody":                     {setup.Right{Right: access.Desk}, "person"},
			"a name longer than a label": {setup.Right{Name: strings.Repeat("x", 201), Right: access.Desk}, "collector"},
		} {
			if _, err := give(c.right); !names(err, c.field) {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		_, _, stranger := g.Another(t, "otherwood", "Otherwood Fungus Group")
		if _, err := give(setup.Right{Person: stranger.Person, Right: access.Organiser}); !fault.Is(err, fault.NotFound) {
			t.Errorf("a person of another society: %v", err)
		}
		record := map[string]int{}
		if err := g.Store.Read(ctx, func(tx *store.Tx) error {
			audits, err := tx.Audits(g.Scope.Society, g.Scope.Event, 1000)
			for _, a := range audits {
				record[a.Kind+" "+a.Detail+" "+a.Subject.String()+" by "+a.PersonID.String()]++
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
		first := g.As[access.Organiser].Person
		for _, want := range []string{"right.give organiser " + member.Person.String() + " by " + first.String(),
			"right.take organiser " + first.String() + " by " + first.String(),
			"right.give identifier " + made.ID.String() + " by " + member.Person.String()} {
			if record[want] != 1 {
				t.Errorf("on record %d times: %s", record[want], want)
			}
		}
	})
}

// Two organisers who take each other's right in the same moment do not leave the event to nobody.
func TestTwoOrganisersAtOnceDoNotBothGo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		pair := []access.Actor{g.As[access.Organiser], g.As[access.Member]}
		for range 8 {
			for _, p := range pair {
				if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Right{Person: p.Person, Right: access.Organiser}); err != nil {
					t.Fatal(err)
				}
			}
			var wg sync.WaitGroup
			for i := range pair {
				cmd := g.Command(t)
				wg.Go(func() {
					_, _ = setup.TakeRight(ctx, g.Hall, pair[i], g.Scope, cmd, setup.Right{Person: pair[1-i].Person, Right: access.Organiser})
				})
			}
			wg.Wait()
			room, err := setup.See(ctx, g.Hall, g.As[access.Desk], g.Scope)
			if err != nil {
				t.Fatal(err)
			}
			organisers := 0
			for _, r := range room.Rights {
				if r.Held == access.Organiser {
					organisers++
				}
			}
			if organisers == 0 {
				t.Fatal("nobody organises the event")
			}
		}
	})
}

func TestASocietysCodeIsPartOfItsAddress(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for _, code := range []string{"", "a", "Otherwood", "9lives", "api", "static", "sign-in", "a b", "hollinbeck", strings.Repeat("x", 40)} {
			if _, err := setup.AddSociety(ctx, g.Hall, code, "Some society"); !names(err, "code") {
				t.Errorf("the code %q: %v", code, err)
			}
		}
		if _, err := setup.AddSociety(ctx, g.Hall, "otherwood", " "); !names(err, "name") {
			t.Errorf("no name: %v", err)
		}
	})
}
