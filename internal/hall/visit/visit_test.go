package visit_test

import (
	"context"
	"fmt"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/visit"
	"forayhall/internal/store"
)

var ctx = context.Background()

// signed brings one in from Alder Carr and signs it.
func signed(t *testing.T, g *halltest.Ground, number int, name string) {
	t.Helper()
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: fmt.Sprint(number),
		Field: desk.Field{Group: "tooth", Site: "ALD", Outside: true, Collector: "Person member"}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := bench.SignOff(ctx, g.Hall, g.Second, g.Scope, g.On(t, 0), bench.Word{Collection: c.ID, Name: hall.NameInput{Text: name, Reason: "private"}, Basis: "macroscopic", Remarks: "private"}); err != nil {
		t.Fatal(err)
	}
}

// A protected taxon's place is kept back wherever the collection is shown, and others from the same site keep theirs.
func TestThePlaceOfAProtectedTaxonIsKeptBack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Site{Code: "ALD", Name: "Alder Carr", Permitted: true}); err != nil {
			t.Fatal(err)
		}
		signed(t, g, 1, "Hericium erinaceus")
		signed(t, g, 2, "Hydnum repandum")
		shown := func(n int) visit.Find {
			t.Helper()
			f, err := visit.SeeFind(ctx, g.Hall, access.Nobody, g.Scope, foray.Number{Base: n})
			if err != nil {
				t.Fatal(err)
			}
			return f
		}
		if f := shown(1); f.Site.Name != "Alder Carr" || len(f.Flags) != 0 {
			t.Errorf("before anybody flagged it: %+v %v", f.Site, f.Flags)
		}
		id := g.Command(t).ID
		if err := g.Store.Write(ctx, func(tx *store.Tx) error {
			return tx.AddTaxonFlag(store.TaxonFlag{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: id, NameKey: "hericium erinaceus", CurrentKey: "hericium erinaceus",
				Name: "Hericium erinaceus", Flag: hall.Protected, Source: "Wildlife and Countryside Act 1981, Schedule 8", AddedBy: g.As[access.Organiser].Person, AddedAt: store.At(g.Now())})
		}); err != nil {
			t.Fatal(err)
		}
		if f := shown(1); f.Site.Name != "" || !f.Site.KeptBack || len(f.Flags) != 1 || f.Flags[0] != hall.Protected {
			t.Errorf("protected: %+v %v", f.Site, f.Flags)
		}
		if f := shown(2); f.Site.Name != "Alder Carr" || f.Site.KeptBack || len(f.Flags) != 0 {
			t.Errorf("another from there: %+v %v", f.Site, f.Flags)
		}
		taxon, err := visit.SeeTaxon(ctx, g.Hall, access.Nobody, g.Scope, "Hericium erinaceus")
		if err != nil || len(taxon.Sites) != 1 || taxon.Sites[0].Site.Name != "" || !taxon.Sites[0].Site.KeptBack {
			t.Errorf("its own page: %+v %v", taxon.Sites, err)
		}
	})
}

func TestWhatIsShownHoldsNoReasonAndDependsOnNobody(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Site{Code: "ALD", Name: "Alder Carr", Permitted: true}); err != nil {
			t.Fatal(err)
		}
		signed(t, g, 1, "Hydnum repandum")
		want, err := visit.SeeFind(ctx, g.Hall, access.Nobody, g.Scope, foray.Number{Base: 1})
		if err != nil {
			t.Fatal(err)
		}
		if got := want.Slips[0].Names[0].Reason + want.Names[0].Reason; got != "" {
			t.Errorf("a reason is told: %q", got)
		}
		for _, right := range access.Rights {
			got, err := visit.SeeFind(ctx, g.Hall, g.As[right], g.Scope, foray.Number{Base: 1})
			if err != nil || fmt.Sprintf("%+v", got.Plate) != fmt.Sprintf("%+v", want.Plate) || got.Collector != want.Collector || len(got.Slips) != len(want.Slips) {
				t.Errorf("%s is shown something else, %v", right, err)
			}
		}
		own, err := visit.SeeOwn(ctx, g.Hall, g.As[access.Member], g.Scope)
		if err != nil || len(own.Plates) != 1 || own.Plates[0].Number != "0001" {
			t.Errorf("own finds: %+v %v", own.Plates, err)
		}
		if _, err := visit.SeeOwn(ctx, g.Hall, access.Nobody, g.Scope); !fault.Is(err, fault.NotSignedIn) {
			t.Errorf("nobody's finds: %v", err)
		}
	})
}
