package earlier_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
	"forayhall/internal/taxon"
)

// Where there is something to compare with, an earlier record of whatever kind never makes a find new that was not.
func TestAnEarlierRecordNeverAddsAFirst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		past, now := year(t, g, "HB29", "2025-10-25", "2025-10-26"), year(t, g, "HB30", "2026-10-23", "2026-10-24")
		dice := rand.New(rand.NewPCG(1, 6))
		pool := []string{"Boletus edulis", "Boletus badius", "Imleria badia", "Amanita muscaria", "Amanita muscaria var. guessowii", "Amanita vaginata", "Amanita vaginata var. alba",
			"Russula emetica", "Lepista nuda", "Clitocybe nuda", "Collybia nuda", "Inocybe patouillardii", "Inosperma erubescens", "Inventaria nova", "Amanita citrina", "Russula", "Cortinarius sp."}
		qualifiers := []string{"", "", "", " s.l.", " group"}
		any := func() string {
			name := pool[dice.IntN(len(pool))]
			if strings.Count(name, " ") == 1 && !strings.HasSuffix(name, "sp.") {
				name += qualifiers[dice.IntN(len(qualifiers))]
			}
			return name
		}
		for i := range 12 {
			signed(t, g, now, fmt.Sprint(i+1), any())
		}
		signed(t, g, past, "1", "Gyromitra esculenta")
		brought(t, g, of(store.OfRecord, "Fellshire"), "Gyromitra esculenta")
		brought(t, g, of(store.OfSite, "Nether Holt"), "Gyromitra esculenta")
		before := marks(t, g, now)
		if len(before) < 12 {
			t.Fatalf("only %q is new to begin with", before)
		}
		for i := range 40 {
			about := []earlier.About{of(store.OfRecord, "Fellshire"), of(store.OfSociety, ""), of(store.OfSite, "NH")}[dice.IntN(3)]
			switch name := any(); dice.IntN(3) {
			case 0:
				about.Title += fmt.Sprint(i)
				brought(t, g, about, name, fmt.Sprint("Inventaria ", strings.Repeat("a", i+1)))
			case 1:
				signed(t, g, past, fmt.Sprint(i+10), name)
			default:
				signed(t, g, past, fmt.Sprint(i+10), name, desk.Field{Site: "NH", Outside: true})
			}
			after := marks(t, g, now)
			for _, m := range after {
				if !slices.Contains(before, m) {
					t.Fatalf("step %d made %q a first", i, m)
				}
			}
			before = after
		}
		if len(before) > 12 {
			t.Errorf("after forty records there are still %q", before)
		}
	})
}

// marks is what is new to where, whatever it lacks.
func marks(t testing.TB, g *halltest.Ground, scope access.Scope) []string {
	var all []string
	for _, line := range told(t, g, scope) {
		m, _, _ := strings.Cut(line, ",")
		all = append(all, m)
	}
	return all
}

// long is a list of so many lines, of names that ship.
func long(t testing.TB, lines int) []string {
	t.Helper()
	all := names(t)
	out := make([]string, lines)
	for i := range out {
		out[i] = fmt.Sprintf("%s,%d,Nether Holt,B. Lund,under birch", all[i%len(all)], 1950+i%70)
	}
	return out
}

// names are the species that ship, former names among them, in one order.
func names(t testing.TB) []string {
	t.Helper()
	var all []string
	k := halltest.Knowledge(t)
	for _, family := range []string{"Russulaceae", "Boletaceae", "Cortinariaceae", "Amanitaceae", "Inocybaceae", "Mycenaceae", "Hygrophoraceae", "Polyporaceae", "Agaricaceae", "Strophariaceae"} {
		n, ok := k.Names.Lookup(taxon.Key(family))
		if !ok {
			continue
		}
		for _, m := range k.Names.Members(n) {
			all = append(all, m.Name)
			for _, f := range k.Names.FormerOf(m) {
				if f.Rank == taxon.Species {
					all = append(all, f.Name)
				}
			}
		}
	}
	if len(all) < 300 {
		t.Fatalf("only %d names", len(all))
	}
	return all
}

func TestAListOfTwentyThousandLinesIsTakenInAndReadInPieces(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		const n = 20_000
		read := table(t, append([]string{"name,year,site,leg,notes"}, long(t, n)...)...)
		began := time.Now()
		out, err := earlier.Import(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), of(store.OfRecord, "Fellshire"), read, earlier.Options{TakeAll: true, AsWritten: true})
		if err != nil || out.Lines != n {
			t.Fatal(out.Lines, err)
		}
		t.Logf("%d lines on %s in %v", n, g.Store.Dialect(), time.Since(began).Round(time.Millisecond))
		seen, after := 0, 0
		for {
			p, err := earlier.Lines(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, out.List, after)
			if err != nil || len(p.Lines) > earlier.MostShown {
				t.Fatal(len(p.Lines), err)
			}
			if seen, after = seen+len(p.Lines), p.Next; after == 0 {
				break
			}
		}
		if seen != n {
			t.Errorf("%d lines were read", seen)
		}
		err = g.View(t.Context(), g.Machine, access.ReadPublic, g.Scope, func(l *hall.Look) error {
			checked, err := l.Tx.Check()
			for _, b := range checked.Broken {
				t.Errorf("%s: %v", b.Rule, b.Text)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	})
}

func TestAListThatIsTooLongIsRefusedWithTheLimit(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	read := table(t, append([]string{"name,year,site,leg,notes"}, long(t, earlier.MostLines+1)...)...)
	_, err := earlier.DryRun(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, of(store.OfSociety, ""), read, earlier.Options{})
	if err == nil || !strings.Contains(err.Error(), "100001") || !strings.Contains(err.Error(), "100000") {
		t.Errorf("%v", err)
	}
}

// BenchmarkFirsts is the first records of an event of 1,500 plates after 50 events and with lists of 20,000 lines: as the
// first who asks after a start waits, as everybody after, and beside it the bare read of the plates.
func BenchmarkFirsts(b *testing.B) {
	g := halltest.New(b, storetest.New(b, store.SQLite))
	ctx := context.Background()
	fill := filler{g: g, names: names(b)}
	for i := range 50 {
		fill.event(b, fmt.Sprintf("OLD%02d", i), fmt.Sprintf("%d-10-%02d", 1975+i, 1+i%28), 1500)
	}
	now := fill.event(b, "NOW", "2026-10-20", 1500)
	for i, about := range []earlier.About{of(store.OfRecord, "Fellshire"), of(store.OfSite, "Nether Holt")} {
		read := table(b, append([]string{"name,year,site,leg,notes"}, long(b, 20_000-i)...)...)
		if _, err := earlier.Import(ctx, g.Hall, g.Machine, g.Scope, g.Command(b), about, read, earlier.Options{TakeAll: true, AsWritten: true}); err != nil {
			b.Fatal(err)
		}
	}
	firsts := func(b *testing.B) {
		if _, err := earlier.Firsts(ctx, g.Hall, access.Nobody, now); err != nil {
			b.Fatal(err)
		}
	}
	b.Run("cold", func(b *testing.B) {
		for b.Loop() {
			g.Hall.Past, g.Hall.Plates = &hall.PastMemory{}, &hall.PlateMemory{}
			firsts(b)
		}
	})
	b.Run("warm", func(b *testing.B) {
		firsts(b)
		for b.Loop() {
			firsts(b)
		}
	})
	b.Run("plates alone", func(b *testing.B) {
		for b.Loop() {
			err := g.View(ctx, access.Nobody, access.ReadPublic, now, func(l *hall.Look) error {
				_, err := l.Plates()
				return err
			})
			if err != nil {
				b.Fatal(err)
			}
		}
	})
}
