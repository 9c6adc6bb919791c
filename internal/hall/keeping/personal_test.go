package keeping_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/records"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/muster"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// secret marks what nobody may find once personal data is deleted.
const secret = "Xylopsora"

// planted is a hall in which every form that takes personal data was sent with a secret, and the record of finds without.
func planted(t testing.TB, g *halltest.Ground) foray.ID {
	t.Helper()
	organiser, lead, clerk := g.As[access.Organiser], g.As[access.SafetyLead], g.As[access.Desk]
	made := must[setup.Made](t)
	team := made(setup.AddTeam(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Team{Number: 3, Leader: "Åsa Ødegård"}))
	walk := made(setup.AddWalk(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Walk{Number: 1, StartsAt: g.Now().Add(time.Hour), DueAt: g.Now().Add(2 * time.Hour)}))
	made(setup.IssueBlock(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Block{From: 1, To: 20, Person: secret + " block"}))
	if _, err := outside.Wish(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), outside.Wishes{Walks: []foray.ID{walk.ID}, With: secret + " friend"}); err != nil {
		t.Fatal(err)
	}
	stood := must[outside.Stood](t)
	guest := stood(outside.AddMember(ctx, g.Hall, organiser, g.Scope, g.Command(t), outside.Join{Team: "3", About: outside.About{Name: secret + " guest", Drives: true, Vulnerable: true}}))
	child := stood(outside.AddMember(ctx, g.Hall, organiser, g.Scope, g.Command(t), outside.Join{Team: "3", About: outside.About{Name: secret + " child", Minor: true, Guardian: guest.Member, Driver: guest.Member}}))
	stood(outside.ChangeMember(ctx, g.Hall, organiser, g.Scope, g.Command(t), outside.Member{ID: child.Member, About: outside.About{Name: secret + " child again", Minor: true, Guardian: guest.Member}}))
	stood(outside.SetPrivate(ctx, g.Hall, organiser, g.Scope, g.Command(t), outside.Private{ID: guest.Member, Phone: secret + " phone", Car: secret + " car", Emergency: secret + " emergency", Medical: secret + " medical"}))
	heads := 2
	two := outside.Out{Team: "3", Heads: &heads, Marks: []outside.Mark{{Member: guest.Member, Kind: muster.Out}, {Member: child.Member, Kind: muster.Out}}}
	for _, err := range []error{
		second(outside.GoOut(ctx, g.Hall, organiser, g.Scope, g.Command(t), two)),
		second(outside.HearFrom(ctx, g.Hall, organiser, g.Scope, g.Command(t), outside.Heard{Team: "3", Remarks: secret + " heard"})),
		second(outside.MarkOne(ctx, g.Hall, organiser, g.Scope, g.Command(t), outside.One{Team: "3", Member: child.Member, Kind: muster.LeftEarly, Remarks: secret + " left"})),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	find := must[desk.Logged](t)(desk.LogCollection(ctx, g.Hall, clerk, g.Scope, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete", Team: team.ID.String(), Collector: "Ines Halloway"}}))
	must[bench.Done](t)(bench.SignOff(ctx, g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 0), bench.Word{Collection: find.ID, Name: hall.NameInput{Text: "Suillus luteus"}, Basis: "macroscopic"}))
	picture := 0
	photograph := func(by access.Actor, kind, subject string) photographs.Added {
		picture++
		return must[photographs.Added](t)(photographs.Add(ctx, g.Hall, by, g.Scope, g.Command(t), photographs.Upload{Kind: kind, Subject: subject, Caption: secret + " caption"}, bytes.NewReader(halltest.Picture(t, picture))))
	}
	photograph(clerk, photographs.OfSlip, "1")
	hidden := photograph(clerk, photographs.OfFind, "1")
	if _, err := photographs.Hide(ctx, g.Hall, organiser, g.Scope, g.Command(t), photographs.Hidden{Photograph: hidden.Photograph, Reason: secret + " face"}); err != nil {
		t.Fatal(err)
	}
	incident := must[safety.Opened](t)(safety.OpenIncident(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Eaten{Number: "1", What: secret + " pan", Who: "child", EatenText: secret + " supper", HowMuch: secret + " spoons", Signs: secret + " signs"}))
	photograph(lead, "incident", incident.Incident.String())
	if _, err := safety.NoteIncident(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Said{Incident: incident.Incident, Words: secret + " hospital"}); err != nil {
		t.Fatal(err)
	}
	if _, err := safety.CloseIncident(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Said{Incident: incident.Incident, Words: secret + " home"}); err != nil {
		t.Fatal(err)
	}
	invited := must[people.Link](t)(people.MakeInvitation(ctx, g.Hall, organiser, g.Scope, g.Command(t), people.Invitation{Name: secret + " invited", Rights: []access.Right{access.Desk}}))
	_ = invited
	pass := must[people.Link](t)(people.MakePass(ctx, g.Hall, organiser, g.Scope, g.Command(t), people.Pass{Right: access.Steward, Label: "Tables"}))
	if _, _, err := g.Desk.EnterByPass(ctx, g.Scope, pass.Path[strings.LastIndex(pass.Path, "/")+1:], g.Command(t), secret+" walk-in"); err != nil {
		t.Fatal(err)
	}
	asked := must[corrections.Asked](t)(corrections.SendRequest(ctx, g.Hall, access.Nobody, g.Scope, g.Command(t), corrections.Ask{About: "1", Kind: "name", Words: "had a ring", From: secret + " sender", Reach: secret + " reach"}))
	must[corrections.Done](t)(corrections.AnswerRequest(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), corrections.Answer{Request: asked.Request, Words: "It had none."}))
	if _, err := corrections.SeeContact(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, asked.Request); err != nil {
		t.Fatal(err)
	}
	seen := must[list.Running](t)(list.See(ctx, g.Hall, g.As[access.ListKeeper], g.Scope))
	must[list.Published](t)(list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), list.Sign{Seq: seen.Seq}))
	return find.ID
}

func second[T any](_ T, err error) error { return err }

// found lists where in the database a word stands: every table, every column.
func foundIn(t testing.TB, h *hall.Hall, word string) (at []string) {
	t.Helper()
	if err := h.Store.Read(ctx, func(tx *store.Tx) error {
		for _, table := range (store.Part{}).Tables() {
			if err := tx.Dump(table, store.Part{}, func(row map[string]any) error {
				for column, value := range row {
					text := fmt.Sprint(value)
					if strings.Contains(text, word) {
						at = append(at, table+"."+column+": "+text)
					}
				}
				return nil
			}); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	slices.Sort(at)
	return at
}

// record is what must be the same afterwards: the list, the export, and every version's bytes.
func record(t testing.TB, h *hall.Hall, scope access.Scope) (all []string) {
	t.Helper()
	draft := must[list.Canonical](t)(list.Draft(ctx, h, access.Nobody, scope))
	draft.SignedAt = time.Time{}
	all = append(all, string(must[[]byte](t)(list.CSV(draft))), string(must[[]byte](t)(json.Marshal(draft))))
	export := must[records.Darwin](t)(records.Export(ctx, h, access.Nobody, scope, ""))
	all = append(all, fmt.Sprint(export.Header, export.Rows))
	p, _, err := list.Version(ctx, h, access.Nobody, scope, 1)
	if err != nil {
		t.Fatal(err)
	}
	return append(all, p.CanonicalSha256, p.CSVSha256, string(p.Canonical), string(p.CSV))
}

func goesOn(t testing.TB, g *halltest.Ground, day string) {
	t.Helper()
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		e, err := tx.EventByID(g.Scope.Society, g.Scope.Event)
		e.DeletePersonalOn = day
		if err != nil {
			return err
		}
		return tx.SetEvent(e)
	}); err != nil {
		t.Fatal(err)
	}
}

// TestNothingPersonalIsLeftInAnyTableAndTheRecordIsTheSame walks every table and every column: a table that a later
// migration adds is walked too.
func TestNothingPersonalIsLeftInAnyTableAndTheRecordIsTheSame(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		planted(t, g)
		goesOn(t, g, "2026-11-30")
		before := record(t, g.Hall, g.Scope)
		backed, packed := backup(t, g.Hall), packageOf(t, g.Hall, g.Machine, g.Scope)
		if n := len(foundIn(t, g.Hall, secret)); n < 20 {
			t.Fatalf("only %d secrets were planted:\n%s", n, strings.Join(foundIn(t, g.Hall, secret), "\n"))
		}
		if bytes.Contains(packed, []byte(secret+" phone")) {
			t.Error("an event's package holds telephones")
		}
		g.Pass(36 * 24 * time.Hour)
		if done := must[keeping.Deleted](t)(keeping.DeleteDue(ctx, g.Hall)); len(done.Events) != 0 || done.Contacts != 0 {
			t.Errorf("the day before: %+v", done)
		}
		g.Pass(24 * time.Hour)
		done := must[keeping.Deleted](t)(keeping.DeleteDue(ctx, g.Hall))
		if len(done.Events) != 1 || done.Events[0].Rows < 20 || done.Contacts != 1 {
			t.Errorf("on the day: %+v", done)
		}
		nothingLeft(t, g.Hall)
		if after := record(t, g.Hall, g.Scope); !reflect.DeepEqual(before, after) {
			t.Error("the record is another")
		}
		if c := must[store.Checked](t)(keeping.Check(ctx, g.Hall)); len(c.Broken) > 0 {
			t.Errorf("broken: %+v", c.Broken)
		}
		if again := must[keeping.Deleted](t)(keeping.DeleteDue(ctx, g.Hall)); again.Rows() != 0 {
			t.Errorf("a second time: %+v", again)
		}
		bringsNothingBack(t, g, backed, packed, before)
	})
}

func nothingLeft(t testing.TB, h *hall.Hall) {
	t.Helper()
	if left := foundIn(t, h, secret); len(left) > 0 {
		t.Errorf("left:\n%s", strings.Join(left, "\n"))
	}
}

// bringsNothingBack restores an older backup and takes an older package in, on the day and later.
func bringsNothingBack(t *testing.T, g *halltest.Ground, backed, packed []byte, before []string) {
	t.Helper()
	here := backup(t, g.Hall)
	if _, err := bringIn(g.Hall, packed); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "deleted here") {
		t.Errorf("an older package at home: %v", err)
	}
	if !bytes.Equal(here, backup(t, g.Hall)) {
		t.Error("a refused package changed something")
	}
	restored := freshWithBlobs(t, g.Store.Dialect())
	restored.Now = g.Now
	if done := must[keeping.Restored](t)(restore(restored, backed)); len(done.Deleted.Events) != 1 || done.Deleted.Contacts != 1 {
		t.Errorf("a restore deleted %+v", done.Deleted)
	}
	nothingLeft(t, restored)
	if after := record(t, restored, g.Scope); !reflect.DeepEqual(before, after) {
		t.Error("the record is another after the restore")
	}
	elsewhere := freshWithBlobs(t, g.Store.Dialect())
	elsewhere.Now = g.Now
	if in := must[keeping.Imported](t)(bringIn(elsewhere, packed)); in.Already || len(in.Deleted.Events) != 1 {
		t.Errorf("brought in: %+v", in)
	}
	nothingLeft(t, elsewhere)
	if in := must[keeping.Imported](t)(bringIn(elsewhere, packed)); !in.Already {
		t.Errorf("brought in again: %+v", in)
	}
	nothingLeft(t, elsewhere)
}

// TestOfABorrowedEventOnlyItsHomeDeletes: what is brought home again must be what is there.
func TestOfABorrowedEventOnlyItsHomeDeletes(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	planted(t, g)
	goesOn(t, g, "2026-11-30")
	packed := packageOf(t, g.Hall, g.Machine, g.Scope)
	g.Pass(60 * 24 * time.Hour)
	for home, want := range map[string]int{hall.HomeBorrowed: 0, hall.HomeLent: 1, hall.HomeHere: 1} {
		h := freshWithBlobs(t, store.SQLite)
		h.Now = g.Now
		there := forged(t, packed, asIs, func(table string, r map[string]any) []map[string]any {
			switch table {
			case "photograph": // a forged package has no files
				return nil
			case "event":
				r["home"] = home
			}
			return []map[string]any{r}
		})
		if done := must[keeping.Imported](t)(bringIn(h, there)); len(done.Deleted.Events) != want {
			t.Errorf("%s: %+v, want %d", home, done.Deleted, want)
		}
		if done := must[keeping.Deleted](t)(keeping.DeleteDue(ctx, h)); len(done.Events) != 0 {
			t.Errorf("%s, later: %+v", home, done)
		}
	}
}

// TestSeveralInstancesAtOnceDeleteOnce: each row is met once, whoever meets it.
func TestSeveralInstancesAtOnceDeleteOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		planted(t, g)
		goesOn(t, g, "2026-11-30")
		g.Pass(60 * 24 * time.Hour)
		const instances = 4
		done, failed := make(chan keeping.Deleted, instances), make(chan error, instances)
		for range instances {
			go func() {
				d, err := keeping.DeleteDue(ctx, g.Hall)
				done <- d
				failed <- err
			}()
		}
		events := 0
		for range instances {
			events += len((<-done).Events)
			if err := <-failed; err != nil {
				t.Error(err)
			}
		}
		if events != 1 {
			t.Errorf("%d deleted it", events)
		}
		nothingLeft(t, g.Hall)
	})
}

// TestAfterALongSleepAServerLooksTwice: a clock that jumped ahead would make everything due.
func TestAfterALongSleepAServerLooksTwice(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		planted(t, g)
		goesOn(t, g, "2026-11-30")
		tend := func(held bool, events int) {
			t.Helper()
			if d := must[keeping.Deleted](t)(keeping.Tend(ctx, g.Hall)); d.Held != held || len(d.Events) != events {
				t.Errorf("%+v; want held %t, %d events", d, held, events)
			}
		}
		tend(false, 0)
		g.Pass(24 * time.Hour)
		tend(false, 0)
		g.Pass(365 * 24 * time.Hour) // the clock is wrong
		tend(true, 0)
		g.Pass(30 * time.Minute)
		tend(true, 0)
		g.Pass(-365 * 24 * time.Hour) // somebody puts it right
		tend(false, 0)
		g.Pass(30 * 24 * time.Hour)
		tend(false, 0)
		g.Pass(60 * 24 * time.Hour) // a laptop in a cupboard
		tend(true, 0)
		g.Pass(61 * time.Minute)
		tend(false, 1)
	})
}

// TestWhoReadWhatIsPrivateIsKeptForAYear and what signing in leaves behind for a month.
func TestWhoReadWhatIsPrivateIsKeptForAYear(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		planted(t, g)
		goesOn(t, g, "2026-11-30")
		if _, _, err := g.Desk.SignIn(ctx, "member", "a wrong one"); err == nil {
			t.Fatal("signs in")
		}
		reads := func() int { return len(foundIn(t, g.Hall, "correction-contact")) }
		g.Pass(300 * 24 * time.Hour)
		must[keeping.Deleted](t)(keeping.DeleteDue(ctx, g.Hall))
		if reads() != 1 {
			t.Error("it is not known any more who read what was private")
		}
		g.Pass(70 * 24 * time.Hour)
		if done := must[keeping.Deleted](t)(keeping.DeleteDue(ctx, g.Hall)); done.Traces == 0 || reads() != 0 {
			t.Errorf("after a year: %+v, %d", done, reads())
		}
	})
}
