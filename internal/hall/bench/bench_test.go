package bench_test

import (
	"context"
	"strconv"
	"sync"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
)

var ctx = context.Background()

func logged(t testing.TB, g *halltest.Ground, number int) foray.ID {
	t.Helper()
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: strconv.Itoa(number), Field: desk.Field{Group: "bolete"}})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID
}

func name(text string) hall.NameInput { return hall.NameInput{Text: text} }

func sign(g *halltest.Ground, cmd hall.Command, by access.Actor, c foray.ID, text, reason string) (bench.Done, error) {
	return bench.SignOff(ctx, g.Hall, by, g.Scope, cmd, bench.Word{Collection: c, Name: name(text), Basis: "macroscopic", Remarks: reason})
}

func TestFromBroughtInToConfirmedDisputedAndSettled(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 417)
		done, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(t), bench.FieldName{Collection: c,
			Names: []hall.NameInput{name("Boletus edulis"), {Text: "Rubroboletus satanas", Reason: "red at the foot?"}}})
		want(t, done, err, foray.Provisional, false, 1)
		done, err = sign(g, g.On(t, 1), g.As[access.Identifier], c, "Boletus edulis", "")
		want(t, done, err, foray.Confirmed, false, 2)
		_, err = sign(g, g.On(t, 2), g.Second, c, "Rubroboletus satanas", "")
		if !fault.Is(err, fault.Invalid) {
			t.Errorf("a dissent without a reason: %v", err)
		}
		done, err = sign(g, g.On(t, 2), g.Second, c, "Rubroboletus satanas", "pores red, flesh blues")
		want(t, done, err, foray.Provisional, true, 3)
		if _, err = bench.SignOff(ctx, g.Hall, g.As[access.Scribe], g.Scope, g.On(t, 3), bench.Word{Collection: c, Determiner: g.Third.Person,
			Name: name("Boletus edulis"), Basis: "comparison"}); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a scribe settled a dispute: %v", err)
		}
		done, err = sign(g, g.On(t, 3), g.Third, c, "Boletus edulis", "net on the stem is white")
		want(t, done, err, foray.Confirmed, false, 4)
		_, err = bench.StrikeSlip(ctx, g.Hall, g.As[access.ChiefIdentifier], g.Scope, g.On(t, 4), bench.Struck{Collection: c, Slip: done.Slip, Remarks: "not mine"})
		if !fault.Is(err, fault.NotAllowed) {
			t.Errorf("struck somebody else's slip: %v", err)
		}
		done, err = bench.StrikeSlip(ctx, g.Hall, g.Third, g.Scope, g.On(t, 4), bench.Struck{Collection: c, Slip: done.Slip, Remarks: "wrong plate"})
		want(t, done, err, foray.Provisional, true, 5)
	})
}

func want(t *testing.T, got bench.Done, err error, naming foray.Naming, disputed bool, version int) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if got.Naming != naming || got.Disputed != disputed || got.Version != version {
		t.Fatalf("got %+v, want %s disputed=%v version %d", got, naming, disputed, version)
	}
}

func TestTwoIdentifiersInTheSameSecondOneSlipStandsAndTheOtherIsShownIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for n := range 10 {
			c := logged(t, g, 100+n)
			var wg sync.WaitGroup
			errs := make([]error, 2)
			cmds := []hall.Command{g.On(t, 0), g.On(t, 0)}
			for i, who := range []access.Actor{g.As[access.Identifier], g.Second} {
				wg.Go(func() { _, errs[i] = sign(g, cmds[i], who, c, []string{"Boletus edulis", "Imleria badia"}[i], "") })
			}
			wg.Wait()
			loser := 0
			if errs[0] == nil {
				loser = 1
			}
			if errs[1-loser] != nil || !fault.Is(errs[loser], fault.Conflict) {
				t.Fatalf("errors %v", errs)
			}
			first, ok := fault.From(errs[loser]).Other.(bench.First)
			if !ok || len(first.Names) != 1 || first.Version != 1 {
				t.Fatalf("the second was shown %+v", fault.From(errs[loser]).Other)
			}
		}
	})
}

func TestTheSameCommandSentTwiceIsAppliedOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1)
		cmd := g.On(t, 0)
		one, err := sign(g, cmd, g.Second, c, "Boletus edulis", "")
		if err != nil {
			t.Fatal(err)
		}
		two, err := sign(g, cmd, g.Second, c, "Boletus edulis", "")
		if err != nil || one != two {
			t.Errorf("again: %+v %v, first %+v", two, err, one)
		}
		if _, err := sign(g, cmd, g.Second, c, "Imleria badia", ""); !fault.Is(err, fault.Mismatch) {
			t.Errorf("the same id with another body: %v", err)
		}
		if _, err := sign(g, cmd, g.Third, c, "Boletus edulis", ""); !fault.Is(err, fault.Conflict) {
			t.Errorf("another person's command with the same id is another command: %v", err)
		}
	})
}

func TestManySendTheSameCommandAtOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		cmd := g.Command(t)
		var wg sync.WaitGroup
		for range 16 {
			wg.Go(func() {
				_, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, desk.Log{Number: "7", Field: desk.Field{Group: "bolete"}})
				if err != nil {
					t.Errorf("send: %v", err)
				}
			})
		}
		wg.Wait()
		rows, err := bench.All(ctx, g.Hall, g.As[access.Desk], g.Scope)
		if err != nil || len(rows) != 1 {
			t.Errorf("%d collections, %v", len(rows), err)
		}
	})
}

func TestAScribeStrikesWithinTheHourOnly(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1)
		scribe := g.As[access.Scribe]
		word := bench.Word{Collection: c, Determiner: g.Second.Person, Name: name("Boletus edulis"), Basis: "macroscopic"}
		done, err := bench.SignOff(ctx, g.Hall, scribe, g.Scope, g.On(t, 0), word)
		want(t, done, err, foray.Confirmed, false, 1)
		g.Pass(foray.StrikeWindow + time.Second)
		_, err = bench.StrikeSlip(ctx, g.Hall, scribe, g.Scope, g.On(t, 1), bench.Struck{Collection: c, Slip: done.Slip, Remarks: "misheard"})
		if !fault.Is(err, fault.NotAllowed) {
			t.Errorf("struck after the hour: %v", err)
		}
		word.Determiner = g.As[access.Member].Person
		if _, err = bench.SignOff(ctx, g.Hall, scribe, g.Scope, g.On(t, 1), word); !fault.Is(err, fault.Invalid) {
			t.Errorf("wrote for somebody who may not determine: %v", err)
		}
	})
}
