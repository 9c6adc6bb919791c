package visit_test

import (
	"fmt"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/visit"
)

// lastYear makes the society's foray of the year before, with a sensitive site.
func lastYear(t *testing.T, g *halltest.Ground) access.Scope {
	t.Helper()
	made, err := setup.AddEvent(ctx, g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "HB25", Name: "Autumn foray",
		Place: "Hollinbeck Hall", StartsOn: "2025-10-24", EndsOn: "2025-10-25", TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	scope := access.Scope{Society: g.Scope.Society, Event: made.ID}
	for _, r := range []setup.Right{{Person: g.As[access.Desk].Person, Right: access.Desk}, {Person: g.Second.Person, Right: access.Identifier}} {
		if _, err := setup.GiveRight(ctx, g.Hall, g.Machine, scope, g.Command(t), r); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := setup.AddSite(ctx, g.Hall, g.Machine, scope, g.Command(t), setup.Site{Code: "HID", Name: "Hidden Holt", Permitted: true, Sensitive: true}); err != nil {
		t.Fatal(err)
	}
	return scope
}

func brought(t *testing.T, g *halltest.Ground, scope access.Scope, number, name string, field desk.Field) {
	t.Helper()
	field.Group = "white_spored"
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], scope, g.Command(t), desk.Log{Number: number, Field: field})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := bench.SignOff(ctx, g.Hall, g.Second, scope, g.On(t, 0), bench.Word{Collection: c.ID, Name: hall.NameInput{Text: name}, Basis: "macroscopic"}); err != nil {
		t.Fatal(err)
	}
}

// told is a record as a line.
func told(r visit.Record) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d+%d", r.Finds.Confirmed, r.Finds.Unsure)
	for _, y := range r.Years {
		fmt.Fprintf(&b, "; %d %d+%d", y.Year, y.Confirmed, y.Unsure)
	}
	for _, s := range r.Sites {
		fmt.Fprintf(&b, "; %q %t %d+%d", s.Site.Name, s.Site.KeptBack, s.Confirmed, s.Unsure)
	}
	for _, h := range r.Hosts {
		fmt.Fprintf(&b, "; %q %d+%d", h.Host, h.Confirmed, h.Unsure)
	}
	for _, n := range r.Names {
		fmt.Fprintf(&b, "; %s%s %d-%d %d", n.Qualifier, n.Name, n.First, n.Last, n.Plates)
	}
	return b.String()
}

// The range of years of the doubted one says no year. It would catch a former name left out, another event's sensitive site told, what was cultivated or is doubted counted as
// a find, and a place told in the words after a host.
func TestTheSheetOfANameCountsTheFindsOfAllEventsUnderAllOfItsNames(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Site{Code: "ALD", Name: "Alder Carr", Permitted: true}); err != nil {
			t.Fatal(err)
		}
		before := lastYear(t, g)
		brought(t, g, g.Scope, "1", "Clitocybe gibba", desk.Field{Site: "ALD", Host: "Fagus"})
		brought(t, g, g.Scope, "2", "Hydnum repandum", desk.Field{Site: "ALD", Host: "Quercus"})
		brought(t, g, before, "1", "Infundibulicybe gibba", desk.Field{Site: "HID", Host: "fagus, by the weir at Hidden Holt"})
		brought(t, g, before, "2", "cf. Infundibulicybe gibba", desk.Field{Host: "under the big oak by the weir", PickedFrom: "2019-10-01", PickedTo: "2021-10-01", PickedText: "about 2020"})
		brought(t, g, before, "3", "Infundibulicybe gibba", desk.Field{Cultivated: true})
		want := `2+1; 2026 1+0; 2025 1+0; 0 0+1; "Alder Carr" false 1+0; "" true 1+0; "" false 0+1; "Fagus" 2+0; "" 0+1; Clitocybe gibba 2026-2026 1; Infundibulicybe gibba 2026-2026 2; cf.Infundibulicybe gibba 2026-2026 1`
		for _, asked := range []string{"Infundibulicybe gibba", "Clitocybe gibba"} {
			got, err := visit.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, asked)
			if err != nil || told(got.Record) != want {
				t.Errorf("%s: %v\n got %s\nwant %s", asked, err, told(got.Record), want)
			}
			if got.Finds != 1 || got.Said == "" {
				t.Errorf("%s: %d finds here, said %q", asked, got.Finds, got.Said)
			}
		}
		for _, right := range access.Rights {
			if got, err := visit.SeeTaxon(ctx, g.Hall, g.As[right], g.Scope, "Clitocybe gibba"); err != nil || told(got.Record) != want {
				t.Errorf("%s is told %s, %v", right, told(got.Record), err)
			}
		}
		empty, err := visit.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, "Morchella esculenta")
		if err != nil || told(empty.Record) != "0+0" {
			t.Errorf("what nobody found: %s, %v", told(empty.Record), err)
		}
	})
}

// A line of the list may bear a name that no list knows and that nobody brought in: its link must lead somewhere.
func TestANameThatWasSeenInTheFieldAloneHasItsPage(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := fieldwork.AddRecord(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), fieldwork.Record{Name: "Inventaria nova", Outside: true}); err != nil {
			t.Fatal(err)
		}
		got, err := visit.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, "Inventaria nova")
		if err != nil || got.Name != nil || got.Here.Name != "Inventaria nova" {
			t.Errorf("%+v, %v", got.Here, err)
		}
		if _, err := visit.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, "Inventaria altera"); !fault.Is(err, fault.NotFound) {
			t.Errorf("a name that nobody wrote: %v", err)
		}
	})
}

func TestTheSheetExplainsTheWordsOfItsTextsAndTheWayUp(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		got, err := visit.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, "Amanita phalloides")
		if err != nil {
			t.Fatal(err)
		}
		var words, above []string
		for _, w := range got.Words {
			words = append(words, w.Word)
		}
		for _, a := range got.Wider() {
			above = append(above, string(a.Rank))
		}
		for _, w := range []string{"gills", "print", "ring", "sac at the base"} {
			if !strings.Contains(strings.Join(words, ";")+";", w+";") {
				t.Errorf("%s is not explained among %v", w, words)
			}
		}
		if way := strings.Join(above, " "); !strings.HasSuffix(way, "genus family order class phylum kingdom") {
			t.Errorf("the way up is %s", way)
		}
		plain, err := visit.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, "Fuligo septica")
		if err != nil || len(plain.Doubles) == 0 && len(plain.Words) != 0 {
			t.Errorf("words without texts: %v, %v", plain.Words, err)
		}
	})
}
