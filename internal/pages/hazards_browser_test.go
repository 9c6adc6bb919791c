package pages_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/foray"
	"forayhall/internal/hall/safety"
)

// TestOwnHazardsInABrowser holds the page with every kind of entry, taken back and not, against what everybody needs at a
// desk and on a phone, and the page of a name that is contested.
func TestOwnHazardsInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := onSQLite(t).whole()
	ctx, lead, scope := t.Context(), f.s.As[access.SafetyLead], f.s.Scope
	written := func(done safety.Entered, err error) foray.ID {
		t.Helper()
		f.must(err)
		f.s.Hall, err = f.s.For(ctx, scope.Society)
		f.must(err)
		return done.Entry
	}
	ships := f.s.Hall
	row := written(safety.AddHazard(ctx, f.s.Hall, lead, scope, f.s.Command(t), safety.Hazard{Taxon: "Suillus luteus", Syndrome: "gut-severe", Exposure: "raw",
		Region: "EU; Asia", Source: "minutes of the society, 3 October 2026, page 4", Note: "three people at one table"}))
	written(safety.ContestRow(ctx, f.s.Hall, lead, scope, f.s.Command(t), safety.Contest{About: "Suillus luteus / gut-severe / raw / " + row.String(),
		Reason: "the plate had been mixed up with another one", Source: "letter of 2 May 2026"}))
	gone := written(safety.AddPair(ctx, f.s.Hall, lead, scope, f.s.Command(t), safety.Lookalike{Gathered: "Boletus edulis", Poisonous: "Suillus luteus",
		Differences: "Gathered: no ring. Poisonous: a ring.", Source: "minutes"}))
	written(safety.Withdraw(ctx, f.s.Hall, lead, scope, f.s.Command(t), safety.Withdrawal{Entry: gone, Reason: "nobody mistakes them"}))
	f.s.Hall = ships
	f.ownPair()
	w := f.s.window(t, b, "hazards", browsertest.Desktop, true).signIn(string(access.SafetyLead))
	for _, path := range []string{"/hazards?name=Suillus+luteus&withdraw=" + row.String(), "/hazards?name=Amanita+phalloides&contest=Amanita+phalloides+%2F+amatoxin",
		"/t/Suillus_luteus"} {
		w.look(t, event+path)
	}
}
