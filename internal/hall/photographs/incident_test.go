package photographs_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// changes are those of the event after a number.
func changes(t testing.TB, g *halltest.Ground, after int64) (all []store.Change) {
	t.Helper()
	if err := g.Store.Read(ctx, func(tx *store.Tx) (err error) {
		all, err = tx.ChangesSince(g.Scope.Society, g.Scope.Event, after, 100)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return all
}

func TestAPictureOfAnIncidentIsToldAsNoMoreThanThatSomethingMoved(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		lead := g.As[access.SafetyLead]
		record, incident := outside(t, g, lead, lead)
		before, err := g.ChangeSeq(ctx, g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		id := must(t, g, lead, 1, photographs.Upload{Kind: "incident", Subject: incident.String()})
		if _, err := photographs.Hide(ctx, g.Hall, lead, g.Scope, g.Command(t), photographs.Hidden{Photograph: id, Reason: "a face is in it"}); err != nil {
			t.Fatal(err)
		}
		must(t, g, lead, 2, photographs.Upload{Kind: "field", Subject: record.String()})
		want := []store.Change{{Kind: "safety", Subject: g.Scope.Event}, {Kind: "safety", Subject: g.Scope.Event}, {Kind: "photograph", Subject: record}}
		all := changes(t, g, before)
		if len(all) != len(want) {
			t.Fatalf("%d changes: %+v", len(all), all)
		}
		for i, c := range all {
			if c.Kind != want[i].Kind || c.Subject != want[i].Subject {
				t.Errorf("change %d is %s of %s, want %s of %s", i, c.Kind, c.Subject, want[i].Kind, want[i].Subject)
			}
		}
	})
}

func TestWhoOpenedAnIncidentSeesItsPicturesWhileTheyAreOnStaff(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		steward := g.As[access.Steward]
		_, incident := outside(t, g, g.Second, steward)
		up := photographs.Upload{Kind: "incident", Subject: incident.String()}
		id := must(t, g, steward, 1, up)
		opens := func() error {
			o, err := photographs.Open(ctx, g.Hall, steward, g.Scope, id, photographs.Small)
			if err == nil {
				o.Body.Close()
			}
			return err
		}
		if err := opens(); err != nil {
			t.Fatal(err)
		}
		if _, err := setup.TakeRight(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Right{Person: steward.Person, Right: access.Steward}); err != nil {
			t.Fatal(err)
		}
		if err := opens(); !fault.Is(err, fault.NotFound) {
			t.Errorf("opened by whoever is on staff no more: %v", err)
		}
		if _, err := send(t, g, steward, 2, up); !fault.Is(err, fault.NotFound) {
			t.Errorf("added to by whoever is on staff no more: %v", err)
		}
		if _, err := send(t, g, g.As[access.Desk], 3, photographs.Upload{Kind: "incident", Subject: foray.ID{15: 99}.String()}); !fault.Is(err, fault.NotFound) {
			t.Errorf("an incident that is not there: %v", err)
		}
	})
}
