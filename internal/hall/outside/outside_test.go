package outside_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/setup"
	"forayhall/internal/muster"
	"forayhall/internal/store"
)

var ctx = context.Background()

// field is a ground with a site that has a point, a walk from it, and two teams: 1 led by the team leader, 2 by somebody else.
type field struct {
	*testing.T
	*halltest.Ground
	walk foray.ID
}

func each(t *testing.T, fn func(f *field)) {
	t.Helper()
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := &field{T: t, Ground: g}
		latitude, longitude := 51.74, -2.41
		f.made(setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Site{Code: "ALD", Name: "Alder Carr", Latitude: &latitude, Longitude: &longitude, Sensitive: true, Permitted: true}))
		f.walk = f.made(setup.AddWalk(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Walk{Number: 1, Title: "Alder Carr", Site: "ALD", Leader: "Person team_leader",
			StartsAt: halltest.Saturday.Add(10 * time.Minute), DueAt: halltest.Saturday.Add(2 * time.Hour), Capacity: 12}))
		f.made(setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 1, Name: "Otters", Leader: "Person team_leader", Walk: "1"}))
		f.made(setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 2, Name: "Badgers", Leader: "Ines Okafor", Walk: "1"}))
		fn(f)
	})
}

func (f *field) made(m setup.Made, err error) foray.ID {
	f.Helper()
	if err != nil {
		f.Fatal(err)
	}
	return m.ID
}

// must takes what an act answers.
func must[T any](f *field) func(T, error) T {
	return func(v T, err error) T {
		f.Helper()
		if err != nil {
			f.Fatal(err)
		}
		return v
	}
}

func (f *field) leader() access.Actor { return f.As[access.TeamLeader] }

func (f *field) joins(name string) foray.ID {
	f.Helper()
	return must[outside.Stood](f)(outside.AddMember(ctx, f.Hall, f.leader(), f.Scope, f.Command(f.T), outside.Join{Team: "1", About: outside.About{Name: name}})).Member
}

func (f *field) sheet() outside.Sheet {
	f.Helper()
	return must[outside.Teams](f)(outside.SeeTeam(ctx, f.Hall, f.leader(), f.Scope, 1)).Sheets[0]
}

func marks(kind muster.MarkKind, ids ...foray.ID) (all []outside.Mark) {
	for _, id := range ids {
		all = append(all, outside.Mark{Member: id, Kind: kind})
	}
	return all
}

func (f *field) out(heads int, all []outside.Mark) outside.Stood {
	f.Helper()
	return must[outside.Stood](f)(outside.GoOut(ctx, f.Hall, f.leader(), f.Scope, f.Command(f.T), outside.Out{Team: "1", Heads: &heads, Marks: all}))
}

func (f *field) back(in outside.Back, heads int) (outside.Stood, error) {
	in.Team, in.Heads = "1", &heads
	return outside.ComeBack(ctx, f.Hall, f.leader(), f.Scope, f.Command(f.T), in)
}

// TestATeamGoesOutAndComesBackByHeadsAndNames follows a day: a name that does not go, a walk-up, a straggler, the hand-in.
func TestATeamGoesOutAndComesBackByHeadsAndNames(t *testing.T) {
	each(t, func(f *field) {
		mei, tobi, ines := f.joins("Mei Adeyemi"), f.joins("Tobi Marsh"), f.joins("Ines Roth")
		got := f.out(2, append(marks(muster.Out, mei, tobi), outside.Mark{Member: ines, Kind: muster.NotGoing}))
		if got.State != muster.Afield || got.Out != 2 || len(got.Findings) != 0 {
			t.Errorf("out: %+v", got)
		}
		if s := f.sheet(); s.Plan.Sunset == nil || s.Plan.CivilDusk == nil || s.Plan.Sunset.Hour() != 16 || s.Plan.Sunset.Minute() < 45 {
			t.Errorf("the light: sunset %v, dusk %v", s.Plan.Sunset, s.Plan.CivilDusk) // 24 October at 51.7 N: about 16:50 UTC
		}
		walkUp := must[outside.Stood](f)(outside.AddMember(ctx, f.Hall, f.leader(), f.Scope, f.Command(f.T), outside.Join{Team: "1", About: outside.About{Name: "Late Comer"}, Out: true}))
		if walkUp.Out != 3 {
			t.Errorf("with the walk-up: %+v", walkUp)
		}
		f.Pass(100 * time.Minute)
		if _, err := f.back(outside.Back{All: true}, 2); !fault.Is(err, fault.Invalid) {
			t.Errorf("everybody back with one head too few: %v", err)
		}
		got = must[outside.Stood](f)(f.back(outside.Back{Marks: marks(muster.Back, mei, walkUp.Member)}, 2))
		if got.State != muster.Short || got.Out != 1 {
			t.Errorf("one missing: %+v", got)
		}
		f.Pass(time.Minute)
		got = must[outside.Stood](f)(f.back(outside.Back{Marks: marks(muster.Back, tobi)}, 3))
		if got.State != muster.AllBack || got.Out != 0 || len(got.Findings) != 0 {
			t.Errorf("with the straggler: %+v", got)
		}
		f.Pass(time.Minute)
		n := 7
		got = must[outside.Stood](f)(outside.TakeIn(ctx, f.Hall, f.As[access.Desk], f.Scope, f.Command(f.T), outside.HandIn{Team: "1", Collections: &n}))
		if log := f.sheet().Log; got.State != muster.HandedIn || *log[0].Heads != 7 || log[0].By != "Person desk" {
			t.Errorf("handed in: %+v, %+v", got, log[0])
		}
	})
}

// TestEverybodyIsTakenAtTheirWordOnlyWhereHeadsSayTheSame: the shortest way back is no way round counting.
func TestEverybodyIsTakenAtTheirWordOnlyWhereHeadsSayTheSame(t *testing.T) {
	each(t, func(f *field) {
		f.out(2, marks(muster.Out, f.joins("Mei Adeyemi"), f.joins("Tobi Marsh")))
		f.Pass(time.Hour)
		if _, err := f.back(outside.Back{All: true}, 3); fault.From(err).Fields["heads"].Key != "team.not-all" {
			t.Errorf("a head without a name: %v", err)
		}
		if _, err := outside.ComeBack(ctx, f.Hall, f.leader(), f.Scope, f.Command(t), outside.Back{Team: "1", All: true}); fault.From(err).Fields["heads"].Key != "team.heads" {
			t.Errorf("nobody counted: %v", err)
		}
		if got := must[outside.Stood](f)(f.back(outside.Back{All: true}, 2)); got.State != muster.AllBack {
			t.Errorf("two heads, two names: %+v", got)
		}
	})
}

// TestAWrongMarkChangesNothing: marks and count are one command.
func TestAWrongMarkChangesNothing(t *testing.T) {
	each(t, func(f *field) {
		mei := f.joins("Mei Adeyemi")
		stranger := must[outside.Stood](f)(outside.AddMember(ctx, f.Hall, f.As[access.Organiser], f.Scope, f.Command(f.T), outside.Join{Team: "2", About: outside.About{Name: "Of team two"}})).Member
		one, many := 1, 1000
		for name, in := range map[string]outside.Out{
			"another team's": {Team: "1", Heads: &one, Marks: marks(muster.Out, mei, stranger)},
			"twice":          {Team: "1", Heads: &one, Marks: marks(muster.Out, mei, mei)},
			"back":           {Team: "1", Heads: &one, Marks: marks(muster.Back, mei)},
			"uncounted":      {Team: "1", Marks: marks(muster.Out, mei)},
			"uncountable":    {Team: "1", Heads: &many, Marks: marks(muster.Out, mei)},
			"no team":        {Team: "77", Heads: &one},
		} {
			if _, err := outside.GoOut(ctx, f.Hall, f.leader(), f.Scope, f.Command(f.T), in); err == nil {
				t.Errorf("%s was taken", name)
			}
		}
		if s := f.sheet(); s.Standing.State != muster.NotOut || s.Lines[0].Mark != "" {
			t.Errorf("something was kept: %+v", s.Standing)
		}
	})
}

// TestACommandSentTwiceCountsOnce: a telephone that lost the answer sends it again.
func TestACommandSentTwiceCountsOnce(t *testing.T) {
	each(t, func(f *field) {
		mei, cmd, one := f.joins("Mei Adeyemi"), f.Command(f.T), 1
		in := outside.Out{Team: "1", Heads: &one, Marks: marks(muster.Out, mei)}
		first := must[outside.Stood](f)(outside.GoOut(ctx, f.Hall, f.leader(), f.Scope, cmd, in))
		again := must[outside.Stood](f)(outside.GoOut(ctx, f.Hall, f.leader(), f.Scope, cmd, in))
		if first.State != again.State || len(f.sheet().Log) != 1 {
			t.Errorf("%+v, then %+v, %d counts", first, again, len(f.sheet().Log))
		}
	})
}

// TestWhoMayDoWhatWithATeam reads as the plan's table: own team out and in; sign anyone in.
func TestWhoMayDoWhatWithATeam(t *testing.T) {
	each(t, func(f *field) {
		mei := f.joins("Mei Adeyemi")
		other := must[outside.Stood](f)(outside.AddMember(ctx, f.Hall, f.As[access.Organiser], f.Scope, f.Command(f.T), outside.Join{Team: "2", About: outside.About{Name: "Of team two"}})).Member
		one := 1
		type act func(as access.Actor) error
		do := map[string]act{
			"out own": func(as access.Actor) error {
				_, err := outside.GoOut(ctx, f.Hall, as, f.Scope, f.Command(t), outside.Out{Team: "1", Heads: &one, Marks: marks(muster.Out, mei)})
				return err
			},
			"out other": func(as access.Actor) error {
				_, err := outside.GoOut(ctx, f.Hall, as, f.Scope, f.Command(t), outside.Out{Team: "2", Heads: &one, Marks: marks(muster.Out, other)})
				return err
			},
			"in own": func(as access.Actor) error {
				_, err := outside.ComeBack(ctx, f.Hall, as, f.Scope, f.Command(t), outside.Back{Team: "1", Heads: &one, Marks: marks(muster.Back, mei)})
				return err
			},
			"in other": func(as access.Actor) error {
				_, err := outside.ComeBack(ctx, f.Hall, as, f.Scope, f.Command(t), outside.Back{Team: "2", Heads: &one, Marks: marks(muster.Back, other)})
				return err
			},
			"act": func(as access.Actor) error {
				_, err := outside.ActFor(ctx, f.Hall, as, f.Scope, f.Command(t), outside.Act{Team: "1", Act: muster.Rung})
				return err
			},
			"paper": func(as access.Actor) error {
				_, err := outside.EnterSheet(ctx, f.Hall, as, f.Scope, f.Command(t), outside.Paper{Team: "1", OutAt: halltest.Saturday.Add(-time.Hour), HeadsOut: &one})
				return err
			},
			"private own":   func(as access.Actor) error { _, err := outside.ReadPrivate(ctx, f.Hall, as, f.Scope, "1"); return err },
			"private other": func(as access.Actor) error { _, err := outside.ReadPrivate(ctx, f.Hall, as, f.Scope, "2"); return err },
			"reads":         func(as access.Actor) error { _, err := outside.SeeReadings(ctx, f.Hall, as, f.Scope); return err },
			"see all":       func(as access.Actor) error { _, err := outside.SeeTeams(ctx, f.Hall, as, f.Scope); return err },
			"see own":       func(as access.Actor) error { _, err := outside.SeeTeam(ctx, f.Hall, as, f.Scope, 1); return err },
			"see other":     func(as access.Actor) error { _, err := outside.SeeTeam(ctx, f.Hall, as, f.Scope, 2); return err },
		}
		may := map[string][]access.Right{
			"out own": {access.TeamLeader, access.Organiser}, "out other": {access.Organiser},
			"in own": {access.TeamLeader, access.Desk, access.SafetyLead, access.Organiser}, "in other": {access.Desk, access.SafetyLead, access.Organiser},
			"act": {access.Desk, access.SafetyLead, access.Organiser}, "paper": {access.Desk, access.SafetyLead, access.Organiser},
			"private own": {access.TeamLeader, access.SafetyLead, access.Organiser}, "private other": {access.SafetyLead, access.Organiser},
			"reads": {access.SafetyLead, access.Organiser}, "see all": {access.Desk, access.SafetyLead, access.Organiser},
			"see own": {access.TeamLeader, access.Desk, access.SafetyLead, access.Organiser}, "see other": {access.Desk, access.SafetyLead, access.Organiser},
		}
		for name, fn := range do {
			for _, right := range access.Rights {
				err := fn(f.As[right])
				if got, want := err == nil, slices.Contains(may[name], right); got != want {
					t.Errorf("%s %s: %v, want %v", right, name, err, want)
				} else if err != nil && !fault.Is(err, fault.NotAllowed) && !fault.Is(err, fault.NotSignedIn) {
					t.Errorf("%s %s: %v", right, name, err)
				}
			}
		}
	})
}

// TestEachReadingOfWhatIsPrivateIsWrittenDown, and what was read is neither kept nor told to anybody else.
func TestEachReadingOfWhatIsPrivateIsWrittenDown(t *testing.T) {
	each(t, func(f *field) {
		mei := f.joins("Mei Adeyemi")
		in := outside.Private{ID: mei, Phone: "07700 900321", Medical: "wasp stings"}
		must[outside.Stood](f)(outside.SetPrivate(ctx, f.Hall, f.leader(), f.Scope, f.Command(t), in))
		if _, err := outside.SetPrivate(ctx, f.Hall, f.As[access.Desk], f.Scope, f.Command(t), in); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the desk wrote: %v", err)
		}
		before := must[int64](f)(f.ChangeSeq(ctx, f.Scope))
		for range 2 {
			p := must[outside.PrivateSheet](f)(outside.ReadPrivate(ctx, f.Hall, f.As[access.SafetyLead], f.Scope, "1"))
			if len(p.Lines) != 1 || p.Lines[0].Phone != "07700 900321" || p.Lines[0].Medical != "wasp stings" {
				t.Errorf("read %+v", p)
			}
			f.Pass(time.Minute)
		}
		if after := must[int64](f)(f.ChangeSeq(ctx, f.Scope)); after != before {
			t.Error("a reading wakes every open page")
		}
		reads := must[[]outside.Reading](f)(outside.SeeReadings(ctx, f.Hall, f.As[access.Organiser], f.Scope))
		if len(reads) != 2 || reads[0].By != "Person safety_lead" || reads[0].Team != 1 {
			t.Errorf("readings: %+v", reads)
		}
		for _, table := range []string{"command_log", "audit", "private_read", "change"} {
			if f.keeps(table, "900321") {
				t.Errorf("%s keeps what is private", table)
			}
		}
		if !f.keeps("member_private", "900321") {
			t.Error("this test looks for what is nowhere")
		}
	})
}

// keeps reports whether a text stands anywhere in a table.
func (f *field) keeps(table, text string) (found bool) {
	f.Helper()
	if err := f.Store.Read(ctx, func(tx *store.Tx) error {
		return tx.Dump(table, store.Part{}, func(row map[string]any) error {
			found = found || strings.Contains(fmt.Sprint(row), text)
			return nil
		})
	}); err != nil {
		f.Fatal(err)
	}
	return found
}

// TestAPaperSheetIsEnteredWithItsTrueTimes: all of it, or nothing.
func TestAPaperSheetIsEnteredWithItsTrueTimes(t *testing.T) {
	each(t, func(f *field) {
		mei := f.joins("Mei Adeyemi")
		f.Pass(4 * time.Hour)
		at := func(minutes int) time.Time { return halltest.Saturday.Add(time.Duration(minutes) * time.Minute) }
		three, two := 3, 2
		paper := outside.Paper{Team: "1", OutAt: at(10), HeadsOut: &three, BackAt: at(110), HeadsBack: &two, Lines: []outside.PaperLine{
			{Member: mei, How: muster.Back}, {Name: "tobi  marsh", How: muster.Back, EndAt: at(115)}, {Name: "Old Friend", How: muster.LeftEarly, EndAt: at(60)}, {Name: "Stayed Home", How: muster.NotGoing}}}
		wrong := map[string]func(*outside.Paper){
			"lines.1.ended_at": func(p *outside.Paper) { p.Lines[1].EndAt = at(5) },
			"lines.2.ended_at": func(p *outside.Paper) { p.Lines[2].EndAt = at(600) },
			"back_at":          func(p *outside.Paper) { p.BackAt = at(1) },
			"out_at":           func(p *outside.Paper) { p.OutAt = time.Time{} },
			"lines.3.name":     func(p *outside.Paper) { p.Lines[3].Name = "TOBI MARSH" },
			"lines.0.how":      func(p *outside.Paper) { p.Lines[0].How = "lost" },
		}
		for field, spoil := range wrong {
			p := paper
			p.Lines = slices.Clone(paper.Lines)
			spoil(&p)
			_, err := outside.EnterSheet(ctx, f.Hall, f.As[access.Desk], f.Scope, f.Command(t), p)
			if _, ok := fault.From(err).Fields[field]; !ok {
				t.Errorf("%s: %v", field, err)
			}
		}
		if s := f.sheet(); len(s.Lines) != 1 || s.Standing.State != muster.NotOut {
			t.Fatalf("half a sheet was kept: %+v", s.Lines)
		}
		got := must[outside.Entered](f)(outside.EnterSheet(ctx, f.Hall, f.As[access.Desk], f.Scope, f.Command(t), paper))
		if got.Marks != 7 || got.Added != 3 || got.State != muster.AllBack || len(got.Findings) != 0 {
			t.Errorf("entered %+v", got)
		}
		s := f.sheet()
		if !s.Lines[3].At.Equal(at(115)) || s.Lines[1].Mark != muster.LeftEarly || !s.Log[0].At.Equal(at(110)) || !s.Log[0].Late() {
			t.Errorf("times: %+v, %+v", s.Lines, s.Log)
		}
	})
}

// TestWhoLeansOnWhomHolds: guardians and drivers are others on a sheet, and nobody leaves somebody leaning on them.
func TestWhoLeansOnWhomHolds(t *testing.T) {
	each(t, func(f *field) {
		add := func(a outside.About) (foray.ID, error) {
			s, err := outside.AddMember(ctx, f.Hall, f.leader(), f.Scope, f.Command(t), outside.Join{Team: "1", About: a})
			return s.Member, err
		}
		change := func(id foray.ID, a outside.About) error {
			_, err := outside.ChangeMember(ctx, f.Hall, f.leader(), f.Scope, f.Command(t), outside.Member{ID: id, About: a})
			return err
		}
		off := func(id foray.ID) error {
			_, err := outside.TakeOff(ctx, f.Hall, f.leader(), f.Scope, f.Command(t), outside.Taken{ID: id})
			return err
		}
		adaeze := must[foray.ID](f)(add(outside.About{Name: "Adaeze Marsh", Drives: true}))
		tobi := must[foray.ID](f)(add(outside.About{Name: "Tobi Marsh", Minor: true, Guardian: adaeze, Driver: adaeze}))
		mei := must[foray.ID](f)(add(outside.About{Name: "Mei Adeyemi"}))
		bad := map[string]error{"guardian": change(mei, outside.About{Name: "Mei Adeyemi", Guardian: tobi}), "driver": change(mei, outside.About{Name: "Mei Adeyemi", Driver: tobi}),
			"drives": change(adaeze, outside.About{Name: "Adaeze Marsh"}), "minor": change(adaeze, outside.About{Name: "Adaeze Marsh", Drives: true, Minor: true}), "name": change(mei, outside.About{})}
		for field, err := range bad {
			if _, ok := fault.From(err).Fields[field]; !ok {
				t.Errorf("%s: %v", field, err)
			}
		}
		if _, err := add(outside.About{Name: "tobi marsh"}); fault.From(err).Fields["name"].Key != "team.name-twice" {
			t.Errorf("one name twice: %v", err)
		}
		if err := off(adaeze); !fault.Is(err, fault.Refused) {
			t.Errorf("a guardian was taken off: %v", err)
		}
		f.out(1, marks(muster.Out, mei))
		if err := off(mei); !fault.Is(err, fault.Refused) {
			t.Errorf("somebody who was marked was taken off: %v", err)
		}
		if err := off(tobi); err != nil || len(f.sheet().Lines) != 2 {
			t.Errorf("taken off: %v, %d lines", err, len(f.sheet().Lines))
		}
	})
}

// TestALateTeamIsSeenByAllStaffWithoutNames, and by the clock alone.
func TestALateTeamIsSeenByAllStaffWithoutNames(t *testing.T) {
	each(t, func(f *field) {
		f.out(1, marks(muster.Out, f.joins("Mei Adeyemi")))
		late, again, err := outside.SeeLate(ctx, f.Hall, f.As[access.Steward], f.Scope)
		if err != nil || len(late) != 0 || again <= 0 || again > 2*time.Hour {
			t.Errorf("in good time: %+v, again in %v, %v", late, again, err)
		}
		f.Pass(2*time.Hour + 15*time.Minute)
		late, again, err = outside.SeeLate(ctx, f.Hall, f.As[access.Steward], f.Scope)
		if err != nil || len(late) != 1 || late[0].Number != 1 || late[0].Alert.Step < muster.RingLeader || again <= 0 || again > 15*time.Minute {
			t.Errorf("late: %+v, again in %v, %v", late, again, err)
		}
		must[outside.Stood](f)(outside.ActFor(ctx, f.Hall, f.As[access.SafetyLead], f.Scope, f.Command(t), outside.Act{Team: "1", Act: muster.Rescue, Remarks: "rang off at the ford"}))
		if s := f.sheet(); !s.Alert.Done || s.Log[0].Kind != muster.Rescue || s.Log[0].Remarks != "rang off at the ford" || s.Log[0].By != "Person safety_lead" {
			t.Errorf("acted: %+v %+v", s.Alert, s.Log)
		}
		heard := *f.sheet().Standing.LastHeard
		if !heard.Equal(store.At(halltest.Saturday).Time) {
			t.Error("what the hall did counts as word from the field")
		}
	})
}

// TestAMemberWishesForWalks, in order, and takes it back; the organiser puts people on sheets.
func TestAMemberWishesForWalks(t *testing.T) {
	each(t, func(f *field) {
		second := f.made(setup.AddWalk(ctx, f.Hall, f.Machine, f.Scope, f.Command(t), setup.Walk{Number: 2, StartsAt: halltest.Saturday.Add(time.Hour), DueAt: halltest.Saturday.Add(3 * time.Hour)}))
		member := f.As[access.Member]
		wish := func(walks ...foray.ID) error {
			_, err := outside.Wish(ctx, f.Hall, member, f.Scope, f.Command(t), outside.Wishes{Walks: walks, With: "Mei Adeyemi"})
			return err
		}
		if err := wish(second, f.walk); err != nil {
			t.Fatal(err)
		}
		seen := must[outside.Walks](f)(outside.SeeWalks(ctx, f.Hall, member, f.Scope))
		if seen.Walks[0].Wish != 2 || seen.Walks[1].Wish != 1 || seen.With != "Mei Adeyemi" || seen.Walks[0].Left() != 12 || len(seen.Wishers) != 0 {
			t.Errorf("the member sees %+v", seen)
		}
		for key, err := range map[string]error{"walk.twice": wish(second, second), "walk.unknown": wish(foray.ID{9}), "walk.wishes": wish(second, f.walk, foray.ID{1}, foray.ID{2})} {
			if got := fault.From(err).Fields["walks"].Key; got != key {
				t.Errorf("%s: %v", key, err)
			}
		}
		organiser := f.As[access.Organiser]
		all := must[outside.Walks](f)(outside.SeeWalks(ctx, f.Hall, organiser, f.Scope))
		if len(all.Wishers) != 1 || !slices.Equal(all.Wishers[0].Wishes, []int{2, 1}) || len(all.Teams) != 2 {
			t.Errorf("the organiser sees %+v", all.Wishers)
		}
		put := func(team string) error {
			_, err := outside.AddMember(ctx, f.Hall, organiser, f.Scope, f.Command(t), outside.Join{Team: team, Person: member.Person})
			return err
		}
		if err := put("1"); err != nil {
			t.Fatal(err)
		}
		if err := put("2"); fault.From(err).Fields["person"].Key != "team.already-on" {
			t.Errorf("on two teams of one walk: %v", err)
		}
		seen = must[outside.Walks](f)(outside.SeeWalks(ctx, f.Hall, member, f.Scope))
		if len(seen.On) != 1 || seen.On[0].Team != 1 || seen.Walks[0].Left() != 11 {
			t.Errorf("on a team: %+v", seen)
		}
		f.Pass(30 * time.Minute)
		if err := wish(f.walk); fault.From(err).Fields["walks"].Key != "walk.gone" {
			t.Errorf("a walk that has left: %v", err)
		}
		if err := wish(); err != nil || len(must[outside.Walks](f)(outside.SeeWalks(ctx, f.Hall, organiser, f.Scope)).Wishers) != 0 {
			t.Errorf("taken back: %v", err)
		}
	})
}

// TestVisitorsSeeWalksAndNobodyWhoDidNotWishTo: no place that is kept back, no leader who wants no name.
func TestVisitorsSeeWalksAndNobodyWhoDidNotWishTo(t *testing.T) {
	each(t, func(f *field) {
		seen := must[outside.Walks](f)(outside.SeeWalks(ctx, f.Hall, access.Nobody, f.Scope))
		if w := seen.Walks[0]; w.Place != "" || !w.KeptBack || w.Leader != "Person team_leader" {
			t.Errorf("a visitor sees %+v", w)
		}
		if err := f.Store.Write(ctx, func(tx *store.Tx) error { return tx.SetCredit(f.Scope.Society, f.leader().Person, "none") }); err != nil {
			t.Fatal(err)
		}
		if w := must[outside.Walks](f)(outside.SeeWalks(ctx, f.Hall, access.Nobody, f.Scope)).Walks[0]; w.Leader != "" {
			t.Errorf("a visitor reads the name %q", w.Leader)
		}
	})
}

// TestAnotherSocietyFindsNothing would catch a team that crosses the wall between societies.
func TestAnotherSocietyFindsNothing(t *testing.T) {
	each(t, func(f *field) {
		mei := f.joins("Mei Adeyemi")
		_, scope, machine := f.Another(t, "fernhollow", "Fernhollow Fungus Group")
		one := 1
		if _, err := outside.GoOut(ctx, f.Hall, machine, scope, f.Command(t), outside.Out{Team: "1", Heads: &one}); !fault.Is(err, fault.NotFound) {
			t.Errorf("by number: %v", err)
		}
		if _, err := outside.TakeOff(ctx, f.Hall, machine, scope, f.Command(t), outside.Taken{ID: mei}); !fault.Is(err, fault.NotFound) {
			t.Errorf("by id: %v", err)
		}
		if _, err := outside.ReadPrivate(ctx, f.Hall, machine, f.Scope, "1"); !fault.Is(err, fault.NotFound) {
			t.Errorf("in the other scope: %v", err)
		}
	})
}
