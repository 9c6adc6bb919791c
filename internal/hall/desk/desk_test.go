package desk_test

import (
	"context"
	"crypto/rand"
	"fmt"
	"strings"
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
	"forayhall/internal/hall/setup"
)

var ctx = context.Background()

func logs(t testing.TB, g *halltest.Ground, in desk.Log) (desk.Logged, error) {
	t.Helper()
	if in.Field.Group == "" {
		in.Field.Group = "bolete"
	}
	return desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), in)
}

// asks sends a log and wants the error of one field.
func asks(t *testing.T, g *halltest.Ground, name string, in desk.Log, field string) {
	t.Helper()
	_, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), in)
	if _, ok := fault.From(err).Fields[field]; !ok || !fault.Is(err, fault.Invalid) {
		t.Errorf("%s: %v, want the field %s", name, err, field)
	}
}

func ptr[T any](v T) *T { return &v }

func TestEveryWrongFieldIsNamed(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		long := strings.Repeat("x", 501)
		for name, c := range map[string]struct {
			field desk.Field
			wrong string
		}{
			"no group":              {desk.Field{}, "group"},
			"a group that is none":  {desk.Field{Group: "blob"}, "group"},
			"an unknown team":       {desk.Field{Group: "bolete", Team: "77"}, "team"},
			"an unknown site":       {desk.Field{Group: "bolete", Site: "ZZ"}, "site"},
			"picked in the future":  {desk.Field{Group: "bolete", PickedAt: halltest.Saturday.Add(time.Minute)}, "picked"},
			"less than no fruit":    {desk.Field{Group: "bolete", Fruitbodies: ptr(-1)}, "fruitbodies"},
			"less than no weight":   {desk.Field{Group: "bolete", WeightG: ptr(-0.5)}, "weight"},
			"a plate that is none":  {desk.Field{Group: "bolete", Plate: "bucket"}, "plate"},
			"a habitat too long":    {desk.Field{Group: "bolete", Habitat: long}, "habitat"},
			"remarks too long":      {desk.Field{Group: "bolete", Remarks: long}, "remarks"},
			"a collector too long":  {desk.Field{Group: "bolete", Collector: long}, "collector"},
			"a substrate too long":  {desk.Field{Group: "bolete", Substrate: long}, "substrate"},
			"a picked text so long": {desk.Field{Group: "bolete", PickedText: long}, "picked"},
		} {
			asks(t, g, name, desk.Log{Number: "1", Field: c.field}, c.wrong)
		}
		asks(t, g, "no number", desk.Log{Field: desk.Field{Group: "bolete"}}, "number")
		asks(t, g, "another event's number", desk.Log{Number: "HB25 0001", Field: desk.Field{Group: "bolete"}}, "number")
		taste := desk.Log{Number: "1", Field: desk.Field{Group: "bolete"}, Characters: []desk.Character{{Character: "taste", Words: "mild"}}}
		asks(t, g, "taste", taste, "character")
		several := desk.Log{Number: "1", Field: desk.Field{Plate: "bucket", Habitat: long, Site: "ZZ"}}
		for _, field := range []string{"group", "plate", "habitat", "site"} {
			asks(t, g, "several at once", several, field)
		}
		if rows, err := bench.All(ctx, g.Hall, g.As[access.Desk], g.Scope); err != nil || len(rows) != 0 {
			t.Errorf("%d rows of refused logs, %v", len(rows), err)
		}
	})
}

func TestWhatIsLoggedIsThere(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if _, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Site{Code: "AB", Name: "Alder Bottom"}); err != nil {
			t.Fatal(err)
		}
		if _, err := setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 3, Site: "ab"}); err != nil {
			t.Fatal(err)
		}
		asks(t, g, "no team where there are teams", desk.Log{Number: "1", Field: desk.Field{Group: "bolete"}}, "team")
		got, err := logs(t, g, desk.Log{Number: "HB26 137a", Field: desk.Field{Team: "3", Collector: "Ines  Okafor", Host: "Quercus"},
			Characters: []desk.Character{{Character: "cut_change", Words: "blue", Seconds: ptr(20)}}})
		if err != nil || got.Number != "0137a" {
			t.Fatalf("%+v %v", got, err)
		}
		s, err := bench.SeeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, foray.Number{Base: 137, Suffix: "a"})
		if err != nil || s.Plate.SiteID.IsZero() || s.People[s.Plate.CollectorID].Name != "Ines Okafor" || len(s.Notes) != 1 || *s.Notes[0].Seconds != 20 {
			t.Errorf("%+v %v", s, err)
		}
		if next, err := desk.NextNumber(ctx, g.Hall, g.As[access.Desk], g.Scope, "", 0); err != nil || next.Base != 138 {
			t.Errorf("next is %v %v", next, err)
		}
	})
}

func TestANumberThatIsTakenSaysWhoAndWhen(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		first, err := logs(t, g, desk.Log{Number: "417"})
		if err != nil {
			t.Fatal(err)
		}
		g.Pass(time.Hour)
		_, err = logs(t, g, desk.Log{Number: "0417"})
		taken, ok := fault.From(err).Other.(desk.Taken)
		if !fault.Is(err, fault.Conflict) || !ok || taken.By != "Person desk" || !taken.At.Equal(halltest.Saturday) || taken.Number != "0417" {
			t.Errorf("answered %v %+v", err, taken)
		}
		// 13:40 UTC is 14:40 of British Summer Time, which ends that night.
		if text := fault.From(err).Fields["number"]; text.Args["time"] != "14:40" {
			t.Errorf("the time said is %v", text.Args["time"])
		}
		if _, err := logs(t, g, desk.Log{Number: "0417a"}); err != nil {
			t.Errorf("a split of it: %v", err)
		}
		if _, err := logs(t, g, desk.Log{ID: first.ID, Number: "418"}); !fault.Is(err, fault.Mismatch) {
			t.Errorf("another find under the id of the first: %v", err)
		}
		if _, err := setup.AddEvent(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Event{Code: "HB27", Name: "Spring foray",
			StartsOn: "2027-04-10", TimeZone: "Europe/London", Region: "EU"}); err != nil {
			t.Fatal(err)
		}
		spring, err := g.FindEvent(ctx, "hollinbeck", "HB27")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := desk.LogCollection(ctx, g.Hall, g.Machine, spring.Scope, g.Command(t), desk.Log{Number: "417", Field: desk.Field{Group: "bolete"}}); err != nil {
			t.Errorf("the same number at another event: %v", err)
		}
	})
}

func TestUnreadableBytesAreRefusedBeforeTheyAreKept(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		asks(t, g, "a zero byte", desk.Log{Number: "1", Field: desk.Field{Group: "bolete", Remarks: "a\x00b"}}, "text")
	})
}

func TestACommandSentTwiceIsOneCollectionAndSaysSo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		var already bool
		cmd := g.Command(t)
		cmd.Already = &already
		in := desk.Log{Number: "9", Field: desk.Field{Group: "bolete"}}
		one, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, in)
		if err != nil || already {
			t.Fatalf("%v already=%v", err, already)
		}
		two, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, in)
		if err != nil || one != two || !already {
			t.Errorf("again: %+v %v already=%v", two, err, already)
		}
		in.Number = "10"
		if _, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, in); !fault.Is(err, fault.Mismatch) {
			t.Errorf("the same id for another number: %v", err)
		}
	})
}

func TestWhoMayLogAndCorrect(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c, err := logs(t, g, desk.Log{Number: "1", Field: desk.Field{Habitat: "beech"}})
		if err != nil {
			t.Fatal(err)
		}
		for i, right := range access.Rights {
			_, err := desk.LogCollection(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), desk.Log{Number: fmt.Sprint(100 + i), Field: desk.Field{Group: "bolete"}})
			_, err2 := desk.CorrectField(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), desk.Correct{Collection: c.ID, Field: desk.Field{Group: "bolete", Habitat: string(right)}})
			if may := access.Allows(right, access.LogCollection); (err == nil) != may || (err2 == nil) != may {
				t.Errorf("%s: logs %v, corrects %v", right, err, err2)
			}
		}
		_, elsewhere, machine := g.Another(t, "otherwood", "Otherwood Fungus Group")
		if _, err := desk.CorrectField(ctx, g.Hall, machine, elsewhere, g.Command(t), desk.Correct{Collection: c.ID, Field: desk.Field{Group: "bolete"}}); !fault.Is(err, fault.NotFound) {
			t.Errorf("another society reaches the collection: %v", err)
		}
		if _, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], elsewhere, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete"}}); !fault.Is(err, fault.NotFound) {
			t.Errorf("the desk logs in another society: %v", err)
		}
	})
}

// Many desks at once, numbers out of order and repeated: no number is ever given to two things, and whoever came
// second is told.
func TestNoNumberIsGivenToTwoThings(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		const desks, each, labels = 6, 12, 25
		given := make([][]desk.Logged, desks)
		var wg sync.WaitGroup
		for d := range desks {
			picks := make([]byte, each)
			_, _ = rand.Read(picks)
			cmds := make([]hall.Command, each)
			for i := range cmds {
				cmds[i] = g.Command(t)
			}
			wg.Go(func() {
				for i, pick := range picks {
					got, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, cmds[i],
						desk.Log{Number: fmt.Sprint(1 + int(pick)%labels), Field: desk.Field{Group: "bolete"}})
					if err == nil {
						given[d] = append(given[d], got)
					} else if _, told := fault.From(err).Other.(desk.Taken); !told || !fault.Is(err, fault.Conflict) {
						t.Errorf("desk %d: %v", d, err)
					}
				}
			})
		}
		wg.Wait()
		whose := map[string]foray.ID{}
		for _, all := range given {
			for _, one := range all {
				if other, twice := whose[one.Number]; twice {
					t.Errorf("%s was given to %s and %s", one.Number, other, one.ID)
				}
				whose[one.Number] = one.ID
			}
		}
		rows, err := bench.All(ctx, g.Hall, g.As[access.Desk], g.Scope)
		if err != nil || len(rows) != len(whose) {
			t.Fatalf("%d rows, %d numbers given, %v", len(rows), len(whose), err)
		}
		for _, r := range rows {
			if whose[r.Plate.Number().String()] != r.Plate.ID {
				t.Errorf("%s is on %s", r.Plate.Number(), r.Plate.ID)
			}
		}
	})
}
