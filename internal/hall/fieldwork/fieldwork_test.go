package fieldwork_test

import (
	"context"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/setup"
)

var ctx = context.Background()

func ground(t *testing.T, g *halltest.Ground) {
	t.Helper()
	for _, s := range []setup.Site{{Code: "ALD", Name: "Alder Carr"}, {Code: "WEI", Name: "Weir Bank"}} {
		if _, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), s); err != nil {
			t.Fatal(err)
		}
	}
	for i, leader := range []string{"Person team_leader", "Person organiser"} {
		if _, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: i + 1, Leader: leader, Site: "ALD"}); err != nil {
			t.Fatal(err)
		}
	}
}

func record(t *testing.T, g *halltest.Ground, by access.Actor, in fieldwork.Record) (fieldwork.Stood, error) {
	t.Helper()
	return fieldwork.AddRecord(ctx, g.Hall, by, g.Scope, g.Command(t), in)
}

func recorded(t *testing.T, g *halltest.Ground, by access.Actor, in fieldwork.Record) fieldwork.Stood {
	t.Helper()
	done, err := record(t, g, by, in)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

func see(t *testing.T, g *halltest.Ground, by access.Actor, show string) fieldwork.Page {
	t.Helper()
	p, err := fieldwork.See(ctx, g.Hall, by, g.Scope, show)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestTheSameTaxonFromTheSameSiteIsCountedAndNotWrittenTwice(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ground(t, g)
		leader := g.As[access.TeamLeader]
		first := recorded(t, g, leader, fieldwork.Record{Team: "1", Name: "Xerocomus badius", Count: 6})
		if first.Count != 6 || first.Confirmed {
			t.Fatalf("first: %+v", first)
		}
		_, err := record(t, g, leader, fieldwork.Record{Site: "ALD", Name: "Imleria badia"}) // its name today, from the team's site
		if same, ok := fault.From(err).Other.(fieldwork.Same); !ok || !fault.Is(err, fault.Conflict) || same.Record != first.Record || same.Count != 6 {
			t.Fatalf("the same under its current name: %v %+v", err, fault.From(err))
		}
		for name, in := range map[string]fieldwork.Record{
			"another site":     {Site: "WEI", Name: "Imleria badia"},
			"with doubt":       {Site: "ALD", Name: "Imleria cf. badia"},
			"said to be apart": {Site: "ALD", Name: "Imleria badia", Again: true},
			"from outside":     {Site: "ALD", Name: "Imleria badia", Outside: true},
		} {
			if _, err := record(t, g, leader, in); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
		if _, err := record(t, g, g.As[access.Member], fieldwork.Record{Site: "ALD", Name: "Imleria badia"}); err != nil {
			t.Errorf("a member, who may not add to another's record: %v", err)
		}
		cmd := g.Command(t)
		for range 2 {
			if done, err := fieldwork.AddTally(ctx, g.Hall, leader, g.Scope, cmd, fieldwork.Tally{Record: first.Record, N: 2}); err != nil || done.Count != 8 {
				t.Errorf("two more, sent twice: %+v %v", done, err)
			}
		}
		if _, err := fieldwork.AddTally(ctx, g.Hall, leader, g.Scope, g.Command(t), fieldwork.Tally{Record: first.Record, N: -9}); !fault.Is(err, fault.Invalid) {
			t.Errorf("fewer than none: %v", err)
		}
		if done, err := fieldwork.AddTally(ctx, g.Hall, leader, g.Scope, g.Command(t), fieldwork.Tally{Record: first.Record, N: -8}); err != nil || done.Count != 0 {
			t.Errorf("all taken back: %+v %v", done, err)
		}
	})
}

func TestWhoStandsBehindARecord(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ground(t, g)
		if done := recorded(t, g, g.As[access.Identifier], fieldwork.Record{Name: "Fomes fomentarius"}); !done.Confirmed {
			t.Error("an identifier's own record has nobody behind it")
		}
		if done := recorded(t, g, g.As[access.Identifier], fieldwork.Record{Name: "Fomes fomentarius", Observer: "Mei Adeyemi", Again: true}); done.Confirmed {
			t.Error("another's record, entered by an identifier, has somebody behind it unasked")
		}
		c := recorded(t, g, g.As[access.Desk], fieldwork.Record{Name: "Panellus stipticus"})
		stand := func(by access.Actor, in fieldwork.Stand) error {
			_, err := fieldwork.StandBehind(ctx, g.Hall, by, g.Scope, g.Command(t), in)
			return err
		}
		for _, right := range access.Rights {
			if access.Allows(right, access.SignOff) {
				continue
			}
			if err := stand(g.As[right], fieldwork.Stand{Record: c.Record}); err == nil {
				t.Errorf("%s stood behind it", right)
			}
		}
		if err := stand(g.As[access.Scribe], fieldwork.Stand{Record: c.Record, Determiner: g.As[access.Desk].Person}); !fault.Is(err, fault.Invalid) {
			t.Errorf("for somebody who may not determine: %v", err)
		}
		if err := stand(g.As[access.Scribe], fieldwork.Stand{Record: c.Record, Determiner: g.Third.Person}); err != nil {
			t.Errorf("a scribe for an identifier: %v", err)
		}
		if err := stand(g.Third, fieldwork.Stand{Record: c.Record}); !fault.Is(err, fault.Refused) {
			t.Errorf("twice: %v", err)
		}
		row := see(t, g, g.As[access.Desk], fieldwork.ShowOwn).Rows[0]
		if !row.Counts || len(row.Behind) != 1 || row.Behind[0] != "Person third" || row.Stands[0].WriterID != g.As[access.Scribe].Person {
			t.Errorf("behind it: %+v", row)
		}
		group := recorded(t, g, g.As[access.Desk], fieldwork.Record{Name: g.Knowledge.Groups[0].Name})
		if err := stand(g.Third, fieldwork.Stand{Record: group.Record}); !fault.Is(err, fault.Refused) {
			t.Errorf("behind a form group: %v", err)
		}
	})
}

func TestARecordIsTakenBackOnceByWhoeverMay(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ground(t, g)
		strike := func(by access.Actor, id foray.ID, reason string) error {
			_, err := fieldwork.StrikeRecord(ctx, g.Hall, by, g.Scope, g.Command(t), fieldwork.Strike{Record: id, Reason: reason})
			return err
		}
		may := map[access.Right]bool{access.Identifier: true, access.ChiefIdentifier: true, access.ListKeeper: true}
		for _, right := range access.Rights {
			c := recorded(t, g, g.As[access.Member], fieldwork.Record{Name: "Panellus stipticus", Again: true})
			if err := strike(g.As[right], c.Record, "it was a crust"); (err == nil) != (may[right] || right == access.Member) {
				t.Errorf("%s: %v", right, err)
			}
		}
		c := recorded(t, g, g.As[access.Desk], fieldwork.Record{Name: "Panellus stipticus", Observer: "Person member", Again: true})
		if err := strike(g.As[access.Desk], c.Record, " "); !fault.Is(err, fault.Invalid) {
			t.Errorf("without a reason: %v", err)
		}
		if err := strike(g.As[access.Desk], c.Record, "another tree"); err != nil {
			t.Errorf("by whoever entered it: %v", err)
		}
		if err := strike(g.As[access.Member], c.Record, "another tree"); !fault.Is(err, fault.Refused) {
			t.Errorf("twice: %v", err)
		}
		if _, err := fieldwork.AddTally(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), fieldwork.Tally{Record: c.Record, N: 1}); !fault.Is(err, fault.Refused) {
			t.Errorf("counted after it was taken back: %v", err)
		}
		if _, err := fieldwork.StandBehind(ctx, g.Hall, g.Second, g.Scope, g.Command(t), fieldwork.Stand{Record: c.Record}); !fault.Is(err, fault.Refused) {
			t.Errorf("stood behind after it was taken back: %v", err)
		}
	})
}

func TestMembersWriteForThemselvesAndSeeTheirOwn(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ground(t, g)
		member, leader := g.As[access.Member], g.As[access.TeamLeader]
		other := recorded(t, g, leader, fieldwork.Record{Team: "1", Name: "Panellus stipticus"})
		g.Pass(time.Minute)
		own := recorded(t, g, member, fieldwork.Record{Name: "Fomes fomentarius", Site: "WEI"})
		if _, err := record(t, g, member, fieldwork.Record{Name: "Fuligo septica", Observer: "Mei Adeyemi"}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("for another observer: %v", err)
		}
		if _, err := record(t, g, member, fieldwork.Record{Name: "Fuligo septica", Team: "1"}); !fault.Is(err, fault.Invalid) {
			t.Errorf("for a team they do not walk with: %v", err)
		}
		if _, err := fieldwork.AddTally(ctx, g.Hall, member, g.Scope, g.Command(t), fieldwork.Tally{Record: other.Record, N: 1}); !fault.Is(err, fault.NotFound) {
			t.Errorf("counted another's: %v", err)
		}
		if p := see(t, g, member, fieldwork.ShowAll); p.Show != fieldwork.ShowOwn || len(p.Rows) != 1 || p.Rows[0].ID != own.Record || len(p.Teams) != 0 {
			t.Errorf("a member sees %+v", p)
		}
		if p := see(t, g, leader, ""); p.Show != "1" || p.Own != 1 || len(p.Rows) != 1 || p.Rows[0].Site != "Alder Carr" {
			t.Errorf("a leader sees %+v", p)
		}
		if p := see(t, g, leader, fieldwork.ShowAll); len(p.Rows) != 2 || p.Rows[0].ID != own.Record {
			t.Errorf("everything, newest first: %+v", p.Rows)
		}
		if _, err := outside.AddMember(ctx, g.Hall, leader, g.Scope, g.Command(t), outside.Join{Team: "1", Person: member.Person, About: outside.About{Name: "Person member"}}); err != nil {
			t.Fatal(err)
		}
		if done, err := record(t, g, member, fieldwork.Record{Name: "Fuligo septica", Team: "1"}); err != nil || len(see(t, g, member, "").Rows) != 2 {
			t.Errorf("walking with the team: %+v %v", done, err)
		}
		if _, err := record(t, g, access.Nobody, fieldwork.Record{Name: "Fuligo septica"}); !fault.Is(err, fault.NotSignedIn) {
			t.Errorf("a visitor: %v", err)
		}
	})
}

func TestWhatIsWrongIsSaidFieldByField(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		_, err := record(t, g, g.As[access.Desk], fieldwork.Record{Team: "9", Site: "nowhere", Count: -1})
		fields := fault.From(err).Fields
		for _, name := range []string{"name", "team", "site", "count"} {
			if fields[name].IsZero() {
				t.Errorf("nothing is said of %s: %v", name, fields)
			}
		}
		made := recorded(t, g, g.As[access.Desk], fieldwork.Record{Name: "Fuligo septica"})
		if _, err := record(t, g, g.As[access.Desk], fieldwork.Record{ID: made.Record, Name: "Fomes fomentarius"}); !fault.Is(err, fault.Refused) {
			t.Errorf("an id that is there: %v", err)
		}
		if done := recorded(t, g, g.As[access.Desk], fieldwork.Record{Name: "Hollinbeckia nova"}); done.Name != "Hollinbeckia nova" || done.Count != 1 {
			t.Errorf("a name that nobody knows: %+v", done)
		}
	})
}
