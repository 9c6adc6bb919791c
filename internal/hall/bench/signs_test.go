package bench_test

import (
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
)

// looked is what was looked for on the newest slip of a plate.
func looked(t *testing.T, g *halltest.Ground, number int) []foray.Look {
	t.Helper()
	s, err := bench.SeeCollection(ctx, g.Hall, g.As[access.Identifier], g.Scope, foray.Number{Base: number})
	if err != nil {
		t.Fatal(err)
	}
	return s.Plate.Slips[len(s.Plate.Slips)-1].Looked
}

func TestWhatWasLookedForStaysWithTheSlip(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 417)
		signs := g.Hall.Knowledge.Hazards.Signs("Amanita phalloides")
		word := bench.Word{Collection: c, Name: name("Amanita phalloides"), Basis: "macroscopic",
			Looked: []bench.Looked{{Sign: signs[0].ID(), Answer: foray.IsSeen}, {Sign: signs[1].ID(), Answer: foray.NotVisible}}}
		if _, err := bench.SignOff(ctx, g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 0), word); err != nil {
			t.Fatal(err)
		}
		got := looked(t, g, 417)
		if len(got) < len(signs) || got[0].Answer != foray.IsSeen || got[1].Answer != foray.NotVisible || got[0].Words != signs[0].Text {
			t.Fatalf("looked for %+v", got)
		}
		for _, l := range got[2:] {
			if l.Answer != foray.NotRecorded {
				t.Errorf("%s was not answered and is %s", l.Sign, l.Answer)
			}
		}
	})
}

func TestASignOffThatAsksForNothingKeepsNothing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 418)
		if _, err := sign(g, g.On(t, 0), g.As[access.Identifier], c, "Trametes versicolor", ""); err != nil {
			t.Fatal(err)
		}
		if got := looked(t, g, 418); len(got) > 0 {
			t.Errorf("looked for %+v", got)
		}
	})
}

// What was looked for because of the other name in question is kept, whatever the name became.
func TestWhatWasLookedForBecauseOfAnotherNameIsKept(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 419)
		if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(t), bench.FieldName{Collection: c,
			Names: []hall.NameInput{name("Trametes versicolor"), name("Galerina marginata")}}); err != nil {
			t.Fatal(err)
		}
		sign := g.Hall.Knowledge.Hazards.Signs("Galerina marginata")[0]
		word := bench.Word{Collection: c, Name: name("Trametes versicolor"), Basis: "macroscopic", Looked: []bench.Looked{{Sign: sign.ID(), Answer: foray.NotSeen}}}
		if _, err := bench.SignOff(ctx, g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 1), word); err != nil {
			t.Fatal(err)
		}
		signs := len(g.Hall.Knowledge.Hazards.Signs("Galerina marginata"))
		if got := looked(t, g, 419); len(got) != signs || got[0].Answer != foray.NotSeen || got[1].Answer != foray.NotRecorded || got[0].Of != "Galerina marginata" {
			t.Errorf("looked for %+v", got)
		}
	})
}

func TestAnAnswerThatIsNoneIsRefusedAndNothingIsKept(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 420)
		sign := g.Hall.Knowledge.Hazards.Signs("Amanita phalloides")[0].ID()
		for what, l := range map[string]bench.Looked{"an answer of one's own": {Sign: sign, Answer: "perhaps"}, "a sign of nothing here": {Sign: "boletus/net", Answer: foray.IsSeen}} {
			word := bench.Word{Collection: c, Name: name("Amanita phalloides"), Basis: "macroscopic", Looked: []bench.Looked{l}}
			_, err := bench.SignOff(ctx, g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 0), word)
			if !fault.Is(err, fault.Invalid) || !strings.HasPrefix(fault.From(err).Fields["looked"].Key, "bench.") {
				t.Errorf("%s: %v", what, err)
			}
		}
	})
}
