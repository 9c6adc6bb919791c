package list_test

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/checklist"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
)

// TestAYearLaterVersionTwoSaysWhyAndVersionOneIsStillItself: an event is signed and closed; after a year a sequence makes
// one find another species, and the society follows a newer list under which another is called something else.
func TestAYearLaterVersionTwoSaysWhyAndVersionOneIsStillItself(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for n, name := range []string{"Suillus luteus", "Amanita phalloides", "Galerina marginata"} {
			sign(t, g, 0, g.Second, logged(t, g, n+1, desk.Field{}), name)
		}
		if _, err := publish(g, g.Command(t), see(t, g).Seq); err != nil {
			t.Fatal(err)
		}
		first, _, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 1)
		if err != nil {
			t.Fatal(err)
		}
		plate, err := bench.SeeCollection(ctx, g.Hall, g.Second, g.Scope, foray.Number{Base: 1})
		if err != nil {
			t.Fatal(err)
		}
		g.CloseEvent(t)
		g.Pass(370 * 24 * time.Hour)
		if _, err := bench.SignOff(ctx, g.Hall, g.Second, g.Scope, g.On(t, 1), bench.Word{Collection: plate.Plate.ID, Name: hall.NameInput{Text: "Suillus grevillei"}, Basis: "sequence", Remarks: "ITS"}); err != nil {
			t.Fatal(err)
		}
		in, err := checklist.Import(ctx, g.Hall, archive.ChecklistFile("own.csv", strings.NewReader(moved), int64(len(moved))), "own.csv", nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := checklist.Choose(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), checklist.Choice{Checklist: in.ID}); err != nil {
			t.Fatal(err)
		}
		own, err := g.For(ctx, g.Society.ID)
		if err != nil {
			t.Fatal(err)
		}
		running, err := list.See(ctx, own, g.As[access.ListKeeper], g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		if done, err := list.Publish(ctx, own, g.As[access.ListKeeper], g.Scope, g.Command(t), list.Sign{Seq: running.Seq}); err != nil || done.Version != 2 {
			t.Fatalf("%+v, %v", done, err)
		}
		c, err := list.SeeDifferences(ctx, own, access.Nobody, g.Scope, 1, 2)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(c.Added, []string{"Suillus grevillei"}) || !slices.Equal(c.Gone, []string{"Suillus luteus"}) || c.Before != 3 || c.After != 3 {
			t.Errorf("added %q, gone %q, %d and %d taxa", c.Added, c.Gone, c.Before, c.After)
		}
		if !slices.Equal(c.Renamed, []list.Renamed{{From: "Amanita phalloides", To: "Venenarius phalloides"}}) {
			t.Errorf("renamed: %+v", c.Renamed)
		}
		why := map[string]list.Reason{}
		for _, m := range c.Moves {
			why[m.Find] = m.Reason
		}
		if !maps.Equal(why, map[string]list.Reason{"0001": list.Determined, "0002": list.Classified}) {
			t.Errorf("finds: %+v", c.Moves)
		}
		if c.Measures[0].Checklist == c.Measures[1].Checklist {
			t.Errorf("both by %q", c.Measures[0].Checklist)
		}
		again, _, err := list.Version(ctx, own, access.Nobody, g.Scope, 1)
		if err != nil || sha(again.Canonical) != first.CanonicalSha256 || sha(again.CSV) != first.CSVSha256 || !bytes.Equal(again.CSV, first.CSV) {
			t.Errorf("version 1 is another: %v", err)
		}
	})
}
