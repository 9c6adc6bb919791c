package list_test

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall/checklist"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
)

// A list of our own: one name moved, two joined into one, a family renamed, one name that it does not have.
const moved = `taxonID,scientificName,scientificNameAuthorship,taxonRank,taxonomicStatus,acceptedNameUsageID,family
1,Venenarius phalloides,Someone,species,accepted,,Venenariaceae
2,Amanita phalloides,(Vaill. ex Fr.) Link,species,synonym,1,
3,Boletus edulis,Bull.,species,accepted,,Otherfamily
4,Boletus reticulatus,Schaeff.,species,synonym,3,
`

func TestWhatTheNamesOfAVersionWouldBeToday(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for n, name := range []string{"Amanita phalloides", "Boletus edulis", "Boletus reticulatus", "Galerina marginata"} {
			sign(t, g, 0, g.Second, logged(t, g, n+1, desk.Field{}), name)
		}
		if _, err := publish(g, g.Command(t), see(t, g).Seq); err != nil {
			t.Fatal(err)
		}
		again := func() list.Renamings {
			own, err := g.For(t.Context(), g.Society.ID)
			if err != nil {
				t.Fatal(err)
			}
			r, err := list.SeeToday(t.Context(), own, g.As[access.Visitor], g.Scope, 1)
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		if r := again(); r.Changed() != 0 || len(r.Lines) != 4 || r.Then != r.Now {
			t.Errorf("under the same list: %+v", r)
		}
		in, err := checklist.Import(t.Context(), g.Hall, archive.ChecklistFile("own.csv", strings.NewReader(moved), int64(len(moved))), "own.csv", nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := checklist.Choose(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), checklist.Choice{Checklist: in.ID}); err != nil {
			t.Fatal(err)
		}
		r := again()
		var got []string
		for _, l := range r.Lines {
			got = append(got, l.Name+" "+string(l.Change)+" "+l.Now)
		}
		slices.Sort(got)
		want := []string{"Amanita phalloides moved Venenarius phalloides", "Boletus edulis joined Boletus edulis", "Boletus reticulatus joined Boletus edulis",
			"Galerina marginata unchanged Galerina marginata"}
		if !slices.Equal(got, want) || r.Then == r.Now {
			t.Errorf("%q, want %q", got, want)
		}
		data, err := r.CSV()
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
		if err != nil || len(rows) != 5 || rows[0][0] != "listed_name" {
			t.Errorf("%v, %v", rows, err)
		}
		// The signed version stays as it is.
		if _, c, err := list.Version(t.Context(), g.Hall, g.As[access.Visitor], g.Scope, 1); err != nil || !slices.ContainsFunc(c.Lines, func(l list.CanonicalLine) bool { return l.Name == "Amanita phalloides" }) {
			t.Errorf("version 1 now: %+v, %v", c.Lines, err)
		}
	})
}
