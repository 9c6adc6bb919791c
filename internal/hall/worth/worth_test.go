package worth_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/worth"
	"forayhall/internal/tally/richness"
)

var ctx = context.Background()

// field is a hall in which finds come in.
type field struct {
	t *testing.T
	*halltest.Ground
	number int
}

func (f *field) must(err error) {
	f.t.Helper()
	if err != nil {
		f.t.Fatal(err)
	}
}

func (f *field) site(code, name string, sensitive bool) {
	f.t.Helper()
	_, err := setup.AddSite(ctx, f.Hall, f.Machine, f.Scope, f.Command(f.t), setup.Site{Code: code, Name: name, Sensitive: sensitive, Permitted: true})
	f.must(err)
}

func (f *field) teams(n int, site string) {
	f.t.Helper()
	for i := 1; i <= n; i++ {
		_, err := setup.AddTeam(ctx, f.Hall, f.Machine, f.Scope, f.Command(f.t), setup.Team{Number: i, Site: site})
		f.must(err)
	}
}

// found logs a find and, with a name, signs it.
func (f *field) found(in desk.Field, name string) {
	f.t.Helper()
	f.number++
	in.Group = "bolete"
	c, err := desk.LogCollection(ctx, f.Hall, f.As[access.Desk], f.Scope, f.Command(f.t), desk.Log{Number: fmt.Sprint(f.number), Field: in})
	f.must(err)
	if name == "" {
		return
	}
	_, err = bench.SignOff(ctx, f.Hall, f.As[access.Identifier], f.Scope, f.On(f.t, 0), bench.Word{Collection: c.ID, Basis: "macroscopic", Name: hall.NameInput{Text: name}})
	f.must(err)
}

func (f *field) see() worth.Day {
	f.t.Helper()
	d, err := worth.See(ctx, f.Hall, access.Nobody, f.Scope)
	f.must(err)
	return d
}

func near(t *testing.T, what string, got richness.Estimate, want float64) {
	t.Helper()
	if !got.OK || math.Abs(got.Value-want) > 1e-9*max(1, math.Abs(want)) {
		t.Errorf("%s is %+v, want %v", what, got, want)
	}
}

// walked is the small example: a on all three teams, b and c on two, four more on one each.
var walked = [][]string{
	{"Boletus edulis", "Russula ochroleuca", "Laccaria laccata", "Paxillus involutus"},
	{"Boletus edulis", "Russula ochroleuca", "Amanita muscaria"},
	{"Boletus edulis", "Laccaria laccata", "Hypholoma fasciculare", "Fomes fomentarius"},
}

// By hand: T = 3, S = 7, U = 4 + 3 + 4 = 11, Q1 = 4, Q2 = 2, k = 2/3. A second plate of a kind from the same team, a
// name that is unsure, and what came from outside the area, add nothing.
func TestThreeTeamsAndSevenTaxaByHand(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{t: t, Ground: g}
		f.site("ALD", "Alder Carr", false)
		f.teams(3, "ALD")
		for i, names := range walked {
			for _, name := range names {
				f.found(desk.Field{Team: fmt.Sprint(i + 1), Site: "ALD", Host: "Fagus"}, name)
			}
		}
		f.found(desk.Field{Team: "1", Site: "ALD", Host: "fagus"}, "Boletus edulis")
		f.found(desk.Field{Team: "2", Site: "ALD"}, "Amanita cf. citrina")
		f.found(desk.Field{Team: "3", Site: "ALD", Outside: true}, "Suillus luteus")
		f.found(desk.Field{Team: "3", Site: "ALD"}, "")
		d := f.see()
		running, err := list.See(ctx, g.Hall, access.Nobody, g.Scope)
		f.must(err)
		if d.Taxa != 7 || d.Taxa != running.List.Total || d.Waiting != 1 || len(d.Units.Units) != 3 {
			t.Fatalf("taxa %d (list %d), waiting %d, %d units", d.Taxa, running.List.Total, d.Waiting, len(d.Units.Units))
		}
		for _, want := range []struct {
			key   worth.Word
			value float64
		}{{"observed", 7}, {"uniques", 4}, {"duplicates", 2}, {"chao2", 7 + 2.0/3*16/4}, {"chao2-bias-corrected", 7 + 2.0/3*12/6},
			{"jackknife1", 7 + 4*2.0/3}, {"jackknife2", 7 + 4*3.0/3 - 2*1.0/6}, {"bootstrap", 7 + 2*1.0/27 + 4*8.0/27},
			{"coverage", 1 - 4.0/11*(2*4)/(2*4+2*2)}} {
			near(t, string(want.key), worth.Of(d.Estimates, want.key).Estimate, want.value)
		}
		// The pairs of teams have 5, 6 and 6 taxa.
		for i, want := range []float64{11.0 / 3, 17.0 / 3, 7} {
			near(t, "expected", richness.Estimate{Value: d.Expected()[i], OK: true}, want)
		}
		x, err := richness.IncidenceOfSets(walked)
		f.must(err)
		for _, p := range d.Curve {
			again, err := x.Curve([]int{0}, []int{p.Size}, richness.Resampling{Level: worth.Level})
			if err != nil || !reflect.DeepEqual(p, again[0]) {
				t.Errorf("at %d the curve is %+v, by the taxa's names %+v, %v", p.Size, p, again, err)
			}
		}
		if len(d.Hosts) != 1 || len(d.Hosts[0].Taxa) != 7 || d.Hosts[0].Finds != 12 {
			t.Errorf("hosts are %+v", d.Hosts)
		}
		if d.Abundance != nil {
			t.Error("abundance is estimated where not everything was recorded")
		}
		if again := f.see(); !reflect.DeepEqual(again.Told(), d.Told()) {
			t.Error("the same day is told otherwise")
		}
	})
}

func TestWhatCannotBeSaidIsNull(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{t: t, Ground: g}
		if e := worth.Of(f.see().Estimates, "chao2"); e.OK || e.Why != richness.Nothing {
			t.Errorf("of nothing: %+v", e)
		}
		f.site("ALD", "Alder Carr", false)
		f.found(desk.Field{Site: "ALD"}, "Paxillus involutus") // before there were teams
		f.teams(2, "ALD")
		f.found(desk.Field{Team: "1", Site: "ALD"}, "Boletus edulis")
		d := f.see()
		if e := worth.Of(d.Estimates, "chao2"); e.OK || e.Why != richness.OneUnit || len(d.Curve) != 0 {
			t.Errorf("of one team: %+v, curve %v", e, d.Curve)
		}
		f.found(desk.Field{Team: "2", Site: "ALD"}, "Amanita muscaria")
		d = f.see()
		if e := worth.Of(d.Estimates, "coverage"); e.OK && e.Value != 0 {
			t.Errorf("where all are unique the coverage is %+v", e)
		}
		if d.Units.Stray != 1 || d.Units.Lost != 1 || d.Taxa != 3 {
			t.Errorf("a find of no team: %+v", d.Units)
		}
	})
}

func TestWithoutTeamsASiteOnADayIsAUnit(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{t: t, Ground: g}
		f.site("ALD", "Alder Carr", false)
		f.site("HOL", "Hollow", false)
		for _, day := range []string{"2026-10-22", "2026-10-23"} {
			f.found(desk.Field{Site: "ALD", PickedFrom: day, PickedTo: day}, "Boletus edulis")
			f.found(desk.Field{Site: "HOL", PickedFrom: day, PickedTo: day}, "Amanita muscaria")
		}
		d := f.see()
		if d.Units.Kind != worth.BySite || len(d.Units.Units) != 4 || len(d.Days) != 2 || d.Days[1].New != 0 || len(d.SiteLess.Pairs) != 1 || d.SiteLess.Pairs[0].Shared != 0 {
			t.Errorf("units %+v, days %+v, pairs %+v", d.Units, d.Days, d.SiteLess)
		}
	})
}

// Would catch the name of a site that the public does not learn of, in any figure.
func TestAPlaceThatIsKeptBackIsNotNamed(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{t: t, Ground: g}
		f.site("WEIR", "Weir Bank", true)
		f.site("DELL", "Secret Dell", true)
		f.site("ALD", "Alder Carr", false)
		for _, site := range []string{"WEIR", "DELL", "ALD"} {
			f.found(desk.Field{Site: site}, "Boletus edulis")
		}
		told, err := json.Marshal(f.see().Told())
		f.must(err)
		for _, secret := range []string{"WEIR", "Weir", "DELL", "Dell"} {
			if strings.Contains(string(told), secret) {
				t.Errorf("%q is told: %s", secret, told)
			}
		}
		sites := f.see().Sites
		if len(sites) != 2 || sites[0].Place.Name != "Alder Carr" || sites[1].Place.Word != worth.KeptBack || sites[1].Collections != 2 {
			t.Errorf("sites are %+v", sites)
		}
	})
}

func TestAbundanceIsEstimatedOnlyWhereEverythingWasRecorded(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{t: t, Ground: g}
		room, err := setup.See(ctx, g.Hall, g.As[access.Organiser], g.Scope)
		f.must(err)
		changed := setup.DetailsOf(room.Event)
		changed.EverythingRecorded = true
		_, err = setup.ChangeEvent(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), changed)
		f.must(err)
		for _, name := range []string{"Boletus edulis", "Boletus edulis", "Boletus edulis", "Amanita muscaria", "Amanita muscaria", "Paxillus involutus"} {
			f.found(desk.Field{}, name)
		}
		d := f.see()
		near(t, "Shannon", worth.Of(d.Abundance, "shannon").Estimate, math.Log(6)-(3*math.Log(3)+2*math.Log(2))/6)
		near(t, "Chao1", worth.Of(d.Abundance, "chao1-small-sample").Estimate, 3+5.0/6*1/2)
		if len(d.Effective) == 0 || !reflect.DeepEqual(d.Effective, f.see().Effective) {
			t.Error("the effective numbers are not the same every time")
		}
	})
}

func rain(f *field, who access.Actor, lines string) (worth.RainDone, error) {
	return worth.EnterRain(ctx, f.Hall, who, f.Scope, f.Command(f.t), worth.Rain{Lines: lines, Source: "gauge"})
}

func TestRainIsReplacedByANewRow(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{t: t, Ground: g}
		done, err := rain(f, g.As[access.Organiser], "\ufeffdate,mm\r\n2026-10-20,4.2\r\n2026-10-21;0\r\n2026-10-22\t3,5\r\n")
		if err != nil || done.Entered != 3 {
			t.Fatalf("%+v, %v", done, err)
		}
		done, err = rain(f, g.As[access.ListKeeper], "2026-10-20,4.2\n2026-10-21,1\n")
		if err != nil || done.Same != 1 || done.Replaced != 1 {
			t.Fatalf("%+v, %v", done, err)
		}
		done, err = worth.EnterRain(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), worth.Rain{Days: []worth.RainDay{{Day: "2026-10-22", Back: true}}})
		if err != nil || done.Taken != 1 {
			t.Fatalf("%+v, %v", done, err)
		}
		room, err := worth.SeeRain(ctx, g.Hall, g.As[access.Desk], g.Scope)
		if err != nil || len(room.Days) != 3 || room.Edit || room.Days[0].MM != nil || len(room.Days[1].Entries) != 2 || *room.Days[1].MM != 1 || *room.Days[1].Entries[0].MM != 0 {
			t.Errorf("%+v, %v", room, err)
		}
		d := f.see()
		if d.Rain.Entered != 2 || len(d.After.Events) != 1 || d.After.Events[0].Before != nil || d.After.Events[0].Entered != 2 || d.After.Rank != nil {
			t.Errorf("rain %+v after %+v", d.Rain.Entered, d.After)
		}
	})
}

func TestRainThatCannotBeReadNamesItsLine(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{t: t, Ground: g}
		for _, lines := range []string{"2026-10-20,4\n20.10.2026,3", "2026-10-20,4\n2026-10-21,much", "2026-10-20,4\n2026-10-21,-1", "2026-10-20,4\n2026-10-21,NaN",
			"2026-10-20,4\n2026-10-21,4,2", "2026-10-20,4\n2026-10-25,1", "2026-10-20,4\n2024-10-25,1", "2026-10-20,4\n2026-10-21,"} {
			_, err := rain(f, g.As[access.Organiser], lines)
			var e *fault.Error
			if !errors.As(err, &e) || e.Fields["lines"].Args["line"] != 2 {
				t.Errorf("%q: %v", lines, err)
			}
		}
		if _, err := rain(f, g.As[access.Organiser], "2026-10-20,4\n2026-10-20,5"); !fault.Is(err, fault.Invalid) {
			t.Errorf("a day twice: %v", err)
		}
		if _, err := rain(f, g.As[access.Desk], "2026-10-20,4"); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the desk enters rain: %v", err)
		}
		if room, err := worth.SeeRain(ctx, g.Hall, g.As[access.Organiser], g.Scope); err != nil || len(room.Days) != 0 {
			t.Errorf("something was taken: %+v, %v", room, err)
		}
	})
}

func TestPeriodsAreTenDaysOfAMonth(t *testing.T) {
	for day, want := range map[string]int{"2026-01-01": 0, "2026-01-10": 0, "2026-01-11": 1, "2026-01-31": 2, "2026-10-24": 29, "2026-12-31": 35} {
		if got, ok := worth.Period(day); !ok || got != want {
			t.Errorf("%s lies in %d, %v; want %d", day, got, ok, want)
		}
	}
}
