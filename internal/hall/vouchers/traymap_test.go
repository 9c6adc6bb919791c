package vouchers_test

import (
	"fmt"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/store"
)

// Whatever is done by whatever way, in whatever order: no two numbers lie at one place of a tray, and what the map shows is
// where the plates are said to be. Would catch a way round the rule, of which moving, splitting, merging and finding
// again are some.
func TestNeverTwoAtOnePlaceUnderRandomActs(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		d := newDrying(t, g, 8)
		d.dryer("A", 2, 2)
		d.dryer("B", 2, 1)
		places := []string{"A 1-1", "A 1-2", "a2/1", "A2-2", "B 1", "b2", "A 3-1", "the oven", ""}
		next, done, refusals := 100, 0, 0
		rapid.Check(t, func(rt *rapid.T) {
			for range rapid.IntRange(1, 8).Draw(rt, "acts") {
				err := d.act(rt, rapid.IntRange(0, 8).Draw(rt, "act"), places, &next)
				switch kind := fault.From(errOrNone(err)).Kind; {
				case err == nil:
					done++
				case kind == fault.Invalid || kind == fault.Refused || kind == fault.NotFound:
					refusals++
				default:
					rt.Fatal(err)
				}
				if lie := d.twice(); lie != "" {
					rt.Fatal(lie)
				}
			}
		})
		t.Logf("%d acts, %d refused", done, refusals)
		if done == 0 || refusals == 0 {
			t.Error("nothing was tried")
		}
	})
}

func errOrNone(err error) error {
	if err == nil {
		return &fault.Error{}
	}
	return err
}

// act does one thing to one or two random plates, of those that the event has now.
func (d *drying) act(rt *rapid.T, which int, places []string, next *int) error {
	plates := d.plates()
	if len(plates) < 4 {
		d.id[*next] = d.log(*next)
		*next++
		plates = d.plates()
	}
	one := rapid.SampledFrom(plates).Draw(rt, "plate")
	other := rapid.SampledFrom(plates).Draw(rt, "other")
	place := rapid.SampledFrom(places).Draw(rt, "place")
	number := one.Number().String()
	var err error
	switch which {
	case 0:
		_, err = use(d, access.Steward, vouchers.LoadDryer, vouchers.Load{Dryer: rapid.SampledFrom([]string{"A", "B", ""}).Draw(rt, "dryer"), Plates: []vouchers.Loading{{Number: number, Slot: place}}})
	case 1:
		_, err = use(d, access.Steward, vouchers.LoadDryer, vouchers.Load{Dryer: "A", Plates: []vouchers.Loading{{Number: number}, {Number: other.Number().String(), Slot: place}}})
	case 2:
		_, err = use(d, access.Steward, vouchers.TakeOutOfDryer, vouchers.TakeOut{Numbers: []string{number}, Dry: true})
	case 3:
		_, err = use(d, access.Organiser, tables.PlacePlate, tables.Place{Collection: one.ID, Where: foray.InDryer, Position: place})
	case 4:
		_, err = use(d, access.Organiser, tables.PlacePlate, tables.Place{Collection: one.ID, Where: foray.AtDesk})
	case 5:
		_, err = use(d, access.Organiser, tables.PlaceSeveral, tables.Several{Where: foray.InDryer, Plates: []tables.Spot{{Number: number, Position: place}, {Number: other.Number().String(), Position: rapid.SampledFrom(places).Draw(rt, "second place")}}})
	case 6:
		if len(plates) < 16 {
			_, err = use(d, access.Desk, desk.SplitCollection, desk.Split{Collection: one.ID, Parts: []desk.Part{{}, {}}})
		}
	case 7:
		_, err = use(d, access.Desk, desk.MergeCollection, desk.Merge{Collection: one.ID, Into: other.Number().String(), Reason: "one troop"})
	case 8: // logged by mistake, its place given away, and found again
		if _, err = use(d, access.Desk, desk.Spoil, desk.Mistake{Collection: one.ID, Reason: "a leaf"}); err == nil {
			_, _ = use(d, access.Steward, vouchers.LoadDryer, vouchers.Load{Plates: []vouchers.Loading{{Number: other.Number().String(), Slot: one.Position}}})
			_, err = use(d, access.Desk, desk.SayFate, desk.Fate{Number: number, Fate: foray.FoundAgain, Reason: "no leaf"})
		}
	}
	return err
}

func (d *drying) log(number int) foray.ID {
	made, err := use(d, access.Desk, desk.LogCollection, desk.Log{Number: fmt.Sprint(number), Field: desk.Field{Group: "bolete", Outside: true}})
	d.must(err)
	return made.ID
}

func (d *drying) plates() (live []store.Collection) {
	d.must(d.Store.Read(ctx, func(tx *store.Tx) error {
		all, err := tx.Collections(d.Scope.Society, d.Scope.Event)
		for _, c := range all {
			if c.Fate == store.Live {
				live = append(live, c)
			}
		}
		return err
	}))
	return live
}

// twice says what is wrong with the map: two at one place, or another number there than the plates say.
func (d *drying) twice() string {
	at := map[string]string{}
	for _, c := range d.plates() {
		if c.Whereabouts == foray.InDryer {
			at[foray.SlotKey(c.Position)] += c.Number().String()
		}
	}
	for _, m := range d.see().Dryers {
		for _, tray := range m.Trays {
			for _, p := range tray.Places {
				shown := ""
				for _, plate := range p.Plates {
					shown += plate.Number().String()
				}
				if len(p.Plates) > 1 || shown != at[p.Key] {
					return fmt.Sprintf("at %s lies %q, and the plates say %q", p.Text, shown, at[p.Key])
				}
			}
		}
	}
	return ""
}

// Would catch a rule that two who load at the same time both pass.
func TestOfManyWhoLoadOnePlaceAtOnceOneDoes(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		d := newDrying(t, g, 8)
		d.dryer("A", 1, 1)
		for n := 1; n <= 8; n += 4 {
			var loaded sync.Map
			var all sync.WaitGroup
			for i := n; i < n+4; i++ {
				cmd := d.Command(t)
				all.Go(func() {
					_, err := vouchers.LoadDryer(ctx, d.Hall, d.As[access.Steward], d.Scope, cmd, vouchers.Load{Plates: []vouchers.Loading{{Number: fmt.Sprint(i), Slot: "A 1"}}})
					if err == nil {
						loaded.Store(i, true)
					} else if !fault.Is(err, fault.Invalid) {
						t.Error(err)
					}
				})
			}
			all.Wait()
			count := 0
			loaded.Range(func(any, any) bool { count++; return true })
			if count != 1 {
				t.Errorf("%d of four were loaded at one place", count)
			}
			if lie := d.twice(); lie != "" {
				t.Error(lie)
			}
			there := d.see().Dryers[0].Trays[0].Places[0].Plates
			_, err := use(d, access.Steward, vouchers.TakeOutOfDryer, vouchers.TakeOut{Numbers: []string{there[0].Number().String()}})
			d.must(err)
		}
	})
}
