package bench_test

import (
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
)

func outcomes(t *testing.T, g *halltest.Ground, who access.Actor, in bench.Many) (got []bench.Outcome) {
	t.Helper()
	answers, err := bench.SignMany(ctx, g.Hall, who, g.Scope, in)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range answers {
		got = append(got, a.Outcome)
		if (a.Err == nil) != (a.Outcome == bench.Signed) {
			t.Errorf("%+v", a)
		}
		if a.Outcome == bench.Overtaken && len(a.First.Names) != 1 {
			t.Errorf("what came between is not shown: %+v", a.First)
		}
	}
	return got
}

// A scribe writes a list for somebody without an account: a slip each, each answered by itself, and sent again it is
// the same slips.
func TestAListIsSignedLineByLine(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		good, disputed, raced := logged(t, g, 1), logged(t, g, 2), logged(t, g, 3)
		if _, err := sign(g, g.On(t, 0), g.Third, disputed, "Imleria badia", ""); err != nil {
			t.Fatal(err)
		}
		g.Pass(time.Second)
		in := bench.Many{Form: g.Command(t).ID, Determiner: g.Second.Person, Basis: "macroscopic",
			Lines: foray.ReadLines("0001 Boletus edulis\n0002 Boletus edulis\n0003 Boletus edulis\n0004 Boletus edulis\n12x Boletus edulis\n0001", "HB26")}
		g.Pass(time.Second)
		if _, err := sign(g, g.On(t, 0), g.Third, raced, "Imleria badia", ""); err != nil {
			t.Fatal(err)
		}
		want := []bench.Outcome{bench.Signed, bench.Refused, bench.Overtaken, bench.Refused, bench.Refused, bench.Overtaken}
		for try := range 2 {
			got := outcomes(t, g, g.As[access.Scribe], in)
			for i := range want {
				if got[i] != want[i] {
					t.Errorf("try %d: line %d is %s, want %s", try+1, i+1, got[i], want[i])
				}
			}
		}
		s, err := bench.SeeCollection(ctx, g.Hall, g.Second, g.Scope, foray.Number{Base: 1})
		if err != nil || len(s.Plate.Slips) != 1 || s.Plate.ID != good {
			t.Fatalf("%d slips, %v", len(s.Plate.Slips), err)
		}
		if slip := s.Plate.Slips[0]; slip.Determiner != g.Second.Person || slip.Writer != g.As[access.Scribe].Person {
			t.Errorf("said by %v, written by %v", slip.Determiner, slip.Writer)
		}
	})
}

// What failed comes back on a new form: now the scribe has seen what came between, and gives the reason.
func TestWhatWasOvertakenIsDecidedAgainOnANewForm(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1)
		old := bench.Many{Form: g.Command(t).ID, Basis: "macroscopic", Lines: foray.ReadLines("1 Boletus edulis; net on the stem", "HB26")}
		g.Pass(time.Second)
		if _, err := sign(g, g.On(t, 0), g.Third, c, "Imleria badia", ""); err != nil {
			t.Fatal(err)
		}
		if got := outcomes(t, g, g.Second, old); got[0] != bench.Overtaken {
			t.Errorf("on the old form: %v", got)
		}
		g.Pass(time.Second)
		again := old
		again.Form = g.Command(t).ID
		if got := outcomes(t, g, g.Second, again); got[0] != bench.Signed {
			t.Errorf("on the new form: %v", got)
		}
		s, err := bench.SeeCollection(ctx, g.Hall, g.Second, g.Scope, foray.Number{Base: 1})
		if err != nil || !s.Plate.Standing.Disputed {
			t.Errorf("disputed=%v, %v", s.Plate.Standing.Disputed, err)
		}
	})
}

func TestAListNeedsLinesAndAForm(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		lines := foray.ReadLines("1 Boletus edulis", "HB26")
		for rule, c := range map[string]struct {
			in   bench.Many
			kind fault.Kind
		}{
			"no lines":                {bench.Many{Form: g.Command(t).ID}, fault.Invalid},
			"too many":                {bench.Many{Form: g.Command(t).ID, Lines: make([]foray.Line, bench.MostLines+1)}, fault.Invalid},
			"no form":                 {bench.Many{Lines: lines}, fault.Refused},
			"a form that has no time": {bench.Many{Form: g.Command(t).ID.Derived("x"), Lines: lines}, fault.Refused},
		} {
			if _, err := bench.SignMany(ctx, g.Hall, g.Second, g.Scope, c.in); !fault.Is(err, c.kind) {
				t.Errorf("%s: %v", rule, err)
			}
		}
		logged(t, g, 1)
		for _, right := range access.Rights {
			_, own := bench.SignMany(ctx, g.Hall, g.As[right], g.Scope, bench.Many{Form: g.Command(t).ID, Basis: "macroscopic", Lines: lines})
			if may := access.Allows(right, access.SignOff); (own == nil) != may {
				t.Errorf("%s signs several: %v", right, own)
			}
			_, others := bench.SignMany(ctx, g.Hall, g.As[right], g.Scope, bench.Many{Form: g.Command(t).ID, Determiner: g.Third.Person, Basis: "macroscopic", Lines: lines})
			if may := right == access.Scribe; (others == nil) != may {
				t.Errorf("%s writes several for another: %v", right, others)
			}
		}
	})
}
