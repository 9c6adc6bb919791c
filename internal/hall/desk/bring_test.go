package desk_test

import (
	"fmt"
	"slices"
	"strings"
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

func merge(t testing.TB, g *halltest.Ground, by access.Actor, from foray.ID, into string) error {
	t.Helper()
	_, err := desk.MergeCollection(ctx, g.Hall, by, g.Scope, g.Command(t), desk.Merge{Collection: from, Into: into, Reason: "one find on two plates"})
	return err
}

// Whoever splits or merges writes down what others had said. If they could take it back the names would stand nowhere.
func TestWhatASplitOrAMergeBroughtIsNotItsWritersToTakeBack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		helper := g.As[access.Desk]
		mixed, twin := brought(t, g, "1", desk.Field{Group: "bolete"}), brought(t, g, "2", desk.Field{Group: "bolete"})
		suggests(t, g, g.Second, mixed.ID, "Galerina marginata")
		suggests(t, g, g.Second, twin.ID, "Conocybe filaris")
		brought(t, g, "3", desk.Field{Group: "small_brown"})
		if _, err := split(t, g, helper, mixed.ID, desk.Part{}, desk.Part{}); err != nil {
			t.Fatal(err)
		}
		if err := merge(t, g, helper, twin.ID, "3"); err != nil {
			t.Fatal(err)
		}
		g.Pass(time.Second)
		for _, number := range []string{"1a", "1b", "3"} {
			before := sees(t, g, number)
			if slip, ok := before.Undo(helper); ok {
				t.Errorf("%s: in one key %+v is taken back", number, slip)
			}
			for _, slip := range before.Plate.Slips {
				own := slip.Determiner == helper.Person // the group of what they logged
				if before.MayStrike(helper, slip) != own {
					t.Errorf("%s: may strike %q of %s: %v", number, slip.Name().Verbatim, before.People[slip.Determiner].Name, !own)
				}
			}
			newest := before.Plate.Slips[len(before.Plate.Slips)-1]
			in := bench.Struck{Collection: before.Plate.ID, Slip: newest.ID, Remarks: "slip of the hand"}
			if _, err := bench.StrikeSlip(ctx, g.Hall, helper, g.Scope, g.On(t, before.Plate.Version), in); !fault.Is(err, fault.NotAllowed) {
				t.Errorf("%s: struck by its writer: %v", number, err)
			}
			if got := asked(sees(t, g, number)); got != asked(before) || got == "" {
				t.Errorf("%s: in question is %q, was %q", number, got, asked(before))
			}
			if _, err := bench.StrikeSlip(ctx, g.Hall, g.Second, g.Scope, g.On(t, before.Plate.Version), in); err != nil {
				t.Errorf("%s: struck by whoever said it: %v", number, err)
			}
		}
	})
}

func TestANameThatTwoSaidStandsOnAPartUntilBothWithdrawIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c, other := brought(t, g, "1", desk.Field{Group: "small_brown"}), brought(t, g, "2", desk.Field{Group: "small_brown"})
		for _, by := range []access.Actor{g.Second, g.Third} {
			suggests(t, g, by, c.ID, "Galerina marginata")
		}
		suggests(t, g, g.Second, other.ID, "Galerina marginata")
		suggests(t, g, g.Third, other.ID, "Galerina marginata")
		done, err := split(t, g, g.As[access.Desk], c.ID, desk.Part{}, desk.Part{})
		if err != nil {
			t.Fatal(err)
		}
		brought(t, g, "3", desk.Field{Group: "small_brown"})
		if err := merge(t, g, g.As[access.Desk], other.ID, "3"); err != nil {
			t.Fatal(err)
		}
		for _, number := range []string{"1a", "3"} {
			suggests(t, g, g.Second, sees(t, g, number).Plate.ID, "Kuehneromyces mutabilis")
			if got := asked(sees(t, g, number)); !strings.Contains(got, "Galerina marginata by Person third") {
				t.Errorf("%s: one of two spoke anew, and in question is %q", number, got)
			}
			suggests(t, g, g.Third, sees(t, g, number).Plate.ID, "Kuehneromyces mutabilis")
			if got := asked(sees(t, g, number)); strings.Contains(got, "Galerina marginata") {
				t.Errorf("%s: both spoke anew, and in question is %q", number, got)
			}
		}
		if got := asked(sees(t, g, done.Parts[1].Number)); !strings.Contains(got, "Galerina marginata") {
			t.Errorf("of the part that nobody looked at %q is in question", got)
		}
	})
}

// Every name that a plate may have against every group that the other may have: nothing that a plate may have brought is
// forgotten with it.
func TestTheWorstIsNoLessAfterASplitOrAMerge(t *testing.T) {
	names := []string{"", "brown thing under birch", "Boletus edulis", "Galerina marginata"}
	groups := []string{"small_brown", "bolete"}
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		number := 0
		plate := func(name, group string) bench.Sight {
			number++
			written := fmt.Sprint(number)
			c := brought(t, g, written, desk.Field{Group: group})
			if name != "" {
				suggests(t, g, g.Second, c.ID, name)
			}
			return sees(t, g, written)
		}
		holds := func(what, after string, before ...bench.Sight) {
			t.Helper()
			now := sees(t, g, after)
			for _, was := range before {
				if now.Assessment.Severity < was.Assessment.Severity || now.Assessment.Weight < was.Assessment.Weight {
					t.Errorf("%s: severity %d and weight %d, were %d and %d; in question is %q", what, now.Assessment.Severity, now.Assessment.Weight,
						was.Assessment.Severity, was.Assessment.Weight, asked(now))
				}
			}
		}
		for _, name := range names {
			for _, group := range groups {
				for _, partGroup := range groups {
					whole := plate(name, group)
					done, err := split(t, g, g.As[access.Desk], whole.Plate.ID, desk.Part{Group: partGroup}, desk.Part{})
					if err != nil {
						t.Fatal(err)
					}
					for _, part := range done.Parts {
						holds(fmt.Sprintf("%q of %s, a part of it %s", name, group, partGroup), part.Number, whole)
					}
				}
				for _, other := range names {
					for _, otherGroup := range groups {
						from, into := plate(name, group), plate(other, otherGroup)
						if err := merge(t, g, g.As[access.Desk], from.Plate.ID, into.Plate.Number().String()); err != nil {
							t.Fatal(err)
						}
						holds(fmt.Sprintf("%q of %s into %q of %s", name, group, other, otherGroup), into.Plate.Number().String(), from, into)
					}
				}
			}
		}
	})
}

func TestASplitOfOneGroupBringsNoGroupAsAName(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		unnamed, unread := brought(t, g, "1", desk.Field{Group: "small_brown"}), brought(t, g, "2", desk.Field{Group: "small_brown"})
		suggests(t, g, g.Second, unread.ID, "brown thing under birch")
		for _, c := range []desk.Logged{unnamed, unread} {
			if _, err := split(t, g, g.As[access.Desk], c.ID, desk.Part{}, desk.Part{Group: "small_brown"}); err != nil {
				t.Fatal(err)
			}
		}
		for number, want := range map[string]string{"1a": "", "1b": "", "2a": "brown thing under birch by Person second", "2b": "brown thing under birch by Person second"} {
			if got := asked(sees(t, g, number)); got != want {
				t.Errorf("%s: in question is %q, want %q", number, got, want)
			}
		}
	})
}

func TestALetterWhoseLabelIsSpoiltOrLostIsNotGivenToAPart(t *testing.T) {
	for name, c := range map[string]struct {
		fates []string
		want  string
	}{
		"spoilt":              {[]string{"spoilt"}, "[0007b 0007c]"},
		"lost":                {[]string{"lost"}, "[0007b 0007c]"},
		"lost and found":      {[]string{"lost", "found"}, "[0007a 0007b]"},
		"the label came back": {[]string{"unused"}, "[0007a 0007b]"},
	} {
		t.Run(name, func(t *testing.T) {
			halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
				whole := brought(t, g, "7", desk.Field{})
				for _, fate := range c.fates {
					if err := says(t, g, desk.Fate{Number: "7a", Fate: fate, Reason: "wet"}); err != nil {
						t.Fatal(err)
					}
					g.Pass(time.Minute)
				}
				done, err := split(t, g, g.As[access.Desk], whole.ID, desk.Part{}, desk.Part{})
				got := []string{}
				for _, p := range done.Parts {
					got = append(got, p.Number)
				}
				if fmt.Sprint(got) != c.want || err != nil {
					t.Errorf("parts %v, want %s; %v", got, c.want, err)
				}
			})
		})
	}
}

// A form that is sent twice says the same twice, also where what stands at the desk is other by then.
func TestAllAreHandedOverAsTheyStandWhenItIsDone(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		hands := func(cmd hall.Command) (desk.Handed, error) {
			return desk.HandToBench(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, desk.Hand{All: true})
		}
		if _, err := hands(g.Command(t)); !fault.Is(err, fault.Refused) || fault.From(err).Text.Key != "number.none-at-desk" {
			t.Errorf("nothing is at the desk: %v", err)
		}
		for _, n := range []string{"1", "2", "3"} {
			brought(t, g, n, desk.Field{})
		}
		if _, err := split(t, g, g.As[access.Desk], sees(t, g, "3").Plate.ID, desk.Part{}, desk.Part{}); err != nil {
			t.Fatal(err)
		}
		cmd := g.Command(t)
		done, err := hands(cmd)
		if err != nil || fmt.Sprint(done.Numbers) != "[0001 0002 0003a 0003b]" {
			t.Fatalf("%+v %v", done, err)
		}
		brought(t, g, "4", desk.Field{})
		if again, err := hands(cmd); err != nil || !slices.Equal(again.Numbers, done.Numbers) {
			t.Errorf("sent twice: %+v %v", again, err)
		}
		if p := sees(t, g, "4").Plate; p.Whereabouts != foray.AtDesk {
			t.Errorf("what came later is at %s", p.Whereabouts)
		}
	})
}

func TestAHandOverThatIsNoneSaysWhy(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		brought(t, g, "1", desk.Field{})
		for name, c := range map[string]struct {
			in         desk.Hand
			field, key string
		}{
			"no number":     {desk.Hand{}, "numbers", "hand.none"},
			"too many":      {desk.Hand{Numbers: slices.Repeat([]string{"1"}, 201)}, "numbers", "hand.too-many"},
			"too long":      {desk.Hand{Numbers: []string{"1"}, With: strings.Repeat("x", 201)}, "with", "text.too-long"},
			"all, too long": {desk.Hand{All: true, With: strings.Repeat("x", 201)}, "with", "text.too-long"},
			"unreadable":    {desk.Hand{Numbers: []string{"x"}}, "number", "number.unreadable"},
		} {
			_, err := desk.HandToBench(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), c.in)
			if !fault.Is(err, fault.Invalid) || fault.From(err).Fields[c.field].Key != c.key {
				t.Errorf("%s: %v", name, err)
			}
		}
		if p := sees(t, g, "1").Plate; p.Whereabouts != foray.AtDesk {
			t.Errorf("it is at %s", p.Whereabouts)
		}
	})
}
