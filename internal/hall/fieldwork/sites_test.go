package fieldwork_test

import (
	"slices"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/setup"
)

// secretSites are two sensitive sites beside those of the ground, each with a team.
func secretSites(t *testing.T, g *halltest.Ground) {
	t.Helper()
	ground(t, g)
	for i, s := range []setup.Site{{Code: "FEN", Name: "Hidden Fen", Sensitive: true}, {Code: "OAK", Name: "Old Oak", Sensitive: true}} {
		if _, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), s); err != nil {
			t.Fatal(err)
		}
		if _, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 3 + i, Leader: "Person team_leader", Site: s.Code}); err != nil {
			t.Fatal(err)
		}
	}
}

func labels(p fieldwork.Page) (found []string) {
	for _, s := range p.Sites {
		found = append(found, s.Label)
	}
	slices.Sort(found)
	return found
}

func TestASensitiveSiteIsUnknownToWhoeverDoesNotWalkThere(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		secretSites(t, g)
		member, leader := g.As[access.Member], g.As[access.TeamLeader]
		written := []string{"FEN", "hidden fen", "OAK", "Old Oak"}
		for _, s := range see(t, g, leader, "").Sites {
			if s.Label == "Old Oak" || s.Label == "Hidden Fen" {
				written = append(written, s.ID.String())
			}
		}
		try := func(by access.Actor, want map[string]bool, names ...string) {
			t.Helper()
			if got := labels(see(t, g, by, "")); !slices.Equal(got, names) {
				t.Errorf("is shown %v, want %v", got, names)
			}
			for _, text := range written[:4] {
				_, err := record(t, g, by, fieldwork.Record{Name: "Fuligo septica", Site: text, Again: true})
				if known := fault.From(err).Fields["site"].Key == ""; known != want[text] {
					t.Errorf("%q: %v", text, err)
				}
			}
		}
		try(member, nil, "Alder Carr", "Weir Bank")
		for _, id := range written[4:] {
			_, err := record(t, g, member, fieldwork.Record{Name: "Fuligo septica", Site: id, Again: true})
			_, nowhere := record(t, g, member, fieldwork.Record{Name: "Fuligo septica", Site: "nowhere", Again: true})
			if a, b := fault.From(err).Fields["site"], fault.From(nowhere).Fields["site"]; a.Key != b.Key || a.Key == "" {
				t.Errorf("a sensitive site is answered %v, one that is not there %v", a, b)
			}
		}
		if len(written) != 6 {
			t.Fatalf("staff see %v", labels(see(t, g, leader, "")))
		}
		try(leader, map[string]bool{"FEN": true, "hidden fen": true, "OAK": true, "Old Oak": true}, "Alder Carr", "Hidden Fen", "Old Oak", "Weir Bank")
		if _, err := outside.AddMember(ctx, g.Hall, leader, g.Scope, g.Command(t), outside.Join{Team: "3", Person: member.Person, About: outside.About{Name: "Person member"}}); err != nil {
			t.Fatal(err)
		}
		try(member, map[string]bool{"FEN": true, "hidden fen": true}, "Alder Carr", "Hidden Fen", "Weir Bank")
	})
}

// A record of a team's names the site where the team walks, and not one where only staff know that somebody was.
func TestARowNamesNoSiteThatItsReaderMayNotName(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		secretSites(t, g)
		member, leader := g.As[access.Member], g.As[access.TeamLeader]
		if _, err := outside.AddMember(ctx, g.Hall, leader, g.Scope, g.Command(t), outside.Join{Team: "3", Person: member.Person, About: outside.About{Name: "Person member"}}); err != nil {
			t.Fatal(err)
		}
		recorded(t, g, leader, fieldwork.Record{Team: "3", Name: "Fuligo septica"})
		recorded(t, g, leader, fieldwork.Record{Team: "3", Name: "Fomes fomentarius", Site: "OAK"})
		for _, c := range []struct {
			who  access.Actor
			want map[string]string
		}{
			{member, map[string]string{"Fuligo septica": "Hidden Fen", "Fomes fomentarius": ""}},
			{leader, map[string]string{"Fuligo septica": "Hidden Fen", "Fomes fomentarius": "Old Oak"}},
		} {
			rows := see(t, g, c.who, "3").Rows
			if len(rows) != 2 {
				t.Fatalf("%d rows", len(rows))
			}
			for _, row := range rows {
				if row.Site != c.want[row.Name] {
					t.Errorf("%s from %q, want %q", row.Name, row.Site, c.want[row.Name])
				}
			}
		}
	})
}
