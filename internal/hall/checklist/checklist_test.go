package checklist_test

import (
	"context"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/checklist"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
)

// A list of our own that puts the death cap into a genus of its own, and has a family that nobody else has.
const table = `taxonID,scientificName,scientificNameAuthorship,taxonRank,taxonomicStatus,acceptedNameUsageID,family
1,Venenarius,Someone,genus,accepted,,Venenariaceae
2,Venenarius phalloides,(Vaill. ex Fr.) Someone,species,accepted,,Venenariaceae
3,Amanita phalloides,(Vaill. ex Fr.) Link,species,synonym,2,
4,Boletus edulis,Bull.,species,accepted,,Boletaceae
5,Boletus edulis,Bull.,species,accepted,,Boletaceae
6,,,species,accepted,,
`

func source(text string) archive.ChecklistSource {
	return archive.ChecklistFile("own.csv", strings.NewReader(text), int64(len(text)))
}

func imported(t *testing.T, h *hall.Hall, text string) checklist.Imported {
	t.Helper()
	in, err := checklist.Import(t.Context(), h, source(text), "own.csv", nil)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func TestAListIsTakenInWholeAndOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		in := imported(t, g.Hall, table)
		if in.Already || in.Former != 1 || in.Refused != 2 || in.IndexSha256 == "" {
			t.Errorf("%+v", in)
		}
		if again := imported(t, g.Hall, table); !again.Already || again.ID != in.ID {
			t.Errorf("the second time: %+v", again)
		}
		if _, err := checklist.Import(t.Context(), g.Hall, source("scientificName\n1234\n"), "x.csv", nil); !fault.Is(err, fault.Invalid) {
			t.Errorf("a list without a name: %v", err)
		}
		stopped, stop := context.WithCancel(t.Context())
		stop()
		if _, err := checklist.Import(stopped, g.Hall, source(table+"7,Boletus novus,X,species,accepted,,\n"), "own.csv", nil); err == nil {
			t.Error("a reading that was ended takes something in")
		}
		shelf, err := checklist.See(t.Context(), g.Hall, g.As[access.Organiser], g.Scope)
		if err != nil || len(shelf.Lists) != 1 || !shelf.Followed.IsZero() {
			t.Errorf("%+v, %v", shelf, err)
		}
		if _, err := checklist.See(t.Context(), g.Hall, g.As[access.Desk], g.Scope); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the desk sees the lists: %v", err)
		}
	})
}

// What a society follows decides what names are called from then on: not what was determined, not what was signed, and
// never a warning.
func TestASocietyFollowsAListAndNothingElseChanges(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ctx := t.Context()
		if _, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "white_spored"}}); err != nil {
			t.Fatal(err)
		}
		plate := func(h *hall.Hall) bench.Sight {
			s, err := bench.SeeCollection(ctx, h, g.Second, g.Scope, foray.Number{Base: 1})
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		before := plate(g.Hall)
		base := before.Plate.Version
		cmd := g.Command(t)
		cmd.BaseVersion = &base
		if _, err := bench.SignOff(ctx, g.Hall, g.Second, g.Scope, cmd, bench.Word{Collection: before.Plate.ID, Name: hall.NameInput{Text: "Amanita phalloides"}, Basis: "macroscopic"}); err != nil {
			t.Fatal(err)
		}
		in := imported(t, g.Hall, table)
		if _, err := checklist.Choose(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), checklist.Choice{Checklist: in.ID}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the desk chooses: %v", err)
		}
		if _, err := checklist.Choose(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), checklist.Choice{Checklist: g.Scope.Event}); !fault.Is(err, fault.Invalid) {
			t.Errorf("a list that is not there: %v", err)
		}
		if _, err := checklist.Choose(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), checklist.Choice{Checklist: in.ID}); err != nil {
			t.Fatal(err)
		}
		own, err := g.For(ctx, g.Society.ID)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := g.For(ctx, g.Society.ID); err != nil || again.Knowledge != own.Knowledge {
			t.Errorf("the list is opened anew each time: %v", err)
		}
		s := plate(own)
		name := s.Plate.Standing.Question[0]
		current := own.Current(name.SlipName)
		if name.Name != "Amanita phalloides" || current.Name != "Venenarius phalloides" || current.Family != "Venenariaceae" || own.Common(g.Society, current).Name == "" {
			t.Errorf("determined as %s, now %+v", name.Name, current)
		}
		if was := plate(g.Hall); s.Assessment.Severity != 5 || was.Assessment.Severity != 5 {
			t.Errorf("the warning was %d and is %d", was.Assessment.Severity, s.Assessment.Severity)
		}
		draft, err := list.Draft(ctx, own, g.As[access.Visitor], g.Scope)
		if err != nil || len(draft.Lines) != 1 || draft.Lines[0].Name != "Venenarius phalloides" || draft.Lines[0].DeterminedAs[0] != "Amanita phalloides" {
			t.Errorf("%+v, %v", draft.Lines, err)
		}
	})
}
