package closing_test

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

var ctx = context.Background()

// day is a hall at the end of a day.
type day struct {
	*halltest.Ground
	t *testing.T
	n int
}

func each(t *testing.T, fn func(*day)) {
	t.Helper()
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) { fn(&day{Ground: g, t: t}) })
}

func (d *day) must(err error) {
	d.t.Helper()
	if err != nil {
		d.t.Fatal(err)
	}
}

// plate is logged, named where it has a name, and stands where it is.
func (d *day) plate(name string, where foray.Whereabouts, position string) foray.ID {
	d.t.Helper()
	d.n++
	made, err := desk.LogCollection(ctx, d.Hall, d.As[access.Desk], d.Scope, d.Command(d.t), desk.Log{Number: fmt.Sprint(d.n), Field: desk.Field{Group: "bracket", Outside: true}})
	d.must(err)
	if name != "" {
		d.sign(made.ID, 0, name)
	}
	if where != foray.AtDesk {
		d.put(made.ID, where, position)
	}
	return made.ID
}

func (d *day) sign(c foray.ID, version int, name string) {
	d.t.Helper()
	_, err := bench.SignOff(ctx, d.Hall, d.As[access.Identifier], d.Scope, d.On(d.t, version), bench.Word{Collection: c, Name: hall.NameInput{Text: name}, Basis: "macroscopic"})
	d.must(err)
}

func (d *day) put(c foray.ID, where foray.Whereabouts, position string) {
	d.t.Helper()
	_, err := tables.PlacePlate(ctx, d.Hall, d.As[access.Organiser], d.Scope, d.Command(d.t), tables.Place{Collection: c, Where: where, Position: position, With: "the county"})
	d.must(err)
}

func (d *day) publish() {
	d.t.Helper()
	seq, err := d.ChangeSeq(ctx, d.Scope)
	d.must(err)
	_, err = list.Publish(ctx, d.Hall, d.As[access.ListKeeper], d.Scope, d.Command(d.t), list.Sign{Seq: seq})
	d.must(err)
}

// needs is what is missing, as keys.
func (d *day) needs(of func(closing.Sight) []closing.Need) (keys []string) {
	d.t.Helper()
	s, err := closing.See(ctx, d.Hall, d.As[access.Organiser], d.Scope)
	d.must(err)
	for _, n := range of(s) {
		if !message.Has(n.Text.Key) {
			d.t.Errorf("no text %s", n.Text.Key)
		}
		keys = append(keys, strings.TrimPrefix(n.Text.Key, "closing.needs."))
	}
	return keys
}

func (d *day) want(what string, got []string, want ...string) {
	d.t.Helper()
	if !slices.Equal(got, want) {
		d.t.Errorf("%s: %v is missing, want %v", what, got, want)
	}
}

func ofHall(s closing.Sight) []closing.Need  { return s.Hall }
func ofEvent(s closing.Sight) []closing.Need { return s.Finish }

func (d *day) closeHall(in closing.CloseHall) error {
	_, err := closing.EndDay(ctx, d.Hall, d.As[access.Organiser], d.Scope, d.Command(d.t), in)
	return err
}

func (d *day) closeEvent() error {
	_, err := closing.EndEvent(ctx, d.Hall, d.As[access.Organiser], d.Scope, d.Command(d.t), closing.CloseEvent{})
	return err
}

// team is a team of two with their sheet; marks are given to both.
func (d *day) team(number int) (team foray.ID, members []foray.ID) {
	d.t.Helper()
	made, err := setup.AddTeam(ctx, d.Hall, d.As[access.Organiser], d.Scope, d.Command(d.t), setup.Team{Number: number})
	d.must(err)
	for _, name := range []string{"Mei Adeyemi", "Tomasz Lindqvist"} {
		id := d.Command(d.t).ID
		members = append(members, id)
		d.write(func(tx *store.Tx) error {
			return tx.AddTeamMembers([]store.TeamMember{{SocietyID: d.Scope.Society, EventID: d.Scope.Event, ID: id, TeamID: made.ID, Name: name,
				AddedBy: d.As[access.Organiser].Person, AddedAt: store.At(d.Now())}})
		})
	}
	return made.ID, members
}

func (d *day) write(fn func(*store.Tx) error) {
	d.t.Helper()
	d.must(d.Store.Write(ctx, fn))
}

func (d *day) mark(team foray.ID, kind string, members ...foray.ID) {
	d.t.Helper()
	d.Pass(time.Minute)
	at := store.At(d.Now())
	for _, m := range members {
		d.write(func(tx *store.Tx) error {
			return tx.AddHeadMarks([]store.HeadMark{{SocietyID: d.Scope.Society, EventID: d.Scope.Event, ID: d.Command(d.t).ID, TeamID: team, MemberID: m, Kind: kind,
				MarkedBy: d.As[access.Organiser].Person, HappenedAt: at, RecordedAt: at}})
		})
	}
}

func (d *day) count(team foray.ID, heads int) {
	d.t.Helper()
	at := store.At(d.Now())
	d.write(func(tx *store.Tx) error {
		return tx.AddHeadCount(store.HeadCount{SocietyID: d.Scope.Society, EventID: d.Scope.Event, ID: d.Command(d.t).ID, TeamID: team, Kind: "back", Heads: &heads,
			CountedBy: d.As[access.Organiser].Person, HappenedAt: at, RecordedAt: at})
	})
}

func TestTheHallStaysOpenUntilEverybodyIsBack(t *testing.T) {
	each(t, func(d *day) {
		team, members := d.team(1)
		d.want("nobody said who went", d.needs(ofHall), "team-unsaid")
		d.mark(team, "out", members...)
		d.want("two are out", d.needs(ofHall), "team-out")
		if err := d.closeHall(closing.CloseHall{}); !fault.Is(err, fault.Refused) {
			t.Errorf("closed with two people out: %v", err)
		}
		d.mark(team, "back", members[0])
		d.want("one is out", d.needs(ofHall), "team-out")
		d.mark(team, "back", members[1])
		d.want("heads were not counted", d.needs(ofHall), "team-unsettled")
		d.count(team, 2)
		d.want("all are back", d.needs(ofHall))
		other, stay := d.team(2)
		d.mark(other, "not_going", stay...)
		d.want("the others stayed", d.needs(ofHall))
		d.must(d.closeHall(closing.CloseHall{}))
	})
}

func TestHazardousPlatesAreClearedAndCounted(t *testing.T) {
	each(t, func(d *day) {
		deadly := d.plate("Amanita phalloides", foray.OnBackTable, "")
		d.plate("Fomes fomentarius", foray.OnBackTable, "")
		d.plate("Galerina marginata", foray.Discarded, "")
		d.plate("Cortinarius rubellus", foray.InDryer, "1")
		d.plate("Fomes fomentarius", foray.Discarded, "")
		s, err := closing.See(ctx, d.Hall, d.As[access.Organiser], d.Scope)
		d.must(err)
		if len(s.Hazards.Here) != 1 || s.Hazards.Here[0].Base != 1 || s.Hazards.Bagged != 1 || s.Hazards.Dried != 1 {
			t.Errorf("%+v", s.Hazards)
		}
		d.want("a deadly plate stands there", d.needs(ofHall), "hazards")
		if err := d.closeHall(closing.CloseHall{Bagged: 1, Words: "It is fine"}); !fault.Is(err, fault.Refused) {
			t.Errorf("closed by force: %v", err)
		}
		d.put(deadly, foray.Discarded, "")
		for name, c := range map[string]struct {
			in    closing.CloseHall
			field string
		}{"one too few": {closing.CloseHall{Bagged: 1}, "words"}, "one too many": {closing.CloseHall{Bagged: 3, Words: " "}, "words"}, "below nought": {closing.CloseHall{Bagged: -1}, "bagged"}} {
			err := d.closeHall(c.in)
			if _, ok := fault.From(err).Fields[c.field]; !ok {
				t.Errorf("%s: %v, want the field %s", name, err, c.field)
			}
		}
		lost := d.plate("Amanita virosa", foray.Lost, "")
		if err := d.closeHall(closing.CloseHall{Bagged: 2}); !fault.Is(err, fault.Invalid) {
			t.Errorf("a deadly plate is lost, and nothing is said: %v", err)
		}
		d.put(lost, foray.Discarded, "")
		unnamed := d.plate("", foray.OnBackTable, "")
		d.must(d.closeHallAfter(unnamed))
	})
}

// closeHallAfter closes with three bagged plates, once what nobody named is out of the way where it counts as hazardous.
func (d *day) closeHallAfter(unnamed foray.ID) error {
	if len(d.needs(ofHall)) > 0 {
		d.put(unnamed, foray.InDryer, "9")
	}
	return d.closeHall(closing.CloseHall{Bagged: 3})
}

func TestADifferenceIsExplainedInWordsAndKept(t *testing.T) {
	each(t, func(d *day) {
		d.plate("Amanita phalloides", foray.Discarded, "")
		d.must(d.closeHall(closing.CloseHall{Bagged: 2, Words: "One had no slip."}))
		s, err := closing.See(ctx, d.Hall, d.As[access.Organiser], d.Scope)
		d.must(err)
		if h := s.History; len(h) != 1 || h[0].Kind != "hall" || h[0].HazardsCounted != 2 || h[0].Words != "One had no slip." || s.Event.State != hall.HallClosed {
			t.Errorf("%+v", s.History)
		}
		if err := d.closeHall(closing.CloseHall{Bagged: 1}); !fault.Is(err, fault.Refused) {
			t.Errorf("closed twice: %v", err)
		}
	})
}

func TestAnEventIsClosedOnceEverythingIsAccountedFor(t *testing.T) {
	each(t, func(d *day) {
		first := d.plate("Fomes fomentarius", foray.InDryer, "Tray 1")
		second := d.plate("Fomitopsis betulina", foray.InDryer, "tray 1")
		_, err := setup.IssueBlock(ctx, d.Hall, d.As[access.Organiser], d.Scope, d.Command(t), setup.Block{From: 1, To: 4, Person: "Mei Adeyemi"})
		d.must(err)
		d.want("at first", d.needs(ofEvent), "hall", "numbers", "tray", "vouchers.unchosen", "unsigned")
		d.must(d.closeHall(closing.CloseHall{}))
		for i, fate := range []string{"unused", "spoilt"} {
			d.write(func(tx *store.Tx) error {
				return tx.AddNumberFate(store.NumberFate{SocietyID: d.Scope.Society, EventID: d.Scope.Event, ID: d.Command(t).ID, NumberBase: 3 + i, Fate: fate,
					SaidBy: d.As[access.Desk].Person, HappenedAt: store.At(d.Now()), RecordedAt: store.At(d.Now())})
			})
		}
		d.want("numbers said", d.needs(ofEvent), "tray", "vouchers.unchosen", "unsigned")
		d.put(second, foray.InDryer, "tray 2")
		d.publish()
		d.want("signed", d.needs(ofEvent), "vouchers.unchosen")
		d.choose(first, second)
		d.want("both were chosen", d.needs(ofEvent), "vouchers.in_dryer")
		d.put(first, foray.OnBackTable, "")
		d.Pass(time.Minute)
		d.put(second, foray.SentTo, "")
		d.want("a voucher was sent on, and one is out of the dryer", d.needs(ofEvent), "vouchers.unpacked")
		d.pack("1", "2")
		d.want("packed", d.needs(ofEvent))
		d.put(first, foray.InDryer, "tray 2")
		d.want("in the dryer again", d.needs(ofEvent), "vouchers.in_again")
		d.put(first, foray.Lost, "")
		d.want("nobody finds it", d.needs(ofEvent), "vouchers.missing")
		d.put(first, foray.AtDesk, "")
		d.sign(first, 1, "Ganoderma applanatum")
		d.want("named anew", d.needs(ofEvent), "changed")
		if err := d.closeEvent(); !fault.Is(err, fault.Refused) {
			t.Errorf("closed with a list that was not signed: %v", err)
		}
		d.Pass(time.Minute)
		d.publish()
		d.must(d.closeEvent())
		if err := d.closeEvent(); !fault.Is(err, fault.Refused) {
			t.Errorf("closed twice: %v", err)
		}
		_, err = desk.LogCollection(ctx, d.Hall, d.As[access.Desk], d.Scope, d.Command(t), desk.Log{Number: "77", Field: desk.Field{Group: "bracket", Outside: true}})
		if !fault.Is(err, fault.Refused) {
			t.Errorf("a find is logged in a closed event: %v", err)
		}
		d.sign(first, 2, "Fomes fomentarius") // redeterminations still come in
	})
}

// choose keeps plates as vouchers.
func (d *day) choose(plates ...foray.ID) {
	d.t.Helper()
	for i := range plates {
		_, err := vouchers.ChooseVoucher(ctx, d.Hall, d.As[access.Steward], d.Scope, d.Command(d.t), vouchers.Choose{Number: strconv.Itoa(i + 1), Reason: foray.ForMaterial})
		d.must(err)
	}
}

func (d *day) pack(numbers ...string) {
	d.t.Helper()
	_, err := vouchers.PackVouchers(ctx, d.Hall, d.As[access.Steward], d.Scope, d.Command(d.t), vouchers.Pack{Numbers: numbers})
	d.must(err)
}

func TestWhatWasClosedIsOpenedStepByStepWithAReason(t *testing.T) {
	each(t, func(d *day) {
		open := func(reason string) (string, error) {
			d.Pass(time.Minute)
			done, err := closing.OpenAgain(ctx, d.Hall, d.As[access.Organiser], d.Scope, d.Command(t), closing.Reopen{Reason: reason})
			return done.State, err
		}
		if _, err := open("a slip was found"); !fault.Is(err, fault.Refused) {
			t.Errorf("opened what is open: %v", err)
		}
		d.must(d.closeHall(closing.CloseHall{}))
		d.Pass(time.Minute)
		d.publish()
		d.must(d.closeEvent())
		if _, err := open(" "); !fault.Is(err, fault.Invalid) {
			t.Errorf("without a reason: %v", err)
		}
		for _, want := range []string{hall.HallClosed, hall.EventOpen} {
			if state, err := open("a slip was found"); err != nil || state != want {
				t.Errorf("%s %v, want %s", state, err, want)
			}
		}
		s, err := closing.See(ctx, d.Hall, d.As[access.Organiser], d.Scope)
		d.must(err)
		if len(s.History) != 4 || s.History[3].Kind != "reopened" || s.History[3].Words != "a slip was found" {
			t.Errorf("%+v", s.History)
		}
	})
}

func TestOnlyAnOrganiserCloses(t *testing.T) {
	each(t, func(d *day) {
		for _, right := range access.Rights {
			_, seeing := closing.See(ctx, d.Hall, d.As[right], d.Scope)
			_, acting := closing.EndDay(ctx, d.Hall, d.As[right], d.Scope, d.Command(t), closing.CloseHall{})
			if may := access.Allows(right, access.SetUp); (seeing == nil) != may || (acting == nil) != may {
				t.Errorf("%s: sees %v, closes %v", right, seeing, acting)
			}
		}
	})
}

func TestSentAgainTheHallIsClosedOnce(t *testing.T) {
	each(t, func(d *day) {
		cmd := d.Command(t)
		for range 2 {
			done, err := closing.EndDay(ctx, d.Hall, d.As[access.Organiser], d.Scope, cmd, closing.CloseHall{})
			if err != nil || done.State != hall.HallClosed {
				t.Errorf("%+v %v", done, err)
			}
		}
		s, err := closing.See(ctx, d.Hall, d.As[access.Organiser], d.Scope)
		d.must(err)
		if len(s.History) != 1 {
			t.Errorf("closed %d times", len(s.History))
		}
	})
}
