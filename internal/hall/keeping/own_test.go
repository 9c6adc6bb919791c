package keeping_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/safety"
	"forayhall/internal/store"
)

// What a society wrote of harm goes with a backup, and with the package of each of its events: whoever goes on with the
// event is warned of the same. What is taken back there again is taken back once.
func TestWhatASocietyKnowsOfHarmComesAlong(t *testing.T) {
	g, _, _ := pictured(t, store.SQLite)
	lead := g.As[access.SafetyLead]
	gone := must[safety.Entered](t)(safety.AddHazard(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Hazard{Taxon: "Boletus edulis", Syndrome: "gut-severe", Source: "minutes"}))
	must[safety.Entered](t)(safety.AddHazard(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Hazard{Taxon: "Suillus luteus", Syndrome: "gut-severe", Source: "minutes"}))
	must[safety.Entered](t)(safety.Withdraw(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Withdrawal{Entry: gone.Entry, Reason: "another was meant"}))
	restored, brought := freshWithBlobs(t, store.SQLite), freshWithBlobs(t, store.SQLite)
	must[keeping.Restored](t)(restore(restored, backup(t, g.Hall)))
	parcel := packageOf(t, g.Hall, g.Machine, g.Scope)
	must[keeping.Imported](t)(bringIn(brought, parcel))
	if done := must[keeping.Imported](t)(bringIn(brought, parcel)); !done.Already {
		t.Error("the same package again is not known")
	}
	here, err := g.For(ctx, g.Society.ID)
	if err != nil {
		t.Fatal(err)
	}
	for way, h := range map[string]*hall.Hall{"a backup": restored, "a package": brought} {
		there, err := h.For(ctx, g.Society.ID)
		if err != nil || there.Knowledge.Revision != here.Knowledge.Revision || there.Knowledge.Hazards.Assess("Suillus luteus")[0].Severity < 3 {
			t.Errorf("%s: %v", way, err)
		}
	}
	stranger := forged(t, parcel, asIs, in("own_entry", func(r map[string]any) { r["society_id"] = foray.ID{9}.String() }))
	if _, err := bringIn(freshWithBlobs(t, store.SQLite), stranger); !fault.Is(err, fault.Invalid) {
		t.Errorf("entries of another society were taken: %v", err)
	}
}
